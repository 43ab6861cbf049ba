package journal

import (
	"cmp"
	"errors"
	"slices"
	"strings"

	"bedwalk/schema"
	"bedwalk/sync/fold"
	"bedwalk/sync/journal"
)

// Leaving is what first pulls may leave out of a lot, once it is closed: notes of pots and facts that are of this lot alone, and the
// records that they make. Everything else stays: registers, the ledger, walks, what this build cannot read, and whatever a record needs
// that a device holds for another lot's sake. Those entries stay by Tx.Stay.
type Leaving struct{ Notes, Records LotSum }

// sortOut writes down that an entry of a lot stays, where its kind says so. What the others of its record say is sumLeaving's.
func (b *batch) sortOut(e schema.Entry, keys []string, lot, position int64) error {
	if lot == 0 || fold.InOne(e, keys) {
		return nil
	}
	return b.tx.Stay(position, position)
}

// sumLeaving brings the sums of what may leave up to date for one record. Its first entries were there before this batch; was and is are the
// record's hashes before and now, nil where it had or has none. A record that has strayed from its lot stays from then on, with
// the entries that were there before.
func (b *batch) sumLeaving(key string, entries []schema.Stamped, before int, was, is *journal.Sum) error {
	if !ofNotes(key) {
		return nil
	}
	all := inPlace(entries)
	lot, strayed := fold.Whole(key, all)
	switch {
	case strayed == 0:
		return errors.Join(b.addNotes(lot, all[before:], 1), b.addLeavingRecord(lot, was, is))
	case before > 0 && strayed > all[before-1].Position:
		if err := errors.Join(b.addNotes(lot, all[:before], -1), b.addLeavingRecord(lot, was, nil)); err != nil {
			return err
		}
		b.lots[lot] = b.lots[lot]
		before = 0
	}
	for _, e := range all[before:] {
		if e.Entry.Lot == "" {
			continue
		}
		if err := b.tx.Stay(e.Position, max(e.Position, strayed)); err != nil {
			return err
		}
	}
	return nil
}

// ofNotes is true for the keys of pots and facts.
func ofNotes(key string) bool {
	return strings.HasPrefix(key, "pot:") || strings.HasPrefix(key, "fact:")
}

func inPlace(entries []schema.Stamped) []schema.Stamped {
	return slices.SortedFunc(slices.Values(entries), func(a, b schema.Stamped) int { return cmp.Compare(a.Position, b.Position) })
}

func (b *batch) addNotes(lot string, entries []schema.Stamped, sign int64) error {
	if len(entries) == 0 {
		return nil
	}
	hashes, err := b.hashesOf(entries)
	if err != nil {
		return err
	}
	return b.changeLeaving(lot, func(l *Leaving) {
		for _, hash := range hashes {
			l.Notes = l.Notes.plus(sign, hash)
		}
	})
}

func (b *batch) addLeavingRecord(lot string, was, is *journal.Sum) error {
	if was == nil && is == nil {
		return nil
	}
	return b.changeLeaving(lot, func(l *Leaving) {
		if was != nil {
			l.Records = l.Records.plus(-1, *was)
		}
		if is != nil {
			l.Records = l.Records.plus(1, *is)
		}
	})
}

// plus is the sum with a hash put in (1) or taken out (-1).
func (d LotSum) plus(sign int64, hash journal.Sum) LotSum {
	if sign < 0 {
		return LotSum{d.Count - 1, d.Sum.Sub(hash)}
	}
	return LotSum{d.Count + 1, d.Sum.Add(hash)}
}

func (b *batch) changeLeaving(lot string, change func(*Leaving)) error {
	n, err := b.tx.Register(lot)
	if err != nil {
		return err
	}
	l, err := b.leavingOf(n)
	if err != nil {
		return err
	}
	change(&l)
	b.over.leaving[n] = l
	return nil
}

func (b *batch) leavingOf(lot int64) (l Leaving, err error) {
	if l, ok := b.over.leaving[lot]; ok {
		return l, nil
	}
	if l, ok := b.store.memory.leaving[lot]; ok {
		return l, nil
	}
	return b.tx.LeavingSum(lot)
}

// hashesOf are the hashes of entries of this batch, which it knows, and of the site.
func (b *batch) hashesOf(entries []schema.Stamped) (hashes []journal.Sum, err error) {
	var unread []schema.Stamped
	for _, e := range entries {
		if hash, ok := b.hashes[e.Position]; ok {
			hashes = append(hashes, hash)
		} else {
			unread = append(unread, e)
		}
	}
	if len(unread) == 0 {
		return hashes, nil
	}
	read, err := hashesIn(b.tx, unread)
	b.work += len(read)
	return append(hashes, read...), err
}
