package journal

import (
	"encoding/json"
	"strings"
	"testing"

	"bedwalk/schema"
	"bedwalk/server/testphone"
)

// noted is a phone's first observation, and the place that it names.
func noted() (string, *numbered) {
	p := testphone.New("a")
	n := p.Plant()
	p.See(n, 3, 2, 180, 20)
	return string(p.Raw[len(p.Raw)-1]), &numbered{writerKey{"a", 1}, int64(len(p.Raw))}
}

// Every way in which the bytes of an entry can be damaged has its own code, and damage of the text goes before what the text
// says. Sources: RFC 8259 (JSON), RFC 8785 (canonical form), RFC 3629 (UTF-8); integers alone, 16 levels and the codes are our
// own rules (sync.md).
func TestEveryDamageToTheBytesOfAnEntryHasItsCode(t *testing.T) {
	sound, at := noted()
	changed := func(old, with string) string {
		if strings.Count(sound, old) != 1 {
			t.Fatalf("%s is not once in %s", old, sound)
		}
		return strings.Replace(sound, old, with, 1)
	}
	for _, c := range []struct {
		what, raw string
		want      string
	}{
		{"nothing", sound, ""},
		{"a field of a later version in the envelope", changed(`"wall":`, `"vessel":{"x":[null,true]},"wall":`), ""},
		{"a field of a later version in the body", changed(`"planned":true`, `"planned":true,"pollen":{"x":[null,true]}`), ""},
		{"a kind of a later version", changed(`"kind":"observation"`, `"kind":"pollination"`), ""},

		{"no bytes", "", "entry opaque"},
		{"a text instead of an entry", `"` + strings.Repeat("A", 20) + `"`, "entry opaque"},
		{"an end too early", sound[:len(sound)-1], "entry bad_json"},
		{"a byte order mark", "\ufeff" + sound, "entry bad_json"},
		{"a comma too many", changed(`"planned":true`, `"planned":true,`), "entry bad_json"},
		{"a comment", changed(`"planned":true`, `"planned":/**/true`), "entry bad_json"},
		{"a control character in a text", changed(`"chlorosis":"none"`, "\"chlorosis\":\"no\x01ne\""), "entry bad_json"},
		{"a byte that is not UTF-8", changed(`"chlorosis":"none"`, "\"chlorosis\":\"no\xffne\""), "entry not_utf8"},
		{"half a character", changed(`"chlorosis":"none"`, `"chlorosis":"\ud83c"`), "entry lone_surrogate"},
		{"something behind", sound + "{}", "entry trailing_data"},
		{"a name twice in the envelope", changed(`"v":1`, `"v":1,"v":1`), "entry duplicate_key"},
		{"a name twice in the body", changed(`"planned":true`, `"planned":true,"planned":true`), "entry duplicate_key"},
		{"a name twice, once escaped", changed(`"planned":true`, `"planned":true,"\u0070lanned":true`), "entry duplicate_key"},
		{"a name twice in a field of a later version", changed(`"wall":`, `"vessel":{"x":1,"x":1},"wall":`), "entry duplicate_key"},
		{"a point", changed(`"head_a_mm":180`, `"head_a_mm":180.0`), "entry not_integer"},
		{"an exponent", changed(`"head_a_mm":180`, `"head_a_mm":18e1`), "entry not_integer"},
		{"minus zero", changed(`"head_a_mm":180`, `"head_a_mm":-0`), "entry not_integer"},
		{"2^53", changed(`"head_a_mm":180`, `"head_a_mm":9007199254740992`), "entry number_too_large"},
		{"17 levels", changed(`"wall":`, `"vessel":`+strings.Repeat("[", 16)+strings.Repeat("]", 16)+`,"wall":`), "entry too_deep"},
		{"16 levels", changed(`"wall":`, `"vessel":`+strings.Repeat("[", 15)+strings.Repeat("]", 15)+`,"wall":`), ""},

		{"a list instead of an entry", `[]`, "entry not_entry"},
		{"a text for a number", changed(`"v":1`, `"v":"1"`), "entry not_entry"},
		{"null for a number", changed(`"v":1`, `"v":null`), "entry not_entry"},
		{"a list for the body", `{"body":[]}`, "entry not_entry"},
		{"damage behind a wrong type", changed(`"v":1`, `"v":"1"`) + "x", "entry trailing_data"},
		{"space behind a wrong type", changed(`"v":1`, `"v":"1"`) + " ", "entry not_entry"},

		{"space", sound + "\n", "entry not_canonical"},
		{"another order", `{"v":1,` + strings.Replace(sound[1:], `,"v":1`, "", 1), "entry not_canonical"},
		{"an escape that need not be", changed(`"chlorosis":"none"`, `"chlorosis":"\u006eone"`), "entry not_canonical"},
		{"another number", changed(`"seq":9`, `"seq":10`), "seq wrong_place"},
		{"another device", changed(`"device":"a"`, `"device":"b"`), "seq wrong_place"},

		{"no body", `{"device":"a","floor":0,"id":"` + testphone.ID("x") + `","inc":1,"kind":"note","mono":0,"person":"` + testphone.ID("y") +
			`","seq":9,"session":"s1","v":1,"wall":1}`, "body missing, body wrong_type"},
		{"a count that is a text", changed(`"buds":20`, `"buds":"20"`), "body.buds wrong_type"},
		{"a count that is null", changed(`"buds":20`, `"buds":null`), "body.buds null"},
		{"a count in capitals", changed(`"buds":20`, `"Buds":20`), "entry not_canonical"},
		{"a count that is too large", changed(`"buds":20`, `"buds":2001`), "body.buds out_of_range"},
		{"a place without a row", changed(`{"across":2,"row":3}`, `{"across":2}`), "body.place.row missing"},
	} {
		a := read(json.RawMessage(c.raw), at, Sender{})
		if got := codesOf(a.faults); got != c.want {
			t.Errorf("%s: %q, want %q\n%s", c.what, got, c.want, c.raw)
		}
		if a.faults == nil && string(a.raw) != c.raw {
			t.Errorf("%s: kept as %s", c.what, a.raw)
		}
		if (a.body == nil) != (c.want != "" || a.entry.Kind == "pollination") {
			t.Errorf("%s: the body is %+v", c.what, a.body)
		}
	}
}

func codesOf(faults []schema.Fault) string {
	var all []string
	for _, f := range faults {
		all = append(all, f.Field+" "+string(f.Code))
	}
	return strings.Join(all, ", ")
}

// What nobody numbered (a note handed back by another phone) is taken at its own word.
func TestAnEntryWithoutAPlaceGivenKeepsItsOwn(t *testing.T) {
	sound, at := noted()
	for _, raw := range []string{sound, sound + " "} {
		if a := read(json.RawMessage(raw), nil, Sender{}); !a.whole || a.seq != at.seq {
			t.Errorf("number %d, want %d: %+v", a.seq, at.seq, a.faults)
		}
	}
}

// BenchmarkArrival is the reading of one observation, from its bytes to what is wrong with it by itself.
func BenchmarkArrival(b *testing.B) {
	raw, at := noted()
	b.ReportAllocs()
	for b.Loop() {
		if a := read(json.RawMessage(raw), at, Sender{}); len(a.faults) > 0 {
			b.Fatal(a.faults)
		}
	}
}
