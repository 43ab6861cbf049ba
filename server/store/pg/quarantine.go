package pg

import (
	"encoding/json"

	"github.com/jackc/pgx/v5"

	"bedwalk/schema"
	"bedwalk/server/journal"
)

// undecided are the states of notes that wait for a decision, ofDevice those of a device.
const (
	undecided = "q.state in ('quarantined', 'review')"
	ofDevice  = "from quarantine q join writers w on w.n = q.writer where w.device = $1 and " + undecided
)

// Waiting is journal.Quarantine's.
func (s snap) Waiting(n int64) (w journal.Waiting, found bool, err error) {
	var faults string
	found, err = s.one(`select q.n, q.id, q.state, w.n, w.device, w.inc, q.seq, q.at, q.quality, q.at_from, q.at_to, q.received_at, q.bytes, q.faults
		from quarantine q join writers w on w.n = q.writer where q.n = $1 and `+undecided, []any{n},
		&w.N, &w.ID, &w.State, &w.Writer, &w.By.Device, &w.By.Incarnation, &w.Seq, &w.Stamp.At, &w.Stamp.Quality, &w.Stamp.From, &w.Stamp.To, &w.ReceivedAt, &w.Bytes, &faults)
	if err != nil || !found {
		return w, false, err
	}
	w.By.Seq = w.Seq
	return w, true, json.Unmarshal([]byte(faults), &w.Faults)
}

func scanQuarantined(rows pgx.Rows) (q journal.Quarantined, err error) {
	var faults string
	if err := rows.Scan(&q.N, &q.State, &q.Device, &q.ReceivedAt, &q.Raw, &faults); err != nil {
		return q, err
	}
	return q, json.Unmarshal([]byte(faults), &q.Faults)
}

// WaitingEach is journal.Quarantine's.
func (s snap) WaitingEach(limit int) ([]journal.Quarantined, error) {
	return all(s, scanQuarantined, `select q.n, q.state, shown.device, q.received_at, q.bytes, q.faults from (
			select q.n, w.device, row_number() over (partition by w.device order by q.n desc) as turn
				from quarantine q join writers w on w.n = q.writer where `+undecided+`
			order by turn, q.n desc limit $1) shown
		join quarantine q on q.n = shown.n order by shown.turn, q.n desc`, limit)
}

// WaitingOf is journal.Quarantine's.
func (s snap) WaitingOf(device string, before int64, limit int) ([]journal.Quarantined, error) {
	return all(s, scanQuarantined, "select q.n, q.state, w.device, q.received_at, q.bytes, q.faults "+ofDevice+
		" and ($2::bigint = 0 or q.n < $2) order by q.n desc limit $3", device, before, limit)
}

// WaitingFrom is journal.Quarantine's.
func (s snap) WaitingFrom(device string, after, upTo int64, limit int) ([]int64, error) {
	return values[int64](s, "select q.n "+ofDevice+" and q.n > $2 and q.n <= $3 order by q.n limit $4", device, after, upTo, limit)
}

// WaitingCounts is journal.Quarantine's.
func (s snap) WaitingCounts(limit int) ([]schema.QuarantineCount, error) {
	return all(s, func(rows pgx.Rows) (one schema.QuarantineCount, err error) {
		err = rows.Scan(&one.Device, &one.Count, &one.UpTo, &one.Since)
		return one, err
	}, `select w.device, count(*), max(q.n), min(q.received_at) from quarantine q join writers w on w.n = q.writer
		where `+undecided+` group by w.device order by max(q.n) desc limit $1`, limit)
}

// CountWaiting is journal.Quarantine's.
func (s snap) CountWaiting() (int, error) {
	return value[int](s, "select count(*) from quarantine q where "+undecided)
}

// SizeOf is journal.Quarantine's.
func (s snap) SizeOf(device string, decided bool) (notes, bytes int64, err error) {
	_, err = s.one(`select count(*), coalesce(sum(length(q.bytes)), 0)::bigint from quarantine q join writers w on w.n = q.writer
		where w.device = $1 and (`+undecided+` or $2::boolean and q.state <> 'merged')`, []any{device, decided}, &notes, &bytes)
	return notes, bytes, err
}

// HasOpaque is journal.Quarantine's.
func (s snap) HasOpaque(device string, raw []byte) (bool, error) {
	return value[bool](s, "select exists (select 1 from quarantine q join writers w on w.n = q.writer where q.id_begins = '' and q.id = '' and q.bytes = $1 and w.device = $2)", raw, device)
}

// Awaiting is journal.Quarantine's.
func (s snap) Awaiting(keys []string) ([]int64, error) {
	return values[int64](s, `select distinct w.n from unnest($1::text[]) j(key)
		cross join lateral (select n from awaited where key = j.key offset 0) w order by w.n`, keys)
}

// PutQuarantine is journal.Tx's.
func (t *tx) PutQuarantine(q journal.NewQuarantined) (int64, error) {
	faults, err := faultsText(q.Faults)
	if err != nil {
		return 0, err
	}
	return value[int64](t.snap, `insert into quarantine (n, id, writer, seq, state, at, quality, at_from, at_to, received_at, bytes, faults, position)
		select coalesce(max(n), 0) + 1, $1, $2::bigint, $3::bigint, $4, $5::bigint, $6, $7::bigint, $8::bigint, $9::bigint, $10::bytea, $11, $12::bigint
		from quarantine returning n`,
		q.ID, q.Writer, q.Seq, q.State, q.Stamp.At, string(q.Stamp.Quality), q.Stamp.From, q.Stamp.To, q.ReceivedAt, q.Raw, faults, q.Position)
}

// faultsText is "[]" for no fault, never "null".
func faultsText(faults []schema.Fault) (string, error) {
	if faults == nil {
		return "[]", nil
	}
	raw, err := json.Marshal(faults)
	return string(raw), err
}

// Decide is journal.Tx's.
func (t *tx) Decide(n int64, d journal.Decision) (bool, error) {
	rows, err := t.changed("update quarantine as q set state = $1, position = $2, decided_by = $3, decided_at = $4 where n = $5 and "+undecided,
		d.State, d.Position, d.By, d.At, n)
	if err != nil || rows == 0 {
		return false, err
	}
	return true, t.queue("delete from awaited where n = $1", n)
}

// Await is journal.Tx's.
func (t *tx) Await(n int64, key string) error {
	return t.queue("insert into awaited (key, n) values ($1, $2) on conflict do nothing", key, n)
}

// Fault is journal.Tx's.
func (t *tx) Fault(n int64, faults []schema.Fault) error {
	words, err := faultsText(faults)
	if err != nil {
		return err
	}
	if err := t.queue("update quarantine set faults = $1 where n = $2", words, n); err != nil {
		return err
	}
	return t.queue("delete from awaited where n = $1", n)
}
