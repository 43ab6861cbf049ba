package fold

import (
	"bytes"
	"encoding/json"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"bedwalk/schema"
	"bedwalk/sync/journal"
)

const vectorDir = "../../fixtures/vectors"

var recordFiles = []string{"fold-fact.json", "fold-pot.json", "fold-register.json", "fold-stock.json", "fold-walk.json"}

// The wanted records of these files are written by hand from the rules, not taken from either twin.
type recordVector struct {
	Name  string
	Input struct {
		Key     string
		Entries []schema.Stamped
	}
	Want struct {
		// Record is null where there is none.
		Record json.RawMessage
	}
}

func readVectors[T any](t testing.TB, file string) []T {
	t.Helper()
	raw, err := os.ReadFile(filepath.Join(vectorDir, file))
	if err != nil {
		t.Fatal(err)
	}
	decoder := json.NewDecoder(bytes.NewReader(raw))
	decoder.DisallowUnknownFields()
	var cases []T
	if err := decoder.Decode(&cases); err != nil {
		t.Fatalf("%s: %v", file, err)
	}
	if len(cases) == 0 {
		t.Fatalf("%s holds no case", file)
	}
	return cases
}

func TestEveryFoldVectorFileIsRead(t *testing.T) {
	found, err := filepath.Glob(filepath.Join(vectorDir, "fold-*.json"))
	if err != nil {
		t.Fatal(err)
	}
	want := slices.Sorted(slices.Values(append([]string{"fold-keys.json", "fold-order.json"}, recordFiles...)))
	for i := range found {
		found[i] = filepath.Base(found[i])
	}
	if !slices.Equal(found, want) {
		t.Errorf("fixtures/vectors holds %v, this test reads %v", found, want)
	}
}

func TestRecordsOfEveryVector(t *testing.T) {
	for _, file := range recordFiles {
		class := strings.TrimSuffix(strings.TrimPrefix(file, "fold-"), ".json")
		for _, v := range readVectors[recordVector](t, file) {
			t.Run(class+": "+v.Name, func(t *testing.T) {
				entries := canonicalBodies(t, v.Input.Entries)
				want := ""
				if string(v.Want.Record) != "null" {
					want = string(must(journal.Canonical(v.Want.Record))(t))
				}
				r := rand.New(rand.NewPCG(1, 2))
				for range 6 {
					if got := textOfRecord(t, v.Input.Key, entries); got != want {
						t.Fatalf("got  %s\nwant %s", got, want)
					}
					entries = append(entries, entries[:min(2, len(entries))]...)
					r.Shuffle(len(entries), func(i, j int) { entries[i], entries[j] = entries[j], entries[i] })
				}
			})
		}
	}
}

func TestKeysOfEveryVector(t *testing.T) {
	type vector struct {
		Name  string
		Input struct{ Entry schema.Entry }
		Want  struct{ Keys []string }
	}
	for _, v := range readVectors[vector](t, "fold-keys.json") {
		t.Run(v.Name, func(t *testing.T) {
			entry := canonicalBodies(t, []schema.Stamped{{Entry: v.Input.Entry}})[0].Entry
			if got := Keys(entry); !slices.Equal(got, v.Want.Keys) {
				t.Errorf("got %v, want %v", got, v.Want.Keys)
			}
		})
	}
}

func TestOrderOfEveryVector(t *testing.T) {
	type vector struct {
		Name  string
		Input struct{ Entries []schema.Stamped }
		Want  struct{ IDs []string }
	}
	for _, v := range readVectors[vector](t, "fold-order.json") {
		t.Run(v.Name, func(t *testing.T) {
			slices.SortFunc(v.Input.Entries, Order)
			var got []string
			for _, s := range v.Input.Entries {
				got = append(got, s.Entry.ID)
			}
			if !slices.Equal(got, v.Want.IDs) {
				t.Errorf("got %v, want %v", got, v.Want.IDs)
			}
		})
	}
}

func canonicalBodies(t testing.TB, entries []schema.Stamped) []schema.Stamped {
	t.Helper()
	for i := range entries {
		entries[i].Entry.Body = must(journal.Canonical(entries[i].Entry.Body))(t)
	}
	return entries
}

// textOfRecord is a record's canonical text, "" where there is none.
func textOfRecord(t testing.TB, key string, entries []schema.Stamped) string {
	t.Helper()
	record, made := Fold(key, entries)
	if !made {
		return ""
	}
	return string(must(Text(record))(t))
}

func must[T any](value T, err error) func(testing.TB) T {
	return func(t testing.TB) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return value
	}
}
