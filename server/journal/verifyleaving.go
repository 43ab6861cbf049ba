package journal

import (
	"database/sql"
	"strings"

	"bedwalk/schema"
	"bedwalk/sync/fold"
	"bedwalk/sync/journal"
)

// leftOver is what verify makes again from the entries of what first pulls go by.
type leftOver struct {
	// staying has, of each entry that stays, from which position on.
	staying map[int64]int64
	sums    map[string]leaving
	// lots and stocks are records by their lot, spans by that they belong to.
	lots, stocks map[string]schema.Record
	spans        map[string][]schema.Record
}

func newLeftOver() *leftOver {
	return &leftOver{staying: map[int64]int64{}, sums: map[string]leaving{}, lots: map[string]schema.Record{}, stocks: map[string]schema.Record{}, spans: map[string][]schema.Record{}}
}

// entry counts an entry that stays by its kind.
func (l *leftOver) entry(e schema.Entry, keys []string, position int64) {
	if e.Lot != "" && !fold.InOne(e, keys) {
		l.staying[position] = position
	}
}

// record counts the entries of one record, which stand in the order of their positions, and the record, whose canonical bytes are text:
// nil where it has none.
func (l *leftOver) record(key string, entries []schema.Stamped, hashes []journal.Sum, record schema.Record, text []byte) {
	kind, id, _ := strings.Cut(key, ":")
	switch {
	case kind == "lot":
		l.lots[id] = record
	case kind == "stock":
		l.stocks[id] = record
	case kind == "span":
		l.spans[record.Lot] = append(l.spans[record.Lot], record)
	case ofNotes(key):
		lot, strayed := fold.Whole(key, entries)
		if strayed > 0 {
			for _, e := range entries {
				if _, ok := l.staying[e.Position]; e.Entry.Lot != "" && !ok {
					l.staying[e.Position] = max(e.Position, strayed)
				}
			}
			return
		}
		sum := l.sums[lot]
		for _, hash := range hashes {
			sum.notes = sum.notes.plus(1, hash)
		}
		if text != nil {
			sum.records = sum.records.plus(1, fold.HashOf(text))
		}
		l.sums[lot] = sum
	}
}

// compare holds it against the tables. While an older file is being read they are not complete.
func (l *leftOver) compare(tx *sql.Tx, v *Verified) error {
	if have, err := hasTable(tx, "leaving_sums"); err != nil || !have {
		return err
	}
	if known, err := leavingKnown(tx); err != nil || !known {
		return err
	}
	if err := l.compareStaying(tx, v); err != nil {
		return err
	}
	rows, err := tx.Query(`select coalesce(r.id, 'number ' || s.lot), length(s.sum) = 16 and length(s.record_sum) = 16, s.count, s.sum, s.records, s.record_sum
		from leaving_sums s left join registers r on r.n = s.lot`)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		var lot string
		var kept leaving
		var sums bool
		if err := kept.scan(rows.Scan, &lot, &sums); err != nil {
			return err
		}
		if !sums || kept != l.sums[lot] {
			v.complain("the sum of what first pulls may leave out of lot %q is not that of its entries", lot)
		}
		delete(l.sums, lot)
	}
	for lot, sum := range l.sums {
		if sum != (leaving{}) {
			v.complain("lot %q has no sum of what first pulls may leave out", lot)
		}
	}
	return l.compareClosed(tx, v)
}

func (l *leftOver) compareStaying(tx *sql.Tx, v *Verified) error {
	rows, err := tx.Query("select position, since from staying")
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		var position, since int64
		if err := rows.Scan(&position, &since); err != nil {
			return err
		}
		if l.staying[position] != since {
			v.complain("entry %d is not one that first pulls give from head %d on", position, since)
		}
		delete(l.staying, position)
	}
	for position := range l.staying {
		v.complain("entry %d is not listed as one that first pulls never leave out", position)
	}
	return rows.Err()
}

func (l *leftOver) compareClosed(tx *sql.Tx, v *Verified) error {
	listed, err := column[string](tx.Query("select r.id from closed_lots c join registers r on r.n = c.lot"))
	if err != nil {
		return err
	}
	for _, lot := range listed {
		if !fold.Closed(l.lots[lot], l.stocks[lot], l.spans[lot]) {
			v.complain("lot %q is listed as closed, and is not", lot)
		}
		delete(l.lots, lot)
	}
	for lot, record := range l.lots {
		if fold.Closed(record, l.stocks[lot], l.spans[lot]) {
			v.complain("lot %q is closed, and is not listed so", lot)
		}
	}
	return nil
}
