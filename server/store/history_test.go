package store_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"bedwalk/schema"
	"bedwalk/server/journal"
	canonical "bedwalk/sync/journal"
)

// placesOf are the positions of the lines of a history.
func placesOf(rows []journal.HistoryRow, err error) (all []int64, _ error) {
	for _, row := range rows {
		all = append(all, row.Position)
	}
	return all, err
}

// walkFolded puts pots of two walks and a comment between them: of lot A the pots 1, 3 and 4 of one walk, 5 of the other; of B pot 6.
func walkFolded(t *testing.T, s journal.Site) {
	one, other := strings.Repeat("1", 32), strings.Repeat("2", 32)
	pot := func(tx journal.Tx, at int64, lot, walk, person string) error {
		n, err := tx.Register(lot)
		if err != nil {
			return err
		}
		e := schema.Entry{
			ID: idAt(at), Device: "0a", Incarnation: 1, Seq: at, V: schema.Version, Kind: "observation", Person: person, Lot: lot, Bed: "bed",
			Wall: 1_000_000 + at, Mono: at, Session: "s", Floor: 900_000, Body: fmt.Appendf(nil, `{"pot":%d,"walk":%q}`, at, walk),
		}
		raw, err := canonical.Encode(e)
		if err != nil {
			return err
		}
		return tx.PutNote(journal.NewNote{Position: at, Writer: 1, Seq: at, Lot: n, ReceivedAt: at, Stamp: stampAt(at), Entry: e, Raw: raw})
	}
	write(t, s, func(tx journal.Tx) error {
		writer, err := tx.PutChain("0a", 1, journal.Chain{High: 6})
		return errors.Join(err, pot(tx, 1, "A", one, "heron"), putNote(tx, 2, writer, 2, "A", "bed"), pot(tx, 3, "A", one, "wren"),
			pot(tx, 4, "A", one, "heron"), pot(tx, 5, "A", other, "wren"), pot(tx, 6, "B", one, "wren"))
	})
	read(t, s, func(snap journal.Snap) error {
		rows, err := snap.History("A", journal.Newest, 9)
		places, err := placesOf(rows, err)
		same(t, "lines", places, err, []int64{5, 4, 2})
		same(t, "the other walk", rows[0].Noted, nil, journal.Noted{Walk: other, Pots: 1, Since: stampAt(5).At, People: []string{"wren"}})
		walk := rows[1].Noted
		same(t, "people of a walk", len(walk.People), nil, 2)
		walk.People = nil
		same(t, "a walk", walk, nil, journal.Noted{Walk: one, Pots: 3, Since: stampAt(1).At})
		same(t, "a note alone", rows[2].Noted, nil, journal.Noted{})
		pots, err := positions(snap.HistoryOfWalk("A", one, journal.Newest, 2))
		same(t, "the newest pots of a walk", pots, err, []int64{4, 3})
		pots, err = positions(snap.HistoryOfWalk("A", one, journal.HistoryPlace{At: stampAt(3).At, Position: 3}, 2))
		same(t, "older pots of a walk", pots, err, []int64{1})
		return nil
	})
}
