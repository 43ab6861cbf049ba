package journal_test

import (
	"database/sql"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"bedwalk/schema"
	"bedwalk/server/journal"
	"bedwalk/server/testphone"
)

// writers is how many incarnations the file has of a device.
func (b *bench) writers(device string) (n int) {
	b.Helper()
	if err := b.db.Read(b.Context(), func(tx *sql.Tx) error {
		return tx.QueryRow("select count(*) from writers where device = ?", device).Scan(&n)
	}); err != nil {
		b.Fatal(err)
	}
	return n
}

// words is a note of so many bytes.
func words(p *testphone.Phone, size int) {
	p.Note("note", "", "", map[string]any{"words": "long", "more": strings.Repeat("x", size)})
}

func TestADeviceThatAsksForIncarnationsWithoutEndGetsTheOneThatItHasNotUsed(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	p.Plant()
	b.push(p.All(1))
	for range 100 {
		inc, err := b.store.Incarnation(t.Context(), "a")
		if err != nil || inc != 2 {
			t.Fatalf("incarnation %d, %v", inc, err)
		}
	}
	liar := testphone.New("a")
	liar.Note("note", "", "", schema.Note{Words: "another under a number that is taken"})
	for range 100 {
		if refusal := b.refused(liar.All(1)); refusal.Code != journal.CodeFork || *refusal.Incarnation != 2 {
			t.Fatalf("%+v", refusal)
		}
	}
	if n := b.writers("a"); n != 2 {
		t.Errorf("the file has %d incarnations of the device", n)
	}
	liar = testphone.New("a")
	liar.Inc = 2
	liar.Note("note", "", "", schema.Note{Words: "it is used now"})
	b.push(liar.All(1))
	// Whoever got the same one and wrote something else under it is a copy, and goes on elsewhere.
	copied := testphone.New("a")
	copied.Inc = 2
	copied.Note("note", "", "", schema.Note{Words: "so is the copy's"})
	if refusal := b.refused(copied.All(1)); refusal.Code != journal.CodeFork || *refusal.Incarnation != 3 {
		t.Errorf("%+v", refusal)
	}
	b.sound()
}

func TestAPageOfTheJournalIsBoundedInBytesAndHasAlwaysOneEntry(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	for range 200 {
		words(p, 60<<10)
	}
	for from := 1; from <= 200; from += 20 {
		if given := b.push(p.Batch(from, from+19)).Given; given[19].State != "merged" {
			t.Fatalf("a long note is %+v", given[19])
		}
	}
	var after int64
	for pages := 1; ; pages++ {
		page, err := b.store.Pull(t.Context(), "b", b.store.Epoch(), after, 0, "")
		if err != nil || len(page.Items) == 0 || len(page.Receipts) != len(page.Items)*schema.ReceiptChars {
			t.Fatalf("after %d: %d entries, %d characters of receipts, %v", after, len(page.Items), len(page.Receipts), err)
		}
		size := 0
		for _, item := range page.Items {
			size += len(item.Entry)
			after++
			if item.Position != after {
				t.Fatalf("entry %d comes where %d is due", item.Position, after)
			}
		}
		if size > journal.PageBytes+journal.MaxEntryBytes {
			t.Fatalf("a page has %d bytes", size)
		}
		if !page.More {
			break
		}
	}
	if after != 200 {
		t.Errorf("%d entries came", after)
	}
}

