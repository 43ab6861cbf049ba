package fold

import (
	"encoding/json"
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"bedwalk/fixtures/vary"
	"bedwalk/schema"
	"bedwalk/sync/fold/foldgen"
	"bedwalk/sync/journal"
)

func drawEntries(t *rapid.T) []schema.Stamped {
	r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 0))
	entries, err := foldgen.Entries(r, rapid.IntRange(1, 70).Draw(t, "entries"))
	if err != nil {
		t.Fatal(err)
	}
	return entries
}

func byKey(entries []schema.Stamped) map[string][]schema.Stamped {
	sets := map[string][]schema.Stamped{}
	for _, s := range entries {
		for _, key := range Keys(s.Entry) {
			sets[key] = append(sets[key], s)
		}
	}
	return sets
}

// records folds all keys of some entries.
func records(t *rapid.T, entries []schema.Stamped) map[string]string {
	texts := map[string]string{}
	for key, set := range byKey(entries) {
		record, made := Fold(key, set)
		if !made {
			continue
		}
		text, err := Text(record)
		if err != nil {
			t.Fatal(err)
		}
		texts[key] = string(text)
	}
	return texts
}

func TestAnyOrderAndAnyRepetitionGiveTheSameRecords(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		entries := drawEntries(t)
		want := records(t, entries)
		other := rapid.Permutation(entries).Draw(t, "order")
		for _, again := range rapid.SliceOf(rapid.IntRange(0, len(entries)-1)).Draw(t, "again") {
			other = append(other, entries[again])
		}
		if got := records(t, other); !maps.Equal(got, want) {
			t.Fatal(difference(got, want))
		}
	})
}

// A device folds after each batch and from what it then holds; in whatever batches entries come, it ends the same.
func TestAnySplitIntoBatchesGivesTheSameRecords(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		entries := drawEntries(t)
		want := records(t, entries)
		held := map[string][]schema.Stamped{}
		got := map[string]string{}
		for len(entries) > 0 {
			size := rapid.IntRange(1, len(entries)).Draw(t, "batch")
			touched := byKey(entries[:size])
			entries = entries[size:]
			for key, set := range touched {
				held[key] = append(held[key], set...)
				if record, made := Fold(key, held[key]); made {
					text, err := Text(record)
					if err != nil {
						t.Fatal(err)
					}
					got[key] = string(text)
				}
			}
		}
		if !maps.Equal(got, want) {
			t.Fatal(difference(got, want))
		}
	})
}

func TestEntriesOfOtherKeysDoNotShow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		entries := drawEntries(t)
		for key, want := range records(t, entries) {
			record, made := Fold(key, entries)
			text, err := Text(record)
			if !made || err != nil || string(text) != want {
				t.Fatalf("%s folded from all entries: %s (%v)\nfrom its own: %s", key, text, err, want)
			}
		}
	})
}

func TestOrderIsTotal(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		entries := drawEntries(t)
		slices.SortFunc(entries, Order)
		for i := range entries {
			for j := range entries {
				if got := Order(entries[i], entries[j]); (got < 0) != (i < j) || (got == 0) != (i == j) {
					t.Fatalf("entries %d and %d compare as %d", i, j, got)
				}
			}
		}
	})
}

func TestMovesConservePots(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var moves []schema.Stamped
		for _, s := range drawEntries(t) {
			if s.Entry.Kind == "move" || s.Entry.Kind == "void" || s.Entry.Kind == "unvoid" {
				moves = append(moves, s)
			}
		}
		pots := 0
		for key, set := range byKey(moves) {
			if record, made := Fold(key, set); made && record.Stock != nil {
				pots += record.Stock.Pots
			}
		}
		if pots != 0 {
			t.Fatalf("moves alone made %d pots", pots)
		}
	})
}

func TestTheHashOverAllRecordsDoesNotKnowTheirOrder(t *testing.T) {
	a := schema.Record{Key: "fact:a", Fact: &schema.Fact{Kind: "note", Body: json.RawMessage(`{}`)}}
	b := schema.Record{Key: "fact:b", Fact: &schema.Fact{Kind: "note", Body: json.RawMessage(`{}`)}}
	one, two := must(Hash(a))(t), must(Hash(b))(t)
	if Total(one.Add(two)) != Total(two.Add(one)) || Total(one) == Total(two) || len(Total(one)) != 64 {
		t.Errorf("totals %s, %s, %s", Total(one.Add(two)), Total(one), Total(two))
	}
}

