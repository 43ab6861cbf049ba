package schema

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strings"
	"testing"
)

// hex makes an id that is easy to recognize in a failure message.
func hex(n int) string { return fmt.Sprintf("%032x", n) }

// good is one sound body of each kind, with every field filled in whose limits are to be tried.
var good = map[string]string{
	"site":     `{"of":"ID1","name":"Quillfen","time_zone":"America/New_York","workdays":[1,2,3,4,5],"holidays":[{"on":"2026-12-25","name":"Christmas"}],"ship_weekday":1,"pace_bp":500,"currency":"EUR","wage_c_hour":1650,"space_c_m2_week":45}`,
	"house":    `{"of":"ID1","name":"North","note":"warm","length_mm":60000,"width_mm":12000,"order":1,"use":"cooler","band_low_dc":35,"band_high_dc":72,"retired":true}`,
	"bed":      `{"of":"ID2","house":"ID1","name":"N3","length_mm":30000,"width_mm":1500,"rows":100,"across":6,"entry_end":"door","far_end":"fan","aisles":"both","near_side":"path side","far_side":"wall side","x_mm":0,"y_mm":0,"order":3,"retired":false}`,
	"lot":      `{"of":"ID3","saw":["ID9"],"tag":"AZ-104","crop":"azalea","cultivar":"Fen Lantern","pot_mm":165,"struck_on":"2026-01-10","potted_on":"2026-03-14","origin":"own cuttings","parent":"ID4","mother":"ID4","stock":false,"plants_each":3,"ship_week":"2026-W50","route":"florist","shipped_on":"2026-12-11","pin_pinch":{"on":"2026-11-30","why":"room"},"pin_regulator":{"on":"2026-11-30","why":"room"},"pin_cool":{"on":"2026-11-30","why":"room"},"pin_force":{"on":"2026-11-30","why":"room"}}`,
	"span":     `{"of":"ID5","lot":"ID3","bed":"ID2","from_row":1,"to_row":60,"ended":false}`,
	"person":   `{"of":"ID6","name":"Orla Venn","role":"scout","left":false,"houses":["ID1"]}`,
	"cultivar": `{"of":"ID7","of_crop":"azalea","name":"White Star","note":"late","root_share_bp":9300,"root":{"shortest_days":42,"likely_days":49,"longest_days":84,"hands":true,"pot_mm":120,"route":"florist","gates":[{"line":"root_cover","at_least":3,"share_bp":7500}]},"liner":{"shortest_days":42,"likely_days":49,"longest_days":84,"hands":true,"pot_mm":120,"route":"florist","gates":[{"line":"root_cover","at_least":3,"share_bp":7500}]},"small_pot":{"shortest_days":42,"likely_days":49,"longest_days":84,"hands":true,"pot_mm":120,"route":"florist","gates":[{"line":"root_cover","at_least":3,"share_bp":7500}]},"finished_pot":{"shortest_days":42,"likely_days":49,"longest_days":84,"hands":true,"pot_mm":120,"route":"florist","gates":[{"line":"root_cover","at_least":3,"share_bp":7500}]},"grow_out":{"shortest_days":42,"likely_days":49,"longest_days":84,"hands":true,"pot_mm":120,"route":"florist","gates":[{"line":"root_cover","at_least":3,"share_bp":7500}]},"bud_set":{"shortest_days":42,"likely_days":49,"longest_days":84,"hands":true,"pot_mm":120,"route":"florist","gates":[{"line":"root_cover","at_least":3,"share_bp":7500}]},"cold":{"shortest_days":42,"likely_days":49,"longest_days":84,"hands":true,"pot_mm":120,"route":"florist","gates":[{"line":"root_cover","at_least":3,"share_bp":7500}]},"forcing":{"shortest_days":42,"likely_days":49,"longest_days":84,"hands":true,"pot_mm":120,"route":"florist","gates":[{"line":"root_cover","at_least":3,"share_bp":7500}]}}`,
	"profile":  `{"of":"ID7","crop":"azalea","head_tolerance_bp":1000,"bud_tolerance_bp":2000,"expected_cv_bp":1000,"width_bp":2000,"min_pots":8,"max_pots":250,"walk_every_days":7,"trouble_ok_bp":500,"trouble_bad_bp":9200,"risk_miss_bp":1000,"risk_false_bp":1000,"expected_loss_bp":300,"uniformity_aim_bp":8000,"grades":[{"name":"florist","pot_mm":165,"head_min_mm":250,"head_max_mm":330,"round_min_bp":8000,"buds_min":40,"budded_min_bp":8000,"root_cover_min":3,"root_life_min":4,"chlorosis_max":1,"price_c":650}],"costs":[{"stage":"cold","labour_s":20,"material_c":15,"pots_m2_c":1600}],"yields":[{"stage":"small_pot","share_bp":9700,"plants_each":3}],"targets":[{"day":14,"low_mm":120,"high_mm":160,"pot_mm":165}],"sizes":[{"stage":"cold","pot_mm":130,"shortest_days":38,"likely_days":40,"longest_days":42,"share_bp":9800,"plants_each":1,"labour_s":20,"material_c":15,"pots_m2_c":4900,"gates":[{"line":"root_cover","at_least":3,"share_bp":7500}]}],"root":{"shortest_days":42,"likely_days":49,"longest_days":84,"hands":true,"pot_mm":120,"route":"florist","gates":[{"line":"root_cover","at_least":3,"share_bp":7500}]},"liner":{"shortest_days":42,"likely_days":49,"longest_days":84,"hands":true,"pot_mm":120,"route":"florist","gates":[{"line":"root_cover","at_least":3,"share_bp":7500}]},"small_pot":{"shortest_days":42,"likely_days":49,"longest_days":84,"hands":true,"pot_mm":120,"route":"florist","gates":[{"line":"root_cover","at_least":3,"share_bp":7500}]},"finished_pot":{"shortest_days":42,"likely_days":49,"longest_days":84,"hands":true,"pot_mm":120,"route":"florist","gates":[{"line":"root_cover","at_least":3,"share_bp":7500}]},"grow_out":{"shortest_days":42,"likely_days":49,"longest_days":84,"hands":true,"pot_mm":120,"route":"florist","gates":[{"line":"root_cover","at_least":3,"share_bp":7500}]},"bud_set":{"shortest_days":42,"likely_days":49,"longest_days":84,"hands":true,"pot_mm":120,"route":"florist","gates":[{"line":"root_cover","at_least":3,"share_bp":7500}]},"cold":{"shortest_days":42,"likely_days":49,"longest_days":84,"hands":true,"pot_mm":120,"route":"florist","gates":[{"line":"root_cover","at_least":3,"share_bp":7500}]},"forcing":{"shortest_days":42,"likely_days":49,"longest_days":84,"hands":true,"pot_mm":120,"route":"florist","gates":[{"line":"root_cover","at_least":3,"share_bp":7500}]}}`,
	"booking":  `{"of":"ID8","lot":"ID3","crop":"azalea","cultivar":"Ember","pot_mm":130,"grade":"florist","pots":400,"buyer":"Marsh Stall","ship_week":"2026-W50","price_c":425,"reference":"4711","cancelled":false}`,
	"round":    `{"of":"ID8","bed":"ID2","walk":"ID9","by":"ID6","done":false}`,
	"walk":     `{"walk":"ID9","bed":"ID2","seed":77,"planned":24,"round":"ID8","places":[{"row":4,"across":2}]}`,

	"walk_end":    `{"walk":"ID9","bed":"ID2","why":"enough"}`,
	"observation": `{"walk":"ID9","bed":"ID2","lot":"ID3","place":{"row":4,"across":2},"planned":true,"head_a_mm":280,"head_b_mm":270,"height_mm":210,"buds":2000,"buds_tight":0,"buds_colour":0,"buds_candle":0,"buds_open":0,"tips_bare":3,"root_cover":4,"root_life":5,"scratch":"firm_white","chlorosis":"young","severity":1,"soft_flush":false,"lower_brown":true,"bypass":2,"disease":false,"words":"leans"}`,
	"correction":  `{"pot":"ID1","replaces":"ID1","now":{"walk":"ID9","bed":"ID2","lot":"ID3","place":{"row":4,"across":2},"head_a_mm":280}}`,
	"void":        `{"names":"ID1","records":["pot:ID1"],"why":"wrong_pot","words":"the next one"}`,
	"unvoid":      `{"names":"ID1","records":["pot:ID1"],"words":"it was right"}`,
	"count":       `{"lot":"ID3","span":"ID5","change":40,"reason":"other","words":"odd"}`,
	"recount":     `{"lot":"ID3","span":"ID5","counted":812,"basis":{"3f00000000000001.1":240}}`,
	"move":        `{"legs":[{"lot":"ID3","span":"ID5","change":-600,"plants_each":1},{"lot":"ID4","change":200,"plants_each":3}],"why":"step_up","words":"to 165"}`,
	"skip":        `{"walk":"ID9","bed":"ID2","place":{"row":4,"across":2},"why":"wet","words":"puddle"}`,
	"event":       `{"lot":"ID3","what":"cuttings_taken","on":"2026-06-01","task":"ID8","last":true,"house":"ID1","cuttings":640,"to":"ID4","words":"soft"}`,
	"application": `{"lot":"ID3","beds":["ID2"],"lots":["ID3"],"started_at":1789990000000,"purpose":"growth_regulator","active":"daminozide","product":"as in the shed","ended_at":1790000000000,"entry_hours":24,"reg_no":"12-345","amount":"25 gal","words":"calm"}`,
	"reading":     `{"lot":"ID3","bed":"ID2","house":"ID1","ph_c":520,"ec_us_cm":1100,"method":"pour_through","light_umol":600,"light_fc":2000,"light_by":"sun","temp_dc":215,"medium_dc":190,"humid_bp":7000,"words":"noon"}`,
	"rooting":     `{"lot":"ID3","struck":1000000,"rooted":68,"on":"2026-02-20","words":"tray 4"}`,
	"note":        `{"lot":"ID3","bed":"ID2","words":"mist line drips","import":{"id":"ID4","notes":12}}`,
	"matter":      `{"of":"ID8","about":"rot","lot":"ID3","bed":"ID2","settled":false,"snoozed_to":"2026-12-04","found_at":1790000000000,"extent":2903}`,
	"task":        `{"of":"ID8","lot":"ID3","beds":["ID2"],"step":"into_cooler","words":"the wet ones first","form":"loss","from_on":"2026-11-28","due_on":"2026-11-30","person":"ID6","cancelled":false,"done_on":"2026-11-30","done_by":"ID6"}`,
	"trace":       `{"house":"ID1","spot":"by the door","source":"HASH","parts":[{"at":1790000000000,"every_s":900,"dc":[42,43,41]},{"at":1790003600000,"every_s":900,"dc":[44]}]}`,
	"photo":       `{"lot":"ID3","bed":"ID2","pot":"ID1","hash":"HASH","bytes":40000,"wide_px":1200,"high_px":900,"type":"image/jpeg","words":"edge","head":{"diameter_mm":298,"within_mm":16,"drop_mm":60,"code_mm":45}}`,
}

