package store_test

import (
	"errors"
	"iter"
	"slices"
	"sync"
	"testing"

	"bedwalk/server/journal"
)

func TestJournal(t *testing.T) {
	for name, test := range map[string]func(*testing.T, journal.Site){
		"settings, epochs and chains are kept":                       settingsKept,
		"nothing of a write that fails is kept or remembered":        rolledBack,
		"a read sees one moment":                                     oneMoment,
		"writers wait for each other":                                writersAlone,
		"notes come back to the byte, by their places":               notesKept,
		"notes are found by what they are of":                        notesFound,
		"pots of a time are counted and all other notes given":       notesOfATime,
		"the pots of a walk are one line of a history":               walkFolded,
		"what arrived before is found":                               arrivedFound,
		"records come by key and by number, and by what they are of": recordsFound,
		"sums are kept of each lot":                                  sumsKept,
		"what closed lots leave out is known as of a position":       leftOutKnown,
		"a note waits until it is decided on, once":                  quarantineDecided,
		"an id may be of any length":                                 quarantineLongIDs,
		"what waits is listed device by device":                      quarantineListed,
		"reports and scores are kept":                                reportsKept,
		"incidents are counted, are over and are put away":           incidentsCounted,
		"what verify asks is as it was put":                          rowsChecked,
		"the state of an export is put back as it was":               stateRestored,
	} {
		for kind, open := range stores {
			t.Run(kind+": "+name, func(t *testing.T) {
				s := open.journal(t)
				if err := s.Prepare(t.Context()); err != nil {
					t.Fatal(err)
				}
				test(t, s)
			})
		}
	}
}

// gathered are the values of a sequence.
func gathered[T, U any](seq iter.Seq2[T, error], of func(T) U) (all []U, err error) {
	for one, err := range seq {
		if err != nil {
			return nil, err
		}
		all = append(all, of(one))
	}
	return all, nil
}

func position(l journal.Line) int64 { return l.Position }

func positions(lines []journal.Line, err error) ([]int64, error) {
	var all []int64
	for _, l := range lines {
		all = append(all, l.Position)
	}
	return all, err
}

func settingsKept(t *testing.T, s journal.Site) {
	odd := "a value\nof two lines, 🌱 and ’, a zero \x00, \x01\x02 and \x01, and \xff\xc3 that are no letters"
	epochs := []journal.Epoch{{Epoch: "b", BeganAt: 5}, {Epoch: "a", Parent: "b", ForkedAt: 7, BeganAt: 9}}
	hash := [32]byte{0, 1, 2, 0xff}
	write(t, s, func(tx journal.Tx) error {
		// Settings are told apart by their capitals, and the last value counts.
		return errors.Join(tx.Set("x", "first"), tx.Set("X", "other"), tx.Set("x", odd), tx.Set("gone", "1"), tx.Unset("gone"), tx.Unset("never"),
			tx.PutEpochs([]journal.Epoch{{Epoch: "old"}}), tx.PutEpochs(epochs))
	})
	var first, second int64
	write(t, s, func(tx journal.Tx) (err error) {
		if first, err = tx.PutChain("0a", 1, journal.Chain{}); err != nil {
			return err
		}
		if second, err = tx.PutChain("0a", 2, journal.Chain{High: 3, Hash: hash, LastAt: 11}); err != nil {
			return err
		}
		// Incarnation 10 is newer than 9, and 0A is another device.
		for _, one := range []struct {
			device string
			inc    int
		}{{"0b", 9}, {"0b", 10}, {"0A", 1}} {
			if _, err := tx.PutChain(one.device, one.inc, journal.Chain{}); err != nil {
				return err
			}
		}
		n, err := tx.PutChain("0a", 1, journal.Chain{N: first, High: 2, Hash: hash, LastAt: 12})
		if n != first {
			t.Errorf("the number of a chain changed from %d to %d", first, n)
		}
		return err
	})
	if first == second || first <= 0 || second <= 0 {
		t.Errorf("two chains have the numbers %d and %d", first, second)
	}
	read(t, s, func(snap journal.Snap) error {
		for name, want := range map[string]string{"x": odd, "X": "other", "gone": "", "never": ""} {
			got, err := snap.Setting(name)
			same(t, name, got, err, want)
		}
		got, err := snap.Epochs()
		same(t, "epochs", got, err, epochs)
		head, err := snap.Head()
		same(t, "head", head, err, 0)
		chain, err := snap.Chain("0a", 1)
		same(t, "chain", chain, err, journal.Chain{N: first, High: 2, Hash: hash, LastAt: 12})
		none, err := snap.Chain("0a", 3)
		same(t, "no chain", none, err, journal.Chain{})
		inc, newest, found, err := snap.NewestChain("0a")
		if inc != 2 || !found || err != nil || newest != (journal.Chain{N: second, High: 3, Hash: hash, LastAt: 11}) {
			t.Errorf("the newest chain is %d %+v, %v, %v", inc, newest, found, err)
		}
		inc, _, _, err = snap.NewestChain("0b")
		same(t, "newest of another", inc, err, 10)
		_, _, found, err = snap.NewestChain("0c")
		same(t, "found of none", found, err, false)
		return nil
	})
}

