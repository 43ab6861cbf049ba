package view

import (
	"cmp"
	"maps"
	"slices"

	"bedwalk/schema"
	"bedwalk/server/journal"
	"bedwalk/sync/calendar"
	"bedwalk/sync/crop"
	"bedwalk/sync/supply"
)

// saidOf names what the plan said of a lot so many weeks before the day on which it left.
type saidOf struct {
	lot, left string
	weeks     int
}

// saidThen is what it said, by the notes up to head.
type saidThen struct {
	head     int64
	problem  string
	said     crop.Said
	shipWeek string
	basis    string
	shares   []schema.RightShare
	// best is the share in the best grade, and its variance, as if no season differed; 0 where nothing is known.
	best shareOf
	// sure is how many pots in any grade the lot was sure to have for its week, 0 where nothing is sure.
	sure int
}

type shareOf struct{ mean, variance float64 }

// past is the nursery as it stood at the end of a day that is over, as far as plans are made of it. What arrived later has no part in
// it, though it may be about an earlier day: whoever looked at the plan on that day could not know it.
type past struct {
	moment
	// present is the moment of now: it knows which pots each walk has. moved are pots of which it may have forgotten the walk.
	present *moment
	moved   []int64
	// walks are those that were asked for, nil for one that was not there yet.
	walks map[string]*pastWalk
	end   int64
}

type pastWalk struct {
	*walk
	pots []potRecord
}

// pastOf makes the nursery of a day from the notes that had arrived by its end.
func (m *moment) pastOf(day calendar.Day, moved []int64) (*past, error) {
	end := m.n.midnight(day + 1)
	head, err := m.snap.HeadAt(end)
	if err != nil {
		return nil, err
	}
	snap := m.snap.AsOf(head)
	n, err := loadPast(snap)
	if err != nil {
		return nil, err
	}
	v := &Views{journal: m.journal, forecasts: map[string]keptForecast{}, clock: func() int64 { return end - 1 }}
	return &past{moment: moment{v, n, snap}, present: m, moved: moved, walks: map[string]*pastWalk{}, end: end}, nil
}

// seen is what the newest walks that were whole by then saw of a lot.
func (p *past) seen(lot string) (seenLot, error) {
	return p.n.seenBy(lot, func(bedID string) (seenOn, bool, error) {
		state, err := p.present.bed(bedID)
		if err != nil {
			return seenOn{}, false, err
		}
		// Walks that were struck out since counted then.
		known := slices.SortedFunc(maps.Values(state.kept), func(a, b *walk) int { return cmp.Or(cmp.Compare(b.At, a.At), cmp.Compare(b.ID, a.ID)) })
		for _, now := range known {
			if now.At >= p.end {
				continue
			}
			w, err := p.walkThen(bedID, now)
			if err != nil {
				return seenOn{}, false, err
			}
			if w != nil && w.Whole && !w.Hidden && slices.Contains(w.Lots, lot) {
				return seenOf(lot, bedID, w.walk, w.pots), true, nil
			}
		}
		return seenOn{}, false, nil
	})
}

// walkThen is a walk as it was known then; nil while none of its pots had arrived.
func (p *past) walkThen(bedID string, now *walk) (*pastWalk, error) {
	if w, known := p.walks[now.ID]; known {
		return w, nil
	}
	p.walks[now.ID] = nil
	pots, err := p.potsOf(bedID, now.ID, append(slices.Clone(now.Pots), p.moved...))
	if err != nil || len(pots) == 0 {
		return nil, err
	}
	parts := map[string]part{}
	r, found, err := p.snap.Record("walk:" + now.ID)
	if err != nil {
		return nil, err
	}
	if found && r.Walk != nil {
		parts[now.ID] = partOf(*r.Walk)
	}
	p.walks[now.ID] = &pastWalk{walkOf(now.ID, pots, parts), pots}
	return p.walks[now.ID], nil
}

