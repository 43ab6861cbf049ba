package journal_test

import (
	"fmt"
	"testing"

	"bedwalk/schema"
	"bedwalk/server/journal"
	"bedwalk/server/testphone"
)

// commits has what each commit's lock was held for: entries read and folded, and keys written. Work is counted and not
// time, so that the machine's load decides nothing.
func (b *bench) commits() *[]int {
	b.Helper()
	all := &[]int{}
	b.stop()
	b.hooks.Worked = func(work int) { *all = append(*all, work) }
	b.start()
	return all
}

// most is the dearest of some commits.
func most(work []int) (top int) {
	for _, one := range work {
		top = max(top, one)
	}
	return top
}

func TestHundredsOfVoidsOfSixteenStocksAreCommittedInParts(t *testing.T) {
	b := newBench(t)
	commits := b.commits()
	desk := testphone.New("d")
	desk.Plant()
	var keys []string
	var legs []map[string]any
	for i := range 16 {
		lot := testphone.ID(fmt.Sprint("lot ", i))
		desk.Note("lot", lot, "", map[string]any{"of": lot, "tag": fmt.Sprint("T-", i), "crop": "azalea"})
		keys, legs = append(keys, "stock:"+lot), append(legs, map[string]any{"lot": lot, "change": i%2*2 - 1})
	}
	var moves []string
	for range 5 {
		moves = append(moves, desk.Note("move", "", "", map[string]any{"why": "moved", "legs": legs}))
	}
	b.push(desk.All(1))
	from := len(desk.Raw) + 1
	for i := range 490 {
		desk.Note("void", "", "", map[string]any{"names": moves[i%5], "records": keys, "why": "mistake"})
	}
	*commits = nil
	for i, given := range b.push(desk.All(from)).Given {
		if given.State != "merged" || given.Position == 0 {
			t.Fatalf("void %d is %+v", i+1, given)
		}
	}
	// A record that has more entries than one transaction should take on is folded all the same, once as it was and once as it is:
	// the last voids here meet sixteen records of 310 entries, and leave 490 in each.
	if top := most(*commits); len(*commits) < 2 || top > 17_000 {
		t.Errorf("490 voids of 16 stocks held the lock %d times, for %d entries and keys at most: %v", len(*commits), top, *commits)
	}
	t.Logf("490 voids of 16 stocks: %d commits, %d entries and keys at most", len(*commits), most(*commits))
	if again := b.push(desk.All(from)).Given; len(again) != 490 || again[489].Position == 0 {
		t.Errorf("a repeat of a batch that was committed in parts has %d answers", len(again))
	}
	b.sound()
}

func TestAPotOnABedOfThousandsOfWritesCostsWhatAPotCosts(t *testing.T) {
	b := newBench(t)
	commits := b.commits()
	desk := testphone.New("d")
	n := desk.Plant()
	b.push(desk.All(1))
	for i := range 9 {
		other := testphone.New(fmt.Sprint("d", i))
		saw := []string{}
		for k := range 450 {
			saw = []string{other.Note("bed", "", n.Bed, map[string]any{"of": n.Bed, "name": fmt.Sprint("E ", k), "saw": saw})}
		}
		if given := b.push(other.All(1)).Given; given[449].State != "merged" {
			t.Fatalf("a write that saw the one before is %+v", given[449])
		}
	}
	*commits = nil
	from := len(desk.Raw) + 1
	for i := range 10 {
		desk.See(n, i+1, 1, 200, 40)
	}
	if given := b.push(desk.All(from)).Given; given[9].State != "merged" {
		t.Fatalf("a pot is %+v", given[9])
	}
	t.Logf("ten pots on a bed that was written 4,050 times: %d entries and keys", most(*commits))
	if top := most(*commits); top > 100 {
		t.Errorf("ten pots on a bed that was written 4,000 times cost %d entries and keys", top)
	}
	b.sound()
}

