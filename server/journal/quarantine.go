package journal

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"

	"bedwalk/schema"
	"bedwalk/sync/fold"
	"bedwalk/sync/journal"
)

// Errors of decisions on quarantined entries.
var (
	ErrNoSuchEntry = schema.NewProblem(http.StatusNotFound, "no_such_entry", "No entry waits under this number.",
		"Load the list again, it may have been decided already.")
	ErrNotMergeable = schema.NewProblem(http.StatusConflict, "not_mergeable", "The entry cannot be merged, because other phones could not read it or add it up alike.",
		"Write the note again by hand and leave this one out.")
)

// Quarantined is an entry in quarantine, and how it came.
type Quarantined struct {
	N          int64
	State      string
	Device     string
	ReceivedAt int64
	Raw        []byte
	Entry      schema.Entry
	Faults     []schema.Fault
}

// Quarantine lists the entries that wait for a decision, at most limit: the newest of each device, then the second newest of
// each, and so on, so that one device that sends many hides no other's.
func (s *Store) Quarantine(ctx context.Context, limit int) (all []Quarantined, err error) {
	err = s.db.Read(ctx, func(tx *sql.Tx) error {
		all, err = quarantineIn(tx, limit)
		return err
	})
	return all, err
}

func quarantineIn(tx *sql.Tx, limit int) (all []Quarantined, err error) {
	rows, err := tx.Query(`select q.n, q.state, shown.device, q.received_at, q.bytes, q.faults from (
			select q.n, w.device, row_number() over (partition by w.device order by q.n desc) as turn
				from quarantine q join writers w on w.n = q.writer where q.state in ('quarantined', 'review')
			order by turn, q.n desc limit ?) shown
		join quarantine q on q.n = shown.n order by shown.turn, q.n desc`, limit)
	if err != nil {
		return nil, err
	}
	return quarantinedRows(rows)
}

// quarantinedRows reads number, state, device, time of arrival, bytes and faults of each row, and closes the rows.
func quarantinedRows(rows *sql.Rows) (all []Quarantined, err error) {
	defer rows.Close()
	for rows.Next() {
		var w Quarantined
		var faults string
		if err := rows.Scan(&w.N, &w.State, &w.Device, &w.ReceivedAt, &w.Raw, &faults); err != nil {
			return nil, err
		}
		if err := json.Unmarshal([]byte(faults), &w.Faults); err != nil {
			return nil, err
		}
		if entry, err := journal.Parse(w.Raw); err == nil {
			w.Entry = entry
		}
		all = append(all, w)
	}
	return all, rows.Err()
}

// QuarantineStates says what became of quarantined entries. One that came several times is merged if it was merged once,
// and left out only if nothing of it still waits.
func (s *Store) QuarantineStates(ctx context.Context, ids []string) ([]schema.QuarantinedNote, error) {
	wanted, err := list(ids)
	if err != nil {
		return nil, err
	}
	all := map[string]schema.QuarantinedNote{}
	rank := map[string]int{"left": 1, "review": 2, "quarantined": 3, "merged": 4}
	err = s.db.Read(ctx, func(tx *sql.Tx) error {
		rows, err := tx.Query(`select j.value, 'merged', '[]' from json_each(?1) j join entries e on e.id = unhex(j.value)
			union all
			select j.value, w.state, w.faults from json_each(?1) j join quarantine w on w.id = j.value where w.state in ('quarantined', 'review', 'left')`, wanted)
		if err != nil {
			return err
		}
		defer rows.Close()
		for rows.Next() {
			var note schema.QuarantinedNote
			var faults string
			if err := rows.Scan(&note.ID, &note.State, &faults); err != nil {
				return err
			}
			if err := json.Unmarshal([]byte(faults), &note.Faults); err != nil {
				return err
			}
			if rank[note.State] > rank[all[note.ID].State] {
				all[note.ID] = note
			}
		}
		return rows.Err()
	})
	found := []schema.QuarantinedNote{}
	for _, id := range ids {
		if note, ok := all[id]; ok {
			found = append(found, note)
		}
	}
	return found, err
}

// quarantinedArrival is a quarantined entry read back.
type quarantinedArrival struct {
	arrival    arrival
	writer     writer
	stamp      schema.Stamp
	receivedAt int64
}

