package journal

import (
	"context"
	"errors"
	"math"
	"strconv"
	"strings"

	"bedwalk/sync/fold"
	"bedwalk/sync/journal"
)

// metaSummed names, while the journal of an older build is brought up to date, the number of the record up to which they are in the
// sums. When all are there is no such value.
const metaSummed = "records_summed"

// allSummed is the mark when every record is in the sums.
const allSummed = math.MaxInt64

// summedUpTo reads the mark.
func summedUpTo(snap Snap) (int64, error) {
	value, err := snap.Setting(metaSummed)
	if err != nil || value == "" {
		return allSummed, err
	}
	return strconv.ParseInt(value, 10, 64)
}

// sumRecord takes a record as it was before this batch out of its lot's sum, and puts it in as it is now: text is its canonical
// bytes, nil where it has none. How it was is folded again from the entries that preload has read, so that a record which the
// disk damaged does no lasting harm to the sum. A record that cannot be written has no part in the sum on any device; verify
// names it.
func (b *batch) sumRecord(key string, t *touched, text []byte) error {
	if in, err := b.isSummed(key); err != nil || !in {
		return err
	}
	var was, is *journal.Sum
	if t.before > 0 {
		record, existed, err := fold.Try(key, t.entries[:t.before])
		hash, unwritable := fold.Hash(record)
		if existed && errors.Join(err, unwritable) == nil {
			was = &hash
			if err := b.addRecord(record.Lot, -1, hash); err != nil {
				return err
			}
		}
	}
	if text != nil {
		hash := fold.HashOf(text)
		is = &hash
		if err := b.addRecord(t.record.Lot, 1, hash); err != nil {
			return err
		}
	}
	return b.sumLeaving(key, t.entries, t.before, was, is)
}

// isSummed is false for a record that SumRecords has still to add: it finds it as this batch leaves it. A record that is not
// there yet gets the number after the last one.
func (b *batch) isSummed(key string) (bool, error) {
	upTo, err := b.summed()
	if err != nil || upTo == allSummed {
		return true, err
	}
	n, _, err := b.tx.Number(key)
	return n <= upTo, err
}

// summed is the mark, asked of the site once.
func (b *batch) summed() (int64, error) {
	if b.over.summed == nil {
		b.over.summed = b.store.memory.summed
	}
	if b.over.summed == nil {
		upTo, err := summedUpTo(b.tx)
		if err != nil {
			return 0, err
		}
		b.over.summed = &upTo
	}
	return *b.over.summed, nil
}

// addRecord puts a record into its lot's sum (1), or takes it out (-1).
func (b *batch) addRecord(lot string, sign int64, hash journal.Sum) error {
	n, err := b.tx.Register(lot)
	if err != nil {
		return err
	}
	d, err := sumOf(n, b.over.records, b.store.memory.records, b.tx.RecordSum)
	if err != nil {
		return err
	}
	b.over.records[n] = d.plus(sign, hash)
	return nil
}

// SumRecords adds the records that an older build left to the sums, some at a time so that pushes go on in between; where it
// was stopped it goes on at the next start. Until it is done no phone is told whether its records are the server's.
func (s *Store) SumRecords(ctx context.Context) error {
	if err := s.sortEntries(ctx); err != nil {
		return err
	}
	for {
		var upTo int64
		if err := s.write(ctx, func(b *batch) (err error) {
			if upTo, err = b.summed(); err != nil || upTo == allSummed {
				return err
			}
			upTo, err = b.sumSome(upTo)
			b.over.summed = &upTo
			return err
		}); err != nil || upTo == allSummed {
			return err
		}
		if err := call(s.hooks.Summed); err != nil {
			return err
		}
	}
}

// metaSorted names, in the journal of an older build, the position up to which its entries are sorted into those that stay and others.
const metaSorted = "entries_sorted"

