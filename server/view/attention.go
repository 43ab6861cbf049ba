package view

import (
	"cmp"
	"context"
	"slices"

	"bedwalk/schema"
	"bedwalk/sync/bed"
	"bedwalk/sync/calendar"
)

// trouble is something that needs a supervisor, with what it is ranked by.
type trouble struct {
	schema.AttentionItem
	// stake is at least how many pots it is about, 0 where pots do not measure it.
	stake float64
	// serious tells a finding beyond what the crop's profile takes for fine, or notes that have had no backup for a day; soon a trouble with what ships within soonWeeks.
	serious, soon bool
}

// The ranks of troubles: what spreads stands before what is lost this month, that before what costs plants or a later ship week, and that before what
// costs a look.
const (
	rankSpreads = iota
	rankSoon
	rankLoss
	rankPlants
	rankWeek
	rankDecide
	rankUneven
	rankCheck
)

// soonWeeks is how near its ship week must be for a trouble to stand before those of plants that can wait a day: an assumption, no source.
const soonWeeks = 4

// listed is how many rows a desk shows before "all" is asked for.
const listed = 8

// rankOf is the class that a trouble is ranked in.
//
//	spreads   disease at any share; rot of which the low end of the interval is beyond the share that the crop's profile takes for fine
//	soon      an uneven bed of those, or one of those under week, that ships within soonWeeks, or is past: its buyers must hear, or it must be graded, now
//	loss      no backup for a day or more: what was noted since may be lost with the machine, and no pot is lost by an hour more
//	plants    chlorosis beyond that share, rot at or below it, uniformity that dropped, a bed that can be graded and is surely less even than aimed for
//	week      a lot that is late for its ship week, a week with more booked than is sure
//	decide    two values for one field, notes in quarantine
//	uneven    a gradient, an edge, two groups
//	check     phones that are silent, webhooks that are not taken, a stretch left out, pots from the edge alone, values that look mistyped
//
// An assumption, no source.
func rankOf(t trouble) int {
	switch t.Code {
	case bed.CodeDisease:
		return rankSpreads
	case bed.CodeRot:
		if t.serious {
			return rankSpreads
		}
		return rankPlants
	case bed.CodeChlorosis, schema.AttentionDropped:
		return rankPlants
	case schema.AttentionBackup:
		if !t.serious {
			return rankCheck
		}
		return rankLoss
	case schema.AttentionLate, schema.AttentionOverbooked, schema.AttentionUneven:
		if t.soon {
			return rankSoon
		}
		if t.Code == schema.AttentionUneven {
			return rankPlants
		}
		return rankWeek
	case schema.AttentionDisagree, schema.AttentionQuarantined:
		return rankDecide
	case schema.AttentionSilent, schema.AttentionWebhook, schema.AttentionMistyped, bed.CodeUnwalked, bed.CodeEdgeBias:
		return rankCheck
	}
	return rankUneven
}

// rank puts troubles in order: by rankOf, in that those of a ship week by their week, then by the pots at stake at the least, the newest, and by id, so
// that two desks see one order. The soonest week comes first though another lacks more pots: its buyers must hear first, and a week that is further off
// can still be filled. What came back because it got worse, or because it was found again, stands first in its class.
func rank(all []trouble) {
	back := func(t trouble) int {
		if t.Back == backWorse || t.Back == backFound {
			return 0
		}
		return 1
	}
	week := func(t trouble) string {
		if of := rankOf(t); of != rankWeek && of != rankSoon {
			return ""
		}
		return t.Week
	}
	slices.SortFunc(all, func(a, b trouble) int {
		return cmp.Or(cmp.Compare(rankOf(a), rankOf(b)), cmp.Compare(back(a), back(b)), cmp.Compare(week(a), week(b)), cmp.Compare(b.stake, a.stake), cmp.Compare(b.Since, a.Since),
			cmp.Compare(a.ID, b.ID))
	})
	// However much crop is at stake, a missing backup is seen without asking for all.
	if at := slices.IndexFunc(all, func(t trouble) bool { return t.Code == schema.AttentionBackup && t.serious }); at >= listed {
		backup := all[at]
		copy(all[listed:at+1], all[listed-1:at])
		all[listed-1] = backup
	}
}

