package journal

import (
	"context"
	"sync"
	"time"

	"bedwalk/schema"
	"bedwalk/sync/fold"
	"bedwalk/sync/journal"
)

// total is the hash over all records as of the last head for which somebody asked.
type total struct {
	mu   sync.Mutex
	head int64
	hash string
	at   time.Time
}

// totalEvery bounds how often all records are hashed while the journal grows: it takes about a second for 20,000, and
// every phone asks after every pull.
const totalEvery = 30 * time.Second

// recordsAt is the hash over all records as of a position, "" where it is not known: of an earlier position than the
// head no records are kept, and while the journal grows quickly it is not reckoned each time. A phone that is not
// compared now is compared at its next digest.
func (s *Store) recordsAt(ctx context.Context, position int64) (string, error) {
	t := &s.total
	t.mu.Lock()
	defer t.mu.Unlock()
	now := time.UnixMilli(s.clocks.now())
	if t.hash != "" && (t.head == position || now.Sub(t.at) >= 0 && now.Sub(t.at) < totalEvery) {
		if t.head != position {
			return "", nil
		}
		return t.hash, nil
	}
	err := s.Read(ctx, func(snap *Snapshot) error {
		if snap.Head != position {
			return nil
		}
		var sum journal.Sum
		if err := snap.All(func(r schema.Record) error {
			// A record that cannot be written has no part in the sum on any device; verify tells of it.
			if hash, err := fold.Hash(r); err == nil {
				sum = sum.Add(hash)
			}
			return nil
		}); err != nil {
			return err
		}
		t.head, t.hash, t.at = snap.Head, fold.Total(sum), now
		return nil
	})
	if err != nil || t.head != position {
		return "", err
	}
	return t.hash, nil
}