// loadPast reads of an earlier head what plans are made of; nothing of it is judged or stored.
func loadPast(snap *journal.Snapshot) (*nursery, error) {
	n := emptyNursery(snap.Head)
	for _, kind := range []string{"site", "profile"} {
		if err := n.readAgain(snap, kind); err != nil {
			return nil, err
		}
	}
	for _, kind := range []string{"bed", "lot", "span", "stock"} {
		if err := snap.OfKind(kind, func(r schema.Record) error { readEach[kind](n, r); return nil }); err != nil {
			return nil, err
		}
	}
	if err := snap.OfKind("fact", func(r schema.Record) error { n.takeFact(r); return nil }); err != nil {
		return nil, err
	}
	n.place()
	return n, nil
}

// gather lays out what plans of some lots are made of: their own walks, and those of the last shipped lots of their kinds.
func (p *past) gather(lots []string) (all gathered, err error) {
	all = gathered{n: p.n, seen: map[string]seenLot{}, notes: p.n.lotNotes()}
	kinds := map[weekOf]bool{}
	for _, id := range lots {
		kinds[p.n.weekOf(id).kind()] = true
		if all.seen[id], err = p.seen(id); err != nil {
			return all, err
		}
	}
	for kind := range kinds {
		seen := 0
		for _, id := range p.n.shippedOf(kind) {
			if seen == earlierShown {
				break
			}
			if all.seen[id], err = p.seen(id); err != nil {
				return all, err
			}
			if len(all.seen[id].on) > 0 {
				seen++
			}
		}
	}
	return all, nil
}

// say is what the plan said of a lot.
func (p *past) say(all gathered, id string, earlier func(weekOf) earlierLots) (then saidThen) {
	then = saidThen{head: p.n.head, shares: []schema.RightShare{}}
	if _, ok := p.n.lots[id]; !ok {
		then.problem = notWritten
		return then
	}
	in := p.cropLot(all.notes, id, all.seen[id])
	if in.Shipped {
		then.problem = shipped
		return then
	}
	f := p.forecast(false, id, p.n.workKey, in)
	then.problem = f.Problem
	then.said = crop.Said{Ready05: f.Ready05, Ready95: f.Ready95, By: in.By, Chance: f.Chance}
	if last := len(f.Steps) - 1; last >= 0 && f.Steps[last].Coming != nil {
		then.said.Ready50 = f.Steps[last].Coming.Day50
	}
	of := p.n.weekOf(id)
	then.shipWeek = of.week
	lot, brings := p.bringsOf(all, id, earlier(of))
	then.basis = lot.Basis
	if len(brings.Parts) == 0 {
		return then
	}
	grades, pots := p.n.gradesOf(id), brings.Pots()
	if in.By != nil && len(grades) > 0 {
		then.sure = supply.Sum([]supply.Lot{brings}, len(grades)-1, seasonOf(p.n.judgedOf(id))).Quantile(supply.Risk)
	}
	// The shares are of the pots that stand there, whenever they are ready.
	brings.Ready, brings.Survive, brings.Differ = 1, 1, 0
	if pots > 0 && len(grades) > 0 {
		in := supply.Sum([]supply.Lot{brings}, 0, 0)
		then.best = shareOf{in.Mean() / float64(pots), in.Variance() / float64(pots*pots)}
	}
	for k, grade := range grades {
		if pots == 0 {
			break
		}
		in := supply.Sum([]supply.Lot{brings}, k, seasonOf(p.n.judgedOf(id)))
		of := func(x float64) float64 { return x / float64(pots) }
		then.shares = append(then.shares, schema.RightShare{
			Grade: grade, Share: of(in.Mean()), Low: of(float64(in.Quantile(supply.Risk))), High: of(float64(in.Quantile(1 - supply.Risk))),
		})
	}
	return then
}

// shippedOf are the lots of a crop and pot size that have shipped, the newest first.
func (n *nursery) shippedOf(kind weekOf) (ids []string) {
	for id, l := range n.lots {
		if n.weekOf(id).kind() == kind && valueOr(l.ShippedOn, "") != "" {
			ids = append(ids, id)
		}
	}
	slices.SortFunc(ids, func(a, b string) int {
		return cmp.Or(cmp.Compare(valueOr(n.lots[b].ShippedOn, ""), valueOr(n.lots[a].ShippedOn, "")), cmp.Compare(a, b))
	})
	return ids
}
