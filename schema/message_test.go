package schema

import (
	"encoding/json"
	"reflect"
	"strings"
	"testing"
)

// edited is the sound body of a kind with some fields set (a nil value takes the field out).
func edited(t *testing.T, kind string, fields map[string]any) json.RawMessage {
	t.Helper()
	var root map[string]any
	if err := json.Unmarshal([]byte(body(kind)), &root); err != nil {
		t.Fatal(err)
	}
	for name, value := range fields {
		if value == nil {
			delete(root, name)
			continue
		}
		root[name] = value
	}
	raw, err := json.Marshal(root)
	if err != nil {
		t.Fatal(err)
	}
	return raw
}

type set = map[string]any

func TestMessagesNameTheFieldTheLimitAndTheRemedy(t *testing.T) {
	n := func(v int64) *int64 { return &v }
	for _, c := range []struct {
		kind   string
		fields set
		want   Fault
		said   string
	}{
		{"observation", set{"head_a_mm": 4000}, Fault{Field: "body.head_a_mm", Code: CodeOutOfRange, Value: int64(4000), Min: n(5), Max: n(2000), Unit: UnitMM},
			"A head of 4000 mm is outside 5 to 2000 mm. Enter the head size in millimetres, or leave it out when it was not measured."},
		{"observation", set{"buds": -3}, Fault{Field: "body.buds", Code: CodeOutOfRange, Value: int64(-3), Min: n(0), Max: n(2000)},
			"A bud count of -3 is outside 0 to 2000. Enter the number of budded tips, or leave it out when it was not counted."},
		{"observation", set{"root_life": 0}, Fault{Field: "body.root_life", Code: CodeOutOfRange, Value: int64(0), Min: n(1), Max: n(5)},
			"A root life of 0 is outside 1 to 5. Enter a class from 1 (dead) to 5 (all live), or leave it out when it was not looked at."},
		{"observation", set{"chlorosis": "purple"}, Fault{Field: "body.chlorosis", Code: CodeNotOneOf, Value: "purple", OneOf: []string{"none", "young", "old", "whole"}},
			`A chlorosis answer "purple" is not one of: none, young, old, whole. Choose one of these, or leave it out when it was not looked at.`},
		{"observation", set{"head_a_mm": 28.5}, Fault{Field: "body.head_a_mm", Code: CodeWrongType, Value: json.Number("28.5"), Want: WantWhole},
			"A head is 28.5 where a whole number is needed. Enter the head size in millimetres."},
		{"observation", set{"buds": []any{3}}, Fault{Field: "body.buds", Code: CodeWrongType, Value: []any{}, Want: WantWhole},
			"A bud count is a list where a whole number is needed. Enter the number of budded tips."},
		{"observation", set{"lot": "AZ-104"}, Fault{Field: "body.lot", Code: CodeForm, Value: "AZ-104", Want: WantID},
			`The lot "AZ-104" is not an id (32 characters of 0-9 and a-f). Choose it from the list instead of typing it.`},
		{"profile", set{"head_tolerance_bp": 6000}, Fault{Field: "body.head_tolerance_bp", Code: CodeOutOfRange, Value: int64(6000), Min: n(100), Max: n(5000), Unit: UnitBP},
			`The field "head_tolerance_bp" of 60 % is outside 1 to 50 %. Enter another value.`},
		{"reading", set{"temp_dc": 900}, Fault{Field: "body.temp_dc", Code: CodeOutOfRange, Value: int64(900), Min: n(-400), Max: n(700), Unit: UnitDC},
			"An air temperature of 90 °C is outside -40 to 70 °C. Enter the air temperature, or leave it out when it was not measured."},
		{"recount", set{"counted": -1}, Fault{Field: "body.counted", Code: CodeOutOfRange, Value: int64(-1), Min: n(0), Max: n(1000000)},
			"A pot count of -1 is outside 0 to 1000000. Enter the number of pots counted, 0 or more."},
		{"recount", set{"counted": nil}, Fault{Field: "body.counted", Code: CodeMissing},
			"A pot count is missing. Enter the number of pots counted, 0 or more."},
		{"count", set{"change": 0}, Fault{Field: "body.change", Code: CodeZero, Value: int64(0)},
			"A change of 0 changes nothing. Enter how many pots came (above 0) or went (below 0)."},
		{"lot", set{"ship_week": "2026-W54"}, Fault{Field: "body.ship_week", Code: CodeForm, Value: "2026-W54", Want: WantISOWeek},
			`The ship week "2026-W54" is not a week of the calendar such as 2026-W50. Enter the ISO year and week, or leave it out when it was not known.`},
		{"lot", set{"struck_on": "2026-02-30"}, Fault{Field: "body.struck_on", Code: CodeForm, Value: "2026-02-30", Want: WantDate},
			`The date of sticking "2026-02-30" is not a day such as 2026-03-14. Enter year-month-day, or leave it out when it was not known.`},
		{"lot", set{"potted_on": "2026-01-09"}, Fault{Field: "body.potted_on", Code: CodeBeforeOther, Value: "2026-01-09", Other: "body.struck_on", OtherValue: "2026-01-10"},
			"The potting date 2026-01-09 is before the date of sticking, 2026-01-10. Enter the later day, or leave the date out when it is not known."},
		{"site", set{"time_zone": "Mars/Fen"}, Fault{Field: "body.time_zone", Code: CodeForm, Value: "Mars/Fen", Want: WantZone},
			`The time zone "Mars/Fen" is not a time zone such as America/New_York. Enter a name of the IANA time zone list, or leave it out when it was not known.`},
		{"note", set{"words": strings.Repeat("x", 4001)}, Fault{Field: "body.words", Code: CodeTooLong, Value: 4001, Max: n(4000), Unit: UnitCharacters},
			"The text has 4001 characters, which is more than 4000 characters. Shorten it, or send the rest as a second note."},
		{"move", set{"legs": []any{}}, Fault{Field: "body.legs", Code: CodeTooShort, Value: 0, Min: n(2), Max: n(16), Unit: UnitItems},
			"The list of legs has 0 items; at least 2 needed. Enter every lot and stretch that pots went from or to."},
		{"rooting", set{"struck": 60}, Fault{Field: "body.rooted", Code: CodeAboveOther, Value: 68, Max: n(60), Other: "body.struck"},
			"A number of rooted cuttings of 68 is above the number of cuttings stuck, 60. Enter 60 or less."},
		{"profile", set{"trouble_bad_bp": 500}, Fault{Field: "body.trouble_bad_bp", Code: CodeNotAboveOther, Value: 500, Min: n(500), Unit: UnitBP, Other: "body.trouble_ok_bp"},
			"The share that is trouble of 5 % is not above the share that is fine, 5 %. Enter a larger value."},
		{"span", set{"from_row": 40, "to_row": 39}, Fault{Field: "body.to_row", Code: CodeBelowOther, Value: 39, Min: n(40), Other: "body.from_row"},
			"A last row of 39 is below the first row, 40. Enter 40 or more."},
		{"count", set{"reason": "lost_root"}, Fault{Field: "body.change", Code: CodeSign, Value: 40, Max: n(-1), Other: "body.reason", OtherValue: "lost_root"},
			"A change of 40 adds pots, but the reason lost_root takes them. Enter a number below 0, or another reason."},
		{"recount", set{"basis": set{"d-1": 7}}, Fault{Field: "body.basis[d-1]", Code: CodeForm, Value: "d-1", Want: WantDevice},
			`The basis of the count "d-1" is not a device and incarnation (device.1). Send the counts by device.incarnation.`},
		{"observation", set{"Buds": 5}, Fault{Field: "body.Buds", Code: CodeSpelling, Other: "buds"}, `The field "Buds" is spelled buds. Spell it in small letters.`},
	} {
		faults := checkBody(c.kind, edited(t, c.kind, c.fields))
		if len(faults) != 1 {
			t.Errorf("%s with %v: want one fault, got %+v", c.kind, c.fields, faults)
			continue
		}
		if !reflect.DeepEqual(faults[0], c.want) {
			t.Errorf("%s with %v:\n got %+v\nwant %+v", c.kind, c.fields, faults[0], c.want)
		}
		if got := faults[0].Sentence(); got != c.said {
			t.Errorf("%s with %v:\n got %s\nwant %s", c.kind, c.fields, got, c.said)
		}
		raw, err := json.Marshal(faults[0])
		var read Fault
		if err != nil || json.Unmarshal(raw, &read) != nil || read.Sentence() != c.said {
			t.Errorf("%s with %v: %s says, read back: %s (%v)", c.kind, c.fields, raw, read.Sentence(), err)
		}
	}
}

