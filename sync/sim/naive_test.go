package sim

import (
	"bytes"
	"encoding/json"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"bedwalk/schema"
	"bedwalk/sync/fold"
	"bedwalk/sync/fold/foldgen"
	"bedwalk/sync/journal"
)

// The naive fold and the real one share no line, so what they agree on is what the rules say, or two people read the
// rules wrongly in the same way.
func TestTheFoldAgreesWithTheNaiveOne(t *testing.T) {
	compared := 0
	rapid.Check(t, func(t *rapid.T) {
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 0))
		entries, err := foldgen.Whole(r, rapid.IntRange(1, 60).Draw(t, "entries"))
		if err != nil {
			t.Fatal(err)
		}
		byKey := map[string][]schema.Stamped{}
		for _, s := range entries {
			for _, key := range fold.Keys(s.Entry) {
				byKey[key] = append(byKey[key], s)
			}
		}
		for key, set := range byKey {
			record, made := fold.Fold(key, set)
			got := "null"
			if made {
				text, err := journal.Of(record)
				if err != nil {
					t.Fatal(err)
				}
				got = sameWriting(t, text)
			}
			text, err := json.Marshal(Naive(key, set))
			if err != nil {
				t.Fatal(err)
			}
			if want := sameWriting(t, text); got != want {
				t.Fatalf("%s:\nfold  %s\nnaive %s", key, got, want)
			}
			compared++
		}
	})
	if compared < 500 {
		t.Errorf("only %d records were compared", compared)
	}
}

// sameWriting writes JSON in one way, whoever wrote it.
func sameWriting(t interface{ Fatal(...any) }, raw []byte) string {
	decoder := json.NewDecoder(bytes.NewReader(raw))
	decoder.UseNumber()
	var value any
	if err := decoder.Decode(&value); err != nil {
		t.Fatal(err)
	}
	out, err := json.Marshal(value)
	if err != nil {
		t.Fatal(err)
	}
	return string(out)
}
