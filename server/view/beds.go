package view

import (
	"cmp"
	"context"
	"maps"
	"math"
	"slices"

	"bedwalk/schema"
	"bedwalk/sync/bed"
)

// Beds is the whole nursery from above, or what changed of it since the version of an earlier answer ("" asks for all).
func (v *Views) Beds(ctx context.Context, since string) (all schema.BedsView, err error) {
	if all.Phones, err = v.PhonesBrief(ctx); err != nil {
		return all, err
	}
	all.Houses, all.MadeAt = []schema.HouseView{}, v.journal.NowMS()
	err = v.whole(ctx, func(m *moment) error {
		all.Head, all.Site = m.snap.Head, m.n.site
		for _, h := range m.n.houses {
			beds := m.n.bedsOfHouse(h.id)
			if len(beds) == 0 && (h.isCooler() || valueOr(h.Retired, false)) {
				continue // A cooler has a page of its own.
			}
			one := schema.HouseView{
				ID: h.id, Name: valueOr(h.Name, ""), Note: valueOr(h.Note, ""), LengthMM: valueOr(h.LengthMM, 0), WidthMM: valueOr(h.WidthMM, 0),
			}
			if one.Beds, err = m.briefs(beds); err != nil {
				return err
			}
			all.Houses = append(all.Houses, one)
		}
		if lost := m.n.bedsWithoutHouse(); len(lost) > 0 {
			// They stand under a house without a name, so that none is hidden.
			beds, err := m.briefs(lost)
			if err != nil {
				return err
			}
			all.Houses = append(all.Houses, schema.HouseView{Beds: beds})
		}
		return nil
	})
	if err != nil {
		return all, err
	}
	return v.given.since(all, since)
}

// bedsWithoutHouse are the beds whose house nobody has written yet.
func (n *nursery) bedsWithoutHouse() []string {
	return slices.DeleteFunc(slices.Sorted(maps.Keys(n.beds)), func(id string) bool {
		_, hasHouse := n.houseNames[valueOr(n.beds[id].House, "")]
		return hasHouse || n.isRetired(id)
	})
}

// isRetired is true of a bed that is no longer used and on which nothing stands. One on which a lot stands all the same is in use.
func (n *nursery) isRetired(bed string) bool {
	return valueOr(n.beds[bed].Retired, false) && len(n.spanViews(bed)) == 0
}

// bedsOfHouse are the beds in use of a house, in their order.
func (n *nursery) bedsOfHouse(house string) []string {
	var ids []string
	for id, b := range n.beds {
		if valueOr(b.House, "") == house && !n.isRetired(id) {
			ids = append(ids, id)
		}
	}
	slices.SortFunc(ids, func(x, y string) int {
		a, b := n.beds[x], n.beds[y]
		return cmp.Or(cmp.Compare(valueOr(a.Order, 0), valueOr(b.Order, 0)), cmp.Compare(valueOr(a.Name, ""), valueOr(b.Name, "")), cmp.Compare(x, y))
	})
	return ids
}

func (m *moment) briefs(beds []string) ([]schema.BedBrief, error) {
	all := []schema.BedBrief{}
	for _, id := range beds {
		state, err := m.bed(id)
		if err != nil {
			return nil, err
		}
		all = append(all, rounded(m.brief(id, state)))
	}
	return all, nil
}

// brief is a bed in short.
func (m *moment) brief(id string, state *bedState) schema.BedBrief {
	b := m.n.beds[id]
	brief := schema.BedBrief{
		ID: id, House: valueOr(b.House, ""), Name: valueOr(b.Name, ""), LengthMM: valueOr(b.LengthMM, 0), WidthMM: valueOr(b.WidthMM, 0),
		Rows: valueOr(b.Rows, 0), Across: valueOr(b.Across, 0), EntryEnd: valueOr(b.EntryEnd, ""), FarEnd: valueOr(b.FarEnd, ""),
		Aisles: valueOr(b.Aisles, ""), XMM: valueOr(b.XMM, 0), YMM: valueOr(b.YMM, 0), Spans: m.n.spanViews(id),
		Score: withoutPromises(state.latest), Trend: lastWhole(m.trend(state.walks)),
	}
	if state.shown != nil {
		brief.LastWalk, brief.LastWalkAt, brief.Unfinished = state.shown.ID, state.shown.At, state.shown.Unfinished
	}
	brief.UnderWay = m.underWay(state)
	brief.ClosedUntil = m.closedUntil(m.n, id)
	due := m.due(brief.Spans, state.walks, 0)
	brief.Due, brief.DueDays = due.Why, due.Days
	return brief
}

