package journal

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"

	"bedwalk/schema"
	"bedwalk/sync/fold"
	"bedwalk/sync/journal"
)

// Verified is what a check of the whole journal found. Complaints is empty when all is well.
type Verified struct {
	Entries, Quarantined, Records, Writers int
	Complaints                             []string

	left *leftOver
}

func (v *Verified) complain(format string, args ...any) {
	const most = 50
	if len(v.Complaints) < most {
		v.Complaints = append(v.Complaints, fmt.Sprintf(format, args...))
	}
}

// Verify reckons everything anew from the entries' bytes, and compares: each writer's chain, the order of the journal, each
// lot's digest, each record and where it is filed. Of what does not follow from the entries (devices, roles, epochs,
// clocks, quarantine) it compares each row with its seal. It writes nothing.
func Verify(ctx context.Context, site Site) (v Verified, err error) {
	v.left = newLeftOver()
	err = site.Read(ctx, func(snap Snap) error {
		for _, check := range []func(Snap, *Verified) error{
			verifyChains, verifyPlaces, verifyDigests, verifyRecords, verifyNumbers, verifySeals, verifyClock,
		} {
			if err := check(snap, &v); err != nil {
				return err
			}
		}
		return nil
	})
	return v, err
}

func verifyChains(snap Snap, v *Verified) error {
	var at, high, last int64
	var name string
	var want, chain [32]byte
	finish := func() {
		if at == 0 {
			return
		}
		v.Writers++
		if last != high || chain != want {
			v.complain("the chain of %s ends at entry %d and does not give the hash kept for entry %d", name, last, high)
		}
	}
	for one, err := range snap.Chained() {
		if err != nil {
			return err
		}
		if one.N != at {
			finish()
			at, high, last, chain, want = one.N, one.High, 0, [32]byte{}, one.Hash
			name = fmt.Sprintf("%s.%d", one.Device, one.Incarnation)
		}
		if one.Seq == 0 {
			continue
		}
		if one.Seq != last+1 {
			v.complain("%s has no entry %d", name, last+1)
		}
		last, chain = one.Seq, journal.Chain(chain, one.Bytes)
	}
	finish()
	return nil
}

func verifyDigests(snap Snap, v *Verified) error {
	own := map[string]LotSum{}
	for row, err := range snap.Rows(0, math.MaxInt64) {
		if err != nil {
			return err
		}
		v.Entries++
		lot := row.lotOfSums()
		own[lot] = own[lot].plus(1, journal.Hash(row.Bytes, row.Stamp))
	}
	kept, err := snap.NoteSums()
	if err != nil {
		return err
	}
	for lot, sum := range own {
		if kept[lot] != sum {
			v.complain("the digest of lot %q is not the sum of its entries", lot)
		}
	}
	for lot, sum := range kept {
		if _, ok := own[lot]; !ok && sum.Count != 0 {
			v.complain("lot %q has a digest and no entries", lot)
		}
	}
	v.Quarantined, err = snap.CountWaiting()
	return err
}

// foldedAtOnce is of how many records the notes are held in memory.
const foldedAtOnce = 500

// verifyRecords folds some records at a time, so that a journal of any size fits in memory.
func verifyRecords(snap Snap, v *Verified) error {
	positions, err := keysOf(snap)
	if err != nil {
		return err
	}
	upTo, err := summedUpTo(snap)
	if err != nil {
		return err
	}
	sums := map[string]LotSum{}
	for keys := range slices.Chunk(slices.Collect(maps.Keys(positions)), foldedAtOnce) {
		if err := verifySome(snap, keys, positions, upTo, sums, v); err != nil {
			return err
		}
	}
	if err := errors.Join(verifyRecordSums(snap, sums, v), v.left.compare(snap, v)); err != nil {
		return err
	}
	stored, err := snap.CountRecords()
	if err != nil {
		return err
	}
	if stored != v.Records {
		v.complain("%d records are kept, but the entries make %d", stored, v.Records)
	}
	return nil
}

