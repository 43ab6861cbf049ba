package view

import (
	"encoding/json"
	"maps"

	"bedwalk/server/journal"
)

// touched says at which head what a bed's scores rest on changed last; what is not in it has not changed since the
// states of beds were loaded. It is asked by moment, so a state that was computed at one head is known to hold at another.
type touched struct {
	// all is the last change of something that every bed is judged by: a profile, the time zone.
	all int64
	// walks are the beds whose pots and walks changed, grounds those whose own data or spans did.
	walks, grounds map[string]int64
	// lots are the lots whose data, stock or bookings changed.
	lots map[string]int64
	// moved are beds from or to which a pot or a walk may have been corrected: what is remembered of them is no start.
	moved map[string]int64
}

func untouched() touched {
	return touched{walks: map[string]int64{}, grounds: map[string]int64{}, lots: map[string]int64{}, moved: map[string]int64{}}
}

func (t touched) clone() touched {
	return touched{t.all, maps.Clone(t.walks), maps.Clone(t.grounds), maps.Clone(t.lots), maps.Clone(t.moved)}
}

// context is when what the walks of a bed are judged by changed last, the pots aside; lots are those that they saw and those
// that stand or stood on the bed.
func (t touched) context(bed string, lots []string) int64 {
	last := max(t.all, t.grounds[bed])
	for _, lot := range lots {
		last = max(last, t.lots[lot])
	}
	return last
}

// last is when anything that a bed's state rests on changed last.
func (t touched) last(bed string, lots []string) int64 {
	return max(t.context(bed, lots), t.walks[bed])
}

// mark notes in the nursery what changed after some head, and returns the changed keys of registers, stocks and facts by kind.
func (n *nursery) mark(snap *journal.Snapshot, head int64) (map[string][]string, error) {
	var changed []journal.Changed
	if err := snap.ChangedSince(head, func(c journal.Changed) { changed = append(changed, c) }); err != nil {
		return nil, err
	}
	byKind := map[string][]string{}
	t := &n.touched
	for _, c := range changed {
		kind := kindOf(c.Key)
		var err error
		switch kind {
		case "pot":
			t.walks[c.Bed] = snap.Head
			if c.Several {
				err = n.markMoved(snap, c)
			}
		case "walk":
			t.walks[c.Bed] = snap.Head
			err = n.markMoved(snap, c)
		case "profile", "site":
			t.all = snap.Head
		case "bed":
			t.grounds[nameOf(c.Key)] = snap.Head
		case "lot", "stock":
			t.lots[nameOf(c.Key)] = snap.Head
		case "span", "booking":
			err = n.markWritten(snap, c)
		}
		if err != nil {
			return nil, err
		}
		if kind != "pot" && kind != "walk" {
			byKind[kind] = append(byKind[kind], c.Key)
		}
	}
	return byKind, nil
}

// written is what entries say of where they belong.
type written struct {
	Bed string                    `json:"bed"`
	Lot string                    `json:"lot"`
	Now struct{ Bed, Lot string } `json:"now"`
}

// markMoved marks every bed that some version of a pot, or of a walk's opening and end, was written for: a correction may
// have moved it from one bed to another, and the record names only the last.
func (n *nursery) markMoved(snap *journal.Snapshot, c journal.Changed) error {
	beds := map[string]bool{c.Bed: true}
	if err := eachWritten(snap, c.Key, func(w written) { beds[w.Bed], beds[w.Now.Bed] = true, true }); err != nil {
		return err
	}
	delete(beds, "")
	if len(beds) < 2 {
		return nil
	}
	for id := range beds {
		n.touched.walks[id], n.touched.moved[id] = snap.Head, snap.Head
	}
	return nil
}

// markWritten marks every bed and lot that a span or a booking was ever written for: it may have been another's before.
func (n *nursery) markWritten(snap *journal.Snapshot, c journal.Changed) error {
	return eachWritten(snap, c.Key, func(w written) {
		if w.Bed != "" {
			n.touched.grounds[w.Bed] = snap.Head
		}
		if w.Lot != "" {
			n.touched.lots[w.Lot] = snap.Head
		}
	})
}

func eachWritten(snap *journal.Snapshot, key string, visit func(written)) error {
	entries, err := snap.EntriesOf(key)
	if err != nil {
		return err
	}
	for _, e := range entries {
		var w written
		if json.Unmarshal(e.Entry.Body, &w) == nil {
			visit(w)
		}
	}
	return nil
}