// body is the sound body of a kind with its ids filled in.
func body(kind string) string {
	text := strings.ReplaceAll(good[kind], "HASH", strings.Repeat("ab", 32))
	for i := range 10 {
		text = strings.ReplaceAll(text, fmt.Sprintf("ID%d", i), hex(i))
	}
	return text
}

func entry(kind, body string) Entry {
	e := Entry{
		ID: hex(77), Device: "3f00000000000001", Incarnation: 1, Seq: 1, V: Version, Kind: kind, Person: hex(6),
		Session: "s1", Body: json.RawMessage(body),
	}
	k, _ := KindOf(kind)
	e.Lot, e.Bed = valuesOf(e.Body).text(k.Lot.From), valuesOf(e.Body).text(k.Bed.From)
	if kind == "move" {
		e.Lot = hex(3)
	}
	return e
}

func TestTheRulesAreAllRegistered(t *testing.T) {
	if errRules != nil {
		t.Fatal(errRules)
	}
}

func TestASoundEntryOfEachKindHasNoFault(t *testing.T) {
	for _, k := range Kinds() {
		if good[k.Name] == "" {
			t.Errorf("no sound body of kind %s: add one to the table", k.Name)
			continue
		}
		if faults := check(entry(k.Name, body(k.Name))); len(faults) > 0 {
			t.Errorf("%s: %+v", k.Name, faults)
		}
	}
}

