package journal_test

import (
	"context"
	"encoding/json"
	"errors"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"bedwalk/schema"
	"bedwalk/server/db"
	"bedwalk/server/journal"
	"bedwalk/server/store/lite"
	"bedwalk/server/testphone"
)

// bench is a store on a real file, with a clock that tests move.
type bench struct {
	*testing.T
	dir    string
	db     *db.DB
	store  *journal.Store
	clock  time.Time
	faults db.Faults
	hooks  journal.Hooks
	quota  journal.Quota
}

func newBench(t *testing.T) *bench { return newBenchFor(t, t) }

// newBenchFor is newBench until during ends, which for one of the many tries of a property is that try: kept open until the
// whole test ends, hundreds of stores fill the memory.
func newBenchFor(t *testing.T, during interface{ Cleanup(func()) }) *bench {
	b := &bench{T: t, dir: testphone.Ready(t), clock: time.UnixMilli(1_000_000_001_000)}
	b.start()
	during.Cleanup(func() { b.stop() })
	return b
}

func (b *bench) start() {
	b.Helper()
	if err := b.opens(); err != nil {
		b.Fatal(err)
	}
}

// opens opens the file and the store. The error is the store's, as of a start that was killed; the file is open then.
func (b *bench) opens() error {
	b.Helper()
	d, err := db.Open(context.Background(), db.Options{Path: filepath.Join(b.dir, db.File), Wrap: b.faults.Wrap})
	if err != nil {
		b.Fatal(err)
	}
	b.db = d
	store, err := journal.Open(context.Background(), journal.Options{Site: lite.Journal(d), Dir: d.Dir(), Now: func() time.Time { return b.clock }, Hooks: b.hooks, Quota: b.quota})
	if err == nil {
		b.store = store
	}
	return err
}

func (b *bench) stop() {
	b.store.Close()
	b.db.Close()
}

func (b *bench) restart() {
	b.Helper()
	b.stop()
	b.start()
}

func (b *bench) push(p schema.Push) schema.PushAnswer {
	b.Helper()
	answer, err := b.store.Push(context.Background(), p, journal.Sender{Device: p.Device})
	if err != nil {
		b.Fatal(err)
	}
	return answer
}

func (b *bench) refused(p schema.Push) *schema.Problem {
	b.Helper()
	_, err := b.store.Push(context.Background(), p, journal.Sender{Device: p.Device})
	var refusal *schema.Problem
	if !errors.As(err, &refusal) {
		b.Fatalf("got %v, want a refusal", err)
	}
	return refusal
}

// sound fails when anything in the file is not what its entries add up to.
func (b *bench) sound() {
	b.Helper()
	found, err := journal.Verify(context.Background(), lite.Journal(b.db))
	if err != nil {
		b.Fatal(err)
	}
	for _, complaint := range found.Complaints {
		b.Error(complaint)
	}
}

func (b *bench) pullAll() (all []schema.Pulled) {
	b.Helper()
	for {
		after := int64(0)
		if len(all) > 0 {
			after = all[len(all)-1].Position
		}
		page, err := b.store.Pull(context.Background(), "", b.store.Epoch(), after, 0, "")
		if err != nil {
			b.Fatal(err)
		}
		all = append(all, page.Items...)
		if !page.More {
			return all
		}
	}
}

// incidents is how often open trouble of a kind was counted.
func (b *bench) incidents(code string) (n int) {
	b.Helper()
	all, _, err := b.store.Incidents(context.Background(), 100)
	if err != nil {
		b.Fatal(err)
	}
	for _, one := range all {
		if one.Code == code && one.OverAt == 0 {
			n += int(one.Count)
		}
	}
	return n
}

func states(answer schema.PushAnswer) string {
	var all []string
	for _, given := range answer.Given {
		all = append(all, given.State)
	}
	return strings.Join(all, " ")
}

