package pg

import (
	"iter"

	"github.com/jackc/pgx/v5"

	"bedwalk/server/journal"
	parsed "bedwalk/sync/journal"
)

// PotsIn is journal.Notes'. The bed stands in the bytes alone, so it is that of the first pot.
func (s snap) PotsIn(from, to int64) ([]journal.PotsMade, error) {
	return all(s, func(rows pgx.Rows) (m journal.PotsMade, err error) {
		var raw []byte
		err = rows.Scan(&m.Walk, &m.Person, &m.Pots, &m.Position, &m.At, &m.Until, &m.ReceivedAt, &raw)
		entry, _ := parsed.Parse(raw)
		m.Bed = entry.Bed
		return m, err
	}, `select encode(g.walk, 'hex'), g.person, g.pots, g.position, g.at, g.until, g.received_at, n.bytes
		from (select walk, person, count(*) as pots, min(position) as position, min(at) as at, max(at) as until, max(received_at) as received_at
			from notes where at >= $1 and at < $2 and walk <> '' group by walk, person) g
		cross join lateral (select bytes from notes where position = g.position offset 0) n`, from, to)
}

// MadeIn is journal.Notes'.
func (s snap) MadeIn(from, to int64) iter.Seq2[journal.Made, error] {
	after := int64(0)
	return paged(func(last *journal.Made, limit int) ([]journal.Made, error) {
		if last != nil {
			from, after = last.Stamp.At, last.Position
		}
		return all(s, func(rows pgx.Rows) (m journal.Made, err error) {
			err = rows.Scan(append(lineInto(&m.Line), &m.ReceivedAt)...)
			return m, err
		}, `select position, at, quality, at_from, at_to, bytes, received_at from notes
			where at >= $1 and at < $2 and walk = '' and (at > $1 or position > $3) order by at, position limit $4`, from, to, after, limit)
	})
}

// LastMade is journal.Notes'.
func (s snap) LastMade(before int64) (at int64, found bool, err error) {
	var last *int64
	if _, err := s.one("select max(at) from notes where at < $1", []any{before}, &last); err != nil || last == nil {
		return 0, false, err
	}
	return *last, true, nil
}

// LateIn is journal.Notes'. Whose a note is that is of no pot stands in its bytes alone; these are read a stretch of the journal at a time.
func (s snap) LateIn(after, upTo, before int64) iter.Seq2[journal.Late, error] {
	const (
		late    = "from notes where position > $1 and position <= $2 and at < $3 and "
		stretch = 5000
	)
	return func(yield func(journal.Late, error) bool) {
		some, err := all(s, func(rows pgx.Rows) (l journal.Late, err error) {
			err = rows.Scan(&l.Person, &l.At, &l.Notes)
			return l, err
		}, "select person, min(at), count(*) "+late+"walk <> '' group by person, at / 900000", after, upTo, before)
		for ; ; after += stretch {
			for _, one := range some {
				if !yield(one, nil) {
					return
				}
			}
			if err != nil {
				yield(journal.Late{}, err)
				return
			}
			if after >= upTo {
				return
			}
			some, err = all(s, func(rows pgx.Rows) (l journal.Late, err error) {
				var raw []byte
				err = rows.Scan(&l.At, &raw)
				entry, _ := parsed.Parse(raw)
				l.Person, l.Notes = entry.Person, 1
				return l, err
			}, "select at, bytes "+late+"walk = ''", after, min(after+stretch, upTo), before)
		}
	}
}
