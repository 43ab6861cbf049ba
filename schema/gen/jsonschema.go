package main

import (
	"encoding/json"
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"github.com/invopop/jsonschema"

	"bedwalk/schema"
)

// travellers are the types that go over the wire whole; what they hold comes with them.
var travellers = []any{
	schema.Entry{}, schema.Record{}, schema.Problem{}, schema.Push{}, schema.PushAnswer{}, schema.Pull{}, schema.TablePage{}, schema.Nudge{}, schema.Health{}, schema.Gone{}, schema.Page{}, schema.TablePage{},
	schema.HandBack{}, schema.HandedBack{}, schema.IncidentSeen{}, schema.ClockConfirm{}, schema.DecideAll{}, schema.DecidedAll{}, schema.QuarantineAsk{}, schema.QuarantineAnswer{},
	schema.PairAsk{}, schema.Me{}, schema.Decision{}, schema.Incarnation{}, schema.UnsentFile{}, schema.UnsentAnswer{}, schema.PairingAsk{}, schema.Pairing{}, schema.ReadingKeyAsk{}, schema.ReadingKeyMade{}, schema.ReadingKeys{}, schema.Hooks{}, schema.HookAsk{}, schema.HookSecret{}, schema.HookSwitch{}, schema.HookTry{}, schema.Digest{}, schema.DigestAnswer{},
	schema.AttentionView{}, schema.BackupMade{},
	schema.BedsView{}, schema.BedView{}, schema.LotsPage{}, schema.LotView{}, schema.HistoryPage{}, schema.DayView{}, schema.NamesView{}, schema.ScoutsView{}, schema.FieldBriefing{}, schema.PhonesView{}, schema.QuarantinePage{},
	schema.Stamped{}, schema.BedInput{}, schema.BedScore{}, schema.Plan{}, schema.CropStart{}, schema.PlanView{}, schema.SupplyView{}, schema.GroupView{}, schema.RightView{}, schema.TomorrowView{}, schema.CoolerView{}, schema.CultivarsView{}, schema.RoutesView{}, schema.ApplicationLog{}, schema.WorkView{}, schema.TryAsk{}, schema.TryView{}, schema.BedRecords{}, schema.PotRecord{}, schema.PastWalk{}, schema.Due{},
}

// definitions are the JSON Schemas of all types by name: the shapes by package jsonschema, the limits from the same
// validator tags that the server checks by.
func definitions(src *source) (jsonschema.Definitions, error) {
	reflector := jsonschema.Reflector{AllowAdditionalProperties: true, Anonymous: true, LookupComment: src.comment}
	all := jsonschema.Definitions{}
	add := func(t reflect.Type) {
		for name, def := range reflector.ReflectFromType(t).Definitions {
			all[name] = def
		}
	}
	types := map[string]reflect.Type{}
	for _, root := range travellers {
		add(reflect.TypeOf(root))
		collect(reflect.TypeOf(root), types)
	}
	for _, k := range schema.Kinds() {
		add(k.Body)
		collect(k.Body, types)
	}
	for name, def := range all {
		t, ok := types[name]
		if !ok {
			return nil, fmt.Errorf("schema of %s has no Go type: add it to travellers in schema/gen/jsonschema.go", name)
		}
		addLimits(src, def, t)
	}
	return all, nil
}

func collect(t reflect.Type, into map[string]reflect.Type) {
	for t.Kind() == reflect.Pointer || t.Kind() == reflect.Slice || t.Kind() == reflect.Map {
		t = t.Elem()
	}
	if t.Kind() != reflect.Struct || into[t.Name()] != nil {
		return
	}
	into[t.Name()] = t
	for _, field := range reflect.VisibleFields(t) {
		collect(field.Type, into)
	}
}

func addLimits(src *source, def *jsonschema.Schema, t reflect.Type) {
	nullable, emptied := map[string]bool{}, map[string]bool{}
	_, writes := t.FieldByName("Writes")
	for _, field := range reflect.VisibleFields(t) {
		name, _, _ := strings.Cut(field.Tag.Get("json"), ",")
		nullable[name] = writes && field.Type.Kind() == reflect.Pointer
		emptied[name] = field.Type.Kind() == reflect.String && strings.HasPrefix(field.Tag.Get("validate"), "omitempty")
		if property, ok := def.Properties.Get(name); ok && field.Type.Kind() == reflect.String {
			property.Enum = anyOf(src.valuesOf(field.Type.Name()))
		}
	}
	for _, limit := range schema.Limits(t) {
		if strings.Contains(limit.Field, ".") {
			continue
		}
		name, isElement := strings.CutSuffix(limit.Field, "[]")
		property, ok := def.Properties.Get(name)
		switch {
		case !ok:
		case isElement && property.Items != nil:
			addLimit(property.Items, limit)
		case isElement && property.AdditionalProperties != nil:
			addLimit(property.AdditionalProperties, limit)
		default:
			addLimit(property, limit)
			switch {
			case nullable[name]:
				or(def, name, property, &jsonschema.Schema{Type: "null"})
			case emptied[name]:
				or(def, name, property, &jsonschema.Schema{Const: ""})
			}
		}
	}
}

