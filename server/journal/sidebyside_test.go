package journal_test

import (
	"fmt"
	"testing"

	"golang.org/x/sync/errgroup"

	"bedwalk/server/journal"
	"bedwalk/server/testphone"
)

// Each batch is long enough for its entries to be read by several goroutines. The race detector watches this one.
func TestLongBatchesOfTwoPhonesAreTakenWhileAnotherReads(t *testing.T) {
	b, desk := newBench(t), testphone.New("desk")
	n := desk.Plant()
	b.push(desk.All(1))
	const notes = 150
	var group errgroup.Group
	for _, name := range []string{"a", "b"} {
		p := testphone.New(name)
		for range notes {
			p.See(n, 1, 1, 200, 40)
		}
		group.Go(func() error {
			answer, err := b.store.Push(t.Context(), p.All(1), journal.Sender{Device: name})
			if err == nil && len(answer.Given) != notes {
				err = fmt.Errorf("%s has an answer for %d of its %d notes", name, len(answer.Given), notes)
			}
			return err
		})
	}
	group.Go(func() error {
		for range 20 {
			if _, err := b.store.Pull(t.Context(), "desk", b.store.Epoch(), 0, 100, ""); err != nil {
				return err
			}
		}
		return nil
	})
	if err := group.Wait(); err != nil {
		t.Fatal(err)
	}
	if got, want := len(b.pullAll()), len(desk.Raw)+2*notes; got != want {
		t.Errorf("the journal has %d entries, want %d", got, want)
	}
	b.sound()
}
