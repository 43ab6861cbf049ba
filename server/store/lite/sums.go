package lite

import (
	"database/sql"

	"bedwalk/server/journal"
)

// NoteSum is journal.Sums'.
func (s snap) NoteSum(lot int64) (journal.LotSum, error) { return s.sumOf("digests", lot) }

// RecordSum is journal.Sums'.
func (s snap) RecordSum(lot int64) (journal.LotSum, error) { return s.sumOf("record_sums", lot) }

func (s snap) sumOf(table string, lot int64) (one journal.LotSum, err error) {
	err = s.tx.QueryRow("select count, sum from "+table+" where lot = ?", lot).Scan(&one.Count, bytesInto(one.Sum[:]))
	return one, ignoreNone(err)
}

// LeavingSum is journal.Sums'.
func (s snap) LeavingSum(lot int64) (l journal.Leaving, err error) {
	err = s.tx.QueryRow("select count, sum, records, record_sum from leaving_sums where lot = ?", lot).Scan(leavingInto(&l)...)
	return l, ignoreNone(err)
}

// leavingInto is where count, sum, records and record_sum are read into.
func leavingInto(l *journal.Leaving) []any {
	return []any{&l.Notes.Count, bytesInto(l.Notes.Sum[:]), &l.Records.Count, bytesInto(l.Records.Sum[:])}
}

// NoteSums is journal.Sums'.
func (s snap) NoteSums() (map[string]journal.LotSum, error) { return s.sumsOf("digests") }

// RecordSums is journal.Sums'.
func (s snap) RecordSums() (map[string]journal.LotSum, error) { return s.sumsOf("record_sums") }

func (s snap) sumsOf(table string) (map[string]journal.LotSum, error) {
	return byKey(s.tx, func(rows *sql.Rows) (lot string, one journal.LotSum, err error) {
		err = rows.Scan(&lot, &one.Count, bytesInto(one.Sum[:]))
		return lot, one, err
	}, "select coalesce(t.id, ''), d.count, d.sum from "+table+" d left join registers t on t.n = d.lot")
}

// Lots is journal.Sums'.
func (s snap) Lots(ids []string) ([]int64, error) {
	wanted, err := list(ids)
	if err != nil {
		return nil, err
	}
	return all(s.tx, value[int64], "select n from registers where id in (select value from json_each(?))", wanted)
}

// Gone is journal.Sums'.
func (s snap) Gone(but journal.LeftOut, after string, limit int) (map[string]journal.Leaving, error) {
	return byKey(s.tx, func(rows *sql.Rows) (lot string, l journal.Leaving, err error) {
		err = rows.Scan(append([]any{&lot}, leavingInto(&l)...)...)
		return lot, l, err
	}, `with left (lot, count, sum, records, record_sum) as (
			select c.lot, l.count, l.sum, l.records, l.record_sum from closed_lots c join leaving_sums l on l.lot = c.lot
				where c.since <= ?1 and c.last_at < ?2
			union all select lot, count, sum, records, record_sum from closed_before where since <= ?1 and until > ?1 and last_at < ?2)
		select r.id, l.count, l.sum, l.records, l.record_sum from left l join registers r on r.n = l.lot
			where l.count > 0 and r.id > ?3 order by r.id limit ?4`, but.UpTo, but.Before, after, limit)
}

// Strayed is journal.Sums'.
func (s snap) Strayed(position int64) ([]int64, error) {
	return all(s.tx, value[int64], "select position from staying where since > ?1 and position <= ?1", position)
}

// Touched is journal.Sums'.
func (s snap) Touched(lot int64, id string) (at int64, err error) {
	err = s.tx.QueryRow(`select coalesce(max(received_at), 0) from entries where lot = ?1 or position in (select position from entry_keys
		where key in (select key from records where lot = ?1 and (key in ('lot:' || ?2, 'stock:' || ?2) or key between 'span:' and 'span;')))`, lot, id).Scan(&at)
	return at, err
}

// PutNoteSum is journal.Tx's.
func (t *tx) PutNoteSum(lot int64, s journal.LotSum) error { return putSum(t.hot.digest, lot, s) }

// PutRecordSum is journal.Tx's.
func (t *tx) PutRecordSum(lot int64, s journal.LotSum) error { return putSum(t.hot.recordSum, lot, s) }

func putSum(into *sql.Stmt, lot int64, s journal.LotSum) error {
	_, err := into.Exec(lot, s.Count, s.Sum[:])
	return err
}

// PutLeaving is journal.Tx's.
func (t *tx) PutLeaving(lot int64, l journal.Leaving) error {
	_, err := t.hot.leaving.Exec(lot, l.Notes.Count, l.Notes.Sum[:], l.Records.Count, l.Records.Sum[:])
	return err
}

// Stay is journal.Tx's.
func (t *tx) Stay(position, since int64) error {
	_, err := t.hot.stay.Exec(position, since)
	return err
}

// Reopen is journal.Tx's.
func (t *tx) Reopen(lot, until int64) error {
	if err := t.exec(`insert or ignore into closed_before select c.lot, c.since, ?, c.last_at, l.count, l.sum, l.records, l.record_sum
		from closed_lots c join leaving_sums l on l.lot = c.lot where c.lot = ? and l.count > 0`, until, lot); err != nil {
		return err
	}
	return t.exec("delete from closed_lots where lot = ?", lot)
}

// Close is journal.Tx's.
func (t *tx) Close(lot, since, lastAt int64) error {
	return t.exec("insert or ignore into closed_lots values (?, ?, ?)", lot, since, lastAt)
}
