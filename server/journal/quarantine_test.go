package journal_test

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"slices"
	"strings"
	"testing"

	"bedwalk/schema"
	"bedwalk/server/journal"
	"bedwalk/server/testphone"
)

func TestABadEntryIsHeldWithItsReasonAndTheGoodOnesBesideItAreMerged(t *testing.T) {
	deep := `{"a":` + strings.Repeat("[", 20) + strings.Repeat("]", 20) + `}`
	for _, one := range []struct {
		name string
		bad  func(*testphone.Phone, testphone.Nursery)
		code schema.FaultCode
	}{
		{"a head of 4,000 mm", func(p *testphone.Phone, n testphone.Nursery) { p.See(n, 1, 1, 4000, 40) }, schema.CodeOutOfRange},
		{"a negative count", func(p *testphone.Phone, n testphone.Nursery) { p.See(n, 1, 1, 200, -1) }, schema.CodeOutOfRange},
		{"a span past the bed's end", func(p *testphone.Phone, n testphone.Nursery) {
			p.Note("span", n.Lot, n.Bed, map[string]any{"of": testphone.ID("s2"), "lot": n.Lot, "bed": n.Bed, "from_row": 5, "to_row": 11})
		}, schema.CodeOutsideBed},
		{"an unknown lot", func(p *testphone.Phone, n testphone.Nursery) {
			n.Lot = testphone.ID("nobody's")
			p.See(n, 1, 1, 200, 40)
		}, schema.CodeUnknownLot},
		{"not canonical", func(p *testphone.Phone, n testphone.Nursery) {
			raw, _ := json.MarshalIndent(p.Entry("note", "", n.Bed, schema.Note{Bed: n.Bed, Words: "wide"}), "", " ")
			p.WriteRaw(raw)
		}, schema.CodeNotCanonical},
		{"a number of 1e308", func(p *testphone.Phone, n testphone.Nursery) { p.WriteRaw([]byte(`{"body":{"x":1e308}}`)) }, "not_integer"},
		{"a number past 2^53", func(p *testphone.Phone, n testphone.Nursery) { p.WriteRaw([]byte(`{"x":9007199254740993}`)) }, schema.CodeNumberTooLarge},
		{"nested 20 deep", func(p *testphone.Phone, n testphone.Nursery) { p.WriteRaw([]byte(deep)) }, "too_deep"},
		{"not UTF-8", func(p *testphone.Phone, n testphone.Nursery) { p.WriteRaw([]byte("{\"a\":\"\xff\xfe\"}")) }, "not_utf8"},
		{"a name twice", func(p *testphone.Phone, n testphone.Nursery) { p.WriteRaw([]byte(`{"a":1,"a":2}`)) }, "duplicate_key"},
		{"no object", func(p *testphone.Phone, n testphone.Nursery) { p.WriteRaw([]byte(`[1]`)) }, schema.CodeNotEntry},
		{"opaque bytes", func(p *testphone.Phone, n testphone.Nursery) { p.WriteRaw([]byte(`"{NaN"`)) }, schema.CodeOpaque},
		{"70,000 bytes", func(p *testphone.Phone, n testphone.Nursery) {
			p.Note("note", "", n.Bed, schema.Note{Bed: n.Bed, Words: strings.Repeat("x", 70_000)})
		}, schema.CodeTooLarge},
		{"another's number", func(p *testphone.Phone, n testphone.Nursery) {
			e := p.Entry("note", "", n.Bed, schema.Note{Bed: n.Bed, Words: "misplaced"})
			e.Seq++
			p.Write(e)
		}, schema.CodeWrongPlace},
	} {
		t.Run(one.name, func(t *testing.T) {
			b, p := newBench(t), testphone.New("a")
			n := p.Plant()
			one.bad(p, n)
			p.See(n, 3, 2, 200, 40)
			answer := b.push(p.All(1))
			if got := states(answer); got != strings.Repeat("merged ", 8)+"quarantined merged" {
				t.Fatalf("got %s: %+v", got, answer.Given[8])
			}
			fault := answer.Given[8].Faults[0]
			if fault.Code != one.code || fault.Sentence() == "" {
				t.Fatalf("held for %+v, want %s with a message", fault, one.code)
			}
			if again := b.push(p.All(1)); states(again) != states(answer) || again.Given[8].Faults[0].Sentence() != fault.Sentence() {
				t.Fatalf("a repeat was answered %+v", again.Given[8])
			}
			held, err := b.store.Quarantine(t.Context(), 10)
			if err != nil || len(held) != 1 || !bytes.Equal(held[0].Raw, p.Raw[8]) {
				t.Fatalf("the list of held entries is %+v, %v", held, err)
			}
			for _, item := range b.pullAll() {
				if bytes.Equal(item.Entry, p.Raw[8]) {
					t.Fatal("a held entry was given to other phones")
				}
			}
			b.sound()
		})
	}
}

func TestAnEntryOfALaterVersionIsMergedAndPassedOnUnread(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	n := p.Plant()
	e := p.Entry("hologram", n.Lot, n.Bed, map[string]any{"glow": 7})
	e.V = 99
	p.Write(e)
	if got := states(b.push(p.All(1))); !strings.HasSuffix(got, "merged") || strings.Contains(got, "quarantined") {
		t.Fatalf("got %s", got)
	}
	all := b.pullAll()
	if last := all[len(all)-1]; !bytes.Equal(last.Entry, p.Raw[8]) {
		t.Fatalf("passed on as %s", last.Entry)
	}
	b.sound()
}

