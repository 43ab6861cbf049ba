package atrest_test

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"bedwalk/schema"
	"bedwalk/server/atrest"
	"bedwalk/sync/journal"
)

func columnsOf(t interface{ Fatal(...any) }, raw []byte) atrest.Columns {
	e, err := journal.Parse(raw)
	if err != nil {
		t.Fatal(err)
	}
	return atrest.Columns{ID: e.ID, Device: e.Device, Lot: e.Lot, Bed: e.Bed, Person: e.Person, Session: e.Session,
		Inc: int64(e.Incarnation), Seq: e.Seq, Wall: e.Wall, Floor: e.Floor, Mono: e.Mono}
}

// anyJSON draws any value that an entry may have in its body.
func anyJSON(depth int) *rapid.Generator[any] {
	texts := rapid.OneOf(rapid.String(), rapid.SampledFrom([]string{"", "$", "$lot", "a,b", `"`, `\`, "{", "]", ":", "é", "\u2028", strings.Repeat("a", 32)}))
	leaves := []*rapid.Generator[any]{
		texts.AsAny(), rapid.Int64Range(-1<<53+1, 1<<53-1).AsAny(), rapid.Bool().AsAny(), rapid.Just[any](nil),
	}
	if depth == 0 {
		return rapid.OneOf(leaves...)
	}
	names := rapid.OneOf(texts, rapid.SampledFrom([]string{"walk", "lot", "kind", "v", "wall", "seq"}))
	return rapid.OneOf(append(leaves, rapid.SliceOfN(anyJSON(depth-1), 0, 4).AsAny(), rapid.MapOfN(names, anyJSON(depth-1), 0, 5).AsAny())...)
}

func id(t *rapid.T, name string) string {
	return rapid.StringMatching("[0-9a-f]{32}").Draw(t, name)
}

func TestEveryEntryComesBackToTheByte(t *testing.T) {
	packed := 0
	rapid.Check(t, func(r *rapid.T) {
		lots := []string{"", id(r, "lot"), strings.Repeat("a", 32)}
		one := map[string]any{
			"id": id(r, "id"), "device": rapid.StringMatching("[a-z0-9]{1,16}").Draw(r, "device"), "inc": rapid.IntRange(1, 9).Draw(r, "inc"),
			"seq": rapid.Int64Range(1, 1<<53-1).Draw(r, "seq"), "v": rapid.IntRange(1, 3).Draw(r, "v"), "kind": rapid.SampledFrom([]string{"note", "observation", "$id"}).Draw(r, "kind"),
			"person": id(r, "person"), "wall": rapid.Int64Range(0, 1<<53-1).Draw(r, "wall"), "session": rapid.StringMatching("[a-z0-9]{1,12}").Draw(r, "session"),
			"mono": rapid.Int64Range(0, 1<<40).Draw(r, "mono"), "floor": rapid.Int64Range(0, 1<<53-1).Draw(r, "floor"), "body": anyJSON(3).Draw(r, "body"),
		}
		if lot := rapid.SampledFrom(lots).Draw(r, "its lot"); lot != "" {
			one["lot"] = lot
		}
		if rapid.Bool().Draw(r, "more") {
			one[rapid.String().Draw(r, "name")] = anyJSON(2).Draw(r, "of another build")
		}
		text, err := json.Marshal(one)
		if err != nil {
			r.Fatal(err)
		}
		raw, err := journal.Canonical(text)
		if err != nil {
			r.Skip(err)
		}
		if _, err := journal.Parse(raw); err != nil {
			r.Skip(err)
		}
		columns := columnsOf(r, raw)
		shape, others, ok := atrest.Pack(raw, &columns)
		if !ok {
			return
		}
		packed++
		again, ok := atrest.Bytes(shape, others, columns)
		if !ok || string(again) != string(raw) {
			r.Fatalf("%s came back as %s", raw, again)
		}
	})
	if packed < 30 {
		t.Errorf("only %d were taken apart", packed)
	}
}

func TestAnObservationIsShortAndItsShapeIsSharedWithOthers(t *testing.T) {
	e := schema.Entry{
		ID: strings.Repeat("1", 32), Device: "d1", Incarnation: 1, Seq: 7, V: 1, Kind: "observation", Person: strings.Repeat("2", 32), Lot: strings.Repeat("3", 32),
		Bed: strings.Repeat("4", 32), Wall: 1_783_164_581_000, Session: "s1", Mono: 2_972_000, Floor: 1_783_095_180_000,
		Body: json.RawMessage(`{"bed":"44444444444444444444444444444444","chlorosis":"none","head_a_mm":132,"lot":"33333333333333333333333333333333","place":{"across":5,"row":9},"planned":true,"walk":"55555555555555555555555555555555"}`),
	}
	text, err := json.Marshal(e)
	if err != nil {
		t.Fatal(err)
	}
	raw, err := journal.Canonical(text)
	if err != nil {
		t.Fatal(err)
	}
	columns := columnsOf(t, raw)
	shape, others, ok := atrest.Pack(raw, &columns)
	if want := `"none",132,5,9`; !ok || others != want || columns.Walk != strings.Repeat("5", 32) {
		t.Errorf("got %q of %q, walk %q, want %q", others, shape, columns.Walk, want)
	}
	want := `{"bed":$bed,"body":{"bed":$bed,"chlorosis":$,"head_a_mm":$,"lot":$lot,"place":{"across":$,"row":$},"planned":true,"walk":$walk},` +
		`"device":$device,"floor":$floor,"id":$id,"inc":$inc,"kind":"observation","lot":$lot,"mono":$mono,"person":$person,"seq":$seq,"session":$session,"v":1,"wall":$wall}`
	if shape != want {
		t.Errorf("got\n%s, want\n%s", shape, want)
	}
}

// After an update the notes of kinds that were unknown before are found by their shapes (journal/learn.go). A phone may call its session as
// a kind is called.
func TestTheKindStandsInTheShapeWhateverElseIsCalledSo(t *testing.T) {
	raw := []byte(`{"body":{"kind":"task"},"device":"d1","floor":1,"id":"` + strings.Repeat("1", 32) + `","inc":1,"kind":"task","mono":1,"person":"` +
		strings.Repeat("2", 32) + `","seq":1,"session":"task","v":1,"wall":1}`)
	columns := columnsOf(t, raw)
	shape, _, ok := atrest.Pack(raw, &columns)
	if !ok || !strings.Contains(shape, `"kind":"task","mono"`) {
		t.Errorf("%v, %s", ok, shape)
	}
}

// Whoever changes a cell of the file past Bedwalk must not go unnoticed because the cell has no part in the bytes.
func TestWhatDoesNotFitItsShapeGivesNoBytes(t *testing.T) {
	shape, whole := `{"a":$,"b":$,"lot":$lot}`, atrest.Columns{Lot: "3"}
	for _, bad := range []struct {
		others  string
		columns atrest.Columns
	}{
		{"1", whole}, {"1,2,3", whole}, {"1,", whole}, {"", whole}, {"1,2", atrest.Columns{Lot: "3", Walk: "5"}}, {"1,2", atrest.Columns{Lot: "3", Wall: 1}},
		{"1,2", atrest.Columns{Lot: "3", Bed: "?"}},
	} {
		if raw, ok := atrest.Bytes(shape, bad.others, bad.columns); ok {
			t.Errorf("%q with %+v gives %s", bad.others, bad.columns, raw)
		}
	}
	if raw, ok := atrest.Bytes(shape, "1,2", whole); !ok || string(raw) != `{"a":1,"b":2,"lot":"3"}` {
		t.Errorf("got %s", raw)
	}
	if _, ok := atrest.Bytes(`{"a":$else}`, "", atrest.Columns{}); ok {
		t.Error("a slot that there is not is filled")
	}
}

func TestNotesOfEverOtherShapesFillNoMemory(t *testing.T) {
	const most = 8192
	for i := range 3 * most {
		raw := fmt.Appendf(nil, `{"body":{"field %d":1}}`, i)
		if _, _, ok := atrest.Pack(raw, &atrest.Columns{}); !ok {
			t.Fatalf("%s is not taken apart", raw)
		}
	}
	if got := atrest.Remembered(); got > most {
		t.Errorf("%d shapes are remembered, at most %d are wanted", got, most)
	}
}
