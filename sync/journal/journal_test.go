package journal

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"reflect"
	"strings"
	"testing"
	"unicode/utf16"

	"pgregory.net/rapid"

	"bedwalk/fixtures/vary"
	"bedwalk/schema"
)

// FIPS 180-4 example values (NIST, "SHA256.pdf", SHA-256 of "abc" and of the 448-bit message): both chain and digest
// rest on this primitive.
func TestSHA256GivesTheValuesOfFIPS180(t *testing.T) {
	for message, want := range map[string]string{
		"abc": "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad",
		"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq": "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
	} {
		if sum := sha256.Sum256([]byte(message)); hex.EncodeToString(sum[:]) != want {
			t.Errorf("SHA-256 of %q is %x, want %s", message, sum, want)
		}
	}
}

const entryText = `{"bed":"b0","body":{"head_a_mm":281,"words":"dry\nedge"},"device":"d1","floor":4,"id":"i1","inc":2,` +
	`"kind":"observation","later_field":[1,{"x":null}],"lot":"l1","mono":3,"person":"p1","seq":7,"session":"s1","v":1,"wall":9007199254740991}`

func TestParseReadsEveryFieldOfTheEnvelope(t *testing.T) {
	got, err := Parse([]byte(entryText))
	if err != nil {
		t.Fatal(err)
	}
	var want schema.Entry
	if err := json.Unmarshal([]byte(entryText), &want); err != nil {
		t.Fatal(err)
	}
	if !equalEntries(got, want) {
		t.Errorf("got %+v\nwant %+v", got, want)
	}
	if got.Wall != 9007199254740991 || got.Incarnation != 2 || string(got.Body) != `{"head_a_mm":281,"words":"dry\nedge"}` {
		t.Errorf("misread: %+v", got)
	}
}

func TestParseOfLooseTextGivesACanonicalBody(t *testing.T) {
	got, err := Parse([]byte(` { "kind" : "note", "body" : { "z" : 1, "a" : "\u0041" } } `))
	if err != nil || string(got.Body) != `{"a":"A","z":1}` {
		t.Errorf("body %s (%v)", got.Body, err)
	}
}

func TestParseNamesTheFieldOfAWrongType(t *testing.T) {
	for text, field := range map[string]string{
		`[]`: "the whole", `"x"`: "the whole", `1`: "the whole", `{"seq":"1"}`: "seq", `{"id":5}`: "id", `{"body":[]}`: "body", `{"wall":null}`: "wall",
	} {
		_, err := Parse([]byte(text))
		own, ok := err.(*Error)
		if !ok || own.Code != WrongType || own.Field != field {
			t.Errorf("%s: error %v, want %s in %s", text, err, WrongType, field)
		}
	}
}

func TestCanonicalTextIsGivenBackWithoutACopy(t *testing.T) {
	raw := []byte(entryText)
	if got, err := Canonical(raw); err != nil || &got[0] != &raw[0] {
		t.Errorf("a copy was made (%v)", err)
	}
	if allocs := testing.AllocsPerRun(100, func() { _, _ = Canonical(raw) }); allocs > 2 {
		t.Errorf("checking canonical text takes %v allocations, want at most the two for its one escaped text", allocs)
	}
}

// What is rewritten (by package jsontext) must be what scan calls canonical, and say the same (read by package json).
func TestWhatIsRewrittenIsCanonicalAndSaysTheSame(t *testing.T) {
	var anything func(depth int) *rapid.Generator[any]
	anything = func(depth int) *rapid.Generator[any] {
		leaf := []*rapid.Generator[any]{
			rapid.Map(rapid.String(), func(s string) any { return s }),
			rapid.Map(rapid.Int64Range(-maxInteger, maxInteger), func(n int64) any { return n }),
			rapid.Just[any](nil), rapid.Just[any](true),
		}
		if depth == 0 {
			return rapid.OneOf(leaf...)
		}
		return rapid.OneOf(append(leaf,
			rapid.Map(rapid.SliceOfN(anything(depth-1), 0, 4), func(items []any) any { return items }),
			rapid.Map(rapid.MapOfN(rapid.String(), anything(depth-1), 0, 5), func(members map[string]any) any { return members }))...)
	}
	rapid.Check(t, func(t *rapid.T) {
		raw, err := json.MarshalIndent(anything(4).Draw(t, "value"), "", " ")
		if err != nil {
			t.Fatal(err)
		}
		got, err := Canonical(raw)
		if err != nil {
			t.Fatalf("%s: %v", raw, err)
		}
		if canonical, err := scan(got, false); !canonical || err != nil {
			t.Fatalf("%s was rewritten as %s, which scan calls not canonical (%v)", raw, got, err)
		}
		var want, have any
		if json.Unmarshal(raw, &want) != nil || json.Unmarshal(got, &have) != nil || !reflect.DeepEqual(want, have) {
			t.Fatalf("%s was rewritten as %s", raw, got)
		}
	})
}

