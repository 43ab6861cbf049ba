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
func (d *Desk) Scouts(ctx context.Context) (v schema.ScoutsView, err error) {
	v = schema.ScoutsView{Drifts: []schema.Drift{}, Agreements: []schema.Agreement{}, Rounds: []schema.RoundView{}, MadeAt: d.journal.NowMS()}
	err = d.fresh(ctx, func(snap *journal.Snapshot) error {
		v.People = d.n.people
		readings, err := d.readings(snap)
		if err != nil {
			return err
		}
		v.Drifts = append(v.Drifts, bed.Drifts(readings)...)
		return d.rounds(snap, &v)
	})
	return v, err
}

// readings are the head sizes of every lot on every walk.
func (d *Desk) readings(snap *journal.Snapshot) ([]bed.Reading, error) {
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
func (d *Desk) rounds(snap *journal.Snapshot, v *schema.ScoutsView) error {
	pairs := map[pairOf][]bed.Pair{}
	for _, id := range slices.Sorted(maps.Keys(d.n.rounds)) {
		r := d.n.rounds[id]
		first, again, firstBy, err := d.roundPots(snap, id, r)
		if err != nil {
			return err
		}
		one := schema.RoundView{
			Round: id, Bed: or(r.Bed, ""), BedName: or(d.n.beds[or(r.Bed, "")].Name, ""), First: firstBy, By: or(r.By, ""),
			Pots: len(first), Rescored: len(again),
		}
		if both := bed.PairUp(first, again); len(both) > 0 {
			result := bed.Agree(one.First, one.By, both)
			one.Result = &result
			key := pairOf{one.First, one.By}
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
	keys := slices.SortedFunc(maps.Keys(pairs), func(x, y pairOf) int {
		return slices.Compare([]string{x.a, x.b}, []string{y.a, y.b})
	})
	for _, key := range keys {
		v.Agreements = append(v.Agreements, bed.Agree(key.a, key.b, pairs[key]))
	}
	return nil
}

// roundPots are the pots of a round's first walk, and of the walk that answers it.
func (d *Desk) roundPots(snap *journal.Snapshot, id string, r schema.Round) (first, again []schema.PotSeen, by string, err error) {
	answers := map[string]bool{}
	var pots []schema.Record
	err = snap.OfBed(or(r.Bed, ""), func(record schema.Record) error {
		switch {
		case record.Walk != nil && record.Walk.Open != nil && record.Walk.Open.Round == id && record.Walk.Voided == nil:
			answers[nameOf(record.Key)] = true
		case record.Walk != nil && nameOf(record.Key) == or(r.Walk, "") && record.Walk.By != nil:
			by = record.Walk.By.Person
		case record.Pot != nil:
			pots = append(pots, record)
		}
		return nil
	})
	for _, p := range seen(pots) {
		switch {
		case p.Now.Walk == or(r.Walk, ""):
			first = append(first, p)
		case answers[p.Now.Walk]:
			again = append(again, p)
		}
	}
	return first, again, by, err
}
