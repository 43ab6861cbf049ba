package view

import (
	"cmp"
	"context"
	"slices"

	"bedwalk/schema"
	"bedwalk/server/journal"
	"bedwalk/sync/bed"
)

// Summaries are lots in short, of those that there are.
func (v *Views) Summaries(ctx context.Context, lots []string) (all map[string]schema.LotSummary, err error) {
	all = map[string]schema.LotSummary{}
	if len(lots) == 0 {
		return all, nil
	}
	return all, v.whole(ctx, func(m *moment) error {
		for _, id := range lots {
			l, ok := m.n.lots[id]
			if !ok {
				continue
			}
			brief, err := m.lotBrief(id)
			if err != nil {
				return err
			}
			one := schema.LotSummary{Tag: brief.Tag, Crop: brief.Crop, Cultivar: brief.Cultivar, ShippedOn: valueOr(l.ShippedOn, "")}
			stock, err := stockOf(m.snap, id)
			if err != nil {
				return err
			}
			for _, line := range stock.Stock.Lines {
				if line.Reason == "shipped" && line.Voided == nil {
					one.Shipped -= line.Change
				}
			}
			walks, err := m.lotWalks(id)
			if err != nil {
				return err
			}
			if n := len(walks); n > 0 {
				one.Uniformity, one.WalkedAt = &walks[n-1].lot.Uniformity, walks[n-1].walk.At
			}
			all[id] = one
		}
		return nil
	})
}

// Lot is one lot's merged record.
func (v *Views) Lot(ctx context.Context, id string) (one schema.LotView, err error) {
	names, err := v.deviceNames(ctx)
	if err != nil {
		return one, err
	}
	one = schema.LotView{
		Spans: []schema.SpanView{}, BedOf: map[string]string{}, Scores: []schema.LotPoint{}, MadeAt: v.journal.NowMS(),
	}
	err = v.at(ctx, func(m *moment) error {
		if _, ok := m.n.lots[id]; !ok {
			return ErrNoSuch
		}
		one.People = m.n.people
		one.Rooting = m.n.rooting(id)
		one.Bookings, _ = m.n.served(id)
		one.ShippedFree = m.n.shippedFree(id)
		for _, step := range []func() error{
			func() (err error) { one.Lot, err = m.lotBrief(id); return err },
			func() (err error) { one.Record, _, err = m.snap.Record("lot:" + id); return err },
			func() (err error) { one.Stock, err = stockOf(m.snap, id); return err },
			func() (err error) { one.Scores, err = m.lotScores(id); return err },
			func() (err error) {
				all, err := facts(func(f func(schema.Record) error) error { return m.snap.FactsOfLot(id, f) })
				one.Facts = newest(all, func(schema.Record) bool { return false })
				return err
			},
			func() (err error) { one.History, err = m.history(id, journal.Newest, names); return err },
			func() (err error) {
				one.Parent, one.Children, err = m.relatives(id, func(l lot) *string { return l.Parent })
				return err
			},
			func() (err error) { one.Cuttings, err = m.cuttings(id); return err },
			func() (err error) { one.Leans, err = m.leansOn(ctx, id); return err },
			func() (err error) { one.Promise, err = m.promise(id, one.Leans); return err },
			func() error {
				seen, err := m.seen(id)
				if err != nil {
					return err
				}
				notes, today := m.n.lotNotes(), m.dayIn(m.n)
				one.Plan, one.Today = m.planOf(notes, id, seen), today.String()
				one.Growth = new(m.n.growthOf(notes.familyOf(id), id, seen, today, one.Plan.By))
				one.Cold, one.Cooler = m.coldOf(gathered{m.n, notes, map[string]seenLot{id: seen}}, id)
				return nil
			},
		} {
			if err := step(); err != nil {
				return err
			}
		}
		for _, bed := range m.n.stoodOn[id] {
			for _, s := range m.n.spans[bed] {
				if valueOr(s.Lot, "") == id {
					one.Spans = append(one.Spans, m.n.spanView(s))
					one.BedOf[s.id] = bed
				}
			}
		}
		return nil
	})
	return one, err
}

func stockOf(snap *journal.Snapshot, id string) (schema.Record, error) {
	r, found, err := snap.Record("stock:" + id)
	if !found {
		r = schema.Record{Key: "stock:" + id, Lot: id, Stock: &schema.Stock{BySpan: map[string]int{}, Lines: []schema.StockLine{}}}
	}
	return r, err
}