// A digest of long ago is reckoned back from today's, which costs as many hashes as notes came since: once, and not for
// each that asks.
func TestDigestsOfLongAgoAreNotComputedAgainForEachThatAsks(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	n := p.Plant()
	for i := range 5000 - 8 {
		p.See(n, 1+i%10, 1+i%5, 200, 40)
	}
	for from := 1; from <= 5000; from += 500 {
		b.push(p.Batch(from, from+499))
	}
	hashed := 0
	b.stop()
	b.hooks.Hashed = func() { hashed++ }
	b.start()
	all := b.pullAll()
	for _, upTo := range []int{1, 0, 2500, 4999, 999, 1000, 1001, 1} {
		if answer := b.compare(digestOf(b, "b", all[:upTo])); !answer.Equal {
			t.Fatalf("at position %d: answered %+v", upTo, answer)
		}
	}
	first := hashed
	for i := range 20 {
		b.compare(digestOf(b, "b", all[:i*7]))
	}
	if each := (hashed - first) / 20; each > 1000 {
		t.Errorf("a digest of long ago costs %d hashes", each)
	}
	// What came since is counted, and an epoch that is over is not believed.
	p.See(n, 1, 1, 210, 41)
	b.push(p.Batch(5001, 5001))
	if answer := b.compare(digestOf(b, "b", b.pullAll())); !answer.Equal {
		t.Errorf("after one more note: %+v", answer)
	}
	wrong := digestOf(b, "b", all[:100])
	wrong.Position = 101
	if answer := b.compare(wrong); answer.Equal {
		t.Error("a digest that lacks a note is called equal")
	}
}

func TestADeviceWritesOnlySoManyBytesIntoOneRecordAndStopsNobodyElse(t *testing.T) {
	b := newBench(t)
	desk, rogue := testphone.New("d"), testphone.New("r")
	n := desk.Plant()
	b.push(desk.All(1))
	saw := []string{}
	for i := range 100 {
		fields := map[string]any{"of": n.Bed, "name": fmt.Sprint("E ", i), "saw": saw, fmt.Sprint("x", i): strings.Repeat("y", 60<<10)}
		saw = []string{rogue.Note("bed", "", n.Bed, fields)}
	}
	merged, bytes := 0, 0
	for from := 1; from <= 100; from += 20 {
		for i, given := range b.push(rogue.Batch(from, from+19)).Given {
			switch {
			case given.State == "merged":
				merged, bytes = merged+1, bytes+len(rogue.Raw[from-1+i])
			case given.Faults[0].Code != schema.CodeRecordFull || given.Faults[0].Unit != schema.UnitBytes || *given.Faults[0].Max != journal.MaxShareBytes:
				t.Fatalf("%+v", given)
			}
		}
	}
	if bytes > journal.MaxShareBytes+journal.MaxEntryBytes || merged == 0 {
		t.Errorf("%d notes of %d bytes are in one record", merged, bytes)
	}
	raw, err := json.Marshal(b.pullAll())
	t.Logf("%d merged, %d bytes, %v", merged, len(raw), err)
	from := len(desk.Raw) + 1
	desk.Note("bed", "", n.Bed, map[string]any{"of": n.Bed, "name": "E 1"})
	desk.See(n, 1, 1, 200, 40)
	if got := states(b.push(desk.All(from))); got != "merged merged" {
		t.Errorf("another device's are %s", got)
	}
	b.sound()
}

// What a screen may write is never too long to be merged: the schema's own limits keep the longest trace below what an entry may have.
func TestTheLongestTraceFitsAnEntry(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	parts, at := make([]schema.TracePart, 500), int64(9_000_000_000_000_000)
	for i := range parts {
		parts[i] = schema.TracePart{At: at, EveryS: 86400, DC: slices.Repeat([]int{-400}, 8)}
		at = parts[i].LastAt() + 1
	}
	trace := schema.Trace{House: testphone.ID("house"), Spot: strings.Repeat("\u0001", 80), Source: strings.Repeat("ab", 32), Parts: parts}
	p.Note("trace", "", "", trace)
	given := b.push(p.All(1)).Given[0]
	if size := len(p.Raw[0]); given.State != "merged" || size < 30_000 || size > journal.MaxEntryBytes {
		t.Errorf("%d bytes: %+v", size, given)
	}
	trace.Parts[499].DC = append(trace.Parts[499].DC, 1)
	p.Note("trace", "", "", trace)
	if given := b.push(p.All(1)).Given[1]; given.State != "quarantined" || given.Faults[0].Code != schema.CodeTooLong {
		t.Errorf("a value too many: %+v", given)
	}
}
