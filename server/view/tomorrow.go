package view

import (
	"cmp"
	"context"
	"maps"
	"math"
	"slices"

	"bedwalk/schema"
	"bedwalk/sync/bed"
	"bedwalk/sync/calendar"
	"bedwalk/sync/stats"
	"bedwalk/sync/supply"
)

// leastNarrowed is from how many pots on a narrower span is worth naming. An assumption, no source.
const leastNarrowed = 1

// Tomorrow is which beds to walk on the next working day, in the order of what their walks would settle.
func (v *Views) Tomorrow(ctx context.Context) (view schema.TomorrowView, err error) {
	var all gathered
	var on calendar.Day
	due, trouble, left := map[string]schema.Due{}, map[string]string{}, map[string]*schema.Unfinished{}
	pots, walks := map[string]int{}, []*walk{}
	if err := v.whole(ctx, func(m *moment) (err error) {
		if all, err = m.gather(); err != nil {
			return err
		}
		today := m.dayIn(m.n)
		on = m.n.work.Next(today + 1)
		for id := range m.n.beds {
			state, err := m.bed(id)
			if err != nil {
				return err
			}
			due[id] = m.due(m.n.spanViews(id), state.walks, int(on-today))
			trouble[id] = m.troubleOf(state.walks, int(on-today))
			if state.shown != nil {
				left[id] = state.shown.Unfinished
			}
			walks = append(walks, state.walks...)
			for _, w := range state.walks {
				if w.Whole {
					pots[id] = w.Score.Seen
				}
			}
		}
		return nil
	}); err != nil {
		return view, err
	}
	n := all.n
	view = schema.TomorrowView{On: on.String(), Walks: []schema.TomorrowWalk{}, MadeAt: v.nowMS()}
	narrow, handed := v.narrowing(all, on), n.walksHanded(view.On)
	view.PotS, view.PotN = all.potSeconds()
	view.WayS, view.WayN = waySeconds(walks, view.PotS)
	for id, b := range n.beds {
		if n.isRetired(id) {
			continue
		}
		w := schema.TomorrowWalk{
			Bed: id, Name: valueOr(b.Name, ""), House: n.houseNames[valueOr(b.House, "")], Why: due[id].Why, Days: due[id].Days, Trouble: trouble[id],
			Unfinished: left[id], Pots: pots[id], ClosedUntil: v.closedUntil(n, id),
		}
		if w.Pots == 0 {
			w.Pots = n.shortestWalk(id)
		}
		if view.PotS > 0 {
			w.Minutes = (float64(w.Pots)*view.PotS + view.WayS) / 60
		}
		if w.Narrows = narrow(id, w.Pots); w.Why == "" && w.Narrows != nil {
			w.Why = "narrows"
		}
		if t, ok := handed[id]; ok {
			w.Task, w.Person = t, valueOr(n.tasks[t].Person, "")
			w.PersonName = n.people[w.Person]
		}
		if w.Why != "" {
			view.Walks = append(view.Walks, w)
		}
	}
	slices.SortFunc(view.Walks, byWorth)
	return view, nil
}

// byWorth puts beds that are due first: those with rot on the last walk, which spreads, those never walked, those with chlorosis, then the others,
// of each those of longest ago first; and after them what narrows most a minute. A bed with rot that is due for its days too is not less urgent by that.
func byWorth(a, b schema.TomorrowWalk) int {
	rank := func(w schema.TomorrowWalk) int {
		why := w.Why
		if why == "days" && w.Trouble != "" {
			why = w.Trouble
		}
		return max(0, slices.Index([]string{"roots", "never", "chlorosis", "days", "narrows"}, why))
	}
	aMinute := func(w schema.TomorrowWalk) float64 {
		if w.Narrows == nil {
			return 0
		}
		return (w.Narrows.Now - w.Narrows.After) / max(1, w.Minutes)
	}
	if c := cmp.Compare(rank(a), rank(b)); c != 0 {
		return c
	}
	if a.Why != "narrows" {
		if c := cmp.Compare(b.Days, a.Days); c != 0 {
			return c
		}
	}
	return cmp.Or(cmp.Compare(aMinute(b), aMinute(a)), cmp.Compare(a.Name, b.Name), cmp.Compare(a.Bed, b.Bed))
}

// shortestWalk is the least that a walk of the bed's crops sees.
func (n *nursery) shortestWalk(id string) int {
	least := bed.Fewest
	for _, s := range n.spanViews(id) {
		least = max(least, n.judgedOf(s.Lot).MinPots)
	}
	return least
}

// walksHanded are the tasks of walking a bed on a day, by bed: other work than a step, on one bed alone, for that day.
func (n *nursery) walksHanded(on string) map[string]string {
	byBed := map[string]string{}
	for _, of := range slices.Sorted(maps.Keys(n.tasks)) {
		t := n.tasks[of]
		if beds := valueOr(t.Beds, nil); len(beds) == 1 && valueOr(t.Lot, "") == "" && valueOr(t.FromOn, "") == on && valueOr(t.DueOn, "") == on && !valueOr(t.Cancelled, false) {
			byBed[beds[0]] = of
		}
	}
	return byBed
}

// potSeconds is how long one pot takes, by the newest whole walk of each lot on each bed.
func (all gathered) potSeconds() (seconds float64, walks int) {
	var each []float64
	for _, lot := range all.seen {
		for _, one := range lot.on {
			if len(one.pots) < bed.Fewest {
				continue
			}
			first, last := int64(math.MaxInt64), int64(0)
			for _, p := range one.pots {
				first, last = min(first, p.At), max(last, p.At)
			}
			each = append(each, float64(last-first)/1000/float64(len(one.pots)-1))
		}
	}
	return stats.Median(each).X, len(each)
}

