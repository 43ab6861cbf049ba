package journal

import (
	"context"
	"errors"
	"fmt"
	"strconv"
	"strings"

	"bedwalk/schema"
)

// Decide merges a quarantined entry, with the stamp that it got when it arrived, or leaves it out for good; it is kept
// either way, with who decided and when.
func (s *Store) Decide(ctx context.Context, n int64, merge bool, person string) error {
	return s.decide(ctx, n, func(quarantinedArrival) bool { return true }, merge, person)
}

// DecideShown is Decide on the entry that somebody was shown under an id (see Quarantined.ID).
func (s *Store) DecideShown(ctx context.Context, id string, merge bool, person string) error {
	number, _, _ := strings.Cut(id, "-")
	n, err := strconv.ParseInt(number, 10, 64)
	if err != nil {
		return fmt.Errorf("%w (%q)", ErrNoSuchEntry, id)
	}
	return s.decide(ctx, n, func(w quarantinedArrival) bool { return quarantineID(n, w.arrival.raw) == id }, merge, person)
}

func (s *Store) decide(ctx context.Context, n int64, is func(quarantinedArrival) bool, merge bool, person string) error {
	return s.write(ctx, func(b *batch) error {
		w, err := b.quarantined(n)
		if err != nil {
			return err
		}
		if !is(w) {
			return ErrNoSuchEntry
		}
		if !merge {
			return b.decided(n, "left", 0, person)
		}
		faults, err := b.spoils(w.arrival, w.stamp)
		if err != nil {
			return err
		}
		if !w.arrival.mergeable() || faults != nil {
			return ErrNotMergeable
		}
		return b.mergeQuarantined(n, w, person)
	})
}

// decidedAtOnce is how many quarantined entries are decided in one transaction, so that pushes do not wait for all.
const decidedAtOnce = 100

// DecideAll decides on all of a device that waits, up to the newest number that was shown, so that nothing is decided
// that came since. Left out is everything; merged is only what nothing speaks against but that its phone was revoked. It
// says how many were decided and how many still wait.
func (s *Store) DecideAll(ctx context.Context, all schema.DecideAll, person string) (d schema.DecidedAll, err error) {
	after := int64(0)
	for {
		var seen int
		var page schema.DecidedAll
		var last int64
		err := s.write(ctx, func(b *batch) error {
			numbers, err := b.tx.WaitingFrom(all.Device, after, all.UpTo, decidedAtOnce)
			if err != nil {
				return err
			}
			// What is written may be tried a second time, from the start.
			seen, page, last = len(numbers), schema.DecidedAll{}, after
			for _, n := range numbers {
				last = n
				decided, err := b.decideOne(n, all.Decision == "merge", person)
				if err != nil {
					return err
				}
				if decided {
					page.Decided++
				} else {
					page.Quarantined++
				}
			}
			return nil
		})
		if err != nil {
			return d, err
		}
		d.Decided, d.Quarantined, after = d.Decided+page.Decided, d.Quarantined+page.Quarantined, last
		if seen < decidedAtOnce {
			return d, nil
		}
	}
}

func (b *batch) decideOne(n int64, merge bool, person string) (decided bool, err error) {
	if !merge {
		return true, b.decided(n, "left", 0, person)
	}
	w, err := b.quarantined(n)
	if errors.Is(err, ErrNoSuchEntry) {
		// One that was merged in this very transaction may have let another go.
		return true, nil
	}
	if err != nil || !w.arrival.mergeable() || len(w.arrival.faults) > 0 {
		return false, err
	}
	if len(w.faults) != 1 || w.faults[0].Code != schema.CodeRevoked {
		return false, nil
	}
	if faults, err := b.spoils(w.arrival, w.stamp); err != nil || faults != nil {
		return false, err
	}
	return true, b.mergeQuarantined(n, w, person)
}