// sortEntries writes down which entries of an older journal stay by their kind, some at a time as SumRecords does.
func (s *Store) sortEntries(ctx context.Context) error {
	for {
		sorted := true
		if err := s.write(ctx, func(b *batch) error {
			after, err := b.tx.Setting(metaSorted)
			if sorted = err == nil && after == ""; sorted || err != nil {
				return err
			}
			return b.sortSome(after)
		}); err != nil || sorted {
			return err
		}
		if err := call(s.hooks.Summed); err != nil {
			return err
		}
	}
}

func (b *batch) sortSome(after string) error {
	// What cannot be read is the beginning.
	begin, _ := strconv.ParseInt(after, 10, 64)
	read := 0
	for row, err := range b.tx.Rows(begin, math.MaxInt64) {
		if err != nil {
			return err
		}
		// What the disk damaged has no keys, and stays.
		entry, _ := journal.Parse(row.Bytes)
		if err := b.sortOut(entry, fold.Keys(entry), row.LotN, row.Position); err != nil {
			return err
		}
		if read++; read == sortedAtOnce {
			return b.tx.Set(metaSorted, strconv.FormatInt(row.Position, 10))
		}
	}
	return b.tx.Unset(metaSorted)
}

// sortedAtOnce is how many entries sortEntries reads in one transaction.
const sortedAtOnce = 2000

// sumsAtOnce is how many records SumRecords adds in one transaction, in which every push waits: about 25 ms.
const sumsAtOnce = 500

// sumSome adds the next records after a mark, folded from their entries, and returns and keeps the new mark.
func (b *batch) sumSome(after int64) (upTo int64, err error) {
	next, err := b.tx.NumberedAfter(after, sumsAtOnce+1)
	if err != nil {
		return after, err
	}
	more := len(next) > sumsAtOnce
	next = next[:min(len(next), sumsAtOnce)]
	keys, upTo := make([]string, len(next)), after
	for i, one := range next {
		keys[i], upTo = one.Key, one.N
	}
	if err := b.preload(keys); err != nil {
		return after, err
	}
	for _, key := range keys {
		if err := b.sumOld(key); err != nil {
			return after, err
		}
	}
	if !more {
		return allSummed, b.sumRest()
	}
	return upTo, b.tx.Set(metaSummed, strconv.FormatInt(upTo, 10))
}

// sumOld adds a record of the file to the sums.
func (b *batch) sumOld(key string) error {
	t := b.keys[key]
	var is *journal.Sum
	if b.settle(t, key); t.exists {
		if hash, err := fold.Hash(t.record); err == nil {
			is = &hash
			if err := b.addRecord(t.record.Lot, 1, hash); err != nil {
				return err
			}
		}
	}
	if lot, ok := strings.CutPrefix(key, "lot:"); ok {
		return b.closeOld(lot)
	}
	return b.sumLeaving(key, t.entries, 0, nil, is)
}

// sumRest ends the work: it adds the entries of records that do not exist yet, such as voids that came before what they name.
func (b *batch) sumRest() error {
	keys, err := b.tx.Unfolded()
	if err != nil {
		return err
	}
	if err := b.preload(keys); err != nil {
		return err
	}
	for _, key := range keys {
		if err := b.sumLeaving(key, b.keys[key].entries, 0, nil, nil); err != nil {
			return err
		}
	}
	return b.tx.Unset(metaSummed)
}

// recordsAt are the sums of all lots' records as of a position; known is false where they are not: of an earlier position than the head no
// records are kept, and after a change of build they may not all be summed yet. A phone that is not compared now is compared
// at its next digest.
func (s *Store) recordsAt(ctx context.Context, position int64) (sums map[string]LotSum, known bool, err error) {
	err = s.site.Read(ctx, func(snap Snap) error {
		if head, err := snap.Head(); err != nil || head != position {
			return err
		}
		if upTo, err := summedUpTo(snap); err != nil || upTo != allSummed {
			return err
		}
		known = true
		sums, err = snap.RecordSums()
		return err
	})
	return sums, known, err
}
