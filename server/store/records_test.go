package store_test

import (
	"errors"
	"slices"
	"testing"

	"bedwalk/server/journal"
)

func recordsFound(t *testing.T, s journal.Site) {
	five(t, s)
	var a, b, bed int64
	write(t, s, func(tx journal.Tx) (err error) {
		var errs [3]error
		a, errs[0] = tx.Register("A")
		b, errs[1] = tx.Register("B")
		bed, errs[2] = tx.Register("bed")
		return errors.Join(errs[:]...)
	})
	lone := "pot:" + idAt(3)
	// In an order that is not that of the keys. Keys are ordered byte by byte, so capitals come first.
	records := []journal.NewRecord{
		{Key: "walk:w", Lot: 0, Bed: bed, Changed: 1, Text: []byte(`{"b":1,"a":2}`)},
		{Key: "pot:p", Lot: a, Bed: bed, Changed: 2, Text: []byte("2")},
		{Key: lone, Lot: a, Bed: bed, Changed: 3},
		{Key: "span:s", Lot: a, Changed: 4, Text: []byte("4")},
		{Key: "pot:P", Lot: b, Bed: 0, Changed: 5, Text: []byte("5")},
		{Key: "fact:f", Lot: b, Bed: bed, Changed: 6, Text: []byte("6")},
		{Key: "pots:x", Lot: 0, Changed: 6, Text: []byte("no pot")},
	}
	write(t, s, func(tx journal.Tx) error {
		for _, r := range records {
			r.Changed = 0
			if err := tx.PutRecord(r); err != nil {
				return err
			}
		}
		// Once more, with what they come to: they keep their numbers.
		for _, r := range records {
			if err := tx.PutRecord(r); err != nil {
				return err
			}
		}
		return tx.PutPart("pot:folded to nothing", 1)
	})
	key := func(r journal.Stored) string { return r.Key }
	upTo, none := int64(3), int64(0)
	read(t, s, func(snap journal.Snap) error {
		var numbers []int64
		for _, r := range records {
			n, there, err := snap.Number(r.Key)
			same(t, "there", there, err, true)
			numbers = append(numbers, n)
		}
		if !slices.IsSorted(numbers) {
			t.Errorf("numbers do not rise as records come: %v", numbers)
		}
		next, there, err := snap.Number("walk:another")
		if there || err != nil || next <= numbers[len(numbers)-1] {
			t.Errorf("the next number is %d, %v, %v", next, there, err)
		}
		for _, ask := range []struct {
			which journal.Which
			want  []string
		}{
			{journal.Which{}, []string{"fact:f", lone, "pot:P", "pot:p", "pots:x", "span:s", "walk:w"}},
			{journal.Which{Key: "pot:p"}, []string{"pot:p"}},
			{journal.Which{Key: "pot:none"}, nil},
			{journal.Which{Kinds: []string{"pot"}}, []string{lone, "pot:P", "pot:p"}},
			{journal.Which{Kinds: []string{"pot"}, After: lone, Limit: 1}, []string{"pot:P"}},
			{journal.Which{Kinds: []string{"pot"}, Several: true}, []string{"pot:P", "pot:p"}},
			{journal.Which{Bed: "bed"}, []string{"walk:w", "pot:p", lone, "fact:f"}},
			{journal.Which{Bed: "bed", Kinds: []string{"pot", "walk"}, Since: 1}, []string{"pot:p", lone}},
			{journal.Which{Bed: "no bed"}, nil},
			{journal.Which{Lot: "A"}, []string{"pot:p", lone, "span:s"}},
			{journal.Which{Lot: "B", Kinds: []string{"fact"}}, []string{"fact:f"}},
			{journal.Which{Kinds: []string{"pot"}, UpTo: &upTo}, []string{lone, "pot:p"}},
			{journal.Which{UpTo: &none}, nil},
			{journal.Which{Numbers: []int64{numbers[3], 99_999, numbers[0]}}, []string{"walk:w", "span:s"}},
			{journal.Which{Numbers: []int64{}}, nil},
		} {
			got, err := gathered(snap.Records(ask.which), key)
			if err != nil || !slices.Equal(got, ask.want) {
				t.Errorf("%+v: %v, %v; want %v", ask.which, got, err, ask.want)
			}
		}
		for one, err := range snap.Records(journal.Which{Key: "walk:w"}) {
			same(t, "a record", one, err, journal.Stored{N: numbers[0], Key: "walk:w", Changed: 1, Text: []byte(`{"b":1,"a":2}`)})
		}
		_, raw := entry(3, 3, "A", "bed")
		for one, err := range snap.Records(journal.Which{Key: lone}) {
			same(t, "a record of one note", one, err, journal.Stored{
				N: numbers[2], Key: lone, Changed: 3, Line: journal.Line{Position: 3, Stamp: stampAt(3), Bytes: raw},
			})
		}
		for name, want := range map[string][]byte{"pot:p": []byte("2"), lone: nil, "pot:none": nil} {
			got, err := snap.Text(name)
			same(t, "text of "+name, got, err, want)
		}
		after, err := snap.NumberedAfter(numbers[0], 2)
		same(t, "the next numbers", after, err, []journal.Numbered{{N: numbers[1], Key: "pot:p"}, {N: numbers[2], Key: lone}})
		changed, err := gathered(snap.Changed(4), func(c journal.Changed) journal.Changed { return c })
		slices.SortFunc(changed, func(x, y journal.Changed) int { return len(x.Key+x.Lot+x.Bed) - len(y.Key+y.Lot+y.Bed) })
		same(t, "changed", changed, err, []journal.Changed{
			{Key: "pot:P", Lot: "B", Several: true}, {Key: "pots:x", Several: true}, {Key: "fact:f", Lot: "B", Bed: "bed", Several: true},
		})
		keys, err := snap.KeysOfKind("pot", 2)
		same(t, "keys of a kind", keys, err, []string{lone, "pot:P"})
		keys, err = snap.KeysOfLot(a, "span")
		same(t, "keys of a lot", keys, err, []string{"span:s"})
		keys, err = snap.Unfolded()
		same(t, "what makes no record", keys, err, []string{"pot:folded to nothing"})
		return nil
	})
	write(t, s, func(tx journal.Tx) error { return errors.Join(tx.DropRecord("pot:p"), tx.DropRecord("pot:none")) })
	read(t, s, func(snap journal.Snap) error {
		got, err := gathered(snap.Records(journal.Which{Key: "pot:p"}), key)
		same(t, "a record that was dropped", got, err, nil)
		return nil
	})
}

