package journal

import (
	"bytes"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"slices"

	"bedwalk/schema"
	"bedwalk/sync/journal"
	"bedwalk/sync/stamp"
)

// intake is one push inside its transaction.
type intake struct {
	*batch
	push   schema.Push
	from   Sender
	key    writerKey
	before [32]byte
	// doubt is why no stamp can be given now, "" when one can.
	doubt          string
	w              writer
	answer         schema.PushAnswer
	ids            map[string]earlier
	quarantineSize quarantineSize
}

func (in *intake) take(arrived []arrival) error {
	var err error
	if in.w, err = in.writerOf(in.key); err != nil {
		return err
	}
	if in.push.From > in.w.high+1 {
		return gap(in.push.From, in.w.high)
	}
	known := min(int64(len(arrived)), in.w.high+1-in.push.From)
	same, err := in.repeat(arrived[:known])
	if err != nil {
		return err
	}
	chain := in.before
	for _, a := range arrived[:known] {
		chain = journal.Chain(chain, a.raw)
	}
	// Where the batch reaches the head of the chain, the chain must be the same one from its beginning.
	reaches := in.push.From+known == in.w.high+1
	if !same || reaches && chain != in.w.chain {
		return in.forked()
	}
	if fresh := arrived[known:]; len(fresh) > 0 {
		taken, err := in.isTaken(fresh)
		if err != nil {
			return err
		}
		if taken {
			return in.forked()
		}
		if err := in.add(fresh, chain); err != nil {
			return err
		}
	}
	in.answer.High = in.w.high
	return in.recordReport()
}

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

// forked gives the device a new incarnation; the transaction is committed for that alone.
func (in *intake) forked() error {
	inc, err := in.unusedIncarnation(in.push.Device, in.push.Incarnation)
	if err != nil {
		return err
	}
	in.refused = fork(in.w.high, inc)
	return in.file(in.push.Device, "fork", fmt.Sprintf(
		"Incarnation %d sent other entries under numbers that were taken: the phone was copied or set back. It goes on as incarnation %d.",
		in.push.Incarnation, inc))
}

func (in *intake) add(fresh []arrival, chain [32]byte) error {
	if in.doubt != "" {
		if !in.from.Own {
			return clockRefusal(in.doubt)
		}
		in.now = in.store.clock.Load()
	}
	if in.w.n == 0 {
		var err error
		if in.w, err = in.saveWriter(in.key, in.w); err != nil {
			return err
		}
	}
	n, err := in.affordable(fresh)
	if err != nil {
		return err
	}
	fresh = fresh[:n]
	if err := in.meet(fresh); err != nil {
		return err
	}
	begun := 0
	for i, a := range fresh {
		if i > 0 && in.work > max(workAtOnce, 2*begun) {
			fresh = fresh[:i]
			break
		}
		given, err := in.one(a)
		if i == 0 {
			begun = in.work
		}
		if err != nil {
			return err
		}
		chain = journal.Chain(chain, a.raw)
		in.answer.Given = append(in.answer.Given, given)
		in.w.lastAt = max(in.w.lastAt, given.Stamp.At)
	}
	in.w.high, in.w.chain = fresh[len(fresh)-1].seq, chain
	in.w, err = in.saveWriter(in.key, in.w)
	return err
}

// one finds a place for one new entry: in the journal or in quarantine.
func (in *intake) one(a arrival) (schema.Given, error) {
	given := schema.Given{ID: a.entry.ID, State: "merged", Stamp: in.stamp(a)}
	first, ok := in.ids[a.entry.ID]
	vouched := ok && first.unvouched() && sameNote(first.entry, a.entry)
	if ok && a.whole && !vouched {
		if sameNote(first.entry, a.entry) {
			if in.from.Revoked {
				if err := in.room(a); err != nil {
					return given, err
				}
			}
			given.Position, given.Stamp, given.State, given.Faults = first.position, first.stamp, wireState(first.state), first.faults
			_, err := in.quarantine(a, in.w, first.stamp, "repeat", first.faults, first.position)
			return given, err
		}
		a.faults = append(a.faults, schema.Fault{Field: "id", Code: schema.CodeIDTaken})
	}
	faults, wants, err := in.judge(a, given.Stamp)
	if err != nil {
		return given, err
	}
	switch {
	case in.from.Revoked:
		given.State = "review"
		given.Faults = append([]schema.Fault{{Field: "device", Code: schema.CodeRevoked}}, faults...)
	case len(faults) > 0:
		given.State, given.Faults = "quarantined", faults
	default:
		if given.Position, err = in.merge(a, in.w, given.Stamp, in.now); err == nil && vouched {
			err = in.decided(first.n, "merged", given.Position, "")
		}
		in.remember(a, given)
		return given, err
	}
	if err := in.room(a); err != nil {
		return given, err
	}
	if vouched {
		if err := in.decided(first.n, "repeat", 0, ""); err != nil {
			return given, err
		}
	}
	n, err := in.quarantine(a, in.w, given.Stamp, given.State, given.Faults, 0)
	if err == nil && given.State == "quarantined" {
		err = in.want(n, wants)
	}
	in.remember(a, given)
	return given, err
}

// judge lists all that keeps an entry from being merged, and the records that would cure it when nothing else does.
func (in *intake) judge(a arrival, st schema.Stamp) (faults []schema.Fault, wants []string, err error) {
	if faults = a.faults; len(faults) == 0 {
		if faults, wants, _, err = in.batch.judge(a, st); err != nil {
			return nil, nil, err
		}
	}
	if len(a.notFor) > 0 {
		// Whatever else it waits for, it also waits for somebody's word.
		return slices.Concat(a.notFor, faults), nil, nil
	}
	return faults, wants, nil
}

func (in *intake) stamp(a arrival) schema.Stamp {
	return stamp.Give(stamp.In{
		Entry: a.entry, Session: in.push.Session, SentWall: in.push.SentWall, SentMono: in.push.SentMono,
		Now: in.now, Last: in.w.lastAt, Enrolled: in.from.PairedAt,
	})
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

// recordReport keeps what the push says about the phone itself.
func (in *intake) recordReport() error {
	if in.from.Elsewhere {
		return nil
	}
	var sent int64
	err := in.tx.QueryRow("select at + skew_ms from reports where device = ?", in.push.Device).Scan(&sent)
	if err != nil && !errors.Is(err, sql.ErrNoRows) || err == nil && isLate(in.push.SentWall, sent) {
		return err
	}
	_, err = in.tx.Exec(`insert into reports (device, at, pending, skew_ms) values (?, ?, ?, ?)
		on conflict (device) do update set at = excluded.at, pending = excluded.pending, skew_ms = excluded.skew_ms`,
		in.push.Device, in.now, in.push.Pending, in.push.SentWall-in.now)
	return err
}