func TestANameThatStandsTwiceIsFoundWhereItStands(t *testing.T) {
	for text, at := range map[string]int{`{"a":1,"a":2}`: 7, `{"b":{"x":1, "x":2}}`: 13, ` {"b":1,"a":1,"b":2}`: 14, `{"a":1,"\u0061":2}`: 7} {
		_, err := Canonical([]byte(text))
		own, ok := err.(*Error)
		if !ok || own.Code != DuplicateKey || own.At != at {
			t.Errorf("%s: %v, want %s at byte %d", text, err, DuplicateKey, at)
		}
	}
}

func TestHexOfAChainAndASumIsReadStrictly(t *testing.T) {
	for _, text := range []string{"ab", strings.Repeat("AB", 32), strings.Repeat("xy", 32), strings.Repeat("a", 65)} {
		if _, err := ParseChain(text); err == nil {
			t.Errorf("ParseChain took %q", text)
		}
	}
}

func TestErrorsNameARemedy(t *testing.T) {
	for code, remedy := range remedies {
		if !strings.Contains((&Error{Code: code}).Error(), remedy) || len(remedy) < 20 {
			t.Errorf("%s has no remedy", code)
		}
	}
}

func TestSumsAddAndSubtractInAnyOrder(t *testing.T) {
	sum := rapid.Custom(func(t *rapid.T) Sum { return fromHalves(rapid.Uint64().Draw(t, "high"), rapid.Uint64().Draw(t, "low")) })
	rapid.Check(t, func(t *rapid.T) {
		a, b, c := sum.Draw(t, "a"), sum.Draw(t, "b"), sum.Draw(t, "c")
		if a.Add(b).Add(c) != c.Add(a).Add(b) {
			t.Fatal("the order of summing shows")
		}
		if a.Add(b).Sub(b) != a {
			t.Fatal("what was added cannot be taken away")
		}
	})
}

func TestNamesSortByUTF16Units(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := rapid.String().Draw(t, "a"), rapid.String().Draw(t, "b")
		got, want := compareUTF16([]byte(a), []byte(b)), compareUnits(utf16.Encode([]rune(a)), utf16.Encode([]rune(b)))
		if sign(got) != sign(want) {
			t.Fatalf("%q against %q: %d, want %d", a, b, got, want)
		}
	})
}

