package journal

import (
	"context"
	"errors"
	"strconv"
	"strings"

	"bedwalk/schema"
	"bedwalk/sync/journal"
)

// batch is one write transaction: what it has put and has not yet committed.
type batch struct {
	store *Store
	tx    Tx
	now   int64
	// sure is true where the server's clock is believed: else now is no time that later stamps have to come after.
	sure bool
	head int64
	over memory
	keys map[string]*touched
	// looked are records as the site has them, of keys that are not in keys.
	looked map[string]touched
	// hashes are those of the entries that this batch has merged, by position.
	hashes map[int64]journal.Sum
	// lots are those that this batch has touched, true where a record was written that says whether the lot is closed.
	lots map[string]bool
	// work counts entries read and folded, and keys written: what the lock is held for.
	work int
	// careful is set when the batch is tried a second time, because a record could not be written: then each entry is
	// folded by itself before it is merged.
	careful bool
	// refused is set when the transaction is to be committed although the push is not taken.
	refused *schema.Problem
}

// write runs f as one batch: committed whole, with every record that it touched folded again, or not at all. Where a
// record could not be written f runs once more, with care.
func (s *Store) write(ctx context.Context, f func(*batch) error) error {
	s.mu.Lock()
	b, err := s.attempt(ctx, f, false)
	if errors.Is(err, errUnwritable) {
		b, err = s.attempt(ctx, f, true)
	}
	if err != nil {
		// Whether a failed commit took hold is for the site to say.
		s.memory = newMemory()
		s.mu.Unlock()
		return err
	}
	if s.hooks.Worked != nil {
		s.hooks.Worked(b.work)
	}
	grew := b.head > s.Head()
	b.publish()
	changed := s.changed
	if grew {
		err = s.noteHead(b.head)
	}
	s.mu.Unlock()
	if grew {
		changed(b.head)
	}
	return errors.Join(err, call(s.hooks.AfterCommit))
}

func (s *Store) attempt(ctx context.Context, f func(*batch) error, careful bool) (*batch, error) {
	b := &batch{store: s, over: newMemory(), keys: map[string]*touched{}, looked: map[string]touched{}, hashes: map[int64]journal.Sum{}, lots: map[string]bool{}, careful: careful}
	return b, s.site.Write(ctx, func(tx Tx) error {
		if err := s.heedOthers(tx); err != nil {
			return err
		}
		b.tx, b.now, b.head = tx, s.NowMS(), s.Head()
		b.sure = s.clocks.believed()
		if err := call(s.hooks.BeforeInsert); err != nil {
			return err
		}
		if err := f(b); err != nil {
			return err
		}
		if err := b.finish(); err != nil {
			return err
		}
		return call(s.hooks.BeforeCommit)
	})
}

func (b *batch) finish() error {
	if err := b.fold(); err != nil {
		return err
	}
	if err := b.settleLots(); err != nil {
		return err
	}
	if err := errors.Join(b.saveDigests(), b.saveOrder()); err != nil {
		return err
	}
	if !b.sure {
		return b.keepDoubted()
	}
	return b.tx.Set(metaClock, strconv.FormatInt(b.now, 10))
}

// keepDoubted keeps the time by a clock that is not believed: what waits for a decision came at that time, which may be ahead of every
// time that was given.
func (b *batch) keepDoubted() error {
	given, err := timeIn(b.tx, metaClock)
	if err != nil || b.now <= given {
		return err
	}
	return keepAhead(b.tx, b.now)
}

// merge gives an entry the next position and counts it in, without folding yet.
func (b *batch) merge(a arrival, w writer, st schema.Stamp, receivedAt int64) (position int64, err error) {
	if b.store.hooks.Fold != nil {
		a.keys = keysAt(a.entry, b.store.builds())
	}
	// Before the entry is put, or it would be found a second time.
	if err := b.preload(a.keys); err != nil {
		return 0, err
	}
	lot, err := b.tx.Register(a.entry.Lot)
	if err != nil {
		return 0, err
	}
	position = b.head + 1
	hash := journal.Hash(a.raw, st)
	b.hashes[position], b.lots[a.entry.Lot] = hash, b.lots[a.entry.Lot]
	if err := errors.Join(b.count(lot, hash), b.sortOut(a.entry, a.keys, lot, position), b.inOrder(position, w.n, a.seq, receivedAt, hash)); err != nil {
		return 0, err
	}
	if err := b.tx.PutNote(NewNote{Position: position, Writer: w.n, Seq: a.seq, Lot: lot, ReceivedAt: receivedAt, Stamp: st, Entry: a.entry, Raw: a.raw}); err != nil {
		return 0, err
	}
	stamped := schema.Stamped{Entry: a.entry, Stamp: st, Position: position}
	b.work += len(a.keys)
	for _, key := range a.keys {
		if !named(key, a.entry.ID) {
			if err := b.tx.PutPart(key, position); err != nil {
				return 0, err
			}
		}
		b.touch(key, stamped)
	}
	b.head = position
	return position, nil
}

// named is true for a record that has its name from the entry itself: it is found by the entry's id.
func named(key, id string) bool { return strings.HasSuffix(key, ":"+id) }