func sum(b byte, count int64) (s journal.LotSum) {
	s.Count = count
	for i := range s.Sum {
		s.Sum[i] = b
	}
	return s
}

func sumsKept(t *testing.T, s journal.Site) {
	var a int64
	leaving := journal.Leaving{Notes: sum(0xff, 3), Records: sum(0, 2)}
	write(t, s, func(tx journal.Tx) (err error) {
		if a, err = tx.Register("A"); err != nil {
			return err
		}
		nothing, err := tx.Register("")
		same(t, "the number of no lot", nothing, err, 0)
		again, err := tx.Register("A")
		same(t, "the number of the same lot", again, err, a)
		return errors.Join(tx.PutNoteSum(a, sum(9, 1)), tx.PutNoteSum(a, sum(1, 2)), tx.PutNoteSum(0, sum(2, 3)), tx.PutRecordSum(a, sum(3, 4)), tx.PutLeaving(a, leaving))
	})
	read(t, s, func(snap journal.Snap) error {
		notes, err := snap.NoteSum(a)
		same(t, "notes", notes, err, sum(1, 2))
		records, err := snap.RecordSum(a)
		same(t, "records", records, err, sum(3, 4))
		none, err := snap.RecordSum(0)
		same(t, "no records", none, err, journal.LotSum{})
		leaves, err := snap.LeavingSum(a)
		same(t, "leaving", leaves, err, leaving)
		leaves, err = snap.LeavingSum(0)
		same(t, "nothing leaving", leaves, err, journal.Leaving{})
		all, err := snap.NoteSums()
		same(t, "all", all, err, map[string]journal.LotSum{"A": sum(1, 2), "": sum(2, 3)})
		all, err = snap.RecordSums()
		same(t, "all of records", all, err, map[string]journal.LotSum{"A": sum(3, 4)})
		has, err := snap.HasLot("A")
		same(t, "has the lot", has, err, true)
		return nil
	})
}