// The standard decoder is the other reading of a sound body: it shares no code with ours.
func TestASoundBodyIsReadAsTheStandardDecoderReadsIt(t *testing.T) {
	for _, k := range Kinds() {
		e := entry(k.Name, body(k.Name))
		got, _ := Check(e, valuesOf(e.Body))
		want := reflect.New(k.Body).Interface()
		if err := json.Unmarshal(e.Body, want); err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(got, want) {
			t.Errorf("%s:\n got %+v\nwant %+v", k.Name, got, want)
		}
	}
}

// What is wrong with the value of a misspelt field is named with its spelling, unless the field itself is there too: then what
// that says counts.
func TestAMisspeltFieldIsNamedWithAllThatIsWrongWithIt(t *testing.T) {
	for text, want := range map[string]string{
		`"Buds":5`:                        "Buds spelling",
		`"Buds":null`:                     "Buds spelling",
		`"Buds":-1`:                       "Buds spelling, buds out_of_range",
		`"Buds":"many"`:                   "Buds spelling",
		`"Buds":-1,"buds":3`:              "Buds spelling",
		`"Place":{"row":0,"across":1}`:    "Place spelling, place.row out_of_range",
		`"place":{"Row":4,"across":1}`:    "place.row missing, place.Row spelling",
		`"Buds":"many","head_a_mm":-1`:    "Buds spelling",
		`"place":{"row":null,"across":1}`: "place.row missing",
		`"buds":null`:                     "buds null",
	} {
		var got []string
		raw := `{"bed":"` + hex(2) + `","lot":"` + hex(3) + `","walk":"` + hex(9) + `",` + text + `}`
		for _, f := range checkBody("observation", json.RawMessage(raw)) {
			got = append(got, strings.TrimPrefix(f.Field, "body.")+" "+string(f.Code))
		}
		if strings.Join(got, ", ") != want {
			t.Errorf("%s: %v, want %s", text, got, want)
		}
	}
}

