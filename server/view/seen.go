package view

import (
	"cmp"
	"slices"

	"bedwalk/schema"
	"bedwalk/sync/bed"
	"bedwalk/sync/calendar"
	"bedwalk/sync/crop"
)

// seenOn is what the newest whole walk of a bed saw of a lot that stands there.
type seenOn struct {
	bed  string
	walk *walk
	pots []schema.PotSeen
}

// seenLot is what the newest whole walks saw of a lot; unwalked are beds that it stands on where none saw it. heads are its mean heads on
// all walks of the beds that it stands or stood on.
type seenLot struct {
	on       []seenOn
	unwalked int
	heads    []headsOn
}

// headsOn are a lot's heads on one walk of a bed.
type headsOn struct {
	bed  string
	walk *walk
	heads
}

// seen reads what the newest whole walks saw of a lot where it stands, or stood when it shipped. The pots of a walk are remembered as
// long as the walk stays as it is.
func (m *moment) seen(lot string) (seenLot, error) {
	heads, err := m.headsOf(lot)
	if err != nil {
		return seenLot{}, err
	}
	all, err := m.n.seenBy(lot, func(bedID string) (seenOn, bool, error) {
		state, err := m.bed(bedID)
		if err != nil {
			return seenOn{}, false, err
		}
		w := newestWhole(state.walks, lot)
		if w == nil {
			return seenOn{}, false, nil
		}
		one, err := m.seenOnWalk(lot, bedID, w)
		return one, true, err
	})
	all.heads = heads
	return all, err
}

// headsOf are a lot's heads on every walk on which enough of its pots were measured to judge a lot.
func (m *moment) headsOf(lot string) (all []headsOn, err error) {
	for _, bedID := range m.n.stoodOn[lot] {
		state, err := m.bed(bedID)
		if err != nil {
			return nil, err
		}
		for _, w := range state.walks {
			if h := w.Heads[lot]; h.N >= bed.MinPotsPerLot {
				all = append(all, headsOn{bedID, w, h})
			}
		}
	}
	return all, nil
}

// seenBy puts together what was seen of a lot on each of its beds; on is false of a bed on which no whole walk saw it.
func (n *nursery) seenBy(lot string, on func(bedID string) (seenOn, bool, error)) (all seenLot, err error) {
	beds := n.standsOn[lot]
	if valueOr(n.lots[lot].ShippedOn, "") != "" {
		beds = n.stoodOn[lot]
	}
	for _, bedID := range beds {
		one, found, err := on(bedID)
		if err != nil {
			return all, err
		}
		if !found {
			all.unwalked++
			continue
		}
		all.on = append(all.on, one)
	}
	return all, nil
}

func newestWhole(walks []*walk, lot string) *walk {
	for _, w := range slices.Backward(walks) {
		if w.Whole && slices.Contains(w.Lots, lot) {
			return w
		}
	}
	return nil
}

type lotOnBed struct{ lot, bed string }

func (m *moment) seenOnWalk(lot, bedID string, w *walk) (seenOn, error) {
	key := lotOnBed{lot, bedID}
	m.keeping.Lock()
	kept, ok := m.seenPots[key]
	m.keeping.Unlock()
	if ok && (kept.walk == w || kept.walk.ID == w.ID && slices.Equal(kept.walk.Pots, w.Pots) && slices.Equal(kept.walk.Context, w.Context)) {
		return seenOn{bedID, w, kept.pots}, nil
	}
	pots, err := m.potsOf(bedID, w.ID, w.Pots)
	if err != nil {
		return seenOn{}, err
	}
	one := seenOf(lot, bedID, w, pots)
	m.keeping.Lock()
	m.seenPots[key] = one
	m.keeping.Unlock()
	return one, nil
}

// seenOf is what a walk with these pots saw of a lot.
func seenOf(lot, bedID string, w *walk, pots []potRecord) seenOn {
	return seenOn{bedID, w, slices.DeleteFunc(seen(pots), func(p schema.PotSeen) bool { return p.Now.Lot != lot })}
}

// forGates lays out what was seen for the gates of the lot's stage; nil when no whole walk saw it.
func (n *nursery) forGates(lot string, seen seenLot) *crop.Seen {
	if len(seen.on) == 0 {
		return nil
	}
	var on calendar.Day
	standing := 0
	var pots []schema.Observation
	for i, one := range seen.on {
		day := n.dayAt(one.walk.At)
		if i == 0 || day < on {
			on = day
		}
		for _, s := range n.spans[one.bed] {
			if valueOr(s.Lot, "") == lot && !valueOr(s.Ended, false) {
				standing += n.potsOnBed(lot, s.id)
			}
		}
		for _, p := range one.pots {
			pots = append(pots, p.Now)
		}
	}
	return crop.SeenOf(on, standing, seen.unwalked > 0, pots)
}

// scouts are the names of those who walked, each once.
func (n *nursery) scouts(seen seenLot) (names []string) {
	for _, one := range seen.on {
		names = append(names, cmp.Or(n.people[one.walk.Person], ""))
	}
	slices.Sort(names)
	return slices.Compact(slices.DeleteFunc(names, func(name string) bool { return name == "" }))
}

func gateViews(gates []crop.Gate, seen *crop.Seen, scouts []string) (all []schema.PlanGate) {
	for _, g := range gates {
		v := schema.PlanGate{Gate: g.Gate, State: g.State, Met: g.Met, Looked: g.Looked, On: dateOrNone(g.On), ByHand: g.ByHand}
		if g.Looked > 0 {
			v.PotsOnBeds, v.Unwalked, v.Scouts = seen.PotsOnBeds, seen.Unwalked, scouts
		}
		if g.Limits.Known {
			v.Low, v.High = g.Limits.Low, g.Limits.High
		}
		all = append(all, v)
	}
	return all
}
