package journal_test

import (
	"database/sql"
	"testing"
	"time"

	"bedwalk/schema"
	"bedwalk/server/journal"
	"bedwalk/server/testphone"
)

// Each page of Gone has the position up to which everything arrived a month ago. To find it again for a later time, what has been read before
// is not read again, which is proven here by spoiling it.
func TestHowFarTheJournalIsOldIsFoundWithoutReadingAMonthEachTime(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	p.Plant()
	arrived := []time.Time{}
	for range 34 {
		for range 100 {
			p.Note("note", "", "", schema.Note{Words: "dry"})
		}
		b.push(p.All(1))
		for int64(len(arrived)) < b.store.Head() {
			arrived = append(arrived, b.clock)
		}
		b.clock = b.clock.Add(24 * time.Hour)
	}
	said := func() int64 {
		gone, err := b.store.Gone(t.Context(), journal.First{Alive: journal.Begin}, "")
		if err != nil {
			t.Fatal(err)
		}
		return gone.OldUpTo
	}
	want := func() (old int64) {
		for i, at := range arrived {
			if at.Before(b.clock.Add(-30 * 24 * time.Hour)) {
				old = int64(i + 1)
			}
		}
		return old
	}
	for range 20 {
		if got := said(); got != want() || got == 0 {
			t.Fatalf("%d of %d are said to be thirty days old, want %d", got, len(arrived), want())
		}
		b.clock = b.clock.Add(8 * time.Hour)
	}
	// The third thousand lies within the month.
	if err := b.db.Write(t.Context(), func(tx *sql.Tx) error {
		_, err := tx.Exec("update notes set received_by = 1 - at where position between 2001 and 3000")
		return err
	}); err != nil {
		t.Fatal(err)
	}
	if got := said(); got != want() {
		t.Errorf("%d are said to be thirty days old, want %d: what was read before was read again", got, want())
	}
	b.restart()
	if got := said(); got != 3000 {
		t.Errorf("after a start %d are said to be thirty days old; the file says 3000 now", got)
	}
}
