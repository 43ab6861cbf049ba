package store_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"bedwalk/schema"
	"bedwalk/server/journal"
	canonical "bedwalk/sync/journal"
)

// entry is a note at a position, of some lot and bed, and its bytes. Its id follows from its position.
func entry(at, seq int64, lot, bed string) (schema.Entry, []byte) {
	e := schema.Entry{
		ID: idAt(at), Device: "0a", Incarnation: 1, Seq: seq, V: schema.Version, Kind: "comment", Person: "heron", Lot: lot, Bed: bed,
		Wall: 1_000_000 + at, Mono: at, Session: "s", Floor: 900_000, Body: fmt.Appendf(nil, `{"text":"note %d"}`, at),
	}
	raw, err := canonical.Encode(e)
	if err != nil {
		panic(err)
	}
	return e, raw
}

func idAt(at int64) string { return strings.Repeat("0", 24) + fmt.Sprintf("%08x", at) }

func stampAt(at int64) schema.Stamp {
	return schema.Stamp{At: 1_000_000 + at, Quality: schema.Exact, From: 1_000_000 + at - 1, To: 1_000_000 + at + 1}
}

// putNote puts a note at a position. It arrived 10 ms after its stamp.
func putNote(tx journal.Tx, at, writer, seq int64, lot, bed string) error {
	n, err := tx.Register(lot)
	if err != nil {
		return err
	}
	e, raw := entry(at, seq, lot, bed)
	return tx.PutNote(journal.NewNote{Position: at, Writer: writer, Seq: seq, Lot: n, ReceivedAt: stampAt(at).At + 10, Stamp: stampAt(at), Entry: e, Raw: raw})
}

// five puts five notes of one writer: 1, 3 and 5 of lot A, 2 of lot B, 4 of none.
func five(t *testing.T, s journal.Site) (writer int64) {
	write(t, s, func(tx journal.Tx) (err error) {
		if writer, err = tx.PutChain("0a", 1, journal.Chain{High: 5}); err != nil {
			return err
		}
		for i, lot := range []string{"A", "B", "A", "", "A"} {
			if err := putNote(tx, int64(i+1), writer, int64(i+1), lot, "bed"); err != nil {
				return err
			}
		}
		return nil
	})
	return writer
}

func notesKept(t *testing.T, s journal.Site) {
	writer := five(t, s)
	// Whatever somebody's phone made of its bytes, they are kept, if only its id can be read.
	odd, _ := entry(6, 6, "B", "bed")
	poison := append([]byte{0, 0xff, 0xfe, '{'}, []byte(odd.ID)...)
	write(t, s, func(tx journal.Tx) error {
		n, err := tx.Register("B")
		if err != nil {
			return err
		}
		return tx.PutNote(journal.NewNote{Position: 6, Writer: writer, Seq: 6, Lot: n, ReceivedAt: 7, Stamp: stampAt(6), Entry: odd, Raw: poison})
	})
	want := map[int64][]byte{6: poison}
	for i, lot := range []string{"A", "B", "A", "", "A"} {
		_, want[int64(i+1)] = entry(int64(i+1), int64(i+1), lot, "bed")
	}
	read(t, s, func(snap journal.Snap) error {
		head, err := snap.Head()
		same(t, "head", head, err, 6)
		after, err := gathered(snap.After(2, 3), position)
		same(t, "after 2, three of them", after, err, []int64{3, 4, 5})
		for line, err := range snap.After(0, 100) {
			same(t, fmt.Sprintf("bytes at %d", line.Position), string(line.Bytes), err, string(want[line.Position]))
			same(t, "stamp", line.Stamp, nil, stampAt(line.Position))
		}
		// A page may end before the site has given all.
		for range snap.After(0, 100) {
			break
		}
		rows, err := gathered(snap.Rows(1, 4), func(r journal.Row) journal.Row {
			r.Bytes = slices.Clone(r.Bytes)
			return r
		})
		if err != nil || len(rows) != 3 {
			t.Fatalf("rows %+v, %v", rows, err)
		}
		numbers, err := snap.Lots([]string{"B"})
		if err != nil || len(numbers) != 1 {
			t.Fatalf("numbers %v, %v", numbers, err)
		}
		same(t, "row", rows[0], nil, journal.Row{
			Line: journal.Line{Position: 2, Stamp: stampAt(2), Bytes: want[2]}, ID: idAt(2), Lot: "B", LotN: numbers[0], Writer: writer, Seq: 2,
			ReceivedAt: stampAt(2).At + 10, By: journal.ChainPlace{Device: "0a", Incarnation: 1, Seq: 2},
		})
		same(t, "lot of a note of none", rows[2].Lot, nil, "")
		back, err := gathered(snap.RowsBack(2, 5), func(r journal.Row) int64 { return r.Position })
		same(t, "back", back, err, []int64{5, 4, 3})
		last, err := snap.LastIn(1, math.MaxInt64, stampAt(4).At+10)
		same(t, "the last before the fourth arrived", last, err, 6)
		last, err = snap.LastIn(1, 5, stampAt(4).At+10)
		same(t, "of the first five", last, err, 3)
		last, err = snap.LastIn(1, 5, 0)
		same(t, "before all", last, err, 0)
		first, found, err := snap.FirstIn(2, 5)
		if first != stampAt(2).At+10 || !found || err != nil {
			t.Errorf("the first arrived at %d, %v, %v", first, found, err)
		}
		_, found, err = snap.FirstIn(7, 9)
		same(t, "found of none", found, err, false)
		return nil
	})
}