// with sets the field at a dotted path ("legs[].change" means the first element) to a value.
func with(t *testing.T, raw, path string, value any) json.RawMessage {
	t.Helper()
	var root map[string]any
	if err := json.Unmarshal([]byte(raw), &root); err != nil {
		t.Fatal(err)
	}
	names := strings.Split(path, ".")
	holder := root
	for _, name := range names[:len(names)-1] {
		switch below := holder[strings.TrimSuffix(name, "[]")].(type) {
		case map[string]any:
			holder = below
		case []any:
			holder, _ = below[0].(map[string]any)
		}
	}
	last := names[len(names)-1]
	if name, isElement := strings.CutSuffix(last, "[]"); isElement {
		if list, ok := holder[name].([]any); ok {
			list[0] = value
		} else {
			holder[name] = map[string]any{"3f00000000000001.1": value}
		}
	} else {
		holder[last] = value
	}
	changed, err := json.Marshal(root)
	if err != nil {
		t.Fatal(err)
	}
	return changed
}

func codesAt(faults []Fault, path string) []FaultCode {
	var codes []FaultCode
	for _, fault := range faults {
		if anyElement(fault.Field) == "body."+path {
			codes = append(codes, fault.Code)
		}
	}
	return codes
}

func TestEachNumberIsTakenAtItsLimitsAndRefusedJustPastThem(t *testing.T) {
	tried := 0
	for _, k := range Kinds() {
		for _, l := range Limits(k.Body) {
			for _, bound := range []struct {
				at   *int64
				past int64
			}{{l.Min, -1}, {l.Max, 1}} {
				if bound.at == nil {
					continue
				}
				tried++
				// A bound of one field may contradict another field; here only the range is asked.
				at := codesAt(checkBody(k.Name, with(t, body(k.Name), l.Field, *bound.at)), l.Field)
				if len(at) > 0 && at[0] == CodeOutOfRange {
					t.Errorf("%s %s = %d is at its limit and refused", k.Name, l.Field, *bound.at)
				}
				past := codesAt(checkBody(k.Name, with(t, body(k.Name), l.Field, *bound.at+bound.past)), l.Field)
				if len(past) == 0 || past[0] != CodeOutOfRange && past[0] != CodeZero {
					t.Errorf("%s %s = %d is past its limit and passed: %v", k.Name, l.Field, *bound.at+bound.past, past)
				}
			}
		}
	}
	if tried < 150 {
		t.Errorf("only %d bounds tried: the limits are not being read from the tags", tried)
	}
}