func TestADeviceLeavesOnlySoManyValuesBesideEachOtherAndStopsNobodyElse(t *testing.T) {
	b := newBench(t)
	desk, rogue, other := testphone.New("d"), testphone.New("r"), testphone.New("o")
	n := desk.Plant()
	b.push(desk.All(1))
	write := func(p *testphone.Phone, name string, saw ...string) string {
		return p.Note("bed", "", n.Bed, map[string]any{"of": n.Bed, "name": name, "saw": append([]string{}, saw...)})
	}
	var left []string
	for i := range 4000 / 10 {
		left = append(left, write(rogue, fmt.Sprint("rogue ", i)))
	}
	for i, given := range b.push(rogue.All(1)).Given {
		switch {
		case i < journal.MaxUnsettled && given.State != "merged":
			t.Fatalf("value %d is %+v", i+1, given)
		case i >= journal.MaxUnsettled && (given.State != "quarantined" || given.Faults[0].Code != schema.CodeUnsettled || given.Faults[0].Field != "body.name"):
			t.Fatalf("value %d is %+v, want it held", i+1, given)
		}
	}
	write(other, "another's")
	write(other, "and the next")
	for _, given := range b.push(other.All(1)).Given {
		if given.State != "merged" {
			t.Fatalf("another device's is %+v", given)
		}
	}
	from := len(rogue.Raw) + 1
	rogue.Note("bed", "", n.Bed, map[string]any{"of": n.Bed, "rows": 11})
	write(rogue, "chosen", left[:journal.MaxUnsettled]...)
	for i, given := range b.push(rogue.All(from)).Given {
		if given.State != "merged" {
			t.Fatalf("another field, or one that was chosen (%d), is %+v", i, given)
		}
	}
	b.sound()
}

func TestADeviceWritesOnlySoMuchIntoOneRecordAndASupervisorMayMergeMore(t *testing.T) {
	b := newBench(t)
	desk, rogue, other := testphone.New("d"), testphone.New("r"), testphone.New("o")
	n := desk.Plant()
	b.push(desk.All(1))
	count := func(p *testphone.Phone) {
		p.Note("count", n.Lot, "", schema.Count{Lot: n.Lot, Span: n.Span, Change: 1, Reason: "potted"})
	}
	for range journal.MaxShare + 1 {
		count(rogue)
	}
	b.push(rogue.Batch(1, 300))
	last := b.push(rogue.All(301)).Given
	if got := last[len(last)-2]; got.State != "merged" {
		t.Fatalf("the last of its share is %+v", got)
	}
	if got := last[len(last)-1]; got.State != "quarantined" || got.Faults[0].Code != schema.CodeRecordFull ||
		got.Faults[0].Unit != schema.UnitNotes || got.Faults[0].Value != journal.MaxShare || *got.Faults[0].Max != journal.MaxShare {
		t.Fatalf("one more is %+v", got)
	}
	// A new incarnation does not make it another device.
	second := testphone.New("r")
	second.Inc = 2
	count(second)
	if got := b.push(second.All(1)).Given[0]; got.State != "quarantined" || got.Faults[0].Code != schema.CodeRecordFull {
		t.Fatalf("one more of another incarnation is %+v", got)
	}
	count(other)
	if got := b.push(other.All(1)).Given[0]; got.State != "merged" {
		t.Fatalf("another device's is %+v", got)
	}
	held, err := b.store.Quarantine(t.Context(), 10)
	if err != nil || len(held) != 2 {
		t.Fatalf("%d wait, %v", len(held), err)
	}
	if err := b.store.Decide(t.Context(), held[0].N, true, "me"); err != nil {
		t.Fatal(err)
	}
	b.sound()
}

func TestWhatWaitedForARecordIsMergedUpToItsDevicesShareAndNoFurther(t *testing.T) {
	b := newBench(t)
	desk, rogue := testphone.New("d"), testphone.New("r")
	n := desk.Plant()
	for range journal.MaxShare + 100 {
		rogue.Note("count", n.Lot, "", schema.Count{Lot: n.Lot, Span: n.Span, Change: 1, Reason: "potted"})
	}
	b.push(rogue.Batch(1, 300))
	for _, given := range b.push(rogue.All(301)).Given {
		if given.State != "quarantined" {
			t.Fatalf("a count of pots in a lot that nobody knows is %+v", given)
		}
	}
	b.push(desk.All(1))
	if merged := b.store.Head() - 8; merged != journal.MaxShare {
		t.Errorf("%d of one device's notes are in one record", merged)
	}
	held := b.held()
	if len(held) != 100 {
		t.Fatalf("%d wait", len(held))
	}
	for _, one := range held {
		if one.Faults[0].Code != schema.CodeRecordFull {
			t.Fatalf("it waits for %+v", one.Faults)
		}
	}
	b.sound()
}