func notesFound(t *testing.T, s journal.Site) {
	writer := five(t, s)
	write(t, s, func(tx journal.Tx) error {
		for _, one := range []struct {
			key string
			at  int64
		}{{"lot:A", 1}, {"lot:A", 5}, {"lot:a", 2}, {"bed:x", 5}} {
			has, err := tx.HasPart(one.key, one.at)
			same(t, "listed before", has, err, false)
			if err := tx.PutPart(one.key, one.at); err != nil {
				return fmt.Errorf("list %v: %w", one, err)
			}
			has, err = tx.HasPart(one.key, one.at)
			same(t, "listed", has, err, true)
		}
		return tx.PutPart("lot:A", 5)
	})
	byItsName := "fact:" + idAt(3)
	read(t, s, func(snap journal.Snap) error {
		has, err := snap.HasLot("A")
		same(t, "sums of a lot are not its notes", has, err, false)
		of, err := gathered(snap.OfLot("A", 1, 5, 10), position)
		same(t, "of a lot", of, err, []int64{3, 5})
		of, err = gathered(snap.OfLot("A", 0, 4, 1), position)
		same(t, "one of a lot", of, err, []int64{1})
		of, err = gathered(snap.OfLot("a", 0, 5, 10), position)
		same(t, "of a lot that is not there", of, err, nil)
		of, err = gathered(snap.OfKeys([]string{"lot:A", "bed:x", byItsName}, []string{idAt(3)}, 1, 5, 10), position)
		same(t, "of some records", of, err, []int64{3, 5})
		of, err = gathered(snap.OfKeys(nil, nil, 0, 5, 10), position)
		same(t, "of no record", of, err, nil)
		numbers, err := snap.Lots([]string{"A"})
		if err != nil || len(numbers) != 1 {
			t.Fatalf("numbers %v, %v", numbers, err)
		}
		changed, err := positions(snap.ChangedIn(numbers[0], 3, []int64{1, 2}))
		slices.Sort(changed)
		same(t, "changed in a lot", changed, err, []int64{1, 5})
		changed, err = positions(snap.ChangedIn(numbers[0], 3, nil))
		same(t, "changed without others", changed, err, []int64{5})
		history, err := placesOf(snap.History("A", journal.Newest, 2))
		same(t, "history", history, err, []int64{5, 3})
		history, err = placesOf(snap.History("A", journal.HistoryPlace{At: stampAt(3).At, Position: 3}, 2))
		same(t, "older history", history, err, []int64{1})
		at, err := positions(snap.At([]int64{4, 2, 99}))
		slices.Sort(at)
		same(t, "at some positions", at, err, []int64{2, 4})
		made, err := gathered(snap.MadeIn(stampAt(2).At, stampAt(4).At), func(m journal.Made) int64 {
			if m.ReceivedAt != stampAt(m.Position).At+10 {
				t.Errorf("note %d arrived at %d", m.Position, m.ReceivedAt)
			}
			return m.Position
		})
		slices.Sort(made)
		same(t, "made in a time", made, err, []int64{2, 3})
		madeAt, found, err := snap.LastMade(stampAt(4).At)
		same(t, "the last made before", madeAt, err, stampAt(3).At)
		same(t, "whether there is one", found, nil, true)
		_, found, err = snap.LastMade(stampAt(1).At)
		same(t, "whether there is one before all", found, err, false)
		one, found, err := snap.Note(idAt(4))
		_, want := entry(4, 4, "", "bed")
		same(t, "by its id", one, err, journal.Line{Position: 4, Stamp: stampAt(4), Bytes: want})
		same(t, "found by its id", found, nil, true)
		_, found, err = snap.Note(idAt(9))
		same(t, "found by another id", found, err, false)
		entries, err := positions(snap.EntriesOf("lot:A"))
		same(t, "entries of a record", entries, err, []int64{1, 5})
		entries, err = positions(snap.EntriesOf(byItsName))
		same(t, "the entry that a record is named for", entries, err, []int64{3})
		count, err := snap.CountParts("lot:A", 1)
		same(t, "count as far as one", count, err, 1)
		count, err = snap.CountParts("lot:A", 9)
		same(t, "count", count, err, 2)
		of, err = positions(snap.OfWriter(writer))
		same(t, "of a writer", of, err, []int64{1, 2, 3, 4, 5})
		unread, err := positions(snap.Unread(1, []string{"comment"}, 3))
		same(t, "of a kind", unread, err, []int64{2, 3, 4})
		unread, err = positions(snap.Unread(0, []string{"comments", "walk"}, 3))
		same(t, "of no such kind", unread, err, nil)
		return nil
	})
	read(t, s, func(snap journal.Snap) error {
		parts, err := snap.Parts([]string{"lot:A", "bed:x", "lot:nothing", byItsName})
		if err != nil {
			return err
		}
		got := map[int64][]string{}
		for _, p := range parts {
			got[p.Position] = append(got[p.Position], slices.Sorted(slices.Values(p.Keys))...)
		}
		same(t, "parts", got, nil, map[int64][]string{1: {"lot:A"}, 5: {"bed:x", "lot:A"}, 3: nil})
		none, err := snap.Parts(nil)
		same(t, "parts of nothing", len(none), err, 0)
		return nil
	})
}

