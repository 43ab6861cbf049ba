package journal_test

import (
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"testing"
	"time"

	"bedwalk/schema"
	"bedwalk/server/db"
	"bedwalk/server/journal"
	"bedwalk/server/store/lite"
	"bedwalk/server/testphone"
)

func TestAPushThatFailsAtAnyStatementKeepsNothingAndIsTakenLater(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	n := p.Plant()
	p.See(n, 1, 1, 4000, 40)
	step := 0
	for {
		step++
		b.faults.FailAt(step, db.ErrFull)
		_, err := b.store.Push(t.Context(), p.All(1), journal.Sender{Device: "a"})
		b.faults.FailAt(0, nil)
		if err == nil {
			break
		}
		if !errors.Is(err, db.ErrFull) {
			t.Fatalf("step %d: got %v, want the disk to be full", step, err)
		}
		if b.store.Head() != 0 || len(b.pullAll()) != 0 {
			t.Fatalf("step %d left entries behind", step)
		}
	}
	if step < 20 || b.store.Head() != 8 {
		t.Fatalf("after %d steps that failed the journal has %d entries", step-1, b.store.Head())
	}
	b.sound()
}

func TestAnAnswerLostAfterTheCommitIsGivenAgain(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	p.Plant()
	lost := errors.New("the process died")
	dying := true
	b.hooks.AfterCommit = func() error {
		if dying {
			return lost
		}
		return nil
	}
	b.restart()
	if _, err := b.store.Push(t.Context(), p.All(1), journal.Sender{Device: "a"}); !errors.Is(err, lost) {
		t.Fatalf("got %v", err)
	}
	dying = false
	b.restart()
	if answer := b.push(p.All(1)); answer.High != 8 || b.store.Head() != 8 {
		t.Fatalf("answered %+v with head %d", answer, b.store.Head())
	}
	b.sound()
}

func TestAProcessThatDiesBeforeTheCommitHasKeptNothing(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	p.Plant()
	died := errors.New("the process died")
	for _, hooks := range []journal.Hooks{
		{BeforeInsert: func() error { return died }},
		{BeforeCommit: func() error { return died }},
	} {
		b.hooks = hooks
		b.restart()
		if _, err := b.store.Push(t.Context(), p.All(1), journal.Sender{Device: "a"}); !errors.Is(err, died) {
			t.Fatalf("got %v", err)
		}
		b.hooks = journal.Hooks{}
		b.restart()
		if b.store.Head() != 0 {
			t.Fatalf("%d entries were kept", b.store.Head())
		}
	}
}

// restoreFrom copies a database file back by hand, as people do.
func (b *bench) restoreFrom(copied string) {
	b.Helper()
	b.stop()
	for _, end := range []string{"-wal", "-shm"} {
		os.Remove(filepath.Join(b.dir, db.File+end))
	}
	raw, err := os.ReadFile(copied)
	if err != nil {
		b.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(b.dir, db.File), raw, 0o600); err != nil {
		b.Fatal(err)
	}
	b.start()
}

func (b *bench) backup() string {
	b.Helper()
	path := filepath.Join(b.TempDir(), "copy.db")
	if err := b.db.CopyTo(context.Background(), path); err != nil {
		b.Fatal(err)
	}
	return path
}

func (b *bench) rewound(epoch string, after int64) *schema.Problem {
	b.Helper()
	_, err := b.store.Pull(context.Background(), "x", epoch, after, 0, "")
	return b.rewind(err)
}

// rewind fails unless an error is the answer that says where to go on from.
func (b *bench) rewind(err error) *schema.Problem {
	b.Helper()
	var refusal *schema.Problem
	if !errors.As(err, &refusal) || refusal.Code != journal.CodeRewind {
		b.Fatalf("pulling gave %v, want a rewind", err)
	}
	return refusal
}

func TestARestoredBackupBeginsANewEpochAndPhonesSendAgainWhatItLacks(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	n := p.Plant()
	b.push(p.All(1))
	old := b.store.Epoch()
	copied := b.backup()
	p.See(n, 1, 1, 200, 40)
	p.See(n, 2, 1, 200, 40)
	b.push(p.All(9))
	b.restoreFrom(copied)
	if b.store.Epoch() == old || b.store.Head() != 8 || b.incidents("backup_restored") != 1 {
		t.Fatalf("epoch %s (was %s), head %d", b.store.Epoch(), old, b.store.Head())
	}
	if r := b.rewound(old, 10); *r.ForkedAt != 8 || r.Epoch != b.store.Epoch() {
		t.Fatalf("rewound to %+v", r)
	}
	if r := b.rewound(old, 5); *r.ForkedAt != 5 {
		t.Fatalf("a phone that was behind is rewound to %d, want its own 5", *r.ForkedAt)
	}
	push := p.All(9)
	push.Epoch = old
	if r := b.refused(push); r.Code != journal.CodeRewind {
		t.Fatalf("a push of the old epoch got %+v", r)
	}
	push.Epoch = b.store.Epoch()
	if answer := b.push(push); answer.High != 10 || b.store.Head() != 10 {
		t.Fatalf("answered %+v", answer)
	}
	b.sound()
}

