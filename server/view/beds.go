package view

import (
	"cmp"
	"context"
	"maps"
	"slices"
	"time"

	"bedwalk/schema"
	"bedwalk/server/journal"
	"bedwalk/sync/bed"
)

// Beds is the whole nursery from above.
func (d *Views) Beds(ctx context.Context) (v schema.BedsView, err error) {
	if v.Phones, err = d.phonesBrief(ctx); err != nil {
		return v, err
	}
	v.Houses, v.Changes, v.MadeAt = []schema.HouseView{}, []schema.Change{}, d.journal.NowMS()
	err = d.fresh(ctx, func(snap *journal.Snapshot) error {
		v.Head, v.Site = snap.Head, d.n.site
		placed := map[string]bool{}
		for _, h := range d.n.houses {
			one := schema.HouseView{
				ID: h.id, Name: valueOr(h.Name, ""), Note: valueOr(h.Note, ""), LengthMM: valueOr(h.LengthMM, 0), WidthMM: valueOr(h.WidthMM, 0),
				Beds: []schema.BedBrief{},
			}
			for _, id := range d.n.bedsOfHouse(h.id) {
				placed[id] = true
				brief, err := d.brief(snap, id)
				if err != nil {
					return err
				}
				one.Beds = append(one.Beds, brief)
				changes, err := d.changes(snap, id, one.Name)
				if err != nil {
					return err
				}
				v.Changes = append(v.Changes, changes...)
			}
			v.Houses = append(v.Houses, one)
		}
		return d.unplaced(snap, placed, &v)
	})
	slices.SortStableFunc(v.Changes, func(a, b schema.Change) int { return cmp.Compare(b.At, a.At) })
	return v, err
}

// unplaced shows beds whose house nobody has written yet under a house without a name, so that none is hidden.
func (d *Views) unplaced(snap *journal.Snapshot, placed map[string]bool, v *schema.BedsView) error {
	lost := schema.HouseView{Beds: []schema.BedBrief{}}
	for _, id := range slices.Sorted(maps.Keys(d.n.beds)) {
		if placed[id] {
			continue
		}
		brief, err := d.brief(snap, id)
		if err != nil {
			return err
		}
		lost.Beds = append(lost.Beds, brief)
	}
	if len(lost.Beds) > 0 {
		v.Houses = append(v.Houses, lost)
	}
	return nil
}

func (n *nursery) bedsOfHouse(house string) []string {
	var ids []string
	for id, b := range n.beds {
		if valueOr(b.House, "") == house {
			ids = append(ids, id)
		}
	}
	slices.SortFunc(ids, func(x, y string) int {
		a, b := n.beds[x], n.beds[y]
		return cmp.Or(cmp.Compare(valueOr(a.Order, 0), valueOr(b.Order, 0)), cmp.Compare(valueOr(a.Name, ""), valueOr(b.Name, "")), cmp.Compare(x, y))
	})
	return ids
}

// brief is a bed in short.
func (d *Views) brief(snap *journal.Snapshot, id string) (schema.BedBrief, error) {
	b := d.n.beds[id]
	brief := schema.BedBrief{
		ID: id, House: valueOr(b.House, ""), Name: valueOr(b.Name, ""), LengthMM: valueOr(b.LengthMM, 0), WidthMM: valueOr(b.WidthMM, 0),
		Rows: valueOr(b.Rows, 0), Across: valueOr(b.Across, 0), EntryEnd: valueOr(b.EntryEnd, ""), FarEnd: valueOr(b.FarEnd, ""),
		Aisles: valueOr(b.Aisles, ""), XMM: valueOr(b.XMM, 0), YMM: valueOr(b.YMM, 0), Spans: d.n.spanViews(id), Trend: []schema.TrendPoint{},
	}
	state, err := d.bedOf(snap, id)
	if err != nil {
		return brief, err
	}
	brief.Score, brief.Trend = state.latest, d.trend(state.walks)
	if state.shown != nil {
		brief.LastWalk, brief.LastWalkAt = state.shown.id, state.shown.at
	}
	brief.UnderWay = d.underWay(state)
	// Only what is closed now is told: an interval that has ended closes nothing.
	if until := bed.ClosedUntil(slices.Collect(maps.Values(d.n.applications)), id); until > d.journal.NowMS() {
		brief.ClosedUntil = until
	}
	due := d.due(brief.Spans, state.walks)
	brief.Due, brief.DueDays = due.Why, due.Days
	return brief, nil
}