func TestEachTextIsRefusedWhenItIsTooLongOrNoneOfItsWords(t *testing.T) {
	for _, k := range Kinds() {
		for _, l := range Limits(k.Body) {
			value := map[bool]any{true: "purple"}[l.OneOf != nil]
			want := CodeNotOneOf
			if l.OneOf == nil && l.MaxLength != nil && l.Field != "saw" && !strings.HasSuffix(l.Field, "s[]") {
				value, want = strings.Repeat("x", int(*l.MaxLength)+1), CodeTooLong
			}
			if value == nil {
				continue
			}
			faults := codesAt(checkBody(k.Name, with(t, body(k.Name), l.Field, value)), l.Field)
			if len(faults) == 0 || faults[0] != want && faults[0] != CodeWrongType {
				t.Errorf("%s %s: %v, want %s", k.Name, l.Field, faults, want)
			}
		}
	}
}

func TestAFieldThatMustBeThereIsMissedInEveryKind(t *testing.T) {
	for _, k := range Kinds() {
		for _, l := range Limits(k.Body) {
			if !l.Required || strings.ContainsAny(l.Field, ".[") {
				continue
			}
			var fields map[string]any
			if err := json.Unmarshal([]byte(body(k.Name)), &fields); err != nil {
				t.Fatal(err)
			}
			rest := maps.Clone(fields)
			delete(rest, l.Field)
			raw, _ := json.Marshal(rest)
			if got := codesAt(checkBody(k.Name, raw), l.Field); len(got) != 1 || got[0] != CodeMissing {
				t.Errorf("%s without %s: %v", k.Name, l.Field, got)
			}
		}
	}
}

func TestUnknownKindsAndUnknownFieldsAreNoFaults(t *testing.T) {
	later := entry("observation", body("observation"))
	later.Kind, later.Body = "soil_scan", json.RawMessage(`{"depth":3.5}`)
	if faults := check(later); len(faults) > 0 {
		t.Errorf("an entry of a later version: %+v", faults)
	}
	if faults := checkBody("note", json.RawMessage(`{"words":"dry","mood":{"x":1.5}}`)); len(faults) > 0 {
		t.Errorf("a field of a later version: %+v", faults)
	}
}

func TestTheEnvelopeIsCheckedToo(t *testing.T) {
	e := entry("observation", body("observation"))
	e.ID, e.Device, e.Seq, e.Lot, e.Bed = "xyz", "no such!", 0, "", hex(8)
	codes := map[string]FaultCode{}
	for _, fault := range check(e) {
		codes[fault.Field] = fault.Code
	}
	want := map[string]FaultCode{"id": CodeForm, "device": CodeForm, "seq": CodeOutOfRange, "lot": CodeMissing, "bed": CodeEnvelope}
	if !maps.Equal(codes, want) {
		t.Errorf("got %v, want %v", codes, want)
	}
}

// checkBody lists what Check finds wrong with a body alone, whatever envelope it may come in.
func checkBody(kind string, raw json.RawMessage) []Fault {
	k, known := KindOf(kind)
	if !known {
		return nil
	}
	_, faults := readBody(k, valuesOf(raw))
	return faults
}

func check(e Entry) []Fault {
	_, faults := Check(e, valuesOf(e.Body))
	return faults
}

// valuesOf reads JSON by the standard decoder, since package journal stands above this one.
func valuesOf(raw json.RawMessage) Value {
	decoder := json.NewDecoder(bytes.NewReader(raw))
	decoder.UseNumber()
	var decoded any
	if err := decoder.Decode(&decoded); err != nil {
		panic(err)
	}
	var value func(any) Value
	value = func(decoded any) Value {
		switch decoded := decoded.(type) {
		case string:
			return Value{Kind: '"', Text: decoded}
		case json.Number:
			return Value{Kind: '0', Text: decoded.String()}
		case bool:
			return Value{Kind: fmt.Sprint(decoded)[0]}
		case []any:
			list := Value{Kind: '['}
			for _, item := range decoded {
				list.List = append(list.List, Member{Value: value(item)})
			}
			return list
		case map[string]any:
			object := Value{Kind: '{'}
			for _, name := range slices.Sorted(maps.Keys(decoded)) {
				object.List = append(object.List, Member{name, value(decoded[name])})
			}
			return object
		}
		return Value{Kind: 'n'}
	}
	return value(decoded)
}
