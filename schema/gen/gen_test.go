package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"bedwalk/schema"
)

const schemaFolder = ".."

func TestTheGeneratedFilesOnDiskAreFresh(t *testing.T) {
	made, err := files(schemaFolder)
	if err != nil {
		t.Fatal(err)
	}
	for name, want := range made {
		got, err := os.ReadFile(filepath.Join(schemaFolder, name))
		if err != nil {
			t.Errorf("%v: run npm run generate", err)
			continue
		}
		if string(got) != want {
			t.Errorf("schema/%s is not what its sources say: run npm run generate", name)
		}
	}
}

func TestTheSameSourcesGiveTheSameBytes(t *testing.T) {
	first, err := files(schemaFolder)
	if err != nil {
		t.Fatal(err)
	}
	for range 3 {
		again, err := files(schemaFolder)
		if err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(first, again) {
			t.Fatal("two runs over the same sources differ")
		}
	}
}

func TestEveryStructThatTravelsHasASchema(t *testing.T) {
	src, err := readSource(schemaFolder)
	if err != nil {
		t.Fatal(err)
	}
	defs, err := definitions(src)
	if err != nil {
		t.Fatal(err)
	}
	for _, decl := range src.types {
		// Writes and Stages only ever stand inside the bodies that have their fields.
		if decl.fields != nil && decl.name != "Writes" && decl.name != "Stages" && defs[decl.name] == nil {
			t.Errorf("%s has no JSON Schema: add the message that holds it to travellers", decl.name)
		}
	}
}

func TestTheSchemaCarriesTheLimitsOfTheTags(t *testing.T) {
	src, err := readSource(schemaFolder)
	if err != nil {
		t.Fatal(err)
	}
	text, err := definitionsJSON(src)
	if err != nil {
		t.Fatal(err)
	}
	var doc map[string]any
	if err := json.Unmarshal([]byte(text), &doc); err != nil {
		t.Fatal(err)
	}
	for path, want := range map[string]any{
		"Observation.head_a_mm": map[string]any{"type": "integer", "minimum": 5.0, "maximum": 2000.0},
		"Observation.scratch":   map[string]any{"type": "string", "enum": []any{"firm_white", "soft", "not_scratched"}},
		"WalkEnd.walk":          map[string]any{"type": "string", "pattern": "^[0-9a-f]{32}$"},
		"Note.words":            map[string]any{"type": "string", "minLength": 1.0, "maxLength": 4000.0},
		"Span.to_row":           map[string]any{"anyOf": []any{map[string]any{"type": "integer", "minimum": 1.0, "maximum": 2000.0}, map[string]any{"type": "null"}}},
	} {
		name, field, _ := strings.Cut(path, ".")
		got := dig(doc, name, "properties", field)
		if properties, ok := got.(map[string]any); ok {
			delete(properties, "description")
		}
		if !reflect.DeepEqual(got, want) {
			t.Errorf("%s:\n got %v\nwant %v", path, got, want)
		}
	}
}

// The list of codes is closed: each has its English, as the screens have words for each in both languages.
func TestEveryCodeOfAFaultHasItsSentence(t *testing.T) {
	src, err := readSource(schemaFolder)
	if err != nil {
		t.Fatal(err)
	}
	codes := src.valuesOf("FaultCode")
	if len(codes) < 40 {
		t.Fatalf("only %d codes found", len(codes))
	}
	seen := map[string]string{}
	for _, code := range codes {
		said := schema.Fault{Field: "body.buds", Code: schema.FaultCode(code)}.Sentence()
		if strings.Contains(said, ": "+code+".") {
			t.Errorf("the code %s has no sentence: give it one in schema/sentence.go", code)
		}
		if other := seen[said]; other != "" {
			t.Errorf("%s and %s say the same: %s", code, other, said)
		}
		seen[said] = code
	}
}

func dig(value any, names ...string) any {
	for _, name := range names {
		object, _ := value.(map[string]any)
		value = object[name]
	}
	return value
}
