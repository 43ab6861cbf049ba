package pg

import (
	"iter"

	"github.com/jackc/pgx/v5"

	"bedwalk/server/journal"
)

// Keeps is journal.Checks'.
func (s snap) Keeps(table string) (bool, error) {
	return value[bool](s, "select exists (select 1 from pg_class where relnamespace = current_schema()::regnamespace and relkind = 'r' and relname = $1::text)", table)
}

// Chained is journal.Checks'.
func (s snap) Chained() iter.Seq2[journal.Chained, error] {
	return func(yield func(journal.Chained, error) bool) {
		writers, err := all(s, func(rows pgx.Rows) (c journal.Chained, err error) {
			err = rows.Scan(&c.N, &c.Device, &c.Incarnation, &c.High, bytesInto(c.Hash[:]))
			return c, err
		}, "select n, device, inc, high, chain from writers order by n")
		if err != nil {
			yield(journal.Chained{}, err)
			return
		}
		for _, writer := range writers {
			any := false
			for one, err := range s.chainOf(writer) {
				if any = true; !yield(one, err) {
					return
				}
			}
			if !any && !yield(writer, nil) {
				return
			}
		}
	}
}

// chainOf are the notes of one writer.
func (s snap) chainOf(writer journal.Chained) iter.Seq2[journal.Chained, error] {
	return paged(func(last *journal.Chained, limit int) ([]journal.Chained, error) {
		after := int64(0)
		if last != nil {
			after = last.Seq
		}
		return all(s, func(rows pgx.Rows) (journal.Chained, error) {
			one := writer
			err := rows.Scan(&one.Seq, &one.Bytes)
			return one, err
		}, `select seq, bytes from notes where writer = $1 and seq > $2
			union all
			select seq, bytes from quarantine q where writer = $1 and seq > $2 and not exists (select 1 from notes e where e.writer = q.writer and e.seq = q.seq)
			order by seq limit $3`, writer.N, after, limit)
	})
}

// Listed is journal.Checks'.
func (s snap) Listed() iter.Seq2[journal.PartAt, error] {
	return paged(func(last *journal.PartAt, limit int) ([]journal.PartAt, error) {
		after := journal.PartAt{}
		if last != nil {
			after = *last
		}
		return all(s, func(rows pgx.Rows) (p journal.PartAt, err error) {
			err = rows.Scan(&p.Key, &p.Position)
			return p, err
		}, "select key, position from entry_keys where (key, position) > ($1, $2) order by key, position limit $3", after.Key, after.Position, limit)
	})
}

// Marks is journal.Checks'.
func (s snap) Marks() (map[int64]string, error) {
	return byKey(s, func(rows pgx.Rows) (position int64, hash string, err error) {
		var raw []byte
		err = rows.Scan(&position, &raw)
		return position, string(raw), err
	}, "select position, hash from marks")
}

// Filed is journal.Checks'.
func (s snap) Filed(keys []string) (map[string]journal.Filed, error) {
	return byKey(s, func(rows pgx.Rows) (key string, f journal.Filed, err error) {
		err = rows.Scan(&key, &f.N, &f.Text, &f.Lot, &f.Bed)
		return key, f, err
	}, `select r.key, r.n, r.json, coalesce(l.id, ''), coalesce(b.id, '') from unnest($1::text[]) j(key)
		cross join lateral (select key, n, json, lot, bed from records where key = j.key offset 0) r
		left join registers l on l.n = r.lot left join registers b on b.n = r.bed`, keys)
}

// CountRecords is journal.Checks'.
func (s snap) CountRecords() (int, error) { return value[int](s, "select count(*) from records") }

// Leavings is journal.Checks'.
func (s snap) Leavings() iter.Seq2[journal.LeavingOf, error] {
	return whole(all(s, func(rows pgx.Rows) (l journal.LeavingOf, err error) {
		err = rows.Scan(append([]any{&l.Lot, &l.Sound}, leavingInto(&l.Leaving)...)...)
		return l, err
	}, `select coalesce(r.id, 'number ' || s.lot), length(s.sum) = 16 and length(s.record_sum) = 16, s.count,
		case when length(s.sum) = 16 then s.sum end, s.records, case when length(s.record_sum) = 16 then s.record_sum end
		from leaving_sums s left join registers r on r.n = s.lot`))
}

// Stays is journal.Checks'.
func (s snap) Stays() (map[int64]int64, error) {
	return byKey(s, pair[int64, int64], "select position, since from staying")
}

// ClosedLots is journal.Checks'.
func (s snap) ClosedLots() ([]string, error) {
	return values[string](s, "select r.id from closed_lots c join registers r on r.n = c.lot")
}

// Strange is journal.Checks'.
func (s snap) Strange() ([]string, error) {
	const lost = "lot <> 0 and not exists (select 1 from registers where n = t.lot)"
	return values[string](s, `select 'record ' || key from records t where `+lost+` or bed <> 0 and not exists (select 1 from registers where n = t.bed)
		union all
		select 'the digest numbered ' || lot from digests t where length(sum) <> 16 or `+lost+`
		union all
		select 'the sum of records numbered ' || lot from record_sums t where length(sum) <> 16 or `+lost)
}

// LateBy is journal.Checks'.
func (s snap) LateBy(settings ...string) (at int64, late bool, err error) {
	var last *int64
	if _, err := s.one(`select max(at) from (select max(received_at) as at from notes union all select max(at) from notes
		union all select max(received_at) from quarantine) times
		where at > (select max(case when value ~ '^-?[0-9]{1,18}$' then value::bigint else 0 end) from meta where name = any($1::text[]))`,
		[]any{settings}, &last); err != nil || last == nil {
		return 0, false, err
	}
	return *last, true, nil
}

// Unsealed is journal.Checks'. Rows have no seals here: seals find what another program changed in a file that anybody's program opens, and a database asks
// who it is first.
func (s snap) Unsealed(func(table, key, wrong string)) error { return nil }