// wordless are faults without the sentence that they are written with.
func wordless(faults []schema.Fault) []schema.Fault {
	all := slices.Clone(faults)
	for i := range all {
		all[i].Message = ""
	}
	return all
}

func arrivedFound(t *testing.T, s journal.Site) {
	writer := five(t, s)
	fault := []schema.Fault{{Field: "lot", Code: schema.CodeUnknownLot, Value: "B"}}
	var n int64
	write(t, s, func(tx journal.Tx) (err error) {
		e, raw := entry(7, 6, "B", "bed")
		n, err = tx.PutQuarantine(journal.NewQuarantined{ID: e.ID, Writer: writer, Seq: 6, ReceivedAt: 8, State: "quarantined", Stamp: stampAt(7), Raw: raw, Faults: fault})
		if err != nil {
			return err
		}
		// A repeat of the first note, and bytes that are no note.
		if _, err := tx.PutQuarantine(journal.NewQuarantined{ID: idAt(1), Writer: writer, Seq: 7, State: "repeat", Stamp: stampAt(1), Raw: []byte("{}"), Position: 1}); err != nil {
			return err
		}
		_, err = tx.PutQuarantine(journal.NewQuarantined{Writer: writer, Seq: 8, State: "quarantined", Stamp: stampAt(1), Raw: []byte{0, 0xff}})
		return err
	})
	read(t, s, func(snap journal.Snap) error {
		taken, err := snap.Taken(writer, 5, 7)
		if err != nil || len(taken) != 3 {
			t.Fatalf("%+v, %v", taken, err)
		}
		_, raw := entry(7, 6, "B", "bed")
		for i, want := range []journal.Arrived{
			{Line: journal.Line{Position: 5, Stamp: stampAt(5)}, Seq: 5, State: "merged", Faults: []schema.Fault{}},
			{Line: journal.Line{Stamp: stampAt(7), Bytes: raw}, N: n, Seq: 6, State: "quarantined", Faults: fault},
			{Line: journal.Line{Position: 1, Stamp: stampAt(1), Bytes: []byte("{}")}, N: n + 1, Seq: 7, State: "repeat", Faults: []schema.Fault{}},
		} {
			got := taken[i]
			got.Faults = wordless(got.Faults)
			if got.ID = ""; i == 0 {
				got.Bytes = nil
			}
			same(t, "taken", got, nil, want)
		}
		known, err := snap.Known([]string{idAt(1), idAt(7), idAt(9)})
		states := map[string]string{}
		for _, one := range known {
			states[one.ID] += one.State
		}
		same(t, "known", states, err, map[string]string{idAt(1): "merged", idAt(7): "quarantined"})
		for _, ask := range []struct {
			id  string
			raw []byte
			is  bool
		}{{idAt(1), nil, true}, {idAt(7), []byte("x"), true}, {idAt(9), raw, false}, {"", []byte{0, 0xff}, true}, {"", []byte{0, 0xfe}, false}} {
			_, found, err := snap.Held(ask.id, ask.raw)
			same(t, fmt.Sprintf("held %v", ask), found, err, ask.is)
		}
		has, err := snap.HasOpaque("0a", []byte{0, 0xff})
		same(t, "opaque", has, err, true)
		has, err = snap.HasOpaque("0b", []byte{0, 0xff})
		same(t, "opaque of another", has, err, false)
		return nil
	})
}
