package view

import (
	"cmp"
	"maps"
	"slices"

	"bedwalk/schema"
	"bedwalk/sync/stats"
)

// scoresOf counts how often the plan was right: of all lots (with "" for crop and cultivar), of each crop, and of each cultivar.
func scoresOf(lots []schema.RightLot) (all []schema.RightScore) {
	for _, weeks := range rightWeeks {
		groups := map[cultivarKey][]schema.RightSaid{}
		names := map[cultivarKey]schema.RightLot{}
		for _, lot := range lots {
			i := slices.IndexFunc(lot.Said, func(s schema.RightSaid) bool { return s.Weeks == weeks })
			if i < 0 {
				continue
			}
			of := cultivarOf(&lot.Crop, &lot.Cultivar)
			for _, key := range slices.Compact([]cultivarKey{{}, {of.crop, ""}, of}) {
				groups[key], names[key] = append(groups[key], lot.Said[i]), lot
			}
		}
		for _, key := range slices.SortedFunc(maps.Keys(groups), cultivarKey.before) {
			score := scoreOf(groups[key])
			score.Weeks = weeks
			if key.crop != "" {
				score.Crop = names[key].Crop
			}
			if key.cultivar != "" {
				score.Cultivar = names[key].Cultivar
			}
			all = append(all, score)
		}
	}
	return all
}

func scoreOf(said []schema.RightSaid) (score schema.RightScore) {
	var late []float64
	for _, s := range said {
		if s.Inside != nil {
			late = append(late, float64(*s.LateDays))
			tally(&score.Inside, *s.Inside)
		}
		if s.Held != nil {
			tally(&score.Held, *s.Held)
		}
	}
	if m := stats.Median(late); m.Known {
		score.LateDays = &m.X
	}
	limits(&score.Inside)
	limits(&score.Held)
	return score
}

// tenthsOf sets the chances that were said against how often they came true.
func tenthsOf(lots []schema.RightLot) (all []schema.RightTenth) {
	type tenth struct{ weeks, from int }
	all = []schema.RightTenth{}
	byTenth := map[tenth]*schema.RightTenth{}
	for _, lot := range lots {
		for _, s := range lot.Said {
			if s.Chance == nil || s.InTime == nil {
				continue
			}
			// A chance of 1 belongs to the last tenth. Rounding keeps 0.3 out of the tenth below it.
			key := tenth{s.Weeks, min(9, int(*s.Chance*10+1e-9))}
			t := byTenth[key]
			if t == nil {
				t = &schema.RightTenth{Weeks: s.Weeks, From: float64(key.from) / 10}
				byTenth[key] = t
			}
			t.Chance += *s.Chance
			tally(&t.InTime, *s.InTime)
		}
	}
	for _, key := range slices.SortedFunc(maps.Keys(byTenth), func(a, b tenth) int {
		return cmp.Or(cmp.Compare(a.weeks, b.weeks), cmp.Compare(a.from, b.from))
	}) {
		t := byTenth[key]
		t.Chance /= float64(t.InTime.N)
		limits(&t.InTime)
		all = append(all, *t)
	}
	return all
}

// limits sets the 90 % Wilson limits of a count.
func limits(c *schema.RightCount) {
	if in := stats.Wilson(c.Count, c.N, 0, 0.9); in.Known {
		c.Low, c.High = in.Low, in.High
	}
}

// tally counts one more thing that was said, and whether it came true.
func tally(c *schema.RightCount, is bool) {
	c.N++
	if is {
		c.Count++
	}
}