// relatives are the lot that a field of this one names, and the lots in which it names this one, in the order of their tags.
func (m *moment) relatives(id string, named func(lot) *string) (from *schema.LotBrief, to []schema.LotBrief, err error) {
	elder := valueOr(named(m.n.lots[id]), "")
	if _, here := m.n.lots[elder]; here {
		brief, err := m.lotBrief(elder)
		if err != nil {
			return nil, nil, err
		}
		from = &brief
	}
	to = []schema.LotBrief{}
	var younger []string
	for other, l := range m.n.lots {
		if valueOr(named(l), "") == id {
			younger = append(younger, other)
		}
	}
	slices.SortFunc(younger, m.n.byTag())
	for _, other := range younger {
		brief, err := m.lotBrief(other)
		if err != nil {
			return nil, nil, err
		}
		to = append(to, brief)
	}
	return from, to, nil
}

// lotWalk is a walk on which a lot was seen.
type lotWalk struct {
	bed   string
	state *bedState
	walk  *walk
	lot   lotBrief
}

// lotWalks are the walks on which a lot was seen, over all beds that it stands or stood on, oldest first.
func (m *moment) lotWalks(id string) (all []lotWalk, err error) {
	for _, bed := range m.n.stoodOn[id] {
		state, err := m.bed(bed)
		if err != nil {
			return nil, err
		}
		for _, w := range state.walks {
			for _, l := range w.Score.Lots {
				if l.Lot == id && l.Seen > 0 {
					all = append(all, lotWalk{bed, state, w, l})
				}
			}
		}
	}
	slices.SortStableFunc(all, func(a, b lotWalk) int { return cmp.Compare(a.walk.At, b.walk.At) })
	return all, nil
}

// lotScores are a lot's scores, walk by walk. What is not remembered of a walk is measured again from its pots.
func (m *moment) lotScores(id string) ([]schema.LotPoint, error) {
	walks, err := m.lotWalks(id)
	if err != nil {
		return nil, err
	}
	points := []schema.LotPoint{}
	grounds := map[string]ground{}
	for _, on := range walks {
		var score schema.BedScore
		if on.walk == on.state.shown {
			score = *withoutPromises(on.state.latest)
		} else {
			if _, ok := grounds[on.bed]; !ok {
				grounds[on.bed] = m.n.groundOf(on.bed)
			}
			in, err := m.input(on.bed, on.walk, grounds[on.bed], on.walk.Newest, nil)
			if err != nil {
				return nil, err
			}
			score = bed.Measure(in)
		}
		for _, l := range score.Lots {
			if l.Lot == id && l.Seen > 0 {
				points = append(points, schema.LotPoint{Walk: on.walk.ID, Bed: on.bed, At: on.walk.At, PersonName: m.n.people[on.walk.Person], Score: l})
			}
		}
	}
	return points, nil
}

// isGone is true of a lot that was counted, has no pot left and stands on no bed. One that nobody counted yet is not.
func (n *nursery) isGone(id string) bool {
	s := n.stock[id]
	return s != nil && s.Pots == 0 && len(n.standsOn[id]) == 0
}

func (m *moment) lotBrief(id string) (schema.LotBrief, error) {
	l := m.n.lots[id]
	brief := schema.LotBrief{
		ID: id, Tag: valueOr(l.Tag, ""), Crop: valueOr(l.Crop, ""), Cultivar: valueOr(l.Cultivar, ""), PotMM: valueOr(l.PotMM, 0),
		StruckOn: valueOr(l.StruckOn, ""), PottedOn: valueOr(l.PottedOn, ""), ShipWeek: valueOr(l.ShipWeek, ""), Beds: []string{}, Disagree: l.disagree,
		Gone: m.n.isGone(id), Stock: m.n.isStock(id), PlantsEach: m.n.plantsEach(id),
	}
	if s := m.n.stock[id]; s != nil {
		brief.Pots = s.Pots
	}
	brief.Beds = append(brief.Beds, m.n.standsOn[id]...)
	walks, err := m.lotWalks(id)
	if err != nil || len(walks) == 0 {
		return brief, err
	}
	last := walks[len(walks)-1].lot
	brief.Uniformity, brief.LimitingTrait = last.Uniformity, last.Trait
	return brief, nil
}
