package journal

// A note may arrive twice. Under the number that it had, with the same bytes, it is answered as before (repeat). Under another
// number, as from a phone that took a new incarnation or was paired again, it is known by its id (meet, sameNote).

import (
	"bytes"

	"bedwalk/schema"
	"bedwalk/sync/journal"
)

// repeat answers what was taken before, and says whether it is byte for byte what was taken.
func (in *intake) repeat(arrived []arrival) (same bool, err error) {
	if len(arrived) == 0 {
		return true, nil
	}
	first, last := arrived[0].seq, arrived[len(arrived)-1].seq
	before, err := in.tx.Taken(in.w.n, first, last)
	if err != nil {
		return false, err
	}
	in.answer.Given = make([]schema.Given, len(arrived), len(in.push.Entries))
	for _, was := range before {
		a := arrived[was.Seq-first]
		if was.Bytes == nil {
			return false, damaged(was.Position)
		}
		if !bytes.Equal(a.raw, was.Bytes) {
			return false, nil
		}
		given := schema.Given{ID: a.entry.ID, Position: was.Position, Stamp: was.Stamp, State: wireState(was.State)}
		if given.State == "merged" && given.Position == 0 {
			// A repeat of a note that is itself in quarantine has no place in the journal.
			given.State = "quarantined"
		}
		if given.State != "merged" {
			given.Faults = was.Faults
		}
		in.answer.Given[was.Seq-first] = given
	}
	return true, nil
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
	known, err := in.tx.Known(ids)
	if err != nil {
		return err
	}
	for _, was := range known {
		if was.Bytes == nil {
			return damaged(was.Position)
		}
		e := earlier{n: was.N, position: was.Position, stamp: was.Stamp, state: was.State, faults: was.Faults}
		if e.entry, err = journal.Parse(was.Bytes); err != nil {
			continue
		}
		// Only what is merged has an id for good. Another note that waits under it must not keep this one out: whoever knows
		// an id could write one.
		if e.state != "merged" && (in.ids[e.entry.ID].state == "merged" || !sameNote(e.entry, coming[e.entry.ID])) {
			continue
		}
		in.ids[e.entry.ID] = e
	}
	return in.preload(keys)
}

// sameNote is true for one note under two numbers: a phone that took a new incarnation, or was paired again, sends it
// again. A recount may then name other numbers in its basis.
func sameNote(a, b schema.Entry) bool {
	return a.ID == b.ID && a.Kind == b.Kind && a.Person == b.Person && a.Lot == b.Lot && a.Bed == b.Bed &&
		a.Wall == b.Wall && a.Session == b.Session && a.Mono == b.Mono && (a.Kind == "recount" || bytes.Equal(a.Body, b.Body))
}
