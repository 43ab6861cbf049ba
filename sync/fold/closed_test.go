package fold

import (
	"encoding/json"
	"testing"

	"bedwalk/schema"
)

// said is a record whose one field has these live values, the last of which is shown.
func said(field string, values ...string) schema.Record {
	f := schema.Field{}
	for i, value := range values {
		f.Value = json.RawMessage(value)
		f.Live = append(f.Live, string(rune('a'+i)))
	}
	return schema.Record{Register: &schema.Register{Fields: map[string]schema.Field{field: f}}}
}

func pots(n int) schema.Record { return schema.Record{Stock: &schema.Stock{Pots: n}} }

func TestALotIsClosedWhenItIsShippedItsPotsAreGoneAndItsStretchesEnded(t *testing.T) {
	shipped, ended := said("shipped_on", `"2026-11-02"`), said("ended", "true")
	for name, c := range map[string]struct {
		lot, stock schema.Record
		spans      []schema.Record
		want       bool
	}{
		"all of it":                {shipped, pots(0), []schema.Record{ended, ended}, true},
		"never on a bed":           {shipped, pots(0), nil, true},
		"no lot":                   {schema.Record{}, pots(0), nil, false},
		"not shipped":              {said("tag", `"AZ-1"`), pots(0), []schema.Record{ended}, false},
		"shipping taken back":      {said("shipped_on", `""`), pots(0), nil, false},
		"shipping emptied":         {said("shipped_on", "null"), pots(0), nil, false},
		"two days of shipping":     {said("shipped_on", `"2026-11-02"`, `"2026-11-03"`), pots(0), nil, false},
		"no ledger":                {shipped, schema.Record{}, nil, false},
		"one pot left":             {shipped, pots(1), []schema.Record{ended}, false},
		"more sold than there was": {shipped, pots(-1), []schema.Record{ended}, false},
		"one stretch not ended":    {shipped, pots(0), []schema.Record{ended, said("ended", "false")}, false},
		"one stretch disputed":     {shipped, pots(0), []schema.Record{said("ended", "false", "true")}, false},
		"one stretch unsaid":       {shipped, pots(0), []schema.Record{{}}, false},
	} {
		if got := Closed(c.lot, c.stock, c.spans); got != c.want {
			t.Errorf("%s: closed is %v, want %v", name, got, c.want)
		}
	}
}

func at(position int64, id, kind, lot, body string) schema.Stamped {
	return schema.Stamped{Position: position, Entry: schema.Entry{ID: id, Kind: kind, Lot: lot, Body: json.RawMessage(body)}}
}

func TestADeviceMayBeWithoutARecordWhoseNotesAreAllOfOneLotAndOfNothingElse(t *testing.T) {
	const pot, fact, other = "11", "22", "33"
	seen := at(3, pot, "observation", "L", "{}")
	correction := at(5, other, "correction", "L", `{"pot":"11"}`)
	voided := at(8, "44", "void", "L", `{"records":["pot:11"]}`)
	for name, c := range map[string]struct {
		key     string
		entries []schema.Stamped
		lot     string
		strayed int64
	}{
		"nothing":                         {"pot:11", nil, "", 0},
		"a pot":                           {"pot:11", []schema.Stamped{seen}, "L", 0},
		"a pot corrected and struck out":  {"pot:11", []schema.Stamped{seen, correction, voided}, "L", 0},
		"a fact":                          {"fact:22", []schema.Stamped{at(1, fact, "reading", "L", "{}")}, "L", 0},
		"a correction without its pot":    {"pot:11", []schema.Stamped{correction}, "", 5},
		"another pot's note":              {"pot:11", []schema.Stamped{at(3, other, "observation", "L", "{}")}, "", 3},
		"another fact's note":             {"fact:22", []schema.Stamped{at(3, other, "reading", "L", "{}")}, "", 3},
		"of no lot":                       {"pot:11", []schema.Stamped{at(3, pot, "observation", "", "{}")}, "", 3},
		"a thing, which all devices have": {"lot:L", []schema.Stamped{at(2, "L", "lot", "L", `{"of":"L"}`)}, "", 2},
		"corrected to be of another lot":  {"pot:11", []schema.Stamped{seen, at(6, other, "correction", "M", `{"pot":"11"}`)}, "L", 6},
		"struck out with something else":  {"pot:11", []schema.Stamped{seen, at(7, "44", "void", "L", `{"records":["pot:11","stock:L"]}`)}, "L", 7},
		"what came later changes nothing": {"pot:11", []schema.Stamped{seen, at(6, other, "correction", "M", `{"pot":"11"}`), voided}, "L", 6},
	} {
		if lot, strayed := Whole(c.key, c.entries); lot != c.lot || strayed != c.strayed {
			t.Errorf("%s: %q %d, want %q %d", name, lot, strayed, c.lot, c.strayed)
		}
	}
}

func TestANoteHasAPartInOneRecordOnly(t *testing.T) {
	for _, c := range []struct {
		kind string
		keys []string
		want bool
	}{
		{"observation", []string{"pot:1"}, true},
		{"reading", []string{"fact:1"}, true},
		{"correction", []string{"pot:1"}, true},
		{"void", []string{"pot:1"}, true},
		{"void", []string{"fact:1"}, true},
		{"void", []string{"stock:1"}, false},
		{"void", []string{"lot:1"}, false},
		{"void", []string{"pot:1", "pot:2"}, false},
		{"void", nil, false},
		{"lot", []string{"lot:1"}, false},
		{"count", []string{"stock:1"}, false},
		{"a kind of a later build", []string{"pot:1"}, false},
	} {
		if got := InOne(schema.Entry{Kind: c.kind}, c.keys); got != c.want {
			t.Errorf("%s with %v: %v, want %v", c.kind, c.keys, got, c.want)
		}
	}
}
