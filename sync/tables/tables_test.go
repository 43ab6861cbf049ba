package tables

import (
	"bytes"
	"encoding/json"
	"errors"
	"os"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"bedwalk/fixtures/vary"
	"bedwalk/schema"
	"bedwalk/sync/journal"
)

type item struct {
	Position int64
	Stamp    schema.Stamp
	Entry    string
}

type vector struct {
	Name  string
	Input struct{ Page string }
	Want  struct {
		Items []item
		Error Code
	}
}

func vectors(t testing.TB) (all []vector) {
	t.Helper()
	raw, err := os.ReadFile("../../fixtures/vectors/tables-page.json")
	if err != nil {
		t.Fatal(err)
	}
	decoder := json.NewDecoder(bytes.NewReader(raw))
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(&all); err != nil || len(all) < 2 {
		t.Fatalf("%d cases: %v", len(all), err)
	}
	return all
}

func TestPagesOfEveryVector(t *testing.T) {
	for _, v := range vectors(t) {
		t.Run(v.Name, func(t *testing.T) {
			page, err := Read([]byte(v.Input.Page))
			if v.Want.Error != "" {
				var own *Error
				if !errors.As(err, &own) || own.Code != v.Want.Error || len(page.Items) > 0 {
					t.Fatalf("%v and %d items, want %s and none", err, len(page.Items), v.Want.Error)
				}
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			got := []item{}
			for _, one := range page.Items {
				got = append(got, item{one.Position, one.Stamp, string(one.Entry)})
			}
			if !slices.Equal(got, v.Want.Items) {
				t.Errorf("got %v", got)
			}
			plain, err := Plain(schema.Pull{Epoch: page.Epoch, Head: page.Head, Items: []schema.Pulled{}, Receipts: page.Receipts}, page.Items)
			if err != nil {
				t.Fatal(err)
			}
			for _, form := range []string{v.Input.Page, string(plain)} {
				either, err := Either([]byte(form))
				if err != nil || !slices.EqualFunc(either.Items, page.Items, func(a, b schema.Pulled) bool { return bytes.Equal(a.Entry, b.Entry) }) {
					t.Errorf("read from %s: %v", form, err)
				}
			}
			again, err := Write(page)
			if err != nil || string(again) != v.Input.Page {
				t.Errorf("written again: %v\n%s", err, again)
			}
		})
	}
}

// TestEveryPageIsReadBackToTheByte writes pages of entries of all shapes: fields that come and go, null, numbers up to the
// last one, names with dots, values of another type than their neighbours.
func TestEveryPageIsReadBackToTheByte(t *testing.T) {
	name := rapid.SampledFrom([]string{"a", "b", "head_a_mm", "head_b_mm", "lot", "bed", "place", "__proto__", "a.b", "", "ü<"})
	number := rapid.OneOf(rapid.Int64Range(-3, 3), rapid.SampledFrom([]int64{most, -most, most - 1}))
	var value func(deep int) *rapid.Generator[any]
	value = func(deep int) *rapid.Generator[any] {
		kinds := []*rapid.Generator[any]{
			rapid.Map(number, func(n int64) any { return n }),
			rapid.Map(rapid.SampledFrom([]string{"", "none", "x\"\\<&\u2028", "0"}), func(s string) any { return s }),
			rapid.SampledFrom([]any{nil, true, false, []any{}, []any{1, nil, "a"}, map[string]any{}}),
		}
		if deep > 0 {
			kinds = append(kinds, rapid.Map(rapid.MapOfN(name, value(deep-1), 0, 3), func(m map[string]any) any { return m }))
		}
		return rapid.OneOf(kinds...)
	}
	rapid.Check(t, func(t *rapid.T) {
		var page schema.Pull
		position := int64(0)
		for range rapid.IntRange(0, 12).Draw(t, "items") {
			body := rapid.MapOfN(name, value(2), 0, 5).Draw(t, "body")
			entry := map[string]any{
				"id": rapid.StringMatching("[0-9a-f]{32}").Draw(t, "id"), "kind": rapid.SampledFrom([]string{"walk", "pot"}).Draw(t, "kind"),
				"wall": number.Draw(t, "wall"), "mono": number.Draw(t, "mono"), "body": body,
			}
			if rapid.Bool().Draw(t, "has a lot") {
				entry["lot"] = rapid.SampledFrom([]string{"none", "0"}).Draw(t, "lot")
			}
			raw, err := journal.Of(entry)
			if err != nil {
				t.Fatal(err)
			}
			position += rapid.Int64Range(1, 3).Draw(t, "gap")
			at := func() int64 { return number.Draw(t, "time") }
			page.Items = append(page.Items, schema.Pulled{Position: position, Entry: raw,
				Stamp: schema.Stamp{At: at(), Quality: schema.Exact, From: at(), To: at()}})
			page.Receipts += rapid.StringMatching("[A-Za-z0-9_-]{6}").Draw(t, "receipt")
		}
		raw, err := Write(page)
		if err != nil {
			t.Fatal(err)
		}
		got, err := Read(raw)
		if err != nil || got.Receipts != page.Receipts || len(got.Items) != len(page.Items) {
			t.Fatalf("%v, %d of %d items from %s", err, len(got.Items), len(page.Items), raw)
		}
		for i, one := range got.Items {
			if one.Position != page.Items[i].Position || one.Stamp != page.Items[i].Stamp || !bytes.Equal(one.Entry, page.Items[i].Entry) {
				t.Fatalf("got %s, want %s", one.Entry, page.Items[i].Entry)
			}
		}
	})
}

// FuzzPage holds the reader to its word for any bytes: a page, or an error of its own; and what it takes as a page is one that
// can be written and read again.
func FuzzPage(f *testing.F) {
	var corpus [][]byte
	for _, v := range vectors(f) {
		corpus = append(corpus, []byte(v.Input.Page))
	}
	for _, raw := range append(corpus, vary.Bytes(corpus, 3000)...) {
		f.Add(raw)
	}
	f.Fuzz(func(t *testing.T, raw []byte) {
		page, err := Read(raw)
		if err != nil {
			var own *Error
			if !errors.As(err, &own) || len(page.Items) > 0 {
				t.Fatalf("%T with %d items: %v", err, len(page.Items), err)
			}
			return
		}
		again, err := Write(page)
		if err != nil {
			t.Fatal(err)
		}
		if back, err := Read(again); err != nil || len(back.Items) != len(page.Items) {
			t.Fatalf("read once and not twice: %v", err)
		}
	})
}
