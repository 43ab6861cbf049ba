package journal

import (
	"context"
	"database/sql"
	"encoding/json"
	"math"

	"bedwalk/schema"
	"bedwalk/sync/fold"
	"bedwalk/sync/journal"
)

// Snapshot reads records and entries as of one moment, so that nothing shown mixes two heads.
type Snapshot struct {
	tx *sql.Tx
	// Head is the position of the last note that has a part in what it reads.
	Head int64
}

// newest reads all that a transaction sees, its own writes too.
func newest(tx *sql.Tx) *Snapshot { return &Snapshot{tx, math.MaxInt64} }

// Read runs f on a snapshot.
func (s *Store) Read(ctx context.Context, f func(*Snapshot) error) error {
	return s.db.Read(ctx, func(tx *sql.Tx) error {
		snap := &Snapshot{tx: tx}
		if err := tx.QueryRow("select coalesce(max(position), 0) from entries").Scan(&snap.Head); err != nil {
			return err
		}
		return f(snap)
	})
}

// stored is a record as the file has it: folded, or its only entry.
const stored = `select r.n, r.key, r.changed, r.json, e.position, e.at, e.quality, e.at_from, e.at_to, e.bytes
	from records r left join entries e on r.json is null and e.id = unhex(substr(r.key, instr(r.key, ':') + 1)) `

// Record is one record by its key.
func (s *Snapshot) Record(key string) (record schema.Record, found bool, err error) {
	err = s.records("where r.key = ?", func(_ int64, r schema.Record) error {
		record, found = r, true
		return nil
	}, key)
	return record, found, err
}

// All visits every record, in the order of the keys.
func (s *Snapshot) All(visit func(schema.Record) error) error {
	return s.records("order by r.key", unnumbered(visit))
}

// OfKind visits every record of a kind ("bed", "lot", "pot", ...), in the order of the keys.
func (s *Snapshot) OfKind(kind string, visit func(schema.Record) error) error {
	return s.records("where r.key > ?1 || ':' and r.key < ?1 || ';' order by r.key", unnumbered(visit), kind)
}

// OfBed visits every record of a bed, in the order in which they first came.
func (s *Snapshot) OfBed(bed string, visit func(schema.Record) error) error {
	return s.records("where r.bed <> 0 and r.bed = (select n from registers where id = ?) order by r.n", unnumbered(visit), bed)
}

// OfLot visits every record of a lot, in the order in which they first came.
func (s *Snapshot) OfLot(lot string, visit func(schema.Record) error) error {
	return s.records("where r.lot <> 0 and r.lot = (select n from registers where id = ?) order by r.n", unnumbered(visit), lot)
}

// PotsAfter visits the next pots in the order of their keys, from the one after a key on ("" begins), at most limit.
func (s *Snapshot) PotsAfter(key string, limit int, visit func(schema.Record) error) error {
	return s.records("where r.key > ? and r.key between 'pot:' and 'pot;' order by r.key limit ?", unnumbered(visit), key, limit)
}

// FactsOfBed visits the facts of a bed, in the order in which they first came.
func (s *Snapshot) FactsOfBed(bed string, visit func(schema.Record) error) error {
	return s.records(`where r.bed <> 0 and r.bed = (select n from registers where id = ?) and r.key between 'fact:' and 'fact;'
		order by r.n`, unnumbered(visit), bed)
}

// FactsOfLot visits the facts of a lot, in the order in which they first came.
func (s *Snapshot) FactsOfLot(lot string, visit func(schema.Record) error) error {
	return s.records(`where r.lot <> 0 and r.lot = (select n from registers where id = ?) and r.key between 'fact:' and 'fact;'
		order by r.n`, unnumbered(visit), lot)
}

// WalkedSince visits the pots and walks of a bed that changed after some head (0: all), each with its number. A record
// keeps its number while it is there, and numbers rise in the order in which the records first came.
func (s *Snapshot) WalkedSince(bed string, head int64, visit func(int64, schema.Record) error) error {
	return s.records(`where r.bed <> 0 and r.bed = (select n from registers where id = ?) and r.changed > ?
		and (r.key between 'pot:' and 'pot;' or r.key between 'walk:' and 'walk;') order by r.n`, visit, bed, head)
}

// Numbered visits the records that have these numbers, in the order of the numbers. One that is not there is left out.
func (s *Snapshot) Numbered(numbers []int64, visit func(int64, schema.Record) error) error {
	wanted, err := list(numbers)
	if err != nil {
		return err
	}
	return s.records("where r.n in (select value from json_each(?)) order by r.n", visit, wanted)
}