func TestAPushIsInTheJournalAndInTheRecordsWhenItIsAnswered(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	n := p.Plant()
	pot := p.See(n, 3, 2, 200, 40)
	answer := b.push(p.All(1))
	if answer.High != 9 || answer.Head != 9 || len(answer.Given) != 9 {
		t.Fatalf("answered %+v", answer)
	}
	for i, given := range answer.Given {
		if given.State != "merged" || given.Position != int64(i+1) || given.Stamp.Quality != schema.Exact {
			t.Errorf("entry %d: %+v", i+1, given)
		}
	}
	b.restart()
	if err := b.store.Read(t.Context(), func(s *journal.Snapshot) error {
		record, found, err := s.Record("pot:" + pot)
		if err != nil || !found || *record.Pot.Now.HeadAMM != 200 || record.Bed != n.Bed || record.Lot != n.Lot {
			t.Errorf("after a restart the pot is %+v, %v, %v", record, found, err)
		}
		stock, _, err := s.Record("stock:" + n.Lot)
		if err != nil || stock.Stock.BySpan[n.Span] != 50 {
			t.Errorf("the stock is %+v, %v", stock, err)
		}
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	b.sound()
}

func TestTheSamePushTenTimesIsAnsweredAlikeAndKeptOnce(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	p.Plant()
	first := b.push(p.All(1))
	for range 10 {
		b.clock = b.clock.Add(time.Hour)
		again := b.push(p.All(1))
		for i := range first.Given {
			if again.Given[i].Position != first.Given[i].Position || again.Given[i].Stamp != first.Given[i].Stamp {
				t.Fatalf("entry %d was answered %+v, then %+v", i+1, first.Given[i], again.Given[i])
			}
		}
	}
	if b.store.Head() != 8 {
		t.Fatalf("the journal has %d entries, want 8", b.store.Head())
	}
	b.sound()
}

func TestBatchesThatOverlapGoOnWhereTheJournalEnds(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	n := p.Plant()
	b.push(p.Batch(1, 5))
	for row := 1; row <= 4; row++ {
		p.See(n, row, 1, 200, 40)
	}
	if answer := b.push(p.Batch(3, 10)); answer.High != 10 || len(answer.Given) != 8 {
		t.Fatalf("answered %+v", answer)
	}
	b.push(p.All(2))
	if b.store.Head() != 12 {
		t.Fatalf("the journal has %d entries, want 12", b.store.Head())
	}
	b.sound()
}

func TestAGapIsReportedAndNothingBeyondItIsKept(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	p.Plant()
	b.push(p.Batch(1, 3))
	refusal := b.refused(p.Batch(5, 8))
	if refusal.Code != journal.CodeGap || *refusal.High != 3 {
		t.Fatalf("got %+v", refusal)
	}
	if b.store.Head() != 3 {
		t.Fatalf("the journal has %d entries, want 3", b.store.Head())
	}
	b.push(p.All(4))
	b.sound()
}

func TestACopiedPhoneTakesANewIncarnationAndBothSidesNotesAreKept(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	n := p.Plant()
	b.push(p.All(1))
	twin := *p
	twin.Raw, twin.Chains = append([]json.RawMessage(nil), p.Raw...), append([][32]byte(nil), p.Chains...)
	p.See(n, 1, 1, 200, 40)
	b.push(p.All(9))
	lost := twin.Entry("observation", n.Lot, n.Bed, n.Pot(2, 2, 180, 30))
	lost.ID = testphone.ID("of the twin")
	twin.Write(lost)
	refusal := b.refused(twin.All(9))
	if refusal.Code != journal.CodeFork || *refusal.Incarnation != 2 {
		t.Fatalf("got %+v", refusal)
	}
	rekeyed := testphone.New("a")
	rekeyed.Inc = *refusal.Incarnation
	lost.Incarnation, lost.Seq = rekeyed.Inc, 1
	rekeyed.Write(lost)
	if answer := b.push(rekeyed.All(1)); states(answer) != "merged" {
		t.Fatalf("answered %+v", answer)
	}
	if b.store.Head() != 10 || b.incidents("fork") != 1 {
		t.Fatalf("%d entries and %d incidents, want 10 and 1", b.store.Head(), b.incidents("fork"))
	}
	b.sound()
}

func TestAPhoneSetBackIsNoticedByItsChainEvenWhenItsNextNumberIsFree(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	n := p.Plant()
	b.push(p.All(1))
	other := testphone.New("a")
	for range 8 {
		other.Note("note", "", n.Bed, schema.Note{Bed: n.Bed, Words: "another history"})
	}
	other.See(n, 1, 1, 200, 40)
	if refusal := b.refused(other.All(9)); refusal.Code != journal.CodeFork {
		t.Fatalf("got %+v", refusal)
	}
}

func TestANoteSentAgainUnderANewNumberIsCountedOnce(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	n := p.Plant()
	e := p.Entry("observation", n.Lot, n.Bed, n.Pot(1, 1, 200, 40))
	p.Write(e)
	first := b.push(p.All(1)).Given[8]
	q := testphone.New("b")
	e.Device, e.Incarnation, e.Seq = q.Device, q.Inc, 1
	q.Write(e)
	answer := b.push(q.All(1))
	if states(answer) != "merged" || answer.Given[0].Position != first.Position || answer.Given[0].Stamp != first.Stamp {
		t.Fatalf("answered %+v, want place and stamp of %+v", answer, first)
	}
	if again := b.push(q.All(1)); again.Given[0].Position != first.Position || b.store.Head() != 9 {
		t.Fatalf("a repeat was answered %+v with head %d", again, b.store.Head())
	}
	b.sound()
}

func TestAnotherNoteUnderATakenIDIsHeldAndBothAreKept(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	n := p.Plant()
	id := p.See(n, 1, 1, 200, 40)
	b.push(p.All(1))
	q := testphone.New("b")
	e := q.Entry("observation", n.Lot, n.Bed, n.Pot(5, 1, 190, 40))
	e.ID = id
	q.Write(e)
	answer := b.push(q.All(1))
	if states(answer) != "quarantined" || answer.Given[0].Faults[0].Code != schema.CodeIDTaken {
		t.Fatalf("answered %+v", answer)
	}
	b.sound()
}
