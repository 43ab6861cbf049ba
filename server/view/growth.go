package view

import (
	"cmp"
	"slices"

	"bedwalk/schema"
	"bedwalk/sync/bed"
	"bedwalk/sync/calendar"
	"bedwalk/sync/crop"
	"bedwalk/sync/stats"
)

// The fit is drawn by a point every so many days, up to so many after today.
const trackStep, trackAhead = 7, 14

// walkMeans are a lot's mean heads for its growth.
func (n *nursery) walkMeans(seen seenLot) (walks []crop.WalkMean) {
	for _, h := range seen.heads {
		walks = append(walks, crop.WalkMean{On: n.dayAt(h.walk.At), N: h.N, MM: h.MM, SD: h.SD})
	}
	return walks
}

// growthOf is how the heads of a lot grow, as of a day; by is the day by which it must be ready.
func (n *nursery) growthOf(family []crop.Part, id string, seen seenLot, today calendar.Day, by string) schema.LotGrowth {
	v := schema.LotGrowth{Walks: []schema.GrowthWalk{}, Track: []schema.GrowthPoint{}}
	since := crop.LastPinch(family)
	if since == nil {
		return v
	}
	v.Since, v.Regulator = since.String(), dateOrNone(crop.RegulatorSince(family, *since))
	for _, h := range seen.heads {
		if n.dayAt(h.walk.At) <= *since {
			continue
		}
		mean := crop.WalkMean{N: h.N, MM: h.MM, SD: h.SD}.Limits(stats.DefaultLevel)
		v.Walks = append(v.Walks, schema.GrowthWalk{
			Walk: h.walk.ID, Bed: h.bed, At: h.walk.At, PersonName: n.people[h.walk.Person], N: h.N, MM: h.MM, Low: mean.Low, High: mean.High,
		})
	}
	slices.SortFunc(v.Walks, func(a, b schema.GrowthWalk) int { return cmp.Or(cmp.Compare(a.At, b.At), cmp.Compare(a.Walk, b.Walk)) })
	n.target(&v, *since, id)
	g := crop.GrowthOf(*since, n.walkMeans(seen))
	v.Why, v.LineOf = g.Why, g.Line
	switch {
	case g.Carried:
		v.Fit = "curves"
	case g.IsKnown():
		v.Fit = "line"
	default:
		return v
	}
	// A line says nothing of the walks that it does not run through.
	from := g.Walks[0].On
	if !g.Carried {
		from = g.Walks[len(g.Walks)-g.Line].On
	}
	for d := from; d < today+trackAhead+trackStep; d += trackStep {
		v.Track = append(v.Track, n.growthPoint(g, d))
	}
	if ship := dayOf(&by); ship != nil && *ship > today && g.Carried {
		v.Ship = new(n.growthPoint(g, *ship))
	}
	n.band(&v, g, id)
	return v
}

// target lays the grower's own band for the lot's pot size under the walks.
func (n *nursery) target(v *schema.LotGrowth, since calendar.Day, id string) {
	band, potMM := crop.TargetFor(n.targets[bed.CropKey(valueOr(n.lots[id].Crop, ""))], valueOr(n.lots[id].PotMM, 0))
	if len(band) == 0 {
		return
	}
	v.Target = &schema.GrowthTarget{PotMM: potMM}
	for _, row := range band {
		v.Target.Rows = append(v.Target.Rows, schema.TargetRow{
			Day: row.Day, At: n.midnight(since + calendar.Day(row.Day)), Low: row.LowMM, High: row.HighMM,
		})
	}
	if len(v.Walks) == 0 {
		return
	}
	last := v.Walks[len(v.Walks)-1]
	on := n.dayAt(last.At)
	low, high, known := band.On(int(on - since))
	where, by := crop.NoBand, 0.0
	if known {
		where, by = crop.LiesIn(low, high, last.MM, last.Low, last.High)
	}
	v.Target.Last = &schema.TargetLast{On: on.String(), Day: int(on - since), Where: where, Low: low, High: high, By: by}
}

func (n *nursery) growthPoint(g crop.Growth, d calendar.Day) schema.GrowthPoint {
	e := g.At(d, stats.DefaultLevel)
	return schema.GrowthPoint{On: d.String(), At: n.midnight(d), MM: e.Value.X, Low: e.Interval.Low, High: e.Interval.High}
}

// band lays the head sizes of the first grade that asks any beside the fit.
func (n *nursery) band(v *schema.LotGrowth, g crop.Growth, id string) {
	crossing := func(mm *int) *schema.GrowthCross {
		if mm == nil {
			return nil
		}
		c := g.Crosses(float64(*mm), stats.DefaultLevel)
		return &schema.GrowthCross{MM: *mm, Early: dateOrNone(c.Early), Likely: dateOrNone(c.Likely), Late: dateOrNone(c.Late)}
	}
	for _, grade := range n.judgedOf(id).GradesFor(valueOr(n.lots[id].PotMM, 0)) {
		if grade.HeadMinMM != nil || grade.HeadMaxMM != nil {
			v.Grade, v.Low, v.High = grade.Name, crossing(grade.HeadMinMM), crossing(grade.HeadMaxMM)
			return
		}
	}
}