func TestAHugeValueIsNotRepeatedInItsMessage(t *testing.T) {
	faults := checkBody("observation", edited(t, "observation", set{"scratch": strings.Repeat("z", 1_000_000)}))
	if len(faults) != 1 || len(faults[0].Sentence()) > 300 {
		t.Errorf("%d faults, the first with a message of %d bytes", len(faults), len(faults[0].Sentence()))
	}
}

func TestFieldsOfOneBodyMustAgree(t *testing.T) {
	twice := []any{hex(2), hex(2)}
	target := func(day, pot int) set {
		row := set{"day": day, "low_mm": 100, "high_mm": 160}
		if pot > 0 {
			row["pot_mm"] = pot
		}
		return row
	}
	leg := func(lot, change int) set { return set{"lot": hex(lot), "change": change} }
	for _, c := range []struct {
		what   string
		kind   string
		fields set
		field  string
		code   FaultCode
	}{
		{"bud states over the bud count", "observation", set{"buds": 10, "buds_open": 8, "buds_candle": 3}, "body.buds", CodeStatesOverBuds},
		{"bud states that fill the bud count", "observation", set{"buds": 11, "buds_open": 8, "buds_candle": 3}, "", ""},
		{"bud states without a count", "observation", set{"buds": nil, "buds_open": 8}, "", ""},
		{"severity without which leaves", "observation", set{"chlorosis": nil, "severity": 2}, "body.severity", CodeSeverityAlone},
		{"severity beside no chlorosis", "observation", set{"chlorosis": "none", "severity": 2}, "body.severity", CodeSeverityOfNone},
		{"severity 0 beside no chlorosis", "observation", set{"chlorosis": "none", "severity": 0}, "", ""},
		{"a null in an observation", "observation", set{"buds": json.RawMessage("null")}, "body.buds", CodeNotNull},
		{"a null in a register", "lot", set{"tag": json.RawMessage("null")}, "", ""},
		{"a stretch backwards", "span", set{"from_row": 40, "to_row": 39}, "body.to_row", CodeBelowOther},
		{"a stretch of one row", "span", set{"from_row": 40, "to_row": 40}, "", ""},
		{"a last row alone", "span", set{"from_row": nil, "to_row": 40}, "", ""},
		{"potted before stuck", "lot", set{"struck_on": "2026-03-15"}, "body.potted_on", CodeBeforeOther},
		{"shipped before potted", "lot", set{"shipped_on": "2026-03-13"}, "body.shipped_on", CodeBeforeOther},
		{"its own parent", "lot", set{"parent": hex(3)}, "body.parent", CodeOwnParent},
		{"mother of itself", "lot", set{"mother": hex(3)}, "body.mother", CodeOwnParent},
		{"cuttings that went nowhere", "event", set{"to": nil}, "body.to", CodeMissing},
		{"cuttings without a number", "event", set{"cuttings": nil}, "body.cuttings", CodeMissing},
		{"cuttings stuck as their own mother", "event", set{"to": hex(3)}, "body.to", CodeOwnParent},
		{"cuttings of a pinch", "event", set{"what": "pinched"}, "body.what", CodeNotCuttings},
		{"a pinch without cuttings", "event", set{"what": "pinched", "cuttings": nil, "to": nil}, "", ""},
		{"cuttings stuck that take pots", "count", set{"reason": "struck", "change": -4}, "body.change", CodeSign},
		{"pots returned that take pots", "count", set{"reason": "returned", "change": -4}, "body.change", CodeSign},
		{"work that ended before it began", "application", set{"ended_at": 1_789_989_999_999}, "body.ended_at", CodeEndsBefore},
		{"work of a moment", "application", set{"ended_at": 1_789_990_000_000}, "", ""},
		{"one lot sprayed twice", "application", set{"lots": twice}, "body.lots[1]", CodeTwice},
		{"largest walk below the smallest", "profile", set{"max_pots": 7}, "body.max_pots", CodeBelowOther},
		{"trouble not above fine", "profile", set{"trouble_bad_bp": 500}, "body.trouble_bad_bp", CodeNotAboveOther},
		{"one record twice", "void", set{"records": []any{"pot:" + hex(1), "pot:" + hex(1)}}, "body.records[1]", CodeTwice},
		{"no record key", "void", set{"records": []any{"the pot"}}, "body.records[0]", CodeForm},
		{"one bed twice", "application", set{"beds": twice}, "body.beds[1]", CodeTwice},
		{"one place twice", "walk", set{"places": []any{set{"row": 1, "across": 1}, set{"row": 1, "across": 1}}}, "body.places[1]", CodeTwice},
		{"legs that make pots", "move", set{"legs": []any{leg(3, -200), leg(4, 201)}}, "body.legs", CodeUnbalanced},
		{"600 liners as 199 pots of three", "move", set{"legs": []any{leg(3, -600), set{"lot": hex(4), "change": 199, "plants_each": 3}}}, "body.legs", CodeUnbalanced},
		{"200 pots as 200 pots of three", "move", set{"legs": []any{leg(3, -200), set{"lot": hex(4), "change": 200, "plants_each": 3}}}, "body.legs", CodeUnbalanced},
		{"pots of three on to another bed", "move", set{"legs": []any{set{"lot": hex(3), "change": -5, "plants_each": 3}, set{"lot": hex(4), "change": 5, "plants_each": 3}}}, "", ""},
		{"one leg twice", "move", set{"legs": []any{leg(3, -1), leg(3, 1)}}, "body.legs[1]", CodeTwice},
		{"a loss that adds", "count", set{"reason": "lost_root"}, "body.change", CodeSign},
		{"a find that takes", "count", set{"reason": "found", "change": -4}, "body.change", CodeSign},
		{"a basis by no device", "recount", set{"basis": set{"phone": 3}}, "body.basis[phone]", CodeForm},
		{"a reading of nothing", "reading", set{"ph_c": nil, "ec_us_cm": nil, "light_umol": nil, "light_fc": nil, "temp_dc": nil, "medium_dc": nil, "humid_bp": nil}, "body.ph_c", CodeEmpty},
		{"a correction to a head too large", "correction", set{"now": set{"walk": hex(9), "bed": hex(2), "lot": hex(3), "head_a_mm": 2001}}, "body.now.head_a_mm", CodeOutOfRange},
		{"a correction to bud states over the count", "correction", set{"now": set{"walk": hex(9), "bed": hex(2), "lot": hex(3), "buds": 1, "buds_open": 2}}, "body.now.buds", CodeStatesOverBuds},
		{"a stage whose middle is below its quickest", "profile", set{"cold": set{"shortest_days": 43, "likely_days": 42, "longest_days": 60}}, "body.cold.likely_days", CodeBelowOther},
		{"a cultivar's stage whose slowest is below its middle", "cultivar", set{"cold": set{"shortest_days": 42, "likely_days": 49, "longest_days": 48}}, "body.cold.longest_days", CodeBelowOther},
		{"a stage whose slowest is below its middle", "profile", set{"root": set{"shortest_days": 42, "likely_days": 49, "longest_days": 48}}, "body.root.longest_days", CodeBelowOther},
		{"parts that overlap", "trace", set{"parts": []any{set{"at": 0, "every_s": 60, "dc": []any{1, 2, 3}}, set{"at": 120_000, "every_s": 60, "dc": []any{3}}}}, "body.parts[1]", CodeOverlap},
		{"parts that follow each other", "trace", set{"parts": []any{set{"at": 0, "every_s": 60, "dc": []any{1, 2, 3}}, set{"at": 120_001, "every_s": 60, "dc": []any{3}}}}, "", ""},
		{"parts in reverse order", "trace", set{"parts": []any{set{"at": 900_000, "every_s": 60, "dc": []any{1}}, set{"at": 0, "every_s": 60, "dc": []any{3}}}}, "body.parts[1]", CodeOverlap},
		{"4,001 values in two parts", "trace", set{"parts": []any{set{"at": 0, "every_s": 60, "dc": make([]int, 4000)}, set{"at": 360_000_000, "every_s": 60, "dc": []any{3}}}}, "body.parts", CodeTooLong},
		{"4,000 values in two parts", "trace", set{"parts": []any{set{"at": 0, "every_s": 60, "dc": make([]int, 3999)}, set{"at": 360_000_000, "every_s": 60, "dc": []any{3}}}}, "", ""},
		{"a task due before it may begin", "task", set{"due_on": "2026-11-27"}, "body.due_on", CodeBeforeOther},
		{"one weekday twice", "site", set{"workdays": []any{1, 1}}, "body.workdays[1]", CodeTwice},
		{"grades of one name and pot", "profile", set{"grades": []any{set{"name": "a", "pot_mm": 165}, set{"name": "a", "pot_mm": 165}}}, "body.grades[1]", CodeTwice},
		{"a grade with heads turned round", "profile", set{"grades": []any{set{"name": "a", "pot_mm": 165, "head_min_mm": 300, "head_max_mm": 299}}}, "body.grades[0].head_max_mm", CodeBelowOther},
		{"a target band turned round", "profile", set{"targets": []any{set{"day": 14, "low_mm": 160, "high_mm": 159}}}, "body.targets[0].high_mm", CodeBelowOther},
		{"a target band of no width", "profile", set{"targets": []any{set{"day": 0, "low_mm": 160, "high_mm": 160}}}, "", ""},
		{"one day of a target band twice", "profile", set{"targets": []any{target(14, 165), target(14, 165)}}, "body.targets[1].day", CodeNotAboveOther},
		{"days of a target band that fall", "profile", set{"targets": []any{target(14, 0), target(30, 165), target(7, 0)}}, "body.targets[2].day", CodeNotAboveOther},
		{"days of target bands that rise in each pot size", "profile", set{"targets": []any{target(14, 165), target(14, 0), target(30, 165), target(20, 140)}}, "", ""},
		{"a target beyond two years", "profile", set{"targets": []any{target(731, 165)}}, "body.targets[0].day", CodeOutOfRange},
		{"a stage twice for one pot size", "profile", set{"sizes": []any{set{"stage": "cold", "pot_mm": 130}, set{"stage": "cold", "pot_mm": 130}}}, "body.sizes[1]", CodeTwice},
		{"a stage for two pot sizes", "profile", set{"sizes": []any{set{"stage": "cold", "pot_mm": 130}, set{"stage": "cold", "pot_mm": 165}}}, "", ""},
		{"a pot size's days in part", "profile", set{"sizes": []any{set{"stage": "cold", "pot_mm": 130, "shortest_days": 30, "longest_days": 40}}}, "body.sizes[0].likely_days", CodeMissing},
		{"a pot size's days out of order", "profile", set{"sizes": []any{set{"stage": "cold", "pot_mm": 130, "shortest_days": 30, "likely_days": 40, "longest_days": 39}}}, "body.sizes[0].longest_days", CodeBelowOther},
		{"a pot size without days", "profile", set{"sizes": []any{set{"stage": "cold", "pot_mm": 130, "pots_m2_c": 4900}}}, "", ""},
		{"a stage for no pot size", "profile", set{"sizes": []any{set{"stage": "cold"}}}, "body.sizes[0].pot_mm", CodeMissing},
		{"a target without a day", "profile", set{"targets": []any{set{"low_mm": 100, "high_mm": 160}}}, "body.targets[0].day", CodeMissing},
	} {
		faults := checkBody(c.kind, edited(t, c.kind, c.fields))
		if c.code == "" {
			if len(faults) > 0 {
				t.Errorf("%s: %+v", c.what, faults)
			}
			continue
		}
		if len(faults) != 1 || faults[0].Field != c.field || faults[0].Code != c.code {
			t.Errorf("%s: got %+v, want %s at %s", c.what, faults, c.code, c.field)
		}
	}
}