func addLimit(to *jsonschema.Schema, l schema.Limit) {
	if l.Min != nil {
		to.Minimum = json.Number(strconv.FormatInt(*l.Min, 10))
	}
	if l.Max != nil {
		to.Maximum = json.Number(strconv.FormatInt(*l.Max, 10))
	}
	low, high := size(l.MinLength), size(l.MaxLength)
	switch to.Type {
	case "array":
		to.MinItems, to.MaxItems = low, high
	case "object":
		to.MinProperties, to.MaxProperties = low, high
	case "string":
		to.MinLength, to.MaxLength = low, high
		if l.NotZero && low == nil {
			one := uint64(1)
			to.MinLength = &one
		}
		to.Pattern = schema.Pattern(l.Form)
		if l.Form == "date" {
			to.Format = "date"
		}
	case "integer":
		if l.NotZero {
			to.Not = &jsonschema.Schema{Const: 0}
		}
	}
	if l.OneOf != nil {
		to.Enum = anyOf(l.OneOf)
	}
}

// or lets a field be something else besides: a register's null, which empties it, or the text "" of a field that need not
// be filled in.
func or(def *jsonschema.Schema, name string, property, besides *jsonschema.Schema) {
	inner := *property
	inner.Description = ""
	def.Properties.Set(name, &jsonschema.Schema{
		Description: property.Description, AnyOf: []*jsonschema.Schema{&inner, besides},
	})
}

func size(n *int64) *uint64 {
	if n == nil {
		return nil
	}
	u := uint64(*n)
	return &u
}

func anyOf(words []string) []any {
	var all []any
	for _, word := range words {
		all = append(all, word)
	}
	return all
}

// definitionsJSON is the JSON Schema of every type that travels, by name, one a line. An entry's body is chosen by its kind.
func definitionsJSON(src *source) (string, error) {
	defs, err := definitions(src)
	if err != nil {
		return "", err
	}
	entry := defs["Entry"]
	for _, k := range schema.Kinds() {
		entry.AllOf = append(entry.AllOf, &jsonschema.Schema{
			If:   withProperty("kind", &jsonschema.Schema{Const: k.Name}),
			Then: needed(k),
		})
	}
	var lines []string
	for _, name := range slices.Sorted(maps.Keys(defs)) {
		raw, err := json.Marshal(defs[name])
		if err != nil {
			return "", fmt.Errorf("write the schema of %s: %w", name, err)
		}
		lines = append(lines, fmt.Sprintf("%q: %s", name, raw))
	}
	return "{\n" + strings.Join(lines, ",\n") + "\n}\n", nil
}

func withProperty(name string, property *jsonschema.Schema) *jsonschema.Schema {
	properties := jsonschema.NewProperties()
	properties.Set(name, property)
	return &jsonschema.Schema{Properties: properties}
}

func needed(k schema.Kind) *jsonschema.Schema {
	then := withProperty("body", &jsonschema.Schema{Ref: "#/$defs/" + k.Body.Name()})
	if k.Lot.Must {
		then.Required = append(then.Required, "lot")
	}
	if k.Bed.Must {
		then.Required = append(then.Required, "bed")
	}
	return then
}

// comment finds the doc comment of a type, or of its field by Go name.
func (s *source) comment(t reflect.Type, field string) string {
	decl := s.byGo[t.Name()]
	if decl == nil {
		return ""
	}
	if field == "" {
		return decl.doc
	}
	for _, f := range flat(s, *decl) {
		if f.goName == field {
			return f.doc
		}
	}
	return ""
}

// valuesOf lists the constants of a named string type, nil for any other.
func (s *source) valuesOf(name string) []string {
	if decl := s.byGo[name]; decl != nil {
		return decl.values
	}
	return nil
}
