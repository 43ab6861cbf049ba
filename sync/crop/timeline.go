package crop

import (
	"slices"

	"bedwalk/schema"
	"bedwalk/sync/calendar"
)

// Done is a step that was taken.
type Done struct {
	// On is the day; nil when a later step is known and nobody noted this one.
	On *calendar.Day
	// Others are further days that were noted for the step: of a step taken once, the earliest counts.
	Others []calendar.Day
	ByBed  bool
	// OutOfOrder says that an earlier step of the chain is noted on a later day.
	OutOfOrder bool
}

// timeline gives the steps taken, by step, for the stages of the lot. What is done again in each season counts from the day on which the lot was
// last held over for another one; the pots that it came through stay as they were.
func timeline(l Lot, season Season) map[string]Done {
	days := map[string][]calendar.Day{}
	var pinches []Event
	var regulators []Regulator
	for _, part := range l.Family {
		counts := func(d calendar.Day) bool { return part.has(d) && !season.isBefore(d) }
		add := func(step string, d calendar.Day) {
			isYearly := step == StepCooler || step == StepForcing
			if step != "" && part.has(d) && !(isYearly && season.isBefore(d)) {
				days[step] = append(days[step], d)
			}
		}
		if part.StuckOn != nil {
			add(StepStuck, *part.StuckOn)
		}
		if part.PottedOn != nil {
			add(potStep(l.Stages, part.PotMM), *part.PottedOn)
		}
		for _, e := range part.Events {
			switch e.What {
			case "stuck":
				add(StepStuck, e.On)
			case "potted", "stepped_up":
				add(potStep(l.Stages, part.PotMM), e.On)
			case "into_cooler":
				add(StepCooler, e.On)
			case "out_of_cooler", "into_forcing":
				add(StepForcing, e.On)
			case "pinched", "clipped":
				if counts(e.On) {
					pinches = append(pinches, e)
				}
			}
		}
		for _, r := range part.Regulators {
			if counts(r.On) {
				regulators = append(regulators, r)
			}
		}
	}
	done := map[string]Done{}
	for step, on := range days {
		done[step] = earliest(sinceOr(on, season))
	}
	lastPinch(done, pinches, regulators)
	return inOrder(done, l.Stages)
}

// sinceOr are the days of the season, or all of them where none is: a lot that is potted again is in that pot, one that is not stays in its own.
func sinceOr(days []calendar.Day, season Season) []calendar.Day {
	since := slices.DeleteFunc(slices.Clone(days), season.isBefore)
	if len(since) == 0 {
		return days
	}
	return since
}

func earliest(days []calendar.Day) Done {
	slices.Sort(days)
	days = slices.Compact(days)
	return Done{On: &days[0], Others: days[1:]}
}

// potStep is the step that a potting was: into the largest of the crop's pots that is not over the lot's own.
func potStep(stages []Stage, potMM int) (step string) {
	least := -1
	for _, s := range stages {
		switch s.Name {
		case schema.StageLiner, schema.StageSmallPot, schema.StageFinishedPot:
			size := 0
			if s.PotMM != nil {
				size = *s.PotMM
			}
			if size <= potMM && size > least {
				step, least = stepOf[s.Name], size
			}
		}
	}
	return step
}

// lastPinch finds the last pinch or clip and the regulator after it. A pinch is the last one when somebody said so, or when a
// regulator was put on after all of them: while neither is known, another may follow, and the lot still grows.
func lastPinch(done map[string]Done, pinches []Event, regulators []Regulator) {
	slices.SortFunc(pinches, func(a, b Event) int {
		switch {
		case a.On != b.On:
			return int(a.On - b.On)
		case a.Last == b.Last:
			return 0
		case b.Last: // Two notes of one day: that it was the last counts, whichever came first.
			return -1
		}
		return 1
	})
	slices.SortFunc(regulators, func(a, b Regulator) int { return int(a.On - b.On) })
	var last *calendar.Day
	isSaid := false
	for _, p := range pinches {
		// A later pinch sets aside that an earlier one was called the last.
		last, isSaid = &p.On, p.Last
	}
	for _, r := range regulators {
		if last == nil || r.On >= *last {
			done[StepRegulator] = Done{On: &r.On, ByBed: r.ByBed}
			break
		}
	}
	if _, put := done[StepRegulator]; last != nil && (isSaid || put) {
		done[StepLastPinch] = Done{On: last}
	}
}

// inOrder keeps the steps of the stages gone through: those before the last known one are over, on a day that may not be known,
// and one noted on an earlier day than a step before it is marked.
func inOrder(done map[string]Done, stages []Stage) map[string]Done {
	all := map[string]Done{}
	last := -1
	for i, s := range stages {
		if _, ok := done[stepOf[s.Name]]; ok {
			last = i
		}
	}
	var latest *calendar.Day
	for _, s := range stages[:last+1] {
		step := done[stepOf[s.Name]]
		if step.On != nil {
			step.OutOfOrder = latest != nil && *step.On < *latest
			if latest == nil || *step.On > *latest {
				latest = step.On
			}
		}
		all[stepOf[s.Name]] = step
	}
	return all
}
