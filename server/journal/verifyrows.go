package journal

import (
	"fmt"
	"math"

	"bedwalk/sync/journal"
)

// verifyPlaces holds each row of the journal against its entry: the id and the lot that it is filed under, its place, and
// the records that it is listed with.
func verifyPlaces(snap Snap, v *Verified) error {
	listed, err := keysListed(snap)
	if err != nil {
		return err
	}
	known, err := learnedIn(snap)
	if err != nil {
		return err
	}
	marks, end, err := marksIn(snap)
	if err != nil {
		return err
	}
	// Not yet hashed is a journal of an older build, until the first push.
	hashed := end != "" || len(marks) > 0
	o, lastSound, told := order{known: true}, int64(0), false
	stray := func(position int64) {
		if hashed && !told {
			told = true
			v.complain("the order of the journal was changed, or a stamp or time in it: somewhere between positions %d and %d an entry does not stand "+
				"where it was put", lastSound+1, position)
		}
	}
	for e, err := range snap.Rows(0, math.MaxInt64) {
		if err != nil {
			return err
		}
		if e.Position != o.position+1 {
			v.complain("the journal has no entry at position %d", o.position+1)
		}
		o = o.next(e.Position, e.Writer, e.Seq, e.ReceivedAt, journal.Hash(e.Bytes, e.Stamp))
		if mark, ok := marks[e.Position]; ok || e.Position%markEvery == 0 {
			if string(o.hash[:]) != mark {
				stray(e.Position)
			}
			lastSound = e.Position
			delete(marks, e.Position)
		}
		if e.Bytes == nil {
			v.complain("entry %d cannot be put together: its row was changed, or what the row names", e.Position)
		}
		entry, err := journal.Parse(e.Bytes)
		if err != nil {
			// The chain and the records tell of it.
			continue
		}
		if entry.ID != e.ID {
			v.complain("entry %d stands under the id %s, but its own is %s", e.Position, e.ID, entry.ID)
		}
		if entry.Lot != e.Lot {
			v.complain("entry %d is filed under the lot %q, but it is of %q", e.Position, e.Lot, entry.Lot)
		}
		keys := known.keys(entry, e.Position)
		v.left.entry(entry, keys, e.Position)
		for _, key := range keys {
			at := PartAt{key, e.Position}
			if !named(key, entry.ID) && !listed[at] {
				v.complain("entry %d is not listed with record %s, which it has a part in", e.Position, key)
			}
			if !named(key, entry.ID) {
				delete(listed, at)
			}
		}
	}
	if o.position > 0 && o.String() != end {
		stray(o.position)
	}
	for at := range listed {
		v.complain("entry %d is listed with record %s, which it has no part in", at.Position, at.Key)
	}
	if hashed {
		for position := range marks {
			v.complain("the journal ends before position %d, where it once was", position)
		}
	}
	return nil
}

func keysListed(snap Snap) (map[PartAt]bool, error) {
	all := map[PartAt]bool{}
	for at, err := range snap.Listed() {
		if err != nil {
			return nil, err
		}
		all[at] = true
	}
	return all, nil
}

// marksIn are the marks of the running hash, and its end as the settings have it.
func marksIn(snap Snap) (marks map[int64]string, end string, err error) {
	if have, err := snap.Keeps("marks"); err != nil || !have {
		return nil, "", err
	}
	if marks, err = snap.Marks(); err != nil {
		return nil, "", err
	}
	end, err = snap.Setting(metaOrder)
	return marks, end, err
}

// tablesHold says what each small table holds, for who reads a complaint.
var tablesHold = map[string]string{
	"devices": "a paired phone: its person, its role, whether it was revoked", "device_people": "in whose names a phone may write",
	"epochs": "an epoch of the journal", "incidents": "trouble that was noticed",
	"marks": "a mark of the journal's order", "meta": "a setting: the clock's last time, what is backed up, keys", "pairings": "a pairing code",
	"reports": "what a phone last reported of itself", "registers": "the number of a lot or bed", "quarantine": "a note in quarantine",
	"awaited": "what a note in quarantine waits for", "writers": "where a phone's chain of notes ends",
	"reading_keys": "a key by which another program reads", "hooks": "a webhook: its address, its secret, what it gets",
	"hook_messages": "a message for a webhook", "hook_tries": "a try to send one", "hook_state": "what webhooks last knew of the nursery",
}

// verifySeals compares the rows of the small tables with their seals.
func verifySeals(snap Snap, v *Verified) error {
	return snap.Unsealed(func(table, key, wrong string) {
		what := tablesHold[table]
		if what != "" {
			what = fmt.Sprintf(" (%s)", what)
		}
		v.complain("table %s: row %q%s %s by another hand than Bedwalk's", table, key, what, wrong)
	})
}

// verifyNumbers is complained of where a row names a lot or bed that has no number, or a sum is none: by itself such a row
// would pass for one of no lot.
func verifyNumbers(snap Snap, v *Verified) error {
	strange, err := snap.Strange()
	for _, what := range strange {
		v.complain("%s is filed under a lot or bed that is not there, or is no sum", what)
	}
	return err
}

// verifyClock is complained of when something came later than the last time that the server says it has given, or had
// given while its clock was ahead.
func verifyClock(snap Snap, v *Verified) error {
	at, late, err := snap.LateBy(metaClock, metaClockWas)
	if late {
		v.complain("the server's last time is earlier than %d, at which something came", at)
	}
	return err
}