// Attention is everything that needs a supervisor, ranked (see rankOf), with what was settled or put off beside it.
func (v *Views) Attention(ctx context.Context) (view schema.AttentionView, err error) {
	found, err := v.officeTroubles(ctx)
	if err != nil {
		return view, err
	}
	var all gathered
	err = v.whole(ctx, func(m *moment) error {
		if all, err = m.gather(); err != nil {
			return err
		}
		beds, err := m.bedsTroubles()
		if err != nil {
			return err
		}
		lots, err := m.disagreeing()
		found = slices.Concat(found, beds, lots)
		return err
	})
	if err != nil {
		return view, err
	}
	weeks, err := v.weekTroubles(ctx, all)
	if err != nil {
		return view, err
	}
	at, err := v.journal.BackedUpAt(ctx)
	if err != nil {
		return view, err
	}
	view = attentionOf(all.n, append(found, weeks...), v.dayIn(all.n), v.journal.NowMS())
	view.Backup = schema.LastBackup{At: at, Lacks: max(0, v.journal.Head()-v.journal.BackedUpTo())}
	return view, nil
}

// attentionOf parts the troubles that are open from those that somebody settled or put off.
func attentionOf(n *nursery, found []trouble, today calendar.Day, now int64) schema.AttentionView {
	view := schema.AttentionView{Today: today.String(), Items: []schema.AttentionItem{}, Away: []schema.AttentionItem{}, MadeAt: now}
	var open, away []trouble
	for _, t := range found {
		if t.Beds == nil {
			t.Beds = []schema.AttentionBed{}
		}
		from := bed.GradedFrom(t.Week, soonWeeks)
		t.soon = from != "" && from <= today.String()
		if n.answer(&t, today) {
			away = append(away, t)
		} else {
			open = append(open, t)
		}
	}
	rank(open)
	rank(away)
	for _, t := range open {
		view.Items = append(view.Items, t.AttentionItem)
	}
	for _, t := range away {
		view.Away = append(view.Away, t.AttentionItem)
	}
	return view
}

// bedsTroubles are those of all beds; values that look mistyped are one trouble together.
func (m *moment) bedsTroubles() (all []trouble, err error) {
	mistyped := trouble{AttentionItem: schema.AttentionItem{
		ID: schema.MatterID(schema.AttentionMistyped, ""), Code: schema.AttentionMistyped, CanSettle: true,
	}}
	for _, id := range m.n.bedsInOrder() {
		state, err := m.bed(id)
		if err != nil {
			return nil, err
		}
		if state.shown == nil {
			continue
		}
		one, err := m.bedTroubles(id, state)
		if err != nil {
			return nil, err
		}
		all = append(all, one...)
		for _, f := range state.latest.Findings {
			if f.Code == bed.CodeSlips && f.Attention {
				mistyped.Count += int(f.Numbers["mistyped"])
				mistyped.Beds = append(mistyped.Beds, m.n.attentionBed(id))
				mistyped.FoundAt = max(mistyped.FoundAt, foundAt(f, state))
			}
		}
	}
	if mistyped.Count > 0 {
		mistyped.Since, mistyped.Extent, mistyped.Least = mistyped.FoundAt, mistyped.Count, mistyped.Count
		all = append(all, mistyped)
	}
	return all, nil
}

// bedsInOrder are all beds as the plan shows them: house by house, then those whose house nobody has written yet.
func (n *nursery) bedsInOrder() (ids []string) {
	for _, h := range n.houses {
		ids = append(ids, n.bedsOfHouse(h.id)...)
	}
	return append(ids, n.bedsWithoutHouse()...)
}

func (n *nursery) attentionBed(id string) schema.AttentionBed {
	b := n.beds[id]
	return schema.AttentionBed{Bed: id, Name: valueOr(b.Name, ""), House: n.houseNames[valueOr(b.House, "")]}
}

// foundAt is when the walk was that found something (ms).
func foundAt(f schema.Finding, state *bedState) int64 { return cmp.Or(f.SeenAt, state.shown.At) }