// trend is one point a walk. Where another scout walked than before, and a trait's interval does not meet that of the last whole
// walk that measured the same trait, the trait is marked: the jump may be the scout's and not the bed's. Head sizes are compared
// with head sizes alone: the first count of buds is no jump. A walk that was not ended marks nothing and is marked by nothing.
func (m *moment) trend(walks []*walk) []schema.TrendPoint {
	points := make([]schema.TrendPoint, 0, len(walks))
	last := map[string]trendBefore{}
	for _, w := range walks {
		p := schema.TrendPoint{
			Walk: w.ID, At: w.At, Person: w.Person, PersonName: m.n.people[w.Person], Whole: w.Whole, Unfinished: w.Unfinished,
			Uniformity: w.Score.Uniformity, Chlorosis: w.Score.Chlorosis, Rot: w.Score.Rot,
		}
		for _, t := range w.Score.Traits {
			u := t.Uniformity
			if t.N < bed.Fewest {
				u = schema.Estimate{N: t.N}
			}
			if t.Trait == bed.Head {
				p.Head = u
			} else {
				p.Buds = u
			}
			if !w.Whole || !u.Known {
				continue
			}
			if before, ok := last[t.Trait]; ok && before.person != w.Person && apart(before.uniformity, u) {
				p.ScoutChanged = append(p.ScoutChanged, t.Trait)
			}
			last[t.Trait] = trendBefore{w.Person, u}
		}
		points = append(points, p)
	}
	return points
}

// inLists is how many walks a list draws of each bed.
const inLists = 6

// lastWhole are the points that a list draws: of the last whole walks.
func lastWhole(points []schema.TrendPoint) []schema.TrendPoint {
	whole := slices.DeleteFunc(points, func(p schema.TrendPoint) bool { return !p.Whole })
	return whole[max(0, len(whole)-inLists):]
}

// trendBefore is who last measured a trait, and what came of it.
type trendBefore struct {
	person     string
	uniformity schema.Estimate
}

func apart(a, b schema.Estimate) bool {
	return a.Interval.Known && b.Interval.Known && (a.Interval.High < b.Interval.Low || b.Interval.High < a.Interval.Low)
}

// closedUntil is when the label interval ends that closes a bed now, ms since 1970; 0 where none does.
func (v *Views) closedUntil(n *nursery, id string) int64 {
	if until := bed.ClosedUntil(maps.Values(n.applications), id); until > v.nowMS() {
		return until
	}
	return 0
}

// due says whether a bed wants a walk so many days from now, from its walks, oldest first.
func (m *moment) due(spans []schema.SpanView, walks []*walk, ahead int) schema.Due {
	every := make([]int, 0, len(spans))
	for _, s := range spans {
		every = append(every, m.n.judgedOf(s.Lot).WalkEveryDays)
	}
	return bed.Due(m.past(walks, ahead), every)
}

// troubleOf is what the last whole walk found, as schema.Due names it, however long ago it was; "" for nothing.
func (m *moment) troubleOf(walks []*walk, ahead int) string {
	switch why := bed.Due(m.past(walks, ahead), []int{math.MaxInt}).Why; why {
	case "roots", "chlorosis":
		return why
	}
	return ""
}

// past are walks as the question whether their bed is due wants them, so many days from now.
func (m *moment) past(walks []*walk, ahead int) []schema.PastWalk {
	past := make([]schema.PastWalk, 0, len(walks))
	for _, w := range slices.Backward(walks) {
		past = append(past, schema.PastWalk{
			DaysAgo: m.daysSince(w.At) + ahead, Whole: w.Whole, Roots: w.Score.RootsCall, Chlorosis: w.Score.ChlorosisCall,
		})
	}
	return past
}

// daysSince counts midnights of the nursery's own time zone, as people do.
func (m *moment) daysSince(at int64) int {
	return int(m.dayIn(m.n) - m.n.dayAt(at))
}
