package view

import (
	"slices"

	"bedwalk/schema"
	"bedwalk/sync/bed"
)

// shownOf is the place of the walk that a bed is shown by: the last whole one. A walk under way has seen a part of the bed
// only, and two clean pots at one end must not take an alarm away. While no walk was whole, the last one has to do.
func shownOf(walks []*walk) int {
	for i := len(walks) - 1; i >= 0; i-- {
		if walks[i].whole {
			return i
		}
	}
	return len(walks) - 1
}

// lookBack bounds how many whole walks an open finding is looked for in.
const lookBack = 6

// standsNow is the score of the last of these walks with what earlier ones found and no later one has answered, and the score of
// the whole walk before it (nil when there is none). A bed of which no walk was whole shows no number, since nobody knows what
// part of it was seen; what was found there is told all the same.
func standsNow(walks []*walk, scored func(*walk) (schema.BedScore, error)) (latest, before *schema.BedScore, err error) {
	last := walks[len(walks)-1]
	score, err := scored(last)
	if err != nil {
		return nil, nil, err
	}
	latest = &score
	if !last.whole {
		latest.TooFewPots = true
		latest.Findings = withoutUnwalked(latest.Findings)
		return latest, nil, nil
	}
	later := []schema.BedScore{last.score}
	for i := len(walks) - 2; i >= 0 && len(later) < lookBack; i-- {
		w := walks[i]
		if !w.whole {
			continue
		}
		// What was asked as well since needs no look at the findings, which cost far more than the measures.
		if before != nil && bed.Answered(w.score, later) {
			later = append(later, w.score)
			continue
		}
		earlier, err := scored(w)
		if err != nil {
			return nil, nil, err
		}
		if before == nil {
			before = &earlier
		}
		latest.Findings = append(slices.Clone(latest.Findings), bed.StillOpen(earlier, later, w.at)...)
		later = append(later, w.score)
	}
	bed.SortFindings(latest.Findings)
	return latest, before, nil
}

// withoutUnwalked leaves out what a walk that goes on has not come to yet.
func withoutUnwalked(all []schema.Finding) []schema.Finding {
	return slices.DeleteFunc(slices.Clone(all), func(f schema.Finding) bool { return f.Code == bed.CodeUnwalked })
}

// goOnMS is how long a walk can be continued (the phone's twin is isPast in pwa/src/screens/scout/walk/openWalks.ts). Common practice,
// no source.
const goOnMS = 14 * 24 * 60 * 60 * 1000

// underWay is the newest walk of a bed that was not ended, when it began after the one the bed is shown by; nil when there is
// none, or when it is too old to be gone on with.
func (d *Views) underWay(state *bedState) *schema.UnderWay {
	if len(state.walks) == 0 {
		return nil
	}
	w := state.walks[len(state.walks)-1]
	if w.whole || w.ended || w.at <= d.journal.NowMS()-goOnMS {
		return nil
	}
	return &schema.UnderWay{
		Walk: w.id, At: w.at, Person: w.person, PersonName: d.n.people[w.person], Seen: w.score.Seen, Planned: w.planned,
	}
}
