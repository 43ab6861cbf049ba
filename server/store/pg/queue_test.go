package pg_test

import (
	"sync"
	"testing"

	"bedwalk/server/journal"
	"bedwalk/server/store/pg"
	"bedwalk/server/testpg"
)

// waiting returns once so many wait for another's transaction in the tests' database.
func waiting(t *testing.T, many int) {
	t.Helper()
	conn := plain(t)
	for now := 0; now < many; {
		if err := conn.QueryRow(t.Context(), "select count(*) from pg_stat_activity where datname = current_database() and wait_event_type = 'Lock'").Scan(&now); err != nil {
			t.Fatal(err)
		}
	}
}

// Three servers of a nursery write: one is at it, and would be again at once, two wait. Whoever came first is first.
func TestServersWriteInTheOrderInWhichTheyCame(t *testing.T) {
	site := testpg.Site()
	busy, second, third := open(t, site), open(t, site), open(t, site)
	var mu sync.Mutex
	var order []string
	write := func(d *pg.DB, name string, then func()) {
		if err := pg.Journal(d).Write(t.Context(), func(journal.Tx) error {
			mu.Lock()
			order = append(order, name)
			mu.Unlock()
			then()
			return nil
		}); err != nil {
			t.Error(err)
		}
	}
	var all sync.WaitGroup
	nothing := func() {}
	for range 10 {
		order = nil
		write(busy, "busy", func() {
			all.Go(func() { write(second, "second", nothing) })
			waiting(t, 1)
			all.Go(func() { write(third, "third", nothing) })
			waiting(t, 2)
		})
		for range 5 {
			write(busy, "busy", nothing)
		}
		all.Wait()
		if len(order) < 4 || order[1] != "second" || order[2] != "third" {
			t.Fatalf("in the order %v", order)
		}
	}
}