func TestAQuarantinedEntryIsReleasedWhenWhatItWaitedForArrives(t *testing.T) {
	b, p, q := newBench(t), testphone.New("a"), testphone.New("b")
	n := p.Plant()
	q.Person = p.Person
	n.Walk = testphone.ID("walk b")
	q.StartWalk(n)
	pot := q.See(n, 2, 2, 190, 30)
	q.Note("correction", n.Lot, n.Bed, schema.Correction{Pot: pot, Replaces: pot, Now: n.Pot(2, 2, 195, 30)})
	// The server was restored, say: b's notes come before the lot and bed that they are of.
	if got := states(b.push(q.All(1))); got != "quarantined quarantined quarantined" {
		t.Fatalf("got %s", got)
	}
	b.clock = b.clock.Add(1e12)
	b.push(p.All(1))
	if b.store.Head() != 11 {
		t.Fatalf("the journal has %d entries, want 11", b.store.Head())
	}
	if held, _ := b.store.QuarantineCount(t.Context()); held != 0 {
		t.Fatalf("%d entries still wait", held)
	}
	again := b.push(q.All(1))
	if states(again) != "merged merged merged" || again.Given[1].Position == 0 {
		t.Fatalf("a repeat was answered %+v", again.Given)
	}
	if err := b.store.Read(t.Context(), func(s *journal.Snapshot) error {
		r, _, err := s.Record("pot:" + pot)
		if err != nil || *r.Pot.Now.HeadAMM != 195 || r.Pot.First.Stamp.At > 1_000_000_002_000 {
			t.Errorf("the pot is %+v, %v; want the correction, stamped when it first came", r.Pot, err)
		}
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	b.sound()
}

func TestASupervisorDecidesOnceAboutAHeldEntry(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	n := p.Plant()
	p.See(n, 1, 1, 4000, 40)
	p.See(n, 2, 1, 4000, 40)
	p.WriteRaw([]byte(`"{NaN"`))
	b.push(p.All(1))
	held, err := b.store.Quarantine(t.Context(), 10)
	if err != nil || len(held) != 3 {
		t.Fatalf("%d held, %v", len(held), err)
	}
	opaque, left, merged := held[0].N, held[1].N, held[2].N
	ctx := context.Background()
	if err := b.store.Decide(ctx, opaque, true, "me"); !errors.Is(err, journal.ErrNotMergeable) {
		t.Fatalf("merging opaque bytes gave %v", err)
	}
	if err := errors.Join(b.store.Decide(ctx, left, false, "me"), b.store.Decide(ctx, merged, true, "me")); err != nil {
		t.Fatal(err)
	}
	for _, n := range []int64{left, merged, 999} {
		if err := b.store.Decide(ctx, n, true, "me"); !errors.Is(err, journal.ErrNoSuchEntry) {
			t.Fatalf("deciding %d again gave %v", n, err)
		}
	}
	if b.store.Head() != 9 {
		t.Fatalf("the journal has %d entries, want 9", b.store.Head())
	}
	if answer := b.push(p.All(1)); !strings.HasSuffix(states(answer), "merged left quarantined") {
		t.Fatalf("a repeat was answered %s", states(answer))
	}
	b.sound()
}

func TestARevokedPhonesNotesWaitForReview(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	n := p.Plant()
	b.push(p.All(1))
	p.See(n, 1, 1, 200, 40)
	answer, err := b.store.Push(t.Context(), p.All(9), journal.Sender{Device: "a", Revoked: true})
	if err != nil || states(answer) != "review" || answer.Given[0].Faults[0].Code != schema.CodeRevoked {
		t.Fatalf("answered %+v, %v", answer, err)
	}
	held, err := b.store.Quarantine(t.Context(), 10)
	if err != nil || len(held) != 1 || held[0].State != "review" {
		t.Fatalf("the list has %+v, %v", held, err)
	}
	if err := b.store.Decide(t.Context(), held[0].N, true, "me"); err != nil {
		t.Fatal(err)
	}
	if b.store.Head() != 9 {
		t.Fatalf("the journal has %d entries, want 9", b.store.Head())
	}
	b.sound()
}

func TestTheQuarantineOfADeviceIsPagedFromTheNewestAndNoPageIsLongerThanAsked(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	n := p.Plant()
	for i := range 5 {
		p.See(n, 1, 1, 4000+i, 40)
	}
	b.push(p.All(1))
	var sizes []int
	var seen []int64
	before := int64(0)
	for {
		var page []journal.Quarantined
		var count int
		if err := b.store.Read(t.Context(), func(s *journal.Snapshot) (err error) {
			page, before, count, err = s.QuarantinedOf("a", before, 2)
			return err
		}); err != nil || count != 5 {
			t.Fatalf("%d entries wait, %v", count, err)
		}
		sizes = append(sizes, len(page))
		for _, one := range page {
			seen = append(seen, one.Entry.Seq)
		}
		if before == 0 {
			break
		}
	}
	if !slices.Equal(sizes, []int{2, 2, 1}) || !slices.Equal(seen, []int64{13, 12, 11, 10, 9}) {
		t.Errorf("pages of %v entries: %v", sizes, seen)
	}
}