// longestWay bounds what counts as the way to the next bed; beyond it something else was done. An assumption, no source.
const longestWay = 30 * 60

// waySeconds is the time between the walks of one scout: from the beginning of one to that of the next, less the pots of the first.
func waySeconds(walks []*walk, potS float64) (seconds float64, ways int) {
	slices.SortFunc(walks, func(a, b *walk) int {
		return cmp.Or(cmp.Compare(a.Person, b.Person), cmp.Compare(a.At, b.At), cmp.Compare(a.ID, b.ID))
	})
	var each []float64
	for i := range max(0, len(walks)-1) {
		one, next := walks[i], walks[i+1]
		way := float64(next.At-one.At)/1000 - potS*float64(one.Score.Seen)
		if one.Person == next.Person && way >= 0 && way <= longestWay {
			each = append(each, way)
		}
	}
	return stats.Median(each).X, len(each)
}

// known is a lot in its ship week, bed by bed, as far as a walk on a day could grade it. The parts are those of beds.
type known struct {
	lot    supply.Lot
	season float64
	crop   string
	beds   []string
	of     weekOf
	wide   []float64 // the variance of each grade level
	names  []string
}

// normal90 is the width of the middle 90 % of a normal distribution with standard deviation 1 (twice the 95 % point).
const normal90 = 2 * 1.6448536269514722

// narrowing prepares what a walk of a bed would narrow: of the ship weeks of its lots the one that gains most.
func (v *Views) narrowing(all gathered, on calendar.Day) func(bedID string, pots int) *schema.TomorrowNarrows {
	n := all.n
	byBed, byWeek := map[string][]*known{}, map[weekOf][]float64{}
	earlier := all.earlierByKind()
	for _, id := range slices.Sorted(maps.Keys(n.lots)) {
		of := n.weekOf(id)
		k := v.knownOf(all, id, on, earlier(of))
		if k == nil {
			continue
		}
		if byWeek[of] == nil {
			byWeek[of] = make([]float64, len(k.wide))
		}
		for g, wide := range k.wide {
			byWeek[of][g] += wide // Lots of one crop and pot size have the same grades.
		}
		for _, bedID := range k.beds {
			byBed[bedID] = append(byBed[bedID], k)
		}
	}
	return func(bedID string, pots int) (best *schema.TomorrowNarrows) {
		for _, k := range byBed[bedID] {
			after := k.lot.Walked(slices.Index(k.beds, bedID), pots)
			for g, name := range k.names {
				week := byWeek[k.of][g]
				left := max(0, week-k.wide[g]+supply.Sum([]supply.Lot{after}, g, k.season).Variance())
				one := schema.TomorrowNarrows{
					Week: k.of.week, Crop: k.crop, PotMM: k.of.potMM, Grade: name,
					Now: normal90 * math.Sqrt(week), After: normal90 * math.Sqrt(left),
				}
				if one.Now-one.After >= leastNarrowed && (best == nil || one.Now-one.After > best.Now-best.After) {
					best = &one
				}
			}
		}
		return best
	}
}

// knownOf lays out what is known of a lot by bed; nil where a walk could not grade it, since it has shipped, has no week or no grades, is too
// young, or its pots are not counted.
func (v *Views) knownOf(all gathered, id string, on calendar.Day, earlier earlierLots) *known {
	n, l := all.n, all.n.lots[id]
	judged := n.judgedOf(id)
	k := &known{of: n.weekOf(id), crop: valueOr(l.Crop, ""), names: n.gradesOf(id), season: seasonOf(judged), lot: supply.Lot{Cultivar: bed.CropKey(valueOr(l.Cultivar, ""))}}
	from := bed.GradedFrom(k.of.week, judged.GradedFromWeeks)
	if !n.isForSale(id) || k.of.week == "" || len(k.names) == 0 || from > on.String() {
		return nil
	}
	plan := v.planOf(all.notes, id, all.seen[id])
	if plan.Chance == nil {
		return nil
	}
	k.lot.Ready = *plan.Chance
	left, _ := n.left(id, plan.By, v.dayIn(n), stagesToCome(plan.Steps))
	k.lot.Survive, k.lot.Differ = left.Mean, left.Differ
	for _, bedID := range n.standsOn[id] {
		pots := 0
		for _, s := range n.spanViews(bedID) {
			if s.Lot == id {
				pots += s.Pots
			}
		}
		part := supply.Part{Stood: pots, OnBed: pots, Prior: earlier.prior}
		if len(part.Prior) != len(k.names) {
			part.Prior = supply.Jeffreys(len(k.names))
		}
		for _, one := range all.seen[id].on {
			if one.bed != bedID {
				continue
			}
			switch g := all.gradedOn(id, one); g.Hold {
			case bed.HoldUncounted, bed.HoldLedger:
				return nil
			case "":
				part = partOfWalk(g)
			}
		}
		if pots > 0 {
			k.lot.Parts, k.beds = append(k.lot.Parts, part), append(k.beds, bedID)
		}
	}
	if len(k.beds) == 0 {
		return nil
	}
	for g := range k.names {
		k.wide = append(k.wide, supply.Sum([]supply.Lot{k.lot}, g, k.season).Variance())
	}
	return k
}
