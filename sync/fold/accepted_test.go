package fold

import (
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"bedwalk/schema"
	"bedwalk/sync/fold/foldgen"
	"bedwalk/sync/journal"
)

// One note that could be merged and not written as a record stopped every phone's pull for ever. The twin's half of
// this is in fold.test.ts, which reads the same entries by way of fixtures/twins/fold.
func TestWhatCheckAcceptsFoldsToARecordThatCanBeWritten(t *testing.T) {
	seen, deepest := map[string]bool{}, 0
	rapid.Check(t, func(t *rapid.T) {
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 0))
		entries, err := foldgen.Accepted(r, rapid.IntRange(1, 40).Draw(t, "entries"))
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range entries {
			raw, err := journal.Encode(s.Entry)
			if err != nil {
				t.Fatalf("the generator made an entry that nobody can send: %v", err)
			}
			deepest = max(deepest, depthOf(raw))
			arrived, err := journal.Read(raw)
			if err != nil {
				t.Fatal(err)
			}
			if _, faults := schema.Check(arrived.Entry, arrived.Body); len(faults) > 0 {
				t.Fatalf("the generator made a %s that is held: %+v", s.Entry.Kind, faults)
			}
		}
		for key, set := range byKey(entries) {
			record, made := Fold(key, set)
			if !made {
				continue
			}
			if _, err := Text(record); err != nil {
				t.Fatalf("%s of %d accepted entries cannot be written: %v", key, len(set), err)
			}
			for _, s := range set {
				seen[s.Entry.Kind] = true
			}
		}
	})
	for _, kind := range schema.Kinds() {
		if !seen[kind.Name] {
			t.Errorf("no %s was tried", kind.Name)
		}
	}
	if deepest != journal.MaxDepth {
		t.Errorf("the deepest entry tried was %d deep, want %d", deepest, journal.MaxDepth)
	}
}

// The room for records is as large as needed and no larger: a value beside another in a register.
func TestTheDeepestRecordIsADisputedRegister(t *testing.T) {
	value := `[[[[[[[[[[[[[[]]]]]]]]]]]]]]`
	var set []schema.Stamped
	for i, id := range []string{"a", "b"} {
		body := []byte(`{"of":"t","x":` + value + `}`)
		if i == 1 {
			body = []byte(`{"of":"t","x":[` + value[1:len(value)-1] + `,1]}`)
		}
		body, err := journal.Canonical(body)
		if err != nil {
			t.Fatal(err)
		}
		e := schema.Entry{ID: id, Device: "d", Incarnation: 1, Seq: int64(i + 1), Kind: "bed", Body: body}
		raw, err := journal.Encode(e)
		if err != nil || depthOf(raw) != journal.MaxDepth {
			t.Fatalf("an entry %d deep: %v", depthOf(raw), err)
		}
		set = append(set, schema.Stamped{Entry: e, Stamp: schema.Stamp{At: int64(i), Quality: schema.Exact}})
	}
	record, _ := Fold("bed:t", set)
	text, err := Text(record)
	if err != nil || depthOf(text) != journal.MaxRecordDepth {
		t.Errorf("the record is %d deep, want %d: %v", depthOf(text), journal.MaxRecordDepth, err)
	}
}

// Bytes that were damaged on the disk may break anything that reads them.
func TestAFoldThatBreaksIsAnErrorAndNoEnd(t *testing.T) {
	broken := schema.Stamped{Entry: schema.Entry{ID: "a", Kind: "bed", Body: []byte(`{"a"`)}}
	if err := Check("bed:t", []schema.Stamped{broken}); err == nil {
		t.Error("damaged bytes folded to a record")
	}
}

func depthOf(text []byte) int {
	depth, deepest, inText := 0, 0, false
	for i := 0; i < len(text); i++ {
		switch c := text[i]; {
		case inText && c == '\\':
			i++
		case c == '"':
			inText = !inText
		case inText:
		case c == '{' || c == '[':
			depth++
			deepest = max(deepest, depth)
		case c == '}' || c == ']':
			depth--
		}
	}
	return deepest
}