func rolledBack(t *testing.T, s journal.Site) {
	failed := errors.New("failed")
	write(t, s, func(tx journal.Tx) error { return tx.Set("x", "kept") })
	err := s.Write(t.Context(), func(tx journal.Tx) error {
		w, err := tx.PutChain("0a", 1, journal.Chain{})
		_, bad := tx.Register("lot of nothing")
		if err := errors.Join(err, bad, tx.Set("x", "lost"), putNote(tx, 1, w, 1, "lot of nothing", "bed of nothing")); err != nil {
			return err
		}
		got, err := tx.Setting("x")
		same(t, "read by the one who writes", got, err, "lost")
		return failed
	})
	if !errors.Is(err, failed) {
		t.Errorf("the error is %v", err)
	}
	// A number that was given then is given again, or to nobody: it must not be remembered for something that is not there.
	var other, again int64
	write(t, s, func(tx journal.Tx) (err error) {
		if other, err = tx.Register("another lot"); err == nil {
			again, err = tx.Register("lot of nothing")
		}
		return err
	})
	if other == again {
		t.Errorf("two lots have the number %d", other)
	}
	read(t, s, func(snap journal.Snap) error {
		got, err := snap.Setting("x")
		same(t, "setting", got, err, "kept")
		head, err := snap.Head()
		same(t, "head", head, err, 0)
		chain, err := snap.Chain("0a", 1)
		same(t, "chain", chain, err, journal.Chain{})
		numbers, err := snap.Lots([]string{"lot of nothing", "another lot", "a lot that never was"})
		slices.Sort(numbers)
		want := []int64{other, again}
		slices.Sort(want)
		same(t, "numbers", numbers, err, want)
		return nil
	})
}

func oneMoment(t *testing.T, s journal.Site) {
	write(t, s, func(tx journal.Tx) error { return tx.Set("x", "before") })
	read(t, s, func(snap journal.Snap) error {
		first, err := snap.Setting("x")
		same(t, "first", first, err, "before")
		write(t, s, func(tx journal.Tx) error { return errors.Join(tx.Set("x", "after"), tx.Set("y", "after")) })
		again, err := snap.Setting("x")
		same(t, "again", again, err, "before")
		new, err := snap.Setting("y")
		same(t, "what came since", new, err, "")
		return nil
	})
	read(t, s, func(snap journal.Snap) error {
		got, err := snap.Setting("x")
		same(t, "the next read", got, err, "after")
		return nil
	})
}

// writersAlone has eight writers count one setting up: a writer that does not see what was written last loses a step.
func writersAlone(t *testing.T, s journal.Site) {
	const writers, steps = 8, 10
	var done sync.WaitGroup
	errs := make(chan error, writers*steps)
	for range writers {
		done.Go(func() {
			for range steps {
				errs <- s.Write(t.Context(), func(tx journal.Tx) error {
					was, err := tx.Setting("count")
					if err != nil {
						return err
					}
					return tx.Set("count", was+"|")
				})
			}
		})
	}
	done.Wait()
	close(errs)
	for err := range errs {
		if err != nil {
			t.Fatal(err)
		}
	}
	read(t, s, func(snap journal.Snap) error {
		got, err := snap.Setting("count")
		same(t, "count", len(got), err, writers*steps)
		return nil
	})
}

// What one program remembers of a store is worthless once another has written to it.
func TestTurnIsAnotherAfterAnotherProgramHasWrittenAndNoneOther(t *testing.T) {
	for kind, open := range stores {
		t.Run(kind, func(t *testing.T) {
			one, other := open.two(t)
			turn := func(s journal.Site) (turn int64) {
				t.Helper()
				write(t, s, func(tx journal.Tx) (err error) {
					turn, err = tx.Turn()
					return errors.Join(err, tx.Set("x", "1"))
				})
				return turn
			}
			first := turn(one)
			same(t, "after its own write", turn(one), nil, first)
			var a, b int64
			write(t, other, func(tx journal.Tx) (err error) {
				a, err = tx.Register("A")
				return err
			})
			if turn(one) == first {
				t.Error("nothing shows that the other has written")
			}
			write(t, one, func(tx journal.Tx) (err error) {
				b, err = tx.Register("A")
				return err
			})
			same(t, "the number of a lot", b, nil, a)
		})
	}
}
