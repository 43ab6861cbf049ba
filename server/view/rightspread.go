package view

import (
	"cmp"
	"maps"
	"math"
	"slices"

	"bedwalk/schema"
	"bedwalk/sync/bed"
	"bedwalk/sync/calendar"
	"bedwalk/sync/schedule"
	"bedwalk/sync/stats"
)

// seasonLots is how many shipped lots it takes to estimate seasons from them. An assumption, no source.
const seasonLots = 6

// halfOf names the half of a year in which a day lies: the season of lots that left, or of stages that ended. An assumption, no source.
func halfOf(d calendar.Day) string {
	month := d.String()[:len("2006-01")]
	if month[len("2006-"):] <= "06" {
		return month[:len("2006")] + " first"
	}
	return month[:len("2006")] + " second"
}

// seasonsSeen is, crop by crop, how much the seasons of its cultivars differed: of each lot how far the share in the best grade that a later walk saw lay
// from the one that was expected, on the logit scale.
func (v *Views) seasonsSeen(n *nursery, lots []schema.RightLot) (all []schema.RightSpread) {
	offs, names := map[string][]stats.Off{}, map[string]string{}
	for _, lot := range lots {
		if off, ok := v.seasonOff(lot); ok {
			key := bed.CropKey(lot.Crop)
			offs[key], names[key] = append(offs[key], off), lot.Crop
		}
	}
	for _, key := range slices.Sorted(maps.Keys(offs)) {
		if s, known := stats.BetweenGroups(offs[key]); known && s.N >= seasonLots {
			start := schema.DefaultJudged().SharingSDMilli
			one := spreadOf(s, 1000, 2000)
			one.Crop, one.Now, one.Start = names[key], n.judgedFor(key).SharingSDMilli, start
			one.IsOwn = n.ownSeason[key]
			all = append(all, one)
		}
	}
	return all
}

// seasonOff is how far a lot's last walk lay from what was expected of it 12, 8 or 4 weeks before it left, the first of these that no walk of
// that time or a later one was part of.
func (v *Views) seasonOff(lot schema.RightLot) (off stats.Off, ok bool) {
	left, err := calendar.Parse(lot.LeftOn)
	if err != nil || lot.Walk == nil || lot.Walk.Seen == 0 {
		return off, false
	}
	for _, weeks := range slices.Backward(rightWeeks) {
		asked := leftLot{lot.Lot, left}.asked(weeks)
		v.keeping.Lock()
		then := v.said[asked]
		v.keeping.Unlock()
		if m := then.best.mean; m <= 0 || m >= 1 || then.best.variance <= 0 || lot.Walk.On <= (left-calendar.Day(7*weeks)).String() {
			continue
		}
		in, out := float64(lot.Walk.In[0])+0.5, float64(lot.Walk.Seen-lot.Walk.In[0])+0.5
		m := then.best.mean
		return stats.Off{
			Group: bed.CropKey(lot.Cultivar) + " " + halfOf(left), By: math.Log(in/out) - math.Log(m/(1-m)),
			Var: then.best.variance/math.Pow(m*(1-m), 2) + 1/in + 1/out,
		}, true
	}
	return off, false
}

// paceSeen is how much springs stretched or shortened one stage of one crop: the one that ended in most half-years, with a note of the lot itself. How far
// its days lay from the likely ones, on the scale of ln days; stages are not mixed, since each has a length of its own that may be wrong. Cold is left out:
// people end it by the calendar.
func (n *nursery) paceSeen() (most *schema.RightSpread) {
	type stageOf struct{ crop, stage string }
	offs, names := map[stageOf][]stats.Off{}, map[stageOf]string{}
	notes := n.lotNotes()
	for _, id := range slices.SortedFunc(maps.Keys(n.lots), n.byTag()) {
		l := n.lots[id]
		key := bed.CropKey(valueOr(l.Crop, ""))
		for _, took := range notes.took(id) {
			if took.Stage == schema.StageCold {
				continue
			}
			of := stageOf{key, took.Stage}
			names[of] = valueOr(l.Crop, "")
			offs[of] = append(offs[of], stats.Off{
				Group: halfOf(took.Ended), By: math.Log(float64(took.Days) / float64(took.Length.Likely)), Var: took.Length.LogVariance(),
			})
		}
	}
	byName := func(a, b stageOf) int { return cmp.Or(cmp.Compare(a.crop, b.crop), cmp.Compare(a.stage, b.stage)) }
	for _, of := range slices.SortedFunc(maps.Keys(offs), byName) {
		s, known := stats.BetweenGroups(offs[of])
		if !known || most != nil && (s.Groups < most.Groups || s.Groups == most.Groups && s.N <= most.N) {
			continue
		}
		one := spreadOf(s, 10_000, 5000)
		one.Crop, one.Stage = names[of], of.stage
		one.Now, one.IsOwn, one.Start = int(math.Round(n.pace*10_000)), n.paceIsOwn, int(math.Round(schedule.Pace*10_000))
		most = &one
	}
	return most
}

func spreadOf(s stats.GroupSpread, parts float64, most int) schema.RightSpread {
	whole := func(sd float64) int { return int(math.Round(min(sd, 100) * parts)) }
	return schema.RightSpread{SD: whole(s.SD), Low: whole(s.Low), High: whole(s.High), N: s.N, Groups: s.Groups, Most: most}
}
