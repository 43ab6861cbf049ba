package pg

import (
	"github.com/jackc/pgx/v5"

	"bedwalk/server/journal"
)

// NoteSum is journal.Sums'.
func (s snap) NoteSum(lot int64) (journal.LotSum, error) { return s.sumOf("digests", lot) }

// RecordSum is journal.Sums'.
func (s snap) RecordSum(lot int64) (journal.LotSum, error) { return s.sumOf("record_sums", lot) }

func (s snap) sumOf(table string, lot int64) (one journal.LotSum, err error) {
	_, err = s.one("select count, sum from "+table+" where lot = $1", []any{lot}, &one.Count, bytesInto(one.Sum[:]))
	return one, err
}

// LeavingSum is journal.Sums'.
func (s snap) LeavingSum(lot int64) (l journal.Leaving, err error) {
	_, err = s.one("select count, sum, records, record_sum from leaving_sums where lot = $1", []any{lot}, leavingInto(&l)...)
	return l, err
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
	return byKey(s, func(rows pgx.Rows) (lot string, one journal.LotSum, err error) {
		err = rows.Scan(&lot, &one.Count, bytesInto(one.Sum[:]))
		return lot, one, err
	}, "select coalesce(t.id, ''), d.count, d.sum from "+table+" d left join registers t on t.n = d.lot")
}

// Lots is journal.Sums'.
func (s snap) Lots(ids []string) ([]int64, error) {
	return values[int64](s, "select n from registers where id = any($1::text[])", ids)
}

// Gone is journal.Sums'.
func (s snap) Gone(but journal.LeftOut, after string, limit int) (map[string]journal.Leaving, error) {
	return byKey(s, func(rows pgx.Rows) (lot string, l journal.Leaving, err error) {
		err = rows.Scan(append([]any{&lot}, leavingInto(&l)...)...)
		return lot, l, err
	}, `with gone (lot, count, sum, records, record_sum) as (
			select c.lot, l.count, l.sum, l.records, l.record_sum from closed_lots c join leaving_sums l on l.lot = c.lot
				where c.since <= $1 and c.last_at < $2
			union all select lot, count, sum, records, record_sum from closed_before where since <= $1 and until > $1 and last_at < $2)
		select r.id, l.count, l.sum, l.records, l.record_sum from gone l join registers r on r.n = l.lot
			where l.count > 0 and r.id > $3 order by r.id limit $4`, but.UpTo, but.Before, after, limit)
}

// Strayed is journal.Sums'.
func (s snap) Strayed(position int64) ([]int64, error) {
	return values[int64](s, "select position from staying where since > $1 and position <= $1", position)
}

// Touched is journal.Sums'.
func (s snap) Touched(lot int64, id string) (int64, error) {
	return value[int64](s, `select coalesce(max(at), 0) from (select max(received_at) as at from notes where lot = $1
		union all
		select max(e.received_at) from records r join entry_keys k on k.key = r.key join notes e on e.position = k.position
			where r.lot = $1 and r.lot <> 0 and (r.key in ($2, $3) or r.key between 'span:' and 'span;')) both_of`, lot, "lot:"+id, "stock:"+id)
}

// PutNoteSum is journal.Tx's.
func (t *tx) PutNoteSum(lot int64, s journal.LotSum) error { return t.putSum("digests", lot, s) }

// PutRecordSum is journal.Tx's.
func (t *tx) PutRecordSum(lot int64, s journal.LotSum) error { return t.putSum("record_sums", lot, s) }

func (t *tx) putSum(table string, lot int64, s journal.LotSum) error {
	return t.queue("insert into "+table+` (lot, count, sum) values ($1, $2, $3)
		on conflict (site, lot) do update set count = excluded.count, sum = excluded.sum`, lot, s.Count, s.Sum[:])
}

// PutLeaving is journal.Tx's.
func (t *tx) PutLeaving(lot int64, l journal.Leaving) error {
	return t.queue(`insert into leaving_sums (lot, count, sum, records, record_sum) values ($1, $2, $3, $4, $5) on conflict (site, lot) do update set
		count = excluded.count, sum = excluded.sum, records = excluded.records, record_sum = excluded.record_sum`,
		lot, l.Notes.Count, l.Notes.Sum[:], l.Records.Count, l.Records.Sum[:])
}

// Stay is journal.Tx's.
func (t *tx) Stay(position, since int64) error {
	return t.queue("insert into staying (position, since) values ($1, $2) on conflict do nothing", position, since)
}

// Reopen is journal.Tx's.
func (t *tx) Reopen(lot, until int64) error {
	if err := t.queue(`insert into closed_before (lot, since, until, last_at, count, sum, records, record_sum)
		select c.lot, c.since, $1, c.last_at, l.count, l.sum, l.records, l.record_sum
		from closed_lots c join leaving_sums l on l.lot = c.lot where c.lot = $2 and l.count > 0 on conflict do nothing`, until, lot); err != nil {
		return err
	}
	return t.queue("delete from closed_lots where lot = $1", lot)
}

// Close is journal.Tx's.
func (t *tx) Close(lot, since, lastAt int64) error {
	return t.queue("insert into closed_lots (lot, since, last_at) values ($1, $2, $3) on conflict do nothing", lot, since, lastAt)
}