func (b *batch) quarantined(n int64) (w quarantinedArrival, err error) {
	var device string
	var inc int
	st := &w.stamp
	err = b.tx.QueryRow(`select w.n, w.device, w.inc, q.seq, q.at, q.quality, q.at_from, q.at_to, q.received_at, q.bytes
		from quarantine q join writers w on w.n = q.writer where q.n = ? and q.state in ('quarantined', 'review')`, n).
		Scan(&w.writer.n, &device, &inc, &w.arrival.seq, &st.At, &st.Quality, &st.From, &st.To, &w.receivedAt, &w.arrival.raw)
	if errors.Is(err, sql.ErrNoRows) {
		return w, ErrNoSuchEntry
	}
	if err != nil {
		return w, err
	}
	w.arrival = read(w.arrival.raw, &numbered{writerKey{device, inc}, w.arrival.seq}, Sender{})
	if w.arrival.whole {
		w.arrival.keys = fold.Keys(w.arrival.entry)
		var taken int
		if err = b.tx.QueryRow("select count(*) from entries where id = unhex(?)", w.arrival.entry.ID).Scan(&taken); taken > 0 {
			w.arrival.faults = append(w.arrival.faults, schema.Fault{Field: "id", Code: schema.CodeIDTaken})
		}
	}
	return w, err
}

// mergeQuarantined merges a quarantined entry with the stamp that it got when it arrived. Person is who decided so, "" where
// what it waited for has come.
func (b *batch) mergeQuarantined(n int64, w quarantinedArrival, person string) error {
	position, err := b.merge(w.arrival, w.writer, w.stamp, w.receivedAt)
	if err != nil {
		return err
	}
	return b.decided(n, "merged", position, person)
}

func (b *batch) decided(n int64, state string, position int64, person string) error {
	result, err := b.tx.Exec(`update quarantine set state = ?, position = ?, decided_by = ?, decided_at = ?
		where n = ? and state in ('quarantined', 'review')`, state, position, person, b.now, n)
	if err != nil {
		return err
	}
	if changed, err := result.RowsAffected(); err != nil || changed == 0 {
		return errors.Join(err, ErrNoSuchEntry)
	}
	_, err = b.tx.Exec("delete from awaited where n = ?", n)
	return err
}

// ID is what the wire knows a quarantined entry by: its number, and a part of the hash of its bytes. The number alone would
// do for another note after a restored backup, and a list that is still open on some desk would decide about a note
// that nobody has seen.
func (w Quarantined) ID() string { return quarantineID(w.N, w.Raw) }

func quarantineID(n int64, raw []byte) string {
	hash := sha256.Sum256(raw)
	return fmt.Sprintf("%d-%x", n, hash[:8])
}

// quarantine keeps an entry without merging it.
func (b *batch) quarantine(a arrival, w writer, st schema.Stamp, state string, faults []schema.Fault, position int64) (n int64, err error) {
	if faults == nil {
		faults = []schema.Fault{}
	}
	words, err := json.Marshal(faults)
	if err != nil {
		return 0, err
	}
	result, err := b.tx.Exec(`insert into quarantine (id, writer, seq, state, at, quality, at_from, at_to, received_at, bytes, faults, position)
		values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
		a.entry.ID, w.n, a.seq, state, st.At, string(st.Quality), st.From, st.To, b.now, a.raw, string(words), position)
	if err != nil {
		return 0, err
	}
	return result.LastInsertId()
}

// QuarantineByDevice counts what waits for a decision, device by device, the newest first, at most limit devices.
func (s *Snapshot) QuarantineByDevice(limit int) (all []schema.QuarantineCount, err error) {
	rows, err := s.tx.Query(`select w.device, count(*), max(q.n), min(q.received_at) from quarantine q join writers w on w.n = q.writer
		where q.state in ('quarantined', 'review') group by w.device order by max(q.n) desc limit ?`, limit)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	all = []schema.QuarantineCount{}
	for rows.Next() {
		var one schema.QuarantineCount
		if err := rows.Scan(&one.Device, &one.Count, &one.UpTo, &one.Since); err != nil {
			return nil, err
		}
		all = append(all, one)
	}
	return all, rows.Err()
}

// QuarantinedOf lists what waits for a decision of one device (a name that QuarantineByDevice gives), the newest first, at
// most limit entries with a number below before; with before 0 it begins at the newest. Numbers only grow, so a page
// stays what it was when others arrive, and loses only what was decided. Older is the number to ask before for the next
// page, 0 on the last one; count is all that waits of the device.
func (s *Snapshot) QuarantinedOf(device string, before int64, limit int) (all []Quarantined, older int64, count int, err error) {
	if err := s.tx.QueryRow(`select count(*) from quarantine q join writers w on w.n = q.writer
		where w.device = ? and q.state in ('quarantined', 'review')`, device).Scan(&count); err != nil {
		return nil, 0, 0, err
	}
	rows, err := s.tx.Query(`select q.n, q.state, w.device, q.received_at, q.bytes, q.faults from quarantine q join writers w on w.n = q.writer
		where w.device = ?1 and q.state in ('quarantined', 'review') and (?2 = 0 or q.n < ?2) order by q.n desc limit ?3`, device, before, limit+1)
	if err != nil {
		return nil, 0, 0, err
	}
	if all, err = quarantinedRows(rows); err != nil {
		return nil, 0, 0, err
	}
	if len(all) > limit {
		all = all[:limit]
		older = all[limit-1].N
	}
	return all, older, count, nil
}
