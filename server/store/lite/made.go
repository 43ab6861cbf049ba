package lite

import (
	"database/sql"
	"iter"

	"bedwalk/server/journal"
	parsed "bedwalk/sync/journal"
)

// madeOn is the day of a note's stamp by the clock of Greenwich, as its index has it.
const madeOn = "at / 86400000"

// within are the notes whose stamps are in a time, and ofPots those of them that PotsIn counts, by columns alone.
const (
	within = madeOn + " between ?1 / 86400000 and ?2 / 86400000 and at >= ?1 and at < ?2"
	ofPots = "walk <> 0 and shape in (select n from pots)"
)

// PotsIn is journal.Notes'. A sitting is of one person; that several sittings are of the same one is for the caller to add up.
func (s snap) PotsIn(from, to int64) ([]journal.PotsMade, error) {
	return all(s.tx, func(rows *sql.Rows) (m journal.PotsMade, err error) {
		var sitting string
		err = rows.Scan(&m.Walk, &sitting, &m.Bed, &m.Pots, &m.Position, &m.At, &m.Until, &m.ReceivedAt)
		m.Person = personOf(sitting)
		return m, err
	}, pots+`, noted as (select walk, sitting, bed, count(*) as pots, min(position) as position, min(at) as at, max(at) as until, max(at + received_by) as received_at
			from notes where `+within+" and "+ofPots+` group by walk, sitting, bed)
		select lower(hex((select m.id from names m where m.n = walk))), coalesce((select m.id from names m where m.n = sitting), ''), coalesce((select r.id from registers r where r.n = bed), ''),
			pots, position, at, until, received_at from noted`, from, to)
}

// MadeIn is journal.Notes'.
func (s snap) MadeIn(from, to int64) iter.Seq2[journal.Made, error] {
	return each(s.tx, func(rows *sql.Rows) (m journal.Made, err error) {
		err = rows.Scan(&m.Position, &m.Stamp.At, &m.Stamp.Quality, &m.Stamp.From, &m.Stamp.To, &m.Bytes, &m.ReceivedAt)
		return m, err
	}, pots+` select position, at, quality, at_from, at_to, bytes, received_at from entries
		where position in (select position from notes where `+within+" and not ("+ofPots+"))", from, to)
}

// LastMade is journal.Notes'.
func (s snap) LastMade(before int64) (at int64, found bool, err error) {
	var last sql.NullInt64
	err = s.tx.QueryRow("select max(at) from notes where at < ?1 and "+madeOn+" = (select "+madeOn+" from notes where "+madeOn+" <= ?1 / 86400000 and at < ?1 order by "+madeOn+" desc limit 1)", before).
		Scan(&last)
	return last.Int64, last.Valid, err
}

// LateIn is journal.Notes'.
func (s snap) LateIn(after, upTo, before int64) iter.Seq2[journal.Late, error] {
	return each(s.tx, func(rows *sql.Rows) (l journal.Late, err error) {
		var sitting string
		var raw []byte
		if err := rows.Scan(&sitting, &raw, &l.At, &l.Notes); err != nil {
			return l, err
		}
		if l.Person = personOf(sitting); raw != nil {
			entry, _ := parsed.Parse(raw)
			l.Person = entry.Person
		}
		return l, nil
	}, `with late as (select position, sitting, shape, at, body from notes where position > ?1 and position <= ?2 and at < ?3)
		select coalesce((select m.id from names m where m.n = sitting), ''), null, min(at), count(*) from late where shape <> 0 group by sitting, at / 900000
		union all
		select '', body, at, 1 from late where shape = 0`, after, upTo, before)
}
