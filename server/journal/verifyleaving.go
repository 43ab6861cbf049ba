package journal

import (
	"strings"

	"bedwalk/schema"
	"bedwalk/sync/fold"
	"bedwalk/sync/journal"
)

// leftOver is what verify makes again from the entries of what first pulls go by.
type leftOver struct {
	// staying has, of each entry that stays, from which position on.
	staying map[int64]int64
	sums    map[string]Leaving
	// lots and stocks are records by their lot, spans by that they belong to.
	lots, stocks map[string]schema.Record
	spans        map[string][]schema.Record
}

func newLeftOver() *leftOver {
	return &leftOver{staying: map[int64]int64{}, sums: map[string]Leaving{}, lots: map[string]schema.Record{}, stocks: map[string]schema.Record{}, spans: map[string][]schema.Record{}}
}

// entry counts an entry that stays by its kind.
func (l *leftOver) entry(e schema.Entry, keys []string, position int64) {
	if e.Lot != "" && !fold.InOne(e, keys) {
		l.staying[position] = position
	}
}

// record counts the entries of one record, which stand in the order of their positions, and the record, whose canonical bytes are text:
// nil where it has none.
func (l *leftOver) record(key string, entries []schema.Stamped, hashes []journal.Sum, record schema.Record, text []byte) {
	kind, id, _ := strings.Cut(key, ":")
	switch {
	case kind == "lot":
		l.lots[id] = record
	case kind == "stock":
		l.stocks[id] = record
	case kind == "span":
		l.spans[record.Lot] = append(l.spans[record.Lot], record)
	case ofNotes(key):
		lot, strayed := fold.Whole(key, entries)
		if strayed > 0 {
			for _, e := range entries {
				if _, ok := l.staying[e.Position]; e.Entry.Lot != "" && !ok {
					l.staying[e.Position] = max(e.Position, strayed)
				}
			}
			return
		}
		sum := l.sums[lot]
		for _, hash := range hashes {
			sum.Notes = sum.Notes.plus(1, hash)
		}
		if text != nil {
			sum.Records = sum.Records.plus(1, fold.HashOf(text))
		}
		l.sums[lot] = sum
	}
}

// compare holds it against what is kept. While an older file is being read that is not complete.
func (l *leftOver) compare(snap Snap, v *Verified) error {
	if have, err := snap.Keeps("leaving_sums"); err != nil || !have {
		return err
	}
	if known, err := leavingKnown(snap); err != nil || !known {
		return err
	}
	if err := l.compareStaying(snap, v); err != nil {
		return err
	}
	for kept, err := range snap.Leavings() {
		if err != nil {
			return err
		}
		if !kept.Sound || kept.Leaving != l.sums[kept.Lot] {
			v.complain("the sum of what first pulls may leave out of lot %q is not that of its entries", kept.Lot)
		}
		delete(l.sums, kept.Lot)
	}
	for lot, sum := range l.sums {
		if sum != (Leaving{}) {
			v.complain("lot %q has no sum of what first pulls may leave out", lot)
		}
	}
	return l.compareClosed(snap, v)
}

func (l *leftOver) compareStaying(snap Snap, v *Verified) error {
	stays, err := snap.Stays()
	for position, since := range stays {
		if l.staying[position] != since {
			v.complain("entry %d is not one that first pulls give from head %d on", position, since)
		}
		delete(l.staying, position)
	}
	for position := range l.staying {
		v.complain("entry %d is not listed as one that first pulls never leave out", position)
	}
	return err
}

func (l *leftOver) compareClosed(snap Snap, v *Verified) error {
	listed, err := snap.ClosedLots()
	if err != nil {
		return err
	}
	for _, lot := range listed {
		if !fold.Closed(l.lots[lot], l.stocks[lot], l.spans[lot]) {
			v.complain("lot %q is listed as closed, and is not", lot)
		}
		delete(l.lots, lot)
	}
	for lot, record := range l.lots {
		if fold.Closed(record, l.stocks[lot], l.spans[lot]) {
			v.complain("lot %q is closed, and is not listed so", lot)
		}
	}
	return nil
}
