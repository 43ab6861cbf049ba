package lite

import (
	"context"
	"database/sql"
	"iter"

	"bedwalk/server/db"
	"bedwalk/server/journal"
)

// Keeps is journal.Checks'.
func (s snap) Keeps(table string) (has bool, err error) {
	err = s.tx.QueryRow("select count(*) > 0 from sqlite_schema where type = 'table' and name = ?", table).Scan(&has)
	return has, err
}

// Chained is journal.Checks'.
func (s snap) Chained() iter.Seq2[journal.Chained, error] {
	return each(s.tx, func(rows *sql.Rows) (c journal.Chained, err error) {
		err = rows.Scan(&c.N, &c.Device, &c.Incarnation, &c.High, bytesInto(c.Hash[:]), &c.Seq, &c.Bytes)
		return c, err
	}, `select w.n, w.device, w.inc, w.high, w.chain, coalesce(e.seq, 0), e.bytes from writers w left join (
			select writer, seq, bytes from entries union all select writer, seq, bytes from quarantine q
				where not exists (select 1 from entries where writer = q.writer and seq = q.seq)
		) e on e.writer = w.n order by w.n, e.seq`)
}

// Listed is journal.Checks'.
func (s snap) Listed() iter.Seq2[journal.PartAt, error] {
	return each(s.tx, scanPart, "select key, position from entry_keys")
}

// Marks is journal.Checks'.
func (s snap) Marks() (map[int64]string, error) {
	return byKey(s.tx, pair[int64, string], "select position, hash from marks")
}

// Filed is journal.Checks'.
func (s snap) Filed(keys []string) (map[string]journal.Filed, error) {
	wanted, err := list(keys)
	if err != nil {
		return nil, err
	}
	return byKey(s.tx, func(rows *sql.Rows) (key string, f journal.Filed, err error) {
		err = rows.Scan(&key, &f.N, &f.Text, &f.Lot, &f.Bed)
		return key, f, err
	}, `select r.key, r.n, r.json, coalesce(l.id, ''), coalesce(b.id, '') from json_each(?) j join records r on r.key = j.value
		left join registers l on l.n = r.lot left join registers b on b.n = r.bed`, wanted)
}

// CountRecords is journal.Checks'.
func (s snap) CountRecords() (n int, err error) {
	err = s.tx.QueryRow("select count(*) from records").Scan(&n)
	return n, err
}

// Leavings is journal.Checks'.
func (s snap) Leavings() iter.Seq2[journal.LeavingOf, error] {
	return each(s.tx, func(rows *sql.Rows) (l journal.LeavingOf, err error) {
		err = rows.Scan(append([]any{&l.Lot, &l.Sound}, leavingInto(&l.Leaving)...)...)
		return l, err
	}, `select coalesce(r.id, 'number ' || s.lot), length(s.sum) = 16 and length(s.record_sum) = 16, s.count, s.sum, s.records, s.record_sum
		from leaving_sums s left join registers r on r.n = s.lot`)
}

// Stays is journal.Checks'.
func (s snap) Stays() (map[int64]int64, error) {
	return byKey(s.tx, pair[int64, int64], "select position, since from staying")
}

// ClosedLots is journal.Checks'.
func (s snap) ClosedLots() ([]string, error) {
	return all(s.tx, value[string], "select r.id from closed_lots c join registers r on r.n = c.lot")
}

// Strange is journal.Checks'.
func (s snap) Strange() ([]string, error) {
	sums := ""
	if has, err := s.Keeps("record_sums"); err != nil {
		return nil, err
	} else if has {
		sums = ` union all
		select 'the sum of records numbered ' || lot from record_sums where length(sum) <> 16 or lot <> 0 and lot not in (select n from registers)`
	}
	return all(s.tx, value[string], `select 'record ' || key from records where lot <> 0 and lot not in (select n from registers) or bed <> 0 and bed not in (select n from registers)
		union all
		select 'the digest numbered ' || lot from digests where length(sum) <> 16 or lot <> 0 and lot not in (select n from registers)`+sums)
}

// LateBy is journal.Checks'.
func (s snap) LateBy(settings ...string) (at int64, late bool, err error) {
	names, err := list(settings)
	if err != nil {
		return 0, false, err
	}
	var last sql.NullInt64
	err = s.tx.QueryRow(`select max(at) from (select max(received_at) as at from entries union all select max(at) from entries
		union all select max(received_at) from quarantine)
		where at > (select max(cast(value as integer)) from meta where name in (select value from json_each(?)))`, names).Scan(&last)
	return last.Int64, last.Valid, err
}

// Unsealed is journal.Checks'.
func (s snap) Unsealed(tell func(table, key, wrong string)) error {
	_, err := db.CheckSeals(context.Background(), s.tx, tell)
	return err
}
