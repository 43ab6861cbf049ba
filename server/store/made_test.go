package store_test

import (
	"cmp"
	"fmt"
	"slices"
	"testing"

	"bedwalk/schema"
	"bedwalk/server/journal"
	canonical "bedwalk/sync/journal"
)

// notesOfATime has three pots of one walk by two people, one without the id of a walk, which nobody can count, and a walk's end.
func notesOfATime(t *testing.T, s journal.Site) {
	walk := idAt(77)
	write(t, s, func(tx journal.Tx) error {
		writer, err := tx.PutChain("0a", 1, journal.Chain{High: 9})
		if err != nil {
			return err
		}
		for i, one := range []struct{ kind, person, walk string }{
			{"observation", "heron", walk}, {"observation", "wren", walk}, {"observation", "heron", walk}, {"observation", "heron", ""}, {"walk_end", "heron", walk},
		} {
			at := int64(i + 1)
			e := schema.Entry{
				ID: idAt(at), Device: "0a", Incarnation: 1, Seq: at, V: schema.Version, Kind: one.kind, Person: one.person, Bed: "bed",
				Wall: 1_000_000 + at, Mono: at, Session: "s", Floor: 900_000, Body: fmt.Appendf(nil, `{"walk":%q}`, one.walk),
			}
			raw, err := canonical.Encode(e)
			if err != nil {
				return err
			}
			if err := tx.PutNote(journal.NewNote{Position: at, Writer: writer, Seq: at, ReceivedAt: stampAt(at).At + 10, Stamp: stampAt(at), Entry: e, Raw: raw}); err != nil {
				return err
			}
		}
		return nil
	})
	read(t, s, func(snap journal.Snap) error {
		pots, err := snap.PotsIn(stampAt(1).At, stampAt(6).At)
		slices.SortFunc(pots, func(a, b journal.PotsMade) int { return cmp.Compare(a.Position, b.Position) })
		same(t, "pots", pots, err, []journal.PotsMade{
			{Walk: walk, Person: "heron", Bed: "bed", Pots: 2, Position: 1, At: stampAt(1).At, Until: stampAt(3).At, ReceivedAt: stampAt(3).At + 10},
			{Walk: walk, Person: "wren", Bed: "bed", Pots: 1, Position: 2, At: stampAt(2).At, Until: stampAt(2).At, ReceivedAt: stampAt(2).At + 10},
		})
		pots, err = snap.PotsIn(stampAt(3).At, stampAt(5).At)
		same(t, "pots of a part of it", len(pots), err, 1)
		made, err := gathered(snap.MadeIn(stampAt(1).At, stampAt(6).At), func(m journal.Made) int64 { return m.Position })
		slices.Sort(made)
		same(t, "all others", made, err, []int64{4, 5})
		late := map[string]int{}
		for one, err := range snap.LateIn(1, 5, stampAt(5).At) {
			if err != nil {
				return err
			}
			if one.At < stampAt(1).At || one.At >= stampAt(5).At {
				t.Errorf("late at %d", one.At)
			}
			late[one.Person] += one.Notes
		}
		same(t, "late", late, nil, map[string]int{"heron": 2, "wren": 1})
		return nil
	})
}