// FuzzEntry feeds any bytes to the codec: it must not crash, and whatever it takes must have one canonical form that
// says the same.
func FuzzEntry(f *testing.F) {
	corpus := [][]byte{[]byte(entryText)}
	for _, v := range readVectors[canonicalVector](f, "journal-canonical.json") {
		corpus = append(corpus, []byte(v.Input.Text))
	}
	for _, raw := range append(corpus, vary.Bytes(corpus, 3000)...) {
		f.Add(raw)
	}
	f.Fuzz(func(t *testing.T, raw []byte) {
		canonical, err := Canonical(raw)
		if err != nil {
			if CodeOf(err) == "" {
				t.Fatalf("an error without a code: %v", err)
			}
			return
		}
		if !json.Valid(raw) || !json.Valid(canonical) {
			t.Fatalf("took what is no JSON: %q", raw)
		}
		if again, err := Canonical(canonical); err != nil || !bytes.Equal(again, canonical) {
			t.Fatalf("%q has a second canonical form %q (%v)", canonical, again, err)
		}
		if a, b := loosely(t, raw), loosely(t, canonical); a != b {
			t.Fatalf("%s became %s", a, b)
		}
		entry, err := Parse(raw)
		arrived, readErr := Read(raw)
		if fmt.Sprint(err) != fmt.Sprint(readErr) {
			t.Fatalf("Parse says %v, Read %v", err, readErr)
		}
		if err != nil {
			return
		}
		if !equalEntries(arrived.Entry, entry) || arrived.Canonical != bytes.Equal(raw, canonical) {
			t.Fatalf("Read gives %+v (canonical: %v), Parse %+v", arrived.Entry, arrived.Canonical, entry)
		}
		if entry.Body != nil {
			if got, want := string(appendValue(nil, arrived.Body)), string(entry.Body); got != want {
				t.Fatalf("the values of the body are %s, want %s", got, want)
			}
		}
		var want schema.Entry
		if err := json.Unmarshal(canonical, &want); err == nil && entry.Body != nil && !bytes.Equal(entry.Body, want.Body) && !hasFoldedName(canonical) {
			t.Fatalf("body %q, want %q", entry.Body, want.Body)
		}
	})
}

// appendValue writes a value down again.
func appendValue(out []byte, v schema.Value) []byte {
	switch v.Kind {
	case '"':
		return appendString(out, []byte(v.Text))
	case '0':
		return append(out, v.Text...)
	case '[', '{':
		out = append(out, v.Kind)
		for i, member := range v.List {
			if i > 0 {
				out = append(out, ',')
			}
			if v.Kind == '{' {
				out = append(appendString(out, []byte(member.Name)), ':')
			}
			out = appendValue(out, member.Value)
		}
		return append(out, v.Kind+2)
	}
	return append(out, map[byte]string{'n': "null", 't': "true", 'f': "false"}[v.Kind]...)
}

// hasFoldedName tells texts in which package json, which takes names in any case, reads another member than we do.
func hasFoldedName(canonical []byte) bool {
	folded := false
	_ = Members(canonical, func(name, _ []byte) error {
		folded = folded || string(name) != "body" && strings.EqualFold(string(name), "body")
		return nil
	})
	return folded
}

func BenchmarkCanonical(b *testing.B) {
	raw := []byte(entryText)
	b.SetBytes(int64(len(raw)))
	for b.Loop() {
		if _, err := Canonical(raw); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkRead(b *testing.B) {
	raw := []byte(entryText)
	b.ReportAllocs()
	for b.Loop() {
		if arrived, err := Read(raw); !arrived.Canonical || err != nil {
			b.Fatal(arrived.Canonical, err)
		}
	}
}

func BenchmarkParse(b *testing.B) {
	raw := []byte(entryText)
	for b.Loop() {
		if _, err := Parse(raw); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkChainAndHash(b *testing.B) {
	raw := []byte(entryText)
	var chain [32]byte
	var sum Sum
	for b.Loop() {
		chain = Chain(chain, raw)
		sum = sum.Add(Hash(raw, schema.Stamp{At: 1764054000000, Quality: schema.Exact}))
	}
}

func equalEntries(a, b schema.Entry) bool {
	left, _ := json.Marshal(a)
	right, _ := json.Marshal(b)
	return bytes.Equal(left, right)
}

// loosely is what package json makes of a text, written by it again.
func loosely(t *testing.T, raw []byte) string {
	decoder := json.NewDecoder(bytes.NewReader(raw))
	decoder.UseNumber()
	var value any
	if err := decoder.Decode(&value); err != nil {
		t.Fatal(err)
	}
	text, err := json.Marshal(value)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func compareUnits(a, b []uint16) int {
	for i := 0; i < len(a) && i < len(b); i++ {
		if a[i] != b[i] {
			return int(a[i]) - int(b[i])
		}
	}
	return len(a) - len(b)
}

func sign(n int) int {
	switch {
	case n < 0:
		return -1
	case n > 0:
		return 1
	}
	return 0
}
