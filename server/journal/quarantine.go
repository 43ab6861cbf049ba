package journal

import (
	"context"
	"crypto/sha256"
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
	err = s.site.Read(ctx, func(snap Snap) error {
		all, err = snap.WaitingEach(limit)
		return err
	})
	return parsed(all), err
}

// parsed reads the entries of quarantined bytes, where they are any.
func parsed(all []Quarantined) []Quarantined {
	for i := range all {
		if entry, err := journal.Parse(all[i].Raw); err == nil {
			all[i].Entry = entry
		}
	}
	return all
}

// QuarantineStates says what became of quarantined entries. One that came several times is merged if it was merged once,
// and left out only if nothing of it still waits.
func (s *Store) QuarantineStates(ctx context.Context, ids []string) ([]schema.QuarantinedNote, error) {
	all := map[string]schema.QuarantinedNote{}
	rank := map[string]int{"left": 1, "review": 2, "quarantined": 3, "merged": 4}
	err := s.site.Read(ctx, func(snap Snap) error {
		known, err := snap.Known(ids)
		for _, one := range known {
			if rank[one.State] > rank[all[one.ID].State] {
				all[one.ID] = schema.QuarantinedNote{ID: one.ID, State: one.State, Faults: one.Faults}
			}
		}
		return err
	})
	found := []schema.QuarantinedNote{}
	for _, id := range ids {
		if note, ok := all[id]; ok {
			found = append(found, note)
		}
	}
	return found, err
}

// quarantinedArrival is a quarantined entry read back. Its faults are those that it is held for.
type quarantinedArrival struct {
	arrival    arrival
	writer     writer
	stamp      schema.Stamp
	receivedAt int64
	faults     []schema.Fault
}

func (b *batch) quarantined(n int64) (w quarantinedArrival, err error) {
	waits, found, err := b.tx.Waiting(n)
	if err != nil {
		return w, err
	}
	if !found {
		return w, ErrNoSuchEntry
	}
	w.writer.n, w.stamp, w.receivedAt, w.faults = waits.Writer, waits.Stamp, waits.ReceivedAt, waits.Faults
	w.arrival = read(waits.Bytes, &numbered{writerKey{waits.By.Device, waits.By.Incarnation}, waits.Seq}, Sender{})
	if w.arrival.whole {
		w.arrival.keys = fold.Keys(w.arrival.entry)
		_, taken, err := b.tx.Note(w.arrival.entry.ID)
		if err != nil {
			return w, err
		}
		if taken {
			w.arrival.faults = append(w.arrival.faults, schema.Fault{Field: "id", Code: schema.CodeIDTaken})
		}
	}
	return w, nil
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
	waited, err := b.tx.Decide(n, Decision{State: state, Position: position, By: person, At: b.now})
	if err == nil && !waited {
		err = ErrNoSuchEntry
	}
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
	return b.tx.PutQuarantine(NewQuarantined{ID: a.entry.ID, Writer: w.n, Seq: a.seq, ReceivedAt: b.now, Position: position,
		State: state, Stamp: st, Raw: a.raw, Faults: faults})
}

// QuarantineByDevice counts what waits for a decision, device by device, the newest first, at most limit devices.
func (s *Snapshot) QuarantineByDevice(limit int) (all []schema.QuarantineCount, err error) {
	all, err = s.snap.WaitingCounts(limit)
	return append([]schema.QuarantineCount{}, all...), err
}

// QuarantinedOf lists what waits for a decision of one device (a name that QuarantineByDevice gives), the newest first, at
// most limit entries with a number below before; with before 0 it begins at the newest. Numbers only grow, so a page
// stays what it was when others arrive, and loses only what was decided. Older is the number to ask before for the next
// page, 0 on the last one; count is all that waits of the device.
func (s *Snapshot) QuarantinedOf(device string, before int64, limit int) (all []Quarantined, older int64, count int, err error) {
	waiting, _, err := s.snap.SizeOf(device, false)
	if err != nil {
		return nil, 0, 0, err
	}
	count = int(waiting)
	if all, err = s.snap.WaitingOf(device, before, limit+1); err != nil {
		return nil, 0, 0, err
	}
	all = parsed(all)
	if len(all) > limit {
		all = all[:limit]
		older = all[limit-1].N
	}
	return all, older, count, nil
}
