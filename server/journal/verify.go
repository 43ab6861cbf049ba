package journal

import (
	"bytes"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"math"

	"bedwalk/schema"
	"bedwalk/server/db"
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
func Verify(ctx context.Context, d *db.DB) (v Verified, err error) {
	v.left = newLeftOver()
	err = d.Read(ctx, func(tx *sql.Tx) error {
		for _, check := range []func(*sql.Tx, *Verified) error{
			verifyChains, verifyPlaces, verifyDigests, verifyRecords, verifyNumbers, verifySeals, verifyClock,
		} {
			if err := check(tx, &v); err != nil {
				return err
			}
		}
		return nil
	})
	return v, err
}

func verifyChains(tx *sql.Tx, v *Verified) error {
	rows, err := tx.Query(`
		select w.n, w.device, w.inc, w.high, w.chain, e.seq, e.bytes from writers w left join (
			select writer, seq, bytes from entries union all select writer, seq, bytes from quarantine q
				where not exists (select 1 from entries where writer = q.writer and seq = q.seq)
		) e on e.writer = w.n order by w.n, e.seq`)
	if err != nil {
		return err
	}
	defer rows.Close()
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
	for rows.Next() {
		var n, inc, ends int64
		var device string
		var kept, raw []byte
		var seq sql.NullInt64
		if err := rows.Scan(&n, &device, &inc, &ends, &kept, &seq, &raw); err != nil {
			return err
		}
		if n != at {
			finish()
			at, high, last, chain, name = n, ends, 0, [32]byte{}, fmt.Sprintf("%s.%d", device, inc)
			copy(want[:], kept)
		}
		if !seq.Valid {
			continue
		}
		if seq.Int64 != last+1 {
			v.complain("%s has no entry %d", name, last+1)
		}
		last, chain = seq.Int64, journal.Chain(chain, raw)
	}
	finish()
	return rows.Err()
}

func verifyDigests(tx *sql.Tx, v *Verified) error {
	own := map[string]lotSum{}
	if err := eachEntry(tx, 0, math.MaxInt64, func(_ int64, lot string, hash journal.Sum) {
		v.Entries++
		own[lot] = lotSum{own[lot].count + 1, own[lot].sum.Add(hash)}
	}); err != nil {
		return err
	}
	kept, err := sumsIn(tx, "digests")
	if err != nil {
		return err
	}
	for lot, sum := range own {
		if kept[lot] != sum {
			v.complain("the digest of lot %q is not the sum of its entries", lot)
		}
	}
	for lot, sum := range kept {
		if _, ok := own[lot]; !ok && sum.count != 0 {
			v.complain("lot %q has a digest and no entries", lot)
		}
	}
	return tx.QueryRow("select count(*) from quarantine where state in ('quarantined', 'review')").Scan(&v.Quarantined)
}

// verifyRecords folds key by key, so that a journal of any size fits in memory.
func verifyRecords(tx *sql.Tx, v *Verified) error {
	positions, err := keysOf(tx)
	if err != nil {
		return err
	}
	get, err := tx.Prepare("select position, at, quality, at_from, at_to, bytes from entries where position = ?")
	if err != nil {
		return err
	}
	defer get.Close()
	upTo, err := summedUpTo(tx)
	if err != nil {
		return err
	}
	sums := map[string]lotSum{}
	for key, at := range positions {
		entries, hashes := make([]schema.Stamped, len(at)), make([]journal.Sum, 0, len(at))
		for i, position := range at {
			one, st := &entries[i], &entries[i].Stamp
			var raw []byte
			if err := get.QueryRow(position).Scan(&one.Position, &st.At, &st.Quality, &st.From, &st.To, &raw); err != nil {
				return err
			}
			if one.Entry, err = journal.Parse(raw); err != nil {
				v.complain("entry %d cannot be read: %v", position, err)
			}
			if ofNotes(key) {
				hashes = append(hashes, journal.Hash(raw, *st))
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
		n, err := verifyRecord(tx, record, len(entries) == 1 && named(key, entries[0].Entry.ID), v)
		if err != nil {
			return err
		}
		if n <= upTo {
			sums[record.Lot] = lotSum{sums[record.Lot].count + 1, sums[record.Lot].sum.Add(fold.HashOf(text))}
		}
	}
	if err := errors.Join(verifyRecordSums(tx, sums, v), v.left.compare(tx, v)); err != nil {
		return err
	}
	var stored int
	if err := tx.QueryRow("select count(*) from records").Scan(&stored); err != nil {
		return err
	}
	if stored != v.Records {
		v.complain("%d records are kept, but the entries make %d", stored, v.Records)
	}
	return nil
}

// verifyRecord compares one record with what is kept of it: its bytes, or for a lone one that there are none, and where
// it is filed. It returns the number of its row.
func verifyRecord(tx *sql.Tx, record schema.Record, lone bool, v *Verified) (n int64, err error) {
	var kept []byte
	var lot, bed string
	err = tx.QueryRow(`select r.n, r.json, coalesce(l.id, ''), coalesce(b.id, '') from records r
		left join registers l on l.n = r.lot left join registers b on b.n = r.bed where r.key = ?`, record.Key).Scan(&n, &kept, &lot, &bed)
	if errors.Is(err, sql.ErrNoRows) {
		v.complain("record %s is missing", record.Key)
		return 0, nil
	}
	if err != nil {
		return 0, err
	}
	if lot != record.Lot || bed != record.Bed {
		v.complain("record %s is filed under another lot or bed", record.Key)
	}
	if lone {
		if kept != nil {
			v.complain("record %s is kept folded, which a record of one entry is not", record.Key)
		}
		return n, nil
	}
	raw, err := fold.Text(record)
	if err != nil {
		return 0, err
	}
	if !bytes.Equal(raw, kept) {
		v.complain("record %s is not what its entries add up to", record.Key)
	}
	return n, nil
}

// verifyRecordSums compares the kept sums of the lots' records with those of the records just folded. A file of an older
// build has none.
func verifyRecordSums(tx *sql.Tx, own map[string]lotSum, v *Verified) error {
	if have, err := hasTable(tx, "record_sums"); err != nil || !have {
		return err
	}
	kept, err := sumsIn(tx, "record_sums")
	if err != nil {
		return err
	}
	for lot, sum := range own {
		if kept[lot] != sum {
			v.complain("the sum of the records of lot %q is not that of its records", lot)
		}
	}
	for lot, sum := range kept {
		if _, ok := own[lot]; !ok && sum != (lotSum{}) {
			v.complain("lot %q has a sum of records and no records", lot)
		}
	}
	return nil
}

// keysOf reads every entry once and lists, for each record key, the positions of its entries.
func keysOf(tx *sql.Tx) (map[string][]int64, error) {
	known, err := learnedIn(tx)
	if err != nil {
		return nil, err
	}
	rows, err := tx.Query("select position, bytes from entries order by position")
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	all := map[string][]int64{}
	for rows.Next() {
		var position int64
		var raw []byte
		if err := rows.Scan(&position, &raw); err != nil {
			return nil, err
		}
		entry, err := journal.Parse(raw)
		if err != nil {
			continue
		}
		for _, key := range known.keys(entry, position) {
			all[key] = append(all[key], position)
		}
	}
	return all, rows.Err()
}
