package main

import (
	"encoding/json"
	"fmt"
	"sort"
	"strings"

	"bedwalk/schema"
)

const limitsHead = generated + `import type { Kind } from './types';

/** What a field of an entry's body may hold: the bounds of a number, of a text's or list's length, or the words allowed. */
export interface Limit {
  readonly min?: number;
  readonly max?: number;
  readonly minLength?: number;
  readonly maxLength?: number;
  readonly oneof?: readonly string[];
  readonly form?: string;
  /** The field must be there. */
  readonly required?: true;
  /** The field must not be 0 or empty. */
  readonly notZero?: true;
}

`

// limitsTS writes the limits of every body field by kind, with nested fields under dotted names ("place.row",
// "legs[].change"): a file of its own, which a scout's first screen need not load.
func limitsTS(*source) (string, error) {
	var out strings.Builder
	out.WriteString(limitsHead)
	out.WriteString("/** The limits of each field, by kind of entry. */\nexport const limits = {\n")
	for _, k := range schema.Kinds() {
		fmt.Fprintf(&out, "  %s: {\n", k.Name)
		for _, l := range schema.Limits(k.Body) {
			fmt.Fprintf(&out, "    '%s': %s,\n", l.Field, limitTS(l))
		}
		out.WriteString("  },\n")
	}
	out.WriteString("} as const satisfies Record<Kind, Record<string, Limit>>;\n")
	return out.String(), nil
}

const kindsHead = generated + `import type { FaultCode, Judged, Kind } from './types';

/** How an envelope names a lot or a bed: whether it must, and the body field that it repeats. */
export interface Need {
  readonly must: boolean;
  readonly from: string;
}

`

// kindsTS writes what this build knows of each kind: the envelope's needs, the codes of faults, the kinds that scouts do not write,
// and what a crop without a profile is judged by.
func kindsTS(src *source) (string, error) {
	var out strings.Builder
	out.WriteString(kindsHead)
	fmt.Fprintf(&out, "/** The schema version that this build writes. */\nexport const version = %d;\n\n", schema.Version)
	fmt.Fprintf(&out, "/** The set of kinds that this build makes records of, by its number. */\nexport const foldVersion = %d;\n\n", schema.FoldVersion)
	out.WriteString("/** Every kind of entry that this build knows. */\nexport const kinds = [\n")
	for _, k := range schema.Kinds() {
		fmt.Fprintf(&out, "  '%s',\n", k.Name)
	}
	out.WriteString("] as const satisfies readonly Kind[];\n\n")
	out.WriteString("/** Which lot and bed the envelope of each kind names. */\nexport const needs: Readonly<Record<Kind, { lot: Need; bed: Need }>> = {\n")
	for _, k := range schema.Kinds() {
		fmt.Fprintf(&out, "  %s: { lot: { must: %t, from: '%s' }, bed: { must: %t, from: '%s' } },\n",
			k.Name, k.Lot.Must, k.Lot.From, k.Bed.Must, k.Bed.From)
	}
	out.WriteString("};\n\n")
	out.WriteString("/** What can be wrong with an entry, each kind of fault by its code. */\nexport const faultCodes = [\n")
	for _, code := range src.valuesOf("FaultCode") {
		fmt.Fprintf(&out, "  '%s',\n", code)
	}
	out.WriteString("] as const satisfies readonly FaultCode[];\n\n")
	out.WriteString("/** Kinds that a scout's device does not write: Kind.Supervisor of kinds.go. */\nexport const supervisorKinds: readonly string[] = [\n")
	for _, kind := range schema.Kinds() {
		if kind.Supervisor {
			fmt.Fprintf(&out, "  '%s',\n", kind.Name)
		}
	}
	out.WriteString("];\n\n")
	judged, err := judgedTS()
	if err != nil {
		return "", err
	}
	out.WriteString("/** What a crop without a profile is judged by: common practice, no source; every value editable. */\n")
	out.WriteString("export const defaultJudged: Readonly<Judged> = " + judged + ";\n\n")
	return out.String(), nil
}

// startsTS writes the stages that Bedwalk starts with: a file of its own, which a scout's first screen need not load.
func startsTS(*source) (string, error) {
	starts, err := json.Marshal(schema.CropStarts())
	if err != nil {
		return "", fmt.Errorf("stages to start with: %w", err)
	}
	return generated + "import type { CropStart } from './types';\n\n" +
		"/** The stages that Bedwalk starts with for a crop, each with where its days come from. */\n" +
		"export const cropStarts: readonly CropStart[] = " + string(starts) + ";\n", nil
}

func limitTS(l schema.Limit) string {
	var parts []string
	bound := func(name string, n *int64) {
		if n != nil {
			parts = append(parts, fmt.Sprintf("%s: %d", name, *n))
		}
	}
	bound("min", l.Min)
	bound("max", l.Max)
	bound("minLength", l.MinLength)
	bound("maxLength", l.MaxLength)
	if l.OneOf != nil {
		parts = append(parts, "oneof: ['"+strings.Join(l.OneOf, "', '")+"']")
	}
	if l.Form != "" {
		parts = append(parts, "form: '"+l.Form+"'")
	}
	if l.Required {
		parts = append(parts, "required: true")
	}
	if l.NotZero {
		parts = append(parts, "notZero: true")
	}
	if parts == nil {
		return "{}"
	}
	return "{ " + strings.Join(parts, ", ") + " }"
}

func judgedTS() (string, error) {
	raw, err := json.Marshal(schema.DefaultJudged())
	if err != nil {
		return "", fmt.Errorf("default profile: %w", err)
	}
	var values map[string]json.RawMessage
	if err := json.Unmarshal(raw, &values); err != nil {
		return "", fmt.Errorf("default profile: %w", err)
	}
	names := make([]string, 0, len(values))
	for name := range values {
		names = append(names, name)
	}
	sort.Strings(names)
	var out strings.Builder
	out.WriteString("{\n")
	for _, name := range names {
		fmt.Fprintf(&out, "  %s: %s,\n", name, values[name])
	}
	return out.String() + "}", nil
}
