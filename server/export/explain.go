package export

import (
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"path"
	"reflect"
	"slices"
	"strings"
	"time"

	"bedwalk/schema"
)

// envelope are the columns of every table of notes, each with what it says.
var envelope = [][2]string{
	{"position", "Where the note stands in the order in which notes were merged."},
	{"id", "The note's name, 128 bits in hexadecimal digits."},
	{"at", "When it was made, as well as the server knows (RFC 3339, UTC)."},
	{"from", "The earliest time at which it can have been made."},
	{"to", "The latest."},
	{"quality", "How well the time is known: exact, corrected or bracketed."},
	{"person", "Who wrote it: the id of a person in now/person.csv."},
	{"device", "The device that it was written on."},
	{"lot", "The lot that it belongs to, an id in now/lot.csv."},
	{"bed", "The bed that it belongs to, an id in now/bed.csv."},
}

func noteColumns(fields []string) (columns []string) {
	for _, column := range envelope {
		columns = append(columns, column[0])
	}
	for _, field := range fields {
		// A body repeats the lot and bed of its envelope.
		if slices.Contains(columns, field) {
			field = "body_" + field
		}
		columns = append(columns, field)
	}
	return columns
}

func registerColumns(fields []string) []string {
	return slices.Concat([]string{"id"}, fields, []string{"apart"})
}

// fieldsOf are the fields of a body in the order of its struct; "of" is the id of what a register's note describes.
func fieldsOf(body reflect.Type) (fields []string) {
	for _, field := range reflect.VisibleFields(body) {
		name, _, _ := strings.Cut(field.Tag.Get("json"), ",")
		if !field.Anonymous && name != "" && name != "-" {
			fields = append(fields, name)
		}
	}
	return fields
}

// ownFields are those that describe a register's thing, without the ones that say what a note of it writes.
func ownFields(kind schema.Kind) []string {
	writes := fieldsOf(reflect.TypeFor[schema.Writes]())
	return slices.DeleteFunc(fieldsOf(kind.Body), func(name string) bool { return slices.Contains(writes, name) })
}

// registers are the kinds whose notes describe a thing field by field.
func registers() (all []schema.Kind) {
	for _, kind := range schema.Kinds() {
		if field, found := kind.Body.FieldByName("Writes"); found && field.Type == reflect.TypeFor[schema.Writes]() {
			all = append(all, kind)
		}
	}
	return all
}

// cellOf is a value as a cell: text as it is, a list or an object as JSON, nothing for what was not written.
func cellOf(value json.RawMessage) string {
	if len(value) == 0 || string(value) == "null" {
		return ""
	}
	var text string
	if json.Unmarshal(value, &text) == nil {
		return Cell(text)
	}
	return string(value)
}

// definition is as much of a JSON Schema (draft 2020-12) as the dictionary says.
type definition struct {
	Description string
	Type        string
	Ref         string `json:"$ref"`
	Enum        []any
	Minimum     *json.Number
	Maximum     *json.Number
	MaxLength   *int
	Properties  map[string]definition
	Items       *definition
	AnyOf       []definition
}

// UnmarshalJSON also reads true, the schema of anything.
func (d *definition) UnmarshalJSON(raw []byte) error {
	if string(raw) == "true" {
		return nil
	}
	type plain definition
	return json.Unmarshal(raw, (*plain)(d))
}

// kindOfValue is the type in words: "integer 5 to 2000", "text up to 80 letters", "one of a, b".
func (d definition) kindOfValue() string {
	switch {
	case len(d.Enum) > 0:
		words := make([]string, len(d.Enum))
		for i, word := range d.Enum {
			words[i] = fmt.Sprint(word)
		}
		return "one of " + strings.Join(words, ", ")
	case d.Ref != "":
		return "JSON object: " + strings.TrimPrefix(d.Ref, "#/$defs/")
	case d.Items != nil:
		return "JSON list of " + d.Items.kindOfValue()
	case len(d.AnyOf) > 0:
		return d.AnyOf[0].kindOfValue()
	case d.Minimum != nil && d.Maximum != nil:
		return fmt.Sprintf("%s %s to %s", d.Type, *d.Minimum, *d.Maximum)
	case d.MaxLength != nil:
		return fmt.Sprintf("text up to %d letters", *d.MaxLength)
	case d.Type == "string":
		return "text"
	}
	return d.Type
}

// explain writes the dictionary, what the folder is, and the sums of all files.
func (w *writer) explain(head int64, made Made, build string, now time.Time) error {
	if err := w.dictionary(); err != nil {
		return err
	}
	about, err := w.open(aboutFile)
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(about, `Every note in the journal of this nursery, written on %s by Bedwalk (build %s): %d notes up to position %d, %d pictures.

%-18severy note as it was written, with when it was made, one JSON object a line. Every other table is made from these.
%-18swhat the server keeps beside the notes: where each phone's notes end, and those that wait in quarantine for a decision. No keys, no phones' access.
%-18sthe same notes by kind, as tables (CSV, RFC 4180, UTF-8).
%-18slots, beds, people, bookings and so on as they are now, one row each. "apart" names the fields for which people wrote different values; one is shown.
%-18severy pot that was looked at, as its notes and corrections add up.
%-18sthe pictures, named by the SHA-256 of their bytes, as notes of kind photo have it.
%-18swhat each column is.
%-18sthe checksum of each file; check them with: sha256sum --check %s

Lengths end in _mm (millimetres), temperatures in _dc (tenths of a degree C), times in _at (milliseconds since 1970). What nobody wrote is empty, never 0.
bedwalk import --from makes the nursery again from this folder. Notes in quarantine are in no table. A note of kind void strikes out the note that it names; struck-out notes stay in the tables. In tables a sign that begins a formula has an apostrophe before it.
`, now.UTC().Format("2006-01-02 15:04 MST"), build, made.Notes, head, made.Photos, notesFile, stateFile, notesDir+"/", nowDir+"/", potsFile, photosDir+"/", dictionary, sumsFile, sumsFile)
	if err := errors.Join(err, about.close()); err != nil {
		return err
	}
	sums, err := w.open(sumsFile)
	if err != nil {
		return err
	}
	for _, name := range slices.Sorted(maps.Keys(w.sums)) {
		if _, err := fmt.Fprintf(sums, "%s  %s\n", w.sums[name], name); err != nil {
			return errors.Join(err, sums.close())
		}
	}
	return sums.close()
}

func (w *writer) dictionary() error {
	var types map[string]definition
	if err := json.Unmarshal(schema.Definitions, &types); err != nil {
		return fmt.Errorf("read the schemas: %w", err)
	}
	t, err := w.table(dictionary, []string{"file", "column", "value", "meaning"})
	if err != nil {
		return err
	}
	write := func(file, column, value, meaning string) {
		err = errors.Join(err, t.Write([]string{file, column, Cell(value), Cell(meaning)}))
	}
	for _, kind := range schema.Kinds() {
		fields, name := fieldsOf(kind.Body), path.Join(notesDir, kind.Name+".csv")
		for _, column := range envelope {
			write(name, column[0], "", column[1])
		}
		columns := noteColumns(fields)[len(envelope):]
		for i, field := range fields {
			d := types[kind.Body.Name()].Properties[field]
			write(name, columns[i], d.kindOfValue(), d.Description)
		}
	}
	for _, kind := range registers() {
		write(path.Join(nowDir, kind.Name+".csv"), "", "", "The columns of "+path.Join(notesDir, kind.Name+".csv")+", as they are now.")
	}
	return errors.Join(err, t.close())
}