// Long years have a week 53: 2020 and 2026 do, 2025 and 2027 do not (ISO 8601; any calendar shows it).
func TestWeek53IsThereInLongYearsOnly(t *testing.T) {
	for week, want := range map[string]bool{
		"2020-W53": true, "2026-W53": true, "2025-W53": false, "2027-W53": false, "2026-W01": true, "2026-W00": false,
		"2026-W5": false, "2026W50": false, "2026-W5 ": false, "20 6-W50": false,
	} {
		if isWeek(week) != want {
			t.Errorf("isWeek(%q) = %v", week, !want)
		}
	}
}

// nursery is a Lookup of one bed of 100 rows by 6, with one lot on one stretch and one walk.
type nursery struct{}

func (nursery) BedShape(id string) (rows, across int, known bool) { return 100, 6, id == hex(2) }
func (nursery) HasLot(id string) bool                             { return id == hex(3) || id == hex(4) }
func (nursery) HasSpan(id string) bool                            { return id == hex(5) }
func (nursery) HasWalk(id string) bool                            { return id == hex(9) }

// inNursery checks a sound entry in the light of the nursery's records.
func inNursery(t *testing.T, kind, raw string) []Fault {
	t.Helper()
	e := entry(kind, raw)
	body, faults := Check(e, valuesOf(e.Body))
	if body == nil {
		t.Fatalf("the %s is not sound: %+v", kind, faults)
	}
	return CheckReferences(e, body, nursery{})
}

