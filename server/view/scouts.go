package view

import (
	"context"
	"maps"
	"slices"

	"bedwalk/schema"
	"bedwalk/sync/bed"
)

// Scouts is how scouts agree, and who reads large or small.
func (v *Views) Scouts(ctx context.Context) (all schema.ScoutsView, err error) {
	all = schema.ScoutsView{Drifts: []schema.Drift{}, Agreements: []schema.Agreement{}, Rounds: []schema.RoundView{}, MadeAt: v.journal.NowMS()}
	err = v.whole(ctx, func(m *moment) error {
		all.People = m.n.people
		drifts, err := m.driftsNow()
		if err != nil {
			return err
		}
		all.Drifts = append(all.Drifts, drifts...)
		return m.rounds(&all)
	})
	return all, err
}

// keptDrifts are the drifts of some readings, bed by bed.
type keptDrifts struct {
	of  []*[]bed.Reading
	all []schema.Drift
}

// driftsNow is every scout's drift, computed once for the same readings: every phone asks after each walk.
func (m *moment) driftsNow() ([]schema.Drift, error) {
	var of []*[]bed.Reading
	for _, id := range slices.Sorted(maps.Keys(m.n.beds)) {
		state, err := m.bed(id)
		if err != nil {
			return nil, err
		}
		of = append(of, state.readings)
	}
	m.keeping.Lock()
	kept := m.Views.drifts
	m.keeping.Unlock()
	if kept.of != nil && slices.Equal(kept.of, of) {
		return kept.all, nil
	}
	var readings []bed.Reading
	for _, some := range of {
		readings = append(readings, *some...)
	}
	kept = keptDrifts{of, bed.Drifts(readings)}
	m.keeping.Lock()
	m.Views.drifts = kept
	m.keeping.Unlock()
	return kept.all, nil
}

// pairOf names two scouts, the one first in order first.
type pairOf struct{ a, b string }

// rounds are the blind re-score rounds, and over all of them how each two scouts agree.
func (m *moment) rounds(all *schema.ScoutsView) error {
	pairs := map[pairOf][]bed.Pair{}
	for _, id := range slices.Sorted(maps.Keys(m.n.rounds)) {
		r := m.n.rounds[id]
		read, err := m.round(id, r)
		if err != nil {
			return err
		}
		one := schema.RoundView{
			Round: id, Bed: valueOr(r.Bed, ""), BedName: valueOr(m.n.beds[valueOr(r.Bed, "")].Name, ""), First: read.by, By: valueOr(r.By, ""),
			Pots: read.pots, Done: valueOr(r.Done, false),
		}
		if len(read.again) == 0 {
			all.Rounds = append(all.Rounds, one)
		}
		for _, reader := range slices.Sorted(maps.Keys(read.again)) {
			both := read.again[reader]
			one.By, one.Rescored, one.Result = reader, len(both.pairs), both.result
			all.Rounds = append(all.Rounds, one)
			if len(both.pairs) == 0 || reader == one.First {
				continue // how alike one person reads twice says nothing about two
			}
			key := pairOf{one.First, reader}
			if key.a > key.b {
				key = pairOf{key.b, key.a}
				for _, p := range both.pairs {
					pairs[key] = append(pairs[key], bed.Pair{A: p.B, B: p.A})
				}
				continue
			}
			pairs[key] = append(pairs[key], both.pairs...)
		}
	}
	keys := slices.SortedFunc(maps.Keys(pairs), func(x, y pairOf) int {
		return slices.Compare([]string{x.a, x.b}, []string{y.a, y.b})
	})
	for _, key := range keys {
		all.Agreements = append(all.Agreements, bed.Agree(key.a, key.b, pairs[key]))
	}
	return nil
}

// roundResult is what a round has come to, and the walks that it was read from.
type roundResult struct {
	of []*walk
	// pots of the first walk, and who walked it.
	pots int
	by   string
	// again is what came of it by reader.
	again map[string]reread
}

// reread are the pots that were read twice, and how alike; result is nil where none was.
type reread struct {
	pairs  []bed.Pair
	result *schema.Agreement
}

// round compares the pots of a round's first walk with those of the walks that answer it. It is done once for the same walks.
func (m *moment) round(id string, r schema.Round) (*roundResult, error) {
	on, first := valueOr(r.Bed, ""), valueOr(r.Walk, "")
	state, err := m.bed(on)
	if err != nil {
		return nil, err
	}
	by := ""
	if p, ok := state.parts[first]; ok && p.Known {
		by = p.Person
	}
	of := []*walk{state.kept[first]}
	readers := map[string][]int64{}
	for _, walkID := range slices.Sorted(maps.Keys(state.kept)) {
		p := state.parts[walkID]
		if p.Round == id && p.Known && !p.Voided && walkID != first {
			of = append(of, state.kept[walkID])
			readers[p.Person] = append(readers[p.Person], state.kept[walkID].Pots...)
		}
	}
	m.keeping.Lock()
	kept := m.Views.rounds[id]
	m.keeping.Unlock()
	if kept != nil && kept.by == by && slices.Equal(kept.of, of) {
		return kept, nil
	}
	result := &roundResult{of: of, by: by, again: map[string]reread{}}
	var firstPots []schema.PotSeen
	if of[0] != nil {
		if firstPots, err = m.seenBy(on, of[0].Pots); err != nil {
			return nil, err
		}
	}
	result.pots = len(firstPots)
	for reader, numbers := range readers {
		pots, err := m.seenBy(on, numbers)
		if err != nil {
			return nil, err
		}
		if len(pots) == 0 {
			continue
		}
		both := reread{pairs: bed.PairUp(firstPots, pots)}
		if len(both.pairs) > 0 {
			agreed := bed.Agree(by, reader, both.pairs)
			both.result = &agreed
		}
		result.again[reader] = both
	}
	m.keeping.Lock()
	m.Views.rounds[id] = result
	m.keeping.Unlock()
	return result, nil
}

// seenBy reads the pots that count by the numbers of their records.
func (m *moment) seenBy(on string, numbers []int64) ([]schema.PotSeen, error) {
	var pots []potRecord
	err := m.snap.Numbered(numbers, func(n int64, r schema.Record) error {
		if r.Pot != nil && r.Bed == on {
			pots = append(pots, potRecord{n, r})
		}
		return nil
	})
	return seen(pots), err
}
