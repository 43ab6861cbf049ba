package lite

import (
	"database/sql"
	"encoding/json"
	"errors"

	"bedwalk/schema"
	"bedwalk/server/journal"
)

// undecided are the states of notes that wait for a decision, ofDevice those of a device.
const (
	undecided = "q.state in ('quarantined', 'review')"
	ofDevice  = "from quarantine q join writers w on w.n = q.writer where w.device = ? and " + undecided
)

// Waiting is journal.Quarantine's.
func (s snap) Waiting(n int64) (w journal.Waiting, found bool, err error) {
	var faults string
	err = s.tx.QueryRow(`select q.n, q.id, q.state, w.n, w.device, w.inc, q.seq, q.at, q.quality, q.at_from, q.at_to, q.received_at, q.bytes, q.faults
		from quarantine q join writers w on w.n = q.writer where q.n = ? and `+undecided, n).
		Scan(&w.N, &w.ID, &w.State, &w.Writer, &w.By.Device, &w.By.Incarnation, &w.Seq, &w.Stamp.At, &w.Stamp.Quality, &w.Stamp.From, &w.Stamp.To, &w.ReceivedAt, &w.Bytes, &faults)
	if errors.Is(err, sql.ErrNoRows) {
		return w, false, nil
	}
	if err != nil {
		return w, false, err
	}
	w.By.Seq = w.Seq
	return w, true, json.Unmarshal([]byte(faults), &w.Faults)
}

func scanQuarantined(rows *sql.Rows) (q journal.Quarantined, err error) {
	var faults string
	if err := rows.Scan(&q.N, &q.State, &q.Device, &q.ReceivedAt, &q.Raw, &faults); err != nil {
		return q, err
	}
	return q, json.Unmarshal([]byte(faults), &q.Faults)
}

// WaitingEach is journal.Quarantine's.
func (s snap) WaitingEach(limit int) ([]journal.Quarantined, error) {
	return all(s.tx, scanQuarantined, `select q.n, q.state, shown.device, q.received_at, q.bytes, q.faults from (
			select q.n, w.device, row_number() over (partition by w.device order by q.n desc) as turn
				from quarantine q join writers w on w.n = q.writer where `+undecided+`
			order by turn, q.n desc limit ?) shown
		join quarantine q on q.n = shown.n order by shown.turn, q.n desc`, limit)
}

// WaitingOf is journal.Quarantine's.
func (s snap) WaitingOf(device string, before int64, limit int) ([]journal.Quarantined, error) {
	return all(s.tx, scanQuarantined, "select q.n, q.state, w.device, q.received_at, q.bytes, q.faults "+ofDevice+
		" and (? = 0 or q.n < ?) order by q.n desc limit ?", device, before, before, limit)
}

// WaitingFrom is journal.Quarantine's.
func (s snap) WaitingFrom(device string, after, upTo int64, limit int) ([]int64, error) {
	return all(s.tx, value[int64], "select q.n "+ofDevice+" and q.n > ? and q.n <= ? order by q.n limit ?", device, after, upTo, limit)
}

// WaitingCounts is journal.Quarantine's.
func (s snap) WaitingCounts(limit int) ([]schema.QuarantineCount, error) {
	return all(s.tx, func(rows *sql.Rows) (one schema.QuarantineCount, err error) {
		err = rows.Scan(&one.Device, &one.Count, &one.UpTo, &one.Since)
		return one, err
	}, `select w.device, count(*), max(q.n), min(q.received_at) from quarantine q join writers w on w.n = q.writer
		where `+undecided+` group by w.device order by max(q.n) desc limit ?`, limit)
}

// CountWaiting is journal.Quarantine's.
func (s snap) CountWaiting() (n int, err error) {
	err = s.tx.QueryRow("select count(*) from quarantine q where " + undecided).Scan(&n)
	return n, err
}

// SizeOf is journal.Quarantine's.
func (s snap) SizeOf(device string, decided bool) (notes, bytes int64, err error) {
	err = s.tx.QueryRow(`select count(*), coalesce(sum(length(q.bytes)), 0) from quarantine q join writers w on w.n = q.writer
		where w.device = ? and (`+undecided+` or ? and q.state <> 'merged')`, device, decided).Scan(&notes, &bytes)
	return notes, bytes, err
}

// HasOpaque is journal.Quarantine's.
func (s snap) HasOpaque(device string, raw []byte) (has bool, err error) {
	err = s.tx.QueryRow(`select exists (select 1 from quarantine q join writers w on w.n = q.writer where q.id = '' and q.bytes = ? and w.device = ?)`, raw, device).Scan(&has)
	return has, err
}

// Awaiting is journal.Quarantine's.
func (s snap) Awaiting(keys []string) ([]int64, error) {
	wanted, err := list(keys)
	if err != nil {
		return nil, err
	}
	return all(s.tx, value[int64], "select distinct w.n from json_each(?) j join awaited w on w.key = j.value order by w.n", wanted)
}

// PutQuarantine is journal.Tx's.
func (t *tx) PutQuarantine(q journal.NewQuarantined) (int64, error) {
	// "[]" for no fault, never "null".
	faults, err := list(q.Faults)
	if err != nil {
		return 0, err
	}
	result, err := t.tx.Exec(`insert into quarantine (id, writer, seq, state, at, quality, at_from, at_to, received_at, bytes, faults, position)
		values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
		q.ID, q.Writer, q.Seq, q.State, q.Stamp.At, string(q.Stamp.Quality), q.Stamp.From, q.Stamp.To, q.ReceivedAt, q.Raw, faults, q.Position)
	if err != nil {
		return 0, err
	}
	return result.LastInsertId()
}

// Decide is journal.Tx's.
func (t *tx) Decide(n int64, d journal.Decision) (bool, error) {
	changed, err := touched(t.tx.Exec(`update quarantine as q set state = ?, position = ?, decided_by = ?, decided_at = ? where n = ? and `+undecided,
		d.State, d.Position, d.By, d.At, n))
	if err != nil || !changed {
		return false, err
	}
	return true, t.exec("delete from awaited where n = ?", n)
}

// Await is journal.Tx's.
func (t *tx) Await(n int64, key string) error {
	return t.exec("insert or ignore into awaited values (?, ?)", key, n)
}

// Fault is journal.Tx's.
func (t *tx) Fault(n int64, faults []schema.Fault) error {
	words, err := list(faults)
	if err != nil {
		return err
	}
	if err := t.exec("update quarantine set faults = ? where n = ?", words, n); err != nil {
		return err
	}
	return t.exec("delete from awaited where n = ?", n)
}
