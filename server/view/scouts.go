package view

import (
	"context"
	"maps"
	"slices"

	"bedwalk/schema"
	"bedwalk/server/journal"
	"bedwalk/sync/bed"
)

// Scouts is how scouts agree, and who reads large or small.
func (d *Views) Scouts(ctx context.Context) (v schema.ScoutsView, err error) {
	v = schema.ScoutsView{Drifts: []schema.Drift{}, Agreements: []schema.Agreement{}, Rounds: []schema.RoundView{}, MadeAt: d.journal.NowMS()}
	err = d.fresh(ctx, func(snap *journal.Snapshot) error {
		v.People = d.n.people
		drifts, err := d.driftsAt(snap)
		if err != nil {
			return err
		}
		v.Drifts = append(v.Drifts, drifts...)
		return d.rounds(snap, &v)
	})
	return v, err
}

// driftsAt is every scout's drift, reckoned once for each head of the journal: every phone asks after each walk.
func (d *Views) driftsAt(snap *journal.Snapshot) ([]schema.Drift, error) {
	if d.drifts.n == d.n && d.drifts.head == snap.Head {
		return d.drifts.all, nil
	}
	readings, err := d.readings(snap)
	if err != nil {
		return nil, err
	}
	d.drifts = driftsKept{d.n, snap.Head, bed.Drifts(readings)}
	return d.drifts.all, nil
}

// readings are the head sizes of every lot on every walk.
func (d *Views) readings(snap *journal.Snapshot) ([]bed.Reading, error) {
	var all []bed.Reading
	for _, id := range slices.Sorted(maps.Keys(d.n.beds)) {
		state, err := d.bedOf(snap, id)
		if err != nil {
			return nil, err
		}
		for _, w := range state.walks {
			heads := map[string][]float64{}
			for _, p := range w.input.Pots {
				if mm, ok := bed.HeadMM(p.Now); ok {
					heads[p.Now.Lot] = append(heads[p.Now.Lot], mm)
				}
			}
			for _, lot := range slices.Sorted(maps.Keys(heads)) {
				all = append(all, bed.Reading{Person: w.person, Lot: lot, Bed: id, At: w.at, HeadsMM: heads[lot]})
			}
		}
	}
	return all, nil
}

// pairOf names two scouts, the one first in order first.
type pairOf struct{ a, b string }

// rounds are the blind re-score rounds, and over all of them how each two scouts agree.
func (d *Views) rounds(snap *journal.Snapshot, v *schema.ScoutsView) error {
	pairs := map[pairOf][]bed.Pair{}
	for _, id := range slices.Sorted(maps.Keys(d.n.rounds)) {
		r := d.n.rounds[id]
		read, err := d.roundPots(snap, id, r)
		if err != nil {
			return err
		}
		one := schema.RoundView{
			Round: id, Bed: valueOr(r.Bed, ""), BedName: valueOr(d.n.beds[valueOr(r.Bed, "")].Name, ""), First: read.by, By: valueOr(r.By, ""),
			Pots: len(read.first), Done: valueOr(r.Done, false),
		}
		if len(read.again) == 0 {
			v.Rounds = append(v.Rounds, one)
		}
		for _, reader := range slices.Sorted(maps.Keys(read.again)) {
			both := bed.PairUp(read.first, read.again[reader])
			one.By, one.Rescored, one.Result = reader, len(both), nil
			if len(both) > 0 {
				result := bed.Agree(one.First, reader, both)
				one.Result = &result
				if reader == one.First {
					v.Rounds = append(v.Rounds, one)
					continue // how alike one person reads twice says nothing about two
				}
				key := pairOf{one.First, reader}
				if key.a > key.b {
					key = pairOf{key.b, key.a}
					for i := range both {
						both[i].A, both[i].B = both[i].B, both[i].A
					}
				}
				pairs[key] = append(pairs[key], both...)
			}
			v.Rounds = append(v.Rounds, one)
		}
	}
	keys := slices.SortedFunc(maps.Keys(pairs), func(x, y pairOf) int {
		return slices.Compare([]string{x.a, x.b}, []string{y.a, y.b})
	})
	for _, key := range keys {
		v.Agreements = append(v.Agreements, bed.Agree(key.a, key.b, pairs[key]))
	}
	return nil
}

// roundRead is what a round has to compare: the pots of its first walk and who walked it, and by reader the pots of the
// walks that answer it.
type roundRead struct {
	first []schema.PotSeen
	by    string
	again map[string][]schema.PotSeen
}

func (d *Views) roundPots(snap *journal.Snapshot, id string, r schema.Round) (read roundRead, err error) {
	readers := map[string]string{}
	var pots []schema.Record
	err = snap.OfBed(valueOr(r.Bed, ""), func(record schema.Record) error {
		switch w := record.Walk; {
		case w != nil && w.By != nil && w.Open != nil && w.Open.Round == id && w.Voided == nil:
			readers[nameOf(record.Key)] = w.By.Person
		case w != nil && nameOf(record.Key) == valueOr(r.Walk, "") && w.By != nil:
			read.by = w.By.Person
		case record.Pot != nil:
			pots = append(pots, record)
		}
		return nil
	})
	read.again = map[string][]schema.PotSeen{}
	for _, p := range seen(pots) {
		if p.Now.Walk == valueOr(r.Walk, "") {
			read.first = append(read.first, p)
		} else if reader, ok := readers[p.Now.Walk]; ok {
			read.again[reader] = append(read.again[reader], p)
		}
	}
	return read, err
}