func TestSoundEntriesAgreeWithTheNursery(t *testing.T) {
	for _, k := range Kinds() {
		if faults := inNursery(t, k.Name, body(k.Name)); len(faults) > 0 {
			t.Errorf("%s: %+v", k.Name, faults)
		}
	}
}

func TestWhatTheNurseryDoesNotHaveIsNamed(t *testing.T) {
	outside := set{"row": 101, "across": 7}
	for _, c := range []struct {
		kind   string
		fields set
		want   map[string]FaultCode
	}{
		{"span", set{"to_row": 101}, map[string]FaultCode{"body.to_row": CodeOutsideBed}},
		{"span", set{"bed": hex(1)}, map[string]FaultCode{"bed": CodeUnknownBed}},
		{"observation", set{"lot": hex(1)}, map[string]FaultCode{"lot": CodeUnknownLot}},
		{"observation", set{"walk": hex(1)}, map[string]FaultCode{"body.walk": CodeUnknownWalk}},
		{"observation", set{"place": outside}, map[string]FaultCode{"body.place.row": CodeOutsideBed, "body.place.across": CodeOutsideBed}},
		{"skip", set{"place": outside}, map[string]FaultCode{"body.place.row": CodeOutsideBed, "body.place.across": CodeOutsideBed}},
		{"walk", set{"places": []any{outside}}, map[string]FaultCode{"body.places[0].row": CodeOutsideBed, "body.places[0].across": CodeOutsideBed}},
		{"walk_end", set{"walk": hex(1)}, map[string]FaultCode{"body.walk": CodeUnknownWalk}},
		{"correction", set{"now": set{"walk": hex(9), "bed": hex(2), "lot": hex(3), "place": outside}}, map[string]FaultCode{"body.now.place.row": CodeOutsideBed, "body.now.place.across": CodeOutsideBed}},
		{"count", set{"span": hex(1)}, map[string]FaultCode{"body.span": CodeUnknownSpan}},
		{"recount", set{"span": hex(1)}, map[string]FaultCode{"body.span": CodeUnknownSpan}},
		{"move", set{"legs": []any{set{"lot": hex(3), "change": -1}, set{"lot": hex(8), "span": hex(8), "change": 1}}}, map[string]FaultCode{"body.legs[1].lot": CodeUnknownLot, "body.legs[1].span": CodeUnknownSpan}},
		{"application", set{"beds": []any{hex(1)}}, map[string]FaultCode{"body.beds[0]": CodeUnknownBed}},
		{"application", set{"lots": []any{hex(1)}}, map[string]FaultCode{"body.lots[0]": CodeUnknownLot}},
		{"event", set{"to": hex(1)}, map[string]FaultCode{"body.to": CodeUnknownLot}},
		{"lot", set{"mother": hex(1)}, map[string]FaultCode{"body.mother": CodeUnknownLot}},
		{"lot", set{"parent": hex(1)}, map[string]FaultCode{"body.parent": CodeUnknownLot}},
	} {
		got := map[string]FaultCode{}
		for _, fault := range inNursery(t, c.kind, string(edited(t, c.kind, c.fields))) {
			got[fault.Field] = fault.Code
		}
		if len(got) != len(c.want) {
			t.Errorf("%s with %v: %v", c.kind, c.fields, got)
		}
		for field, code := range c.want {
			if got[field] != code {
				t.Errorf("%s with %v: %v", c.kind, c.fields, got)
			}
		}
	}
}

func TestAStretchPastTheBedsEndSaysWhereTheBedEnds(t *testing.T) {
	faults := inNursery(t, "span", string(edited(t, "span", set{"to_row": 180})))
	want := "Row 180 lies past the end of the bed, which has 100 rows. Enter a row from 1 to 100."
	if len(faults) != 1 || faults[0].Sentence() != want {
		t.Errorf("got %+v, want %q", faults, want)
	}
}