func leftOutKnown(t *testing.T, s journal.Site) {
	five(t, s)
	var a, b int64
	gone := journal.Leaving{Notes: sum(1, 2), Records: sum(2, 1)}
	write(t, s, func(tx journal.Tx) (err error) {
		var bad error
		a, err = tx.Register("A")
		b, bad = tx.Register("B")
		return errors.Join(err, bad, tx.PutLeaving(a, gone), tx.PutLeaving(b, journal.Leaving{}), tx.Stay(3, 3), tx.Stay(3, 1), tx.Stay(5, 4),
			tx.Close(a, 4, 100), tx.Close(a, 5, 900), tx.Close(b, 4, 100))
	})
	ask := func(what string, but journal.LeftOut, lots map[string]journal.Leaving, stay []int64) {
		t.Helper()
		read(t, s, func(snap journal.Snap) error {
			got, err := snap.Gone(but, "", 10)
			same(t, what, got, err, lots)
			after, err := gathered(snap.AfterBut(0, 10, but), position)
			same(t, what+", notes", after, err, stay)
			return nil
		})
	}
	both := map[string]journal.Leaving{"A": gone}
	// Lot A is closed since head 4 and untouched since 100. Its third note stays; the fifth came after the first pull began. Of lot B
	// nothing may leave, so it is in no list, but its note is not given.
	ask("as of 4", journal.LeftOut{UpTo: 4, Before: 101}, both, []int64{3, 4, 5})
	ask("as of 5", journal.LeftOut{UpTo: 5, Before: 101}, both, []int64{3, 4, 5})
	ask("before it was closed", journal.LeftOut{UpTo: 3, Before: 101}, map[string]journal.Leaving{}, []int64{1, 2, 3, 4, 5})
	ask("touched since", journal.LeftOut{UpTo: 5, Before: 100}, map[string]journal.Leaving{}, []int64{1, 2, 3, 4, 5})
	ask("with others", journal.LeftOut{UpTo: 5, Before: 100, Others: []int64{b}}, map[string]journal.Leaving{}, []int64{1, 3, 4, 5})
	// Of lot B nothing was left out, so there is nothing to keep.
	write(t, s, func(tx journal.Tx) error {
		return errors.Join(tx.Reopen(a, 6), tx.Reopen(a, 7), tx.Reopen(b, 6), tx.PutLeaving(a, journal.Leaving{}), tx.PutLeaving(b, gone))
	})
	ask("as of 5, when they are open again", journal.LeftOut{UpTo: 5, Before: 101}, both, []int64{2, 3, 4, 5})
	ask("as of 6", journal.LeftOut{UpTo: 6, Before: 101}, map[string]journal.Leaving{}, []int64{1, 2, 3, 4, 5})
	read(t, s, func(snap journal.Snap) error {
		strayed, err := snap.Strayed(5)
		same(t, "strayed by 5", strayed, err, nil)
		after, err := gathered(snap.AfterBut(3, 1, journal.LeftOut{UpTo: 5, Before: 101}), position)
		same(t, "one after 3", after, err, []int64{4})
		page, err := snap.Gone(journal.LeftOut{UpTo: 5, Before: 101}, "A", 10)
		same(t, "after A", page, err, map[string]journal.Leaving{})
		at, err := snap.Touched(a, "A")
		same(t, "touched", at, err, stampAt(5).At+10)
		return nil
	})
	write(t, s, func(tx journal.Tx) error { return errors.Join(tx.Stay(1, 8), tx.Stay(7, 9)) })
	read(t, s, func(snap journal.Snap) error {
		strayed, err := snap.Strayed(5)
		same(t, "strayed after 5", strayed, err, []int64{1})
		return nil
	})
}
