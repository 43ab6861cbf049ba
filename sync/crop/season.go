package crop

import (
	"slices"

	"bedwalk/sync/calendar"
)

// Season is the growing season that a lot is in. From is the day on which it was last held over, nil in its first season; Nth counts from 1.
type Season struct {
	From *calendar.Day
	Nth  int
}

// SeasonOf finds a lot's season among what was noted of it. Notes of a holding over with no pinch, regulator, cooler or forcing between them are of
// one, noted more than once: its first day counts, in any order of arrival.
func SeasonOf(family []Part) Season {
	type mark struct {
		on     calendar.Day
		isHold bool
	}
	var marks []mark
	for _, part := range family {
		for _, e := range part.Events {
			switch e.What {
			case "held_over", "pinched", "clipped", "into_cooler", "out_of_cooler", "into_forcing":
				if part.has(e.On) {
					marks = append(marks, mark{e.On, e.What == "held_over"})
				}
			}
		}
		for _, r := range part.Regulators {
			if part.has(r.On) {
				marks = append(marks, mark{r.On, false})
			}
		}
	}
	slices.SortFunc(marks, func(a, b mark) int {
		switch {
		case a.on != b.on:
			return int(a.on - b.on)
		case a.isHold == b.isHold:
			return 0
		case b.isHold: // What was done on the day itself belongs to the season that ended.
			return -1
		}
		return 1
	})
	season := Season{Nth: 1}
	wasHold := false
	for _, m := range marks {
		if m.isHold && !wasHold {
			season.From = &m.on
			season.Nth++
		}
		wasHold = m.isHold
	}
	return season
}

// isBefore says that a day belongs to an earlier season.
func (s Season) isBefore(d calendar.Day) bool { return s.From != nil && d <= *s.From }

// has says that what was noted of the part on a day is about the lot asked for.
func (p Part) has(d calendar.Day) bool { return p.Until == nil || d <= *p.Until }

// held puts a lot that was held over, and of which nothing is noted since, back into the stage of its pot: that which ends with the last pinch. Its
// stages before are over, on days that nobody may have noted.
func (s Season) held(f *Forecast, at int) int {
	if s.From == nil || at >= 0 {
		return at
	}
	at = max(0, slices.IndexFunc(f.Steps, func(step Step) bool { return step.Name == StepLastPinch })-1)
	for i := range f.Steps[:at+1] {
		if f.Steps[i].Done == nil {
			f.Steps[i].Done = &Done{}
		}
	}
	return at
}