// trend is one point a walk. Where another scout walked than before, and a trait's interval does not meet that of the last whole
// walk that measured the same trait, the trait is marked: the jump may be the scout's and not the bed's. Head sizes are compared
// with head sizes alone: the first count of buds is no jump. A walk that was not ended marks nothing and is marked by nothing.
func (d *Views) trend(walks []*walk) []schema.TrendPoint {
	points := make([]schema.TrendPoint, 0, len(walks))
	last := map[string]trendBefore{}
	for _, w := range walks {
		p := schema.TrendPoint{
			Walk: w.id, At: w.at, Person: w.person, PersonName: d.n.people[w.person], Whole: w.whole,
			Uniformity: w.score.Uniformity, Chlorosis: w.score.Chlorosis, Rot: w.score.Rot,
		}
		for _, t := range w.score.Traits {
			u := t.Uniformity
			if t.N < bed.Fewest {
				u = schema.Estimate{N: t.N}
			}
			if t.Trait == bed.Head {
				p.Head = u
			} else {
				p.Buds = u
			}
			if !w.whole || !u.Known {
				continue
			}
			if before, ok := last[t.Trait]; ok && before.person != w.person && apart(before.uniformity, u) {
				p.ScoutChanged = append(p.ScoutChanged, t.Trait)
			}
			last[t.Trait] = trendBefore{w.person, u}
		}
		points = append(points, p)
	}
	return points
}

// trendBefore is who last measured a trait, and what came of it.
type trendBefore struct {
	person     string
	uniformity schema.Estimate
}

func apart(a, b schema.Estimate) bool {
	return a.Interval.Known && b.Interval.Known && (a.Interval.High < b.Interval.Low || b.Interval.High < a.Interval.Low)
}

// due says whether a bed wants a walk, from its walks, oldest first.
func (d *Views) due(spans []schema.SpanView, walks []*walk) schema.Due {
	past := make([]schema.PastWalk, 0, len(walks))
	for _, w := range slices.Backward(walks) {
		past = append(past, schema.PastWalk{
			DaysAgo: d.daysSince(w.at), Whole: w.whole, Roots: w.score.Stop.Roots, Chlorosis: w.score.Stop.Chlorosis,
		})
	}
	every := make([]int, 0, len(spans))
	for _, s := range spans {
		every = append(every, d.n.judgedOf(s.Lot).WalkEveryDays)
	}
	return bed.Due(past, every)
}

// daysSince counts midnights of the nursery's own time zone, as people do.
func (d *Views) daysSince(at int64) int {
	zone := d.n.location()
	day := func(t time.Time) time.Time {
		y, m, dd := t.In(zone).Date()
		return time.Date(y, m, dd, 0, 0, 0, 0, time.UTC)
	}
	return int(day(d.now()).Sub(day(time.UnixMilli(at))).Hours() / 24)
}

// location is the nursery's time zone; where nobody has set it, this machine's, which stands in the same office as a rule.
// Phones count days in the nursery's too, and on their own calendar where none is set.
func (n *nursery) location() *time.Location {
	if zone, err := time.LoadLocation(n.zone); err == nil && n.zone != "" {
		return zone
	}
	return time.Local
}

// changes are the findings of a walk since yesterday that the walk before it did not have.
func (d *Views) changes(snap *journal.Snapshot, id, house string) ([]schema.Change, error) {
	state, err := d.bedOf(snap, id)
	if err != nil || state.shown == nil {
		return nil, err
	}
	last := state.shown
	if d.daysSince(last.at) > 1 {
		return nil, nil
	}
	old := map[string]bool{}
	if state.before != nil {
		for _, f := range state.before.Findings {
			old[f.Code+" "+f.Trait+" "+f.Lot] = true
		}
	}
	var all []schema.Change
	for _, f := range state.latest.Findings {
		// What an earlier walk found is open still, not new.
		if f.SeenAt == 0 && !old[f.Code+" "+f.Trait+" "+f.Lot] {
			all = append(all, schema.Change{Bed: id, BedName: valueOr(d.n.beds[id].Name, ""), House: house, At: last.at, Finding: f})
		}
	}
	return all, nil
}
