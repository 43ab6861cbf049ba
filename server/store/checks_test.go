package store_test

import (
	"errors"
	"fmt"
	"slices"
	"testing"

	"bedwalk/server/journal"
)

// rowsChecked is what verify asks, of a site that nobody has changed past Bedwalk.
func rowsChecked(t *testing.T, s journal.Site) {
	writer := five(t, s)
	var a, other int64
	leaving := journal.Leaving{Notes: sum(0xff, 3), Records: sum(1, 2)}
	write(t, s, func(tx journal.Tx) (err error) {
		if a, err = tx.Register("A"); err != nil {
			return err
		}
		if other, err = tx.PutChain("0b", 1, journal.Chain{}); err != nil {
			return err
		}
		_, raw := entry(6, 6, "A", "bed")
		_, held := tx.PutQuarantine(journal.NewQuarantined{ID: idAt(6), Writer: writer, Seq: 6, ReceivedAt: 2_000_000, State: "review", Stamp: stampAt(6), Raw: raw})
		return errors.Join(held, tx.PutPart("lot:A", 2), tx.PutPart("lot:A", 1), tx.Mark(3, [32]byte{1}), tx.Mark(3, [32]byte{2}), tx.Stay(4, 5), tx.Close(a, 5, 100), tx.PutLeaving(a, leaving),
			tx.PutRecord(journal.NewRecord{Key: "lot:A", Lot: a, Changed: 5, Text: []byte("1")}), tx.PutRecord(journal.NewRecord{Key: "pot:p", Lot: a, Bed: a, Changed: 5}))
	})
	read(t, s, func(snap journal.Snap) error {
		for table, want := range map[string]bool{"marks": true, "no such table": false} {
			keeps, err := snap.Keeps(table)
			same(t, "keeps "+table, keeps, err, want)
		}
		chained, err := gathered(snap.Chained(), func(c journal.Chained) string {
			return fmt.Sprintf("%v %s.%d to %d: %d %v", c.N == writer, c.Device, c.Incarnation, c.High, c.Seq, len(c.Bytes) > 0)
		})
		same(t, "chained", chained, err, []string{
			"true 0a.1 to 5: 1 true", "true 0a.1 to 5: 2 true", "true 0a.1 to 5: 3 true", "true 0a.1 to 5: 4 true", "true 0a.1 to 5: 5 true",
			"true 0a.1 to 5: 6 true", "false 0b.1 to 0: 0 false",
		})
		if other <= writer {
			t.Errorf("writers have the numbers %d and %d", writer, other)
		}
		listed, err := gathered(snap.Listed(), func(p journal.PartAt) journal.PartAt { return p })
		slices.SortFunc(listed, func(x, y journal.PartAt) int { return int(x.Position - y.Position) })
		same(t, "listed", listed, err, []journal.PartAt{{Key: "lot:A", Position: 1}, {Key: "lot:A", Position: 2}})
		marks, err := snap.Marks()
		hash := [32]byte{2}
		same(t, "marks", marks, err, map[int64]string{3: string(hash[:])})
		filed, err := snap.Filed([]string{"lot:A", "pot:p", "pot:none"})
		if len(filed) == 2 {
			same(t, "numbers", filed["lot:A"].N < filed["pot:p"].N, nil, true)
		}
		same(t, "filed", filed, err, map[string]journal.Filed{
			"lot:A": {N: filed["lot:A"].N, Text: []byte("1"), Lot: "A"}, "pot:p": {N: filed["pot:p"].N, Lot: "A", Bed: "A"},
		})
		count, err := snap.CountRecords()
		same(t, "records", count, err, 2)
		leavings, err := gathered(snap.Leavings(), func(l journal.LeavingOf) journal.LeavingOf { return l })
		same(t, "leavings", leavings, err, []journal.LeavingOf{{Leaving: leaving, Lot: "A", Sound: true}})
		stays, err := snap.Stays()
		same(t, "stays", stays, err, map[int64]int64{4: 5})
		closed, err := snap.ClosedLots()
		same(t, "closed", closed, err, []string{"A"})
		strange, err := snap.Strange()
		same(t, "strange", strange, err, nil)
		return snap.Unsealed(func(table, key, wrong string) { t.Errorf("%s %s %s", table, key, wrong) })
	})
	for _, one := range []struct {
		clock, was string
		late       bool
	}{{"1999999", "1", true}, {"2000000", "1", false}, {"1", "2000001", false}} {
		write(t, s, func(tx journal.Tx) error {
			return errors.Join(tx.Set("clock", one.clock), tx.Set("clock_was", one.was))
		})
		read(t, s, func(snap journal.Snap) error {
			at, late, err := snap.LateBy("clock", "clock_was")
			same(t, fmt.Sprintf("late by %+v", one), late, err, one.late)
			if late {
				same(t, "at", at, nil, 2_000_000)
			}
			return nil
		})
	}
}