func TestAfterTwoRestoresEveryEpochGetsItsOwnForkPoint(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	n := p.Plant()
	b.push(p.Batch(1, 4))
	atFour := b.backup()
	b.push(p.Batch(5, 8))
	atEight := b.backup()
	first := b.store.Epoch()
	b.restoreFrom(atFour)
	second := b.store.Epoch()
	other := testphone.New("b")
	for range 6 {
		other.Note("note", "", n.Bed, schema.Note{Words: "while the second epoch lasted"})
	}
	b.push(other.All(1))
	b.restoreFrom(atEight)
	if second == first || b.store.Epoch() == second {
		t.Fatal("a restore began no epoch")
	}
	// The second epoch left the first at 4, so it shares no more with today's, which has all 8 of the first.
	if r := b.rewound(second, 10); *r.ForkedAt != 4 {
		t.Fatalf("the second epoch is rewound to %d, want 4", *r.ForkedAt)
	}
	if r := b.rewound(first, 8); *r.ForkedAt != 8 {
		t.Fatalf("the first epoch is rewound to %d, want 8", *r.ForkedAt)
	}
	if r := b.rewound("ffffffffffffffff", 8); *r.ForkedAt != 0 {
		t.Fatalf("an unknown epoch is rewound to %d, want 0", *r.ForkedAt)
	}
}

func TestARestartBeginsNoEpoch(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	p.Plant()
	b.push(p.All(1))
	before := b.store.Epoch()
	b.restart()
	if b.store.Epoch() != before {
		t.Fatal("a restart began an epoch")
	}
}

func TestTheServersClockNeverStampsBackwards(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	n := p.Plant()
	b.push(p.All(1))
	q := testphone.New("b")
	q.Note("note", "", n.Bed, schema.Note{Bed: n.Bed, Words: "later"})
	b.clock = b.clock.Add(-48 * time.Hour)
	b.restart()
	if r := b.refused(q.All(1)); r.Code != journal.CodeClock || r.Remedy == "" {
		t.Fatalf("a clock that was set back by two days gave stamps: %v", r)
	}
	if b.store.NowMS() < 1_000_000_001_000 {
		t.Fatalf("the server says that it is %d", b.store.NowMS())
	}
	if b.incidents("server_clock") != 1 {
		t.Fatal("no incident was filed")
	}
	b.clock = b.clock.Add(48 * time.Hour)
	if at := b.push(q.All(1)).Given[0].Stamp.At; at < 1_000_000_000_000 {
		t.Fatalf("stamped %d", at)
	}
}

func TestAnotherProgramsEntriesAreHeeded(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	n := p.Plant()
	b.push(p.Batch(1, 4))
	// As the pair command does, which writes a new person while the server runs.
	d, err := db.Open(t.Context(), db.Options{Path: filepath.Join(b.dir, db.File)})
	if err != nil {
		t.Fatal(err)
	}
	other, err := journal.Open(t.Context(), journal.Options{Site: lite.Journal(d), Dir: d.Dir(), Now: func() time.Time { return b.clock }})
	if err != nil {
		t.Fatal(err)
	}
	person := testphone.ID("somebody")
	if err := other.Write(t.Context(), journal.Draft{Kind: "person", Person: person, Body: map[string]any{"of": person, "name": "Somebody"}}); err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(other.Close(), d.Close()); err != nil {
		t.Fatal(err)
	}
	if page, err := b.store.Pull(t.Context(), "a", b.store.Epoch(), 5, 0, ""); err != nil || page.Head != 5 {
		t.Fatalf("pulled %+v, %v", page, err)
	}
	b.push(p.All(5))
	q := testphone.New("b")
	q.Note("note", "", n.Bed, schema.Note{Bed: n.Bed, Words: "more"})
	b.push(q.All(1))
	if b.store.Head() != 10 {
		t.Fatalf("the journal has %d entries, want 10", b.store.Head())
	}
	b.sound()
}

func TestTheServersOwnEntriesGoOnAfterARestore(t *testing.T) {
	b := newBench(t)
	write := func(name string) {
		t.Helper()
		person := testphone.ID(name)
		if err := b.store.Write(t.Context(), journal.Draft{Kind: "person", Person: person, Body: map[string]any{"of": person, "name": name}}); err != nil {
			t.Fatal(err)
		}
	}
	write("one")
	copied := b.backup()
	write("two")
	b.restoreFrom(copied)
	write("three")
	write("four")
	if b.store.Head() != 3 {
		t.Fatalf("the journal has %d entries, want 3", b.store.Head())
	}
	b.sound()
}

func TestWithoutChanceNothingIsWritten(t *testing.T) {
	d, err := db.Open(t.Context(), db.Options{Path: filepath.Join(testphone.Ready(t), db.File)})
	if err != nil {
		t.Fatal(err)
	}
	defer d.Close()
	if _, err := journal.Open(t.Context(), journal.Options{Site: lite.Journal(d), Dir: d.Dir(), Random: io.LimitReader(nil, 0)}); err == nil {
		t.Fatal("a journal was begun without an epoch")
	}
}
