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
		if walks[i].Whole {
			return i
		}
	}
	return len(walks) - 1
}

// lookBack bounds how many whole walks an open finding is looked for in.
const lookBack = 6

// standsNow sets what the bed shows: the score of the walk at last with what earlier ones found and no later one has answered.
// A bed of which no walk was whole shows no number, since nobody knows what part of it was seen; what was found there is shown all the
// same. Scored gives the findings of an earlier walk.
func (s *bedState) standsNow(last int, scored func(int) (schema.BedScore, error)) error {
	latest := *s.own
	latest.Findings = slices.Clone(latest.Findings)
	s.latest = &latest
	if !s.walks[last].Whole {
		latest.TooFewPots = true
		latest.Findings = withoutUnwalked(latest.Findings)
		return nil
	}
	later := []schema.BedScore{s.walks[last].Score.bedScore(nil)}
	for i := last - 1; i >= 0 && len(later) < lookBack; i-- {
		w := s.walks[i]
		if !w.Whole {
			continue
		}
		// What was asked as well since needs no look at the findings, which cost far more than the measures.
		measured := w.Score.bedScore(nil)
		if bed.Answered(measured, later) {
			later = append(later, measured)
			continue
		}
		earlier, err := scored(i)
		if err != nil {
			return err
		}
		latest.Findings = append(latest.Findings, bed.StillOpen(earlier, later, w.At)...)
		later = append(later, measured)
	}
	bed.SortFindings(latest.Findings)
	return nil
}

// withoutUnwalked leaves out what a walk that goes on has not come to yet.
func withoutUnwalked(all []schema.Finding) []schema.Finding {
	return slices.DeleteFunc(slices.Clone(all), func(f schema.Finding) bool { return f.Code == bed.CodeUnwalked })
}

// goOnMS is how long a walk can be continued (the phone's twin is isPast in pwa/src/screens/scout/walk/openWalks.ts). Common practice,
// no source.
const goOnMS = 14 * 24 * 60 * 60 * 1000

// underWay is the newest walk of a bed that was not ended, when it began after the one the bed is shown by; nil when there is
// none, or when it is too old to be continued.
func (m *moment) underWay(state *bedState) *schema.UnderWay {
	if len(state.walks) == 0 {
		return nil
	}
	w := state.walks[len(state.walks)-1]
	if w.Whole || w.Ended || w.At <= m.journal.NowMS()-goOnMS {
		return nil
	}
	return &schema.UnderWay{
		Walk: w.ID, At: w.At, Person: w.Person, PersonName: m.n.people[w.Person], Seen: w.Score.Seen, Planned: w.Planned,
	}
}
