package journal

// A note may arrive twice. Under the number that it had, with the same bytes, it is answered as before (repeat). Under another
// number, as from a phone that took a new incarnation or was paired again, it is known by its id (meet, sameNote).

import (
	"bytes"
	"encoding/json"
	"errors"

	"bedwalk/schema"
	"bedwalk/sync/journal"
)

// repeat answers what was taken before, and says whether it is byte for byte what was taken.
func (in *intake) repeat(arrived []arrival) (same bool, err error) {
	if len(arrived) == 0 {
		return true, nil
	}
	first, last := arrived[0].seq, arrived[len(arrived)-1].seq
	rows, err := in.tx.Query(`
		select seq, position, 'merged', at, quality, at_from, at_to, bytes, '[]' from entries where writer = ?1 and seq between ?2 and ?3
		union all
		select seq, position, state, at, quality, at_from, at_to, bytes, faults from quarantine where writer = ?1 and seq between ?2 and ?3
		order by 1, 2`, in.w.n, first, last)
	if err != nil {
		return false, err
	}
	defer rows.Close()
	in.answer.Given = make([]schema.Given, len(arrived), len(in.push.Entries))
	for rows.Next() {
		var seq int64
		var raw []byte
		var faults string
		given, st := schema.Given{}, schema.Stamp{}
		if err := rows.Scan(&seq, &given.Position, &given.State, &st.At, &st.Quality, &st.From, &st.To, &raw, &faults); err != nil {
			return false, err
		}
		a := arrived[seq-first]
		if raw == nil {
			return false, damaged(given.Position)
		}
		if !bytes.Equal(a.raw, raw) {
			return false, nil
		}
		given.ID, given.Stamp, given.State = a.entry.ID, st, wireState(given.State)
		if given.State == "merged" && given.Position == 0 {
			// A repeat of a note that is itself in quarantine has no place in the journal.
			given.State = "quarantined"
		}
		if given.State != "merged" {
			if err := json.Unmarshal([]byte(faults), &given.Faults); err != nil {
				return false, err
			}
		}
		in.answer.Given[seq-first] = given
	}
	return true, rows.Err()
}

// wireState is a state as the phones know it: a repeat is merged under its first number.
func wireState(state string) string {
	if state == "repeat" {
		return "merged"
	}
	return state
}

// earlier is an entry that was here before under the same id.
type earlier struct {
	n        int64
	entry    schema.Entry
	position int64
	stamp    schema.Stamp
	state    string
	faults   []schema.Fault
}

// unvouched is true for a note that came from elsewhere than its own phone, and waits because nothing vouched for it.
// When its own phone sends it after all, that one is judged in its place.
func (e earlier) unvouched() bool {
	undecided := e.state == "quarantined" || e.state == "review"
	return undecided && len(e.faults) > 0 && (e.faults[0].Code == schema.CodeWrongPlace || e.faults[0].Code == schema.CodeNoReceipt)
}

func (in *intake) remember(a arrival, given schema.Given) {
	if a.whole {
		in.ids[a.entry.ID] = earlier{0, a.entry, given.Position, given.Stamp, given.State, given.Faults}
	}
}

// meet looks up all ids of a batch at once, and the records that its entries have a part in.
func (in *intake) meet(fresh []arrival) error {
	in.ids = map[string]earlier{}
	var ids, keys []string
	coming := map[string]schema.Entry{}
	for _, a := range fresh {
		if a.whole {
			coming[a.entry.ID] = a.entry
			ids = append(ids, a.entry.ID)
			keys = append(keys, a.keys...)
		}
	}
	wanted, err := list(ids)
	if err != nil {
		return err
	}
	rows, err := in.tx.Query(`
		select 0, e.position, 'merged', e.at, e.quality, e.at_from, e.at_to, e.bytes, '[]'
			from json_each(?1) j join entries e on e.id = unhex(j.value)
		union all
		select w.n, w.position, w.state, w.at, w.quality, w.at_from, w.at_to, w.bytes, w.faults
			from json_each(?1) j join quarantine w on w.id = j.value where w.state in ('quarantined', 'review', 'left')`, wanted)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		var e earlier
		var raw []byte
		var faults string
		if err := rows.Scan(&e.n, &e.position, &e.state, &e.stamp.At, &e.stamp.Quality, &e.stamp.From, &e.stamp.To, &raw, &faults); err != nil {
			return err
		}
		if raw == nil {
			return damaged(e.position)
		}
		if e.entry, err = journal.Parse(raw); err != nil {
			continue
		}
		if err := json.Unmarshal([]byte(faults), &e.faults); err != nil {
			return err
		}
		// Only what is merged has an id for good. Another note that waits under it must not keep this one out: whoever knows
		// an id could write one.
		if e.state != "merged" && (in.ids[e.entry.ID].state == "merged" || !sameNote(e.entry, coming[e.entry.ID])) {
			continue
		}
		in.ids[e.entry.ID] = e
	}
	return errors.Join(rows.Err(), rows.Close(), in.preload(keys))
}

// sameNote is true for one note under two numbers: a phone that took a new incarnation, or was paired again, sends it
// again. A recount may then name other numbers in its basis.
func sameNote(a, b schema.Entry) bool {
	return a.ID == b.ID && a.Kind == b.Kind && a.Person == b.Person && a.Lot == b.Lot && a.Bed == b.Bed &&
		a.Wall == b.Wall && a.Session == b.Session && a.Mono == b.Mono && (a.Kind == "recount" || bytes.Equal(a.Body, b.Body))
}