// The work is counted in allocations, which are the same on every machine: a void's target is read once, and not once for
// each void of each of its legs.
func TestHundredsOfVoidsOfOneMoveCostTheFoldWhatTheirNumberCosts(t *testing.T) {
	stamped := func(i int, kind, body string) schema.Stamped {
		e := schema.Entry{ID: fmt.Sprintf("e%d", i), Device: "d", Incarnation: 1, Seq: int64(i + 1), Kind: kind, Body: json.RawMessage(body)}
		return schema.Stamped{Entry: e, Stamp: schema.Stamp{At: int64(i), Quality: schema.Exact}}
	}
	cost := func(legs, voids int) float64 {
		var all []string
		for i := range legs {
			all = append(all, fmt.Sprintf(`{"change":%d,"lot":"l","span":"s%d"}`, i%2*2-1, i))
		}
		entries := []schema.Stamped{stamped(0, "move", `{"legs":[`+strings.Join(append(all, `{"change":0,"lot":"other"}`), ",")+`],"why":"moved"}`)}
		for i := range voids {
			// It lacks the other lot, so none of them stands and every one is looked at.
			entries = append(entries, stamped(i+1, "void", `{"names":"e0","records":["stock:l"],"why":"mistake"}`))
		}
		return testing.AllocsPerRun(3, func() {
			if r, made := Fold("stock:l", entries); !made || r.Stock.Lines[0].Voided != nil {
				t.Fatal("the move is struck out")
			}
		})
	}
	few, many, base := cost(16, 100), cost(16, 500), cost(16, 0)
	if one, next := (few-base)/100, (many-few)/400; one > 30 || next > 30 {
		t.Errorf("a void costs %.0f allocations, and %.0f after the first hundred", one, next)
	}
}

// FuzzFold feeds any body of any kind to the fold: it must not crash, and two orders must agree.
func FuzzFold(f *testing.F) {
	var corpus [][]byte
	var kinds []string
	for _, file := range recordFiles {
		for _, v := range readVectors[recordVector](f, file) {
			for i, s := range v.Input.Entries {
				next := v.Input.Entries[(i+1)%len(v.Input.Entries)].Entry
				f.Add(s.Entry.Kind, []byte(s.Entry.Body), next.Kind, []byte(next.Body), s.Stamp.At)
				corpus, kinds = append(corpus, s.Entry.Body), append(kinds, s.Entry.Kind)
			}
		}
	}
	varied := vary.Bytes(corpus, 4000)
	for i := 0; i < len(varied); i += 2 {
		f.Add(kinds[i%len(kinds)], varied[i], kinds[i/7%len(kinds)], varied[i+1], int64(i))
	}
	f.Fuzz(func(t *testing.T, kindA string, bodyA []byte, kindB string, bodyB []byte, at int64) {
		var entries []schema.Stamped
		for i, in := range []struct {
			kind string
			body []byte
		}{{kindA, bodyA}, {kindB, bodyB}} {
			body, err := journal.Canonical(in.body)
			if err != nil || body[0] != '{' {
				return
			}
			e := schema.Entry{ID: fmt.Sprintf("e%d", i), Device: "d", Incarnation: 1, Seq: int64(i + 1), Kind: in.kind, Body: body}
			entries = append(entries, schema.Stamped{Entry: e, Stamp: schema.Stamp{At: at * int64(i), Quality: schema.Exact}})
		}
		for key := range byKey(entries) {
			if a, b := textOfRecord(t, key, entries), textOfRecord(t, key, []schema.Stamped{entries[1], entries[0], entries[1]}); a != b {
				t.Fatalf("%s: %s\nin another order: %s", key, a, b)
			}
		}
	})
}

// BenchmarkFoldOfABed folds the 60 pots of one walk, as a server does when a walk arrives.
func BenchmarkFoldOfABed(b *testing.B) {
	body := json.RawMessage(`{"bed":"b1","buds":31,"chlorosis":"none","head_a_mm":281,"head_b_mm":274,"height_mm":190,"lot":"l1","place":{"across":3,"row":12},"planned":true,"root_cover":4,"root_life":5,"scratch":"firm_white","walk":"w1"}`)
	var sets [60][]schema.Stamped
	for i := range sets {
		sets[i] = []schema.Stamped{{Entry: schema.Entry{ID: fmt.Sprintf("o%d", i), Kind: "observation", Body: body}, Stamp: schema.Stamp{Quality: schema.Exact}}}
	}
	for b.Loop() {
		for _, set := range sets {
			if _, made := Fold("pot:"+set[0].Entry.ID, set); !made {
				b.Fatal("no record")
			}
		}
	}
}

func difference(got, want map[string]string) string {
	for _, key := range slices.Sorted(maps.Keys(want)) {
		if got[key] != want[key] {
			return fmt.Sprintf("%s:\n%s\n%s", key, got[key], want[key])
		}
	}
	return fmt.Sprintf("%d records, want %d", len(got), len(want))
}
