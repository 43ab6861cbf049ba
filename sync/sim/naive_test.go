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
				text, err := fold.Text(record)
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

// A phone that was paired again may hold unsent notes of two devices, with the same incarnation and sequence.
func TestUnsentNotesOfTwoDevicesStandInOneOrder(t *testing.T) {
	note := func(id, device string) schema.Stamped {
		body := json.RawMessage(`{"change":-1,"lot":"lot0","reason":"lost"}`)
		entry := schema.Entry{ID: id, Device: device, Incarnation: 1, Seq: 1, Kind: "count", Body: body}
		return schema.Stamped{Entry: entry, Stamp: schema.Stamp{Quality: schema.Pending}}
	}
	set := []schema.Stamped{note("b", "d1"), note("a", "d2")}
	// The naive fold goes through a map, whose order is another each time.
	for range 100 {
		lines := Naive("stock:lot0", set)["stock"].(object)["lines"].([]any)
		if first := lines[0].(object)["by"].(object)["device"]; first != "d1" {
			t.Fatalf("the first line is of %v, want d1", first)
		}
	}
	record, _ := fold.Fold("stock:lot0", set)
	if first := record.Stock.Lines[0].By.Device; first != "d1" {
		t.Errorf("the fold has %s first, want d1", first)
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
