package journal

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"bedwalk/schema"
	"bedwalk/sync/fold"
	"bedwalk/sync/journal"
)

// Errors of decisions on waiting entries.
var (
	ErrNoSuchEntry = schema.NewProblem(http.StatusNotFound, "no_such_entry", "No entry waits under this number.",
		"Load the list again, it may have been decided already.")
	ErrNotMergeable = schema.NewProblem(http.StatusConflict, "not_mergeable", "The entry cannot be merged, because other phones could not read it or add it up alike.",
		"Write the note again by hand and leave this one out.")
)

// Quarantined is an entry that is kept aside, and how it came.
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

// QuarantineStates says what became of entries that were kept aside. One that came several times is merged if it was merged once,
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

// Decide merges a waiting entry, with the stamp that it got when it arrived, or leaves it out for good; it is kept
// either way, with who decided and when.
func (s *Store) Decide(ctx context.Context, n int64, merge bool, person string) error {
	return s.decide(ctx, n, func(quarantinedArrival) bool { return true }, merge, person)
}

// DecideShown is Decide on the entry that somebody was shown under an id (see Waiting.ID).
func (s *Store) DecideShown(ctx context.Context, id string, merge bool, person string) error {
	number, _, _ := strings.Cut(id, "-")
	n, err := strconv.ParseInt(number, 10, 64)
	if err != nil {
		return fmt.Errorf("%w (%q)", ErrNoSuchEntry, id)
	}
	return s.decide(ctx, n, func(w quarantinedArrival) bool { return quarantineID(n, w.arrival.raw) == id }, merge, person)
}

func (s *Store) decide(ctx context.Context, n int64, is func(quarantinedArrival) bool, merge bool, person string) error {
	return s.write(ctx, func(b *batch) error {
		w, err := b.quarantined(n)
		if err != nil {
			return err
		}
		if !is(w) {
			return ErrNoSuchEntry
		}
		state := "left"
		var position int64
		if merge {
			faults, err := b.spoils(w.arrival, w.stamp)
			if err != nil {
				return err
			}
			if !w.arrival.mergeable() || faults != nil {
				return ErrNotMergeable
			}
			if position, err = b.merge(w.arrival, w.writer, w.stamp, w.receivedAt); err != nil {
				return err
			}
			state = "merged"
		}
		return b.decided(n, state, position, person)
	})
}

// quarantinedArrival is a waiting entry read back.
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
	w.arrival = read(w.arrival.raw, device, inc, w.arrival.seq)
	if w.arrival.whole {
		w.arrival.keys = fold.Keys(w.arrival.entry)
		var taken int
		if err = b.tx.QueryRow("select count(*) from entries where id = unhex(?)", w.arrival.entry.ID).Scan(&taken); taken > 0 {
			w.arrival.faults = append(w.arrival.faults, schema.Fault{Field: "id", Code: schema.CodeIDTaken})
		}
	}
	return w, err
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

// faulted writes down why an entry is held now.
func (b *batch) faulted(n int64, faults []schema.Fault) error {
	words, err := list(faults)
	if err != nil {
		return err
	}
	if _, err := b.tx.Exec("update quarantine set faults = ? where n = ?", words, n); err != nil {
		return err
	}
	_, err = b.tx.Exec("delete from awaited where n = ?", n)
	return err
}

// want remembers what a held entry waits for.
func (b *batch) want(n int64, keys []string) error {
	for _, key := range keys {
		if _, err := b.tx.Exec("insert or ignore into awaited values (?, ?)", key, n); err != nil {
			return err
		}
	}
	return nil
}

// release asks anew about the held entries that waited for a record of this batch, and merges those that are well
// now. It says whether it merged any, since those may be waited for in turn.
func (b *batch) release() (released bool, err error) {
	var keys []string
	for key, t := range b.keys {
		if t.wrote {
			keys = append(keys, key)
		}
	}
	candidates, err := b.wanting(keys)
	if err != nil {
		return false, err
	}
	for _, n := range candidates {
		w, err := b.quarantined(n)
		if err != nil {
			return false, err
		}
		if len(w.arrival.faults) > 0 {
			continue
		}
		faults, wants, err := b.checkReferences(w.arrival.entry)
		if err != nil {
			return false, err
		}
		if len(faults) == 0 {
			if faults, err = b.shareFaults(w.arrival.entry, w.arrival.keys); err != nil {
				return false, err
			}
			if len(faults) == 0 {
				faults, err = b.spoils(w.arrival, w.stamp)
			}
			if err != nil {
				return false, err
			}
			if faults != nil {
				// Nothing that arrives cures it: from now on it waits for somebody's word.
				if err := b.faulted(n, faults); err != nil {
					return false, err
				}
				continue
			}
		}
		if len(faults) > 0 {
			if err := b.want(n, wants); err != nil {
				return false, err
			}
			continue
		}
		position, err := b.merge(w.arrival, w.writer, w.stamp, w.receivedAt)
		if err != nil {
			return false, err
		}
		if err := b.decided(n, "merged", position, ""); err != nil {
			return false, err
		}
		released = true
	}
	return released, nil
}

func (b *batch) wanting(keys []string) (all []int64, err error) {
	wanted, err := list(keys)
	if err != nil {
		return nil, err
	}
	rows, err := b.tx.Query("select distinct w.n from json_each(?) j join awaited w on w.key = j.value order by w.n", wanted)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	for rows.Next() {
		var n int64
		if err := rows.Scan(&n); err != nil {
			return nil, err
		}
		all = append(all, n)
	}
	return all, rows.Err()
}

// ID is what the wire knows a waiting entry by: its number, and a part of the hash of its bytes. The number alone would
// do for another note after a restored backup, and a list that is still open on some desk would decide about a note
// that nobody has seen.
func (w Quarantined) ID() string { return quarantineID(w.N, w.Raw) }

func quarantineID(n int64, raw []byte) string {
	hash := sha256.Sum256(raw)
	return fmt.Sprintf("%d-%x", n, hash[:8])
}