// verifySome makes some records again from the notes at their positions, and counts those with a number up to upTo into sums.
func verifySome(snap Snap, keys []string, positions map[string][]int64, upTo int64, sums map[string]LotSum, v *Verified) error {
	var wanted []int64
	for _, key := range keys {
		wanted = append(wanted, positions[key]...)
	}
	slices.Sort(wanted)
	lines, err := snap.At(slices.Compact(wanted))
	filed, bad := snap.Filed(keys)
	if err := errors.Join(err, bad); err != nil {
		return err
	}
	byPosition := make(map[int64]Line, len(lines))
	for _, one := range lines {
		byPosition[one.Position] = one
	}
	for _, key := range keys {
		at := positions[key]
		entries, hashes := make([]schema.Stamped, len(at)), make([]journal.Sum, 0, len(at))
		for i, position := range at {
			line := byPosition[position]
			entry, err := journal.Parse(line.Bytes)
			if err != nil {
				v.complain("entry %d cannot be read: %v", position, err)
			}
			entries[i] = schema.Stamped{Entry: entry, Stamp: line.Stamp, Position: position}
			if ofNotes(key) {
				hashes = append(hashes, journal.Hash(line.Bytes, line.Stamp))
			}
		}
		record, exists, err := fold.Try(key, entries)
		var text []byte
		if err == nil && exists {
			text, err = fold.Text(record)
		}
		v.left.record(key, entries, hashes, record, text)
		if err != nil {
			v.complain("record %s cannot be written: %v; strike out the notes of it that are wrong", key, err)
			continue
		}
		if !exists {
			continue
		}
		v.Records++
		kept, found := filed[key]
		verifyRecord(record, text, kept, found, len(entries) == 1 && named(key, entries[0].Entry.ID), v)
		if kept.N <= upTo {
			sums[record.Lot] = sums[record.Lot].plus(1, fold.HashOf(text))
		}
	}
	return nil
}

// verifyRecord compares one record and its text with what is kept of it: its bytes, or for a lone one that there are none, and where it is
// filed.
func verifyRecord(record schema.Record, text []byte, kept Filed, found, lone bool, v *Verified) {
	if !found {
		v.complain("record %s is missing", record.Key)
		return
	}
	if kept.Lot != record.Lot || kept.Bed != record.Bed {
		v.complain("record %s is filed under another lot or bed", record.Key)
	}
	switch {
	case lone && kept.Text != nil:
		v.complain("record %s is kept folded, which a record of one entry is not", record.Key)
	case !lone && !bytes.Equal(text, kept.Text):
		v.complain("record %s is not what its entries add up to", record.Key)
	}
}

// verifyRecordSums compares the kept sums of the lots' records with those of the records just folded. A file of an older
// build has none.
func verifyRecordSums(snap Snap, own map[string]LotSum, v *Verified) error {
	if have, err := snap.Keeps("record_sums"); err != nil || !have {
		return err
	}
	kept, err := snap.RecordSums()
	if err != nil {
		return err
	}
	for lot, sum := range own {
		if kept[lot] != sum {
			v.complain("the sum of the records of lot %q is not that of its records", lot)
		}
	}
	for lot, sum := range kept {
		if _, ok := own[lot]; !ok && sum != (LotSum{}) {
			v.complain("lot %q has a sum of records and no records", lot)
		}
	}
	return nil
}

// keysOf reads every entry once and lists, for each record key, the positions of its entries.
func keysOf(snap Snap) (map[string][]int64, error) {
	known, err := learnedIn(snap)
	if err != nil {
		return nil, err
	}
	all := map[string][]int64{}
	for line, err := range snap.After(0, math.MaxInt) {
		if err != nil {
			return nil, err
		}
		entry, err := journal.Parse(line.Bytes)
		if err != nil {
			continue
		}
		for _, key := range known.keys(entry, line.Position) {
			all[key] = append(all[key], line.Position)
		}
	}
	return all, nil
}