// EntriesOf are the entries that have a part in a record, in the order of their positions; one that can no longer be read
// is left out.
func (s *Snapshot) EntriesOf(key string) ([]schema.Stamped, error) {
	all, err := s.entries(`select position, at, quality, at_from, at_to, bytes from entries where id = unhex(?2)
		or position in (select position from entry_keys where key = ?1) order by position`, key, nameOf(key))
	return upToPosition(all, s.Head), err
}

// Changed is a record that has changed, and where it belongs now. Several is true where it may be folded from more than one entry.
type Changed struct {
	Key, Lot, Bed string
	Several       bool
}

// ChangedSince visits every record that changed after some head.
func (s *Snapshot) ChangedSince(head int64, visit func(Changed)) error {
	rows, err := s.tx.Query(`select r.key, coalesce(l.id, ''), coalesce(b.id, ''), r.json is not null from records r
		left join registers l on l.n = r.lot left join registers b on b.n = r.bed where r.changed > ?`, head)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		var c Changed
		if err := rows.Scan(&c.Key, &c.Lot, &c.Bed, &c.Several); err != nil {
			return err
		}
		visit(c)
	}
	return rows.Err()
}

// History gives the newest entries about a lot, newest first by merge order, at most limit.
func (s *Snapshot) History(lot string, before HistoryPlace, limit int) ([]schema.Stamped, error) {
	// The bytes of those alone that are given are put together.
	return s.entries(`select position, at, quality, at_from, at_to, bytes from entries where position in (select position from entries
		where lot = (select n from registers where id = ?) and (at, position) < (?, ?) order by at desc, position desc limit ?)
		order by at desc, position desc`, lot, before.At, before.Position, limit)
}

// HistoryPlace is where a page of a history ends: before the note of this time (ms since 1970) and this position.
type HistoryPlace struct{ At, Position int64 }

// Newest is the place behind every note.
var Newest = HistoryPlace{math.MaxInt64, math.MaxInt64}

// Entry is one merged entry by its id.
func (s *Snapshot) Entry(id string) (schema.Stamped, bool, error) {
	all, err := s.entries("select position, at, quality, at_from, at_to, bytes from entries where id = unhex(?)", id)
	if err != nil || len(all) == 0 {
		return schema.Stamped{}, false, err
	}
	return all[0], true, nil
}

func (s *Snapshot) entries(query string, args ...any) ([]schema.Stamped, error) {
	rows, err := s.tx.Query(query, args...)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	all := []schema.Stamped{}
	for rows.Next() {
		var one schema.Stamped
		var raw []byte
		st := &one.Stamp
		if err := rows.Scan(&one.Position, &st.At, &st.Quality, &st.From, &st.To, &raw); err != nil {
			return nil, err
		}
		if one.Entry, err = journal.Parse(raw); err != nil {
			// Damaged in the file, which verify tells.
			continue
		}
		all = append(all, one)
	}
	return all, rows.Err()
}

func unnumbered(visit func(schema.Record) error) func(int64, schema.Record) error {
	return func(_ int64, r schema.Record) error { return visit(r) }
}

func (s *Snapshot) records(which string, visit func(int64, schema.Record) error, args ...any) error {
	rows, err := s.tx.Query(stored+which, args...)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		n, record, ok, err := s.scanRecord(rows)
		if err != nil {
			return err
		}
		if !ok {
			continue
		}
		if err := visit(n, record); err != nil {
			return err
		}
	}
	return rows.Err()
}

// scanRecord is false for a record that can no longer be read or folded. The others are not to go unread for it; verify
// tells of it.
func (s *Snapshot) scanRecord(rows *sql.Rows) (n int64, record schema.Record, ok bool, err error) {
	var key string
	var changed int64
	var folded, raw []byte
	var position, at, from, to sql.NullInt64
	var quality sql.NullString
	if err := rows.Scan(&n, &key, &changed, &folded, &position, &at, &quality, &from, &to, &raw); err != nil {
		return n, record, false, err
	}
	switch {
	case folded == nil && position.Int64 > s.Head:
		return n, record, false, nil
	case folded != nil && changed > s.Head:
		record, ok, err = s.past(key)
		return n, record, ok, err
	case folded != nil:
		ok = json.Unmarshal(folded, &record) == nil
		return n, record, ok, nil
	}
	entry, err := journal.Parse(raw)
	if err != nil {
		return n, record, false, nil
	}
	record, ok, err = fold.Try(key, []schema.Stamped{{
		Entry: entry, Position: position.Int64,
		Stamp: schema.Stamp{At: at.Int64, Quality: schema.Quality(quality.String), From: from.Int64, To: to.Int64},
	}})
	return n, record, ok && err == nil, nil
}
