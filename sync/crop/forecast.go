package crop

import (
	"bedwalk/schema"
	"bedwalk/sync/calendar"
	"bedwalk/sync/schedule"
)

// Why there is no forecast.
const (
	NoStages     = "no_stages"     // the crop has no stages
	StartUnknown = "start_unknown" // no step of the lot has a day
)

// Span is when something will be: the first days by which it has happened with a chance of 10, 50 and 90 %. A day later than all
// that are carried is nil.
type Span struct{ Day10, Day50, Day90 *calendar.Day }

// Step is one step of a lot: taken, or to come.
type Step struct {
	Name string
	// Stage is the stage that ends with the step, the zero Stage for the first.
	Stage Stage
	Done  *Done
	// Coming is when it will be taken, if it is not.
	Coming *Span
	// Latest50 and Latest90 are the last working days on which it may be taken for the lot to be ready in time with these chances.
	Latest50, Latest90 *calendar.Day
	// Latest50 would be MovedFrom if people worked on that day; MovedWhy is why they do not. Nil where it was not moved.
	MovedFrom *calendar.Day
	MovedWhy  string
	// Coming.Day50 would be LikelyFrom if people worked on that day; LikelyWhy is why they do not. Nil where it was not moved.
	LikelyFrom *calendar.Day
	LikelyWhy  string
	// Pinned is the day on which people mean to take it; Free is why that day is no working day.
	Pinned *calendar.Day
	Free   string
}

// Forecast is a lot's way from its first step to ready.
type Forecast struct {
	// Problem says why there is none, "" where there is one.
	Problem string
	Steps   []Step
	// Chance is of being ready by Lot.By; nil without a ship week.
	Chance *float64
	// Paces are that chance at each pace that all lots may share (schedule.Chances.AtPaces); nil without a ship week.
	Paces []float64
	// Next is the place in Steps of the next step to take, -1 when only the growing is left.
	Next int
	// SlackDays is how long after its likely day the next step may still be taken for an even chance; negative: it is late.
	SlackDays *int
	// LateDays is how long ago the latest day of the next step was, 0 when it is not past.
	LateDays int
	// NotOwn counts the lengths still to come that are not the grower's own; ToCome all of them.
	NotOwn, ToCome int
	// Ready05 and Ready95 are the first days by which the lot is ready with a chance of 5 and of 95 %.
	Ready05, Ready95 *calendar.Day
	// Gates are those of the stage that the lot is in. ClosedUntil is the day before which the stage is not taken to end, since a walk saw
	// a gate closed; nil where none did.
	Gates       []Gate
	ClosedUntil *calendar.Day
}

// Forecast says how it stands with the lot.
func (l Lot) Forecast() Forecast {
	if len(l.Stages) == 0 {
		return Forecast{Problem: NoStages, Next: -1}
	}
	f := Forecast{Next: -1}
	season := SeasonOf(l.Family)
	done := timeline(l, season)
	at := -1 // the stage that the lot is in
	for i, s := range l.Stages {
		step := Step{Name: stepOf[s.Name]}
		if i > 0 {
			step.Stage = l.Stages[i-1]
		}
		if d, ok := done[step.Name]; ok {
			step.Done = &d
			if d.On != nil {
				at = i
			}
		}
		f.Steps = append(f.Steps, step)
	}
	f.Steps = append(f.Steps, Step{Name: StepReady, Stage: l.Stages[len(l.Stages)-1]})
	at = season.held(&f, at)
	if at < 0 {
		f.Problem = StartUnknown
		return f
	}
	if !l.Shipped {
		// In a later season the stage that it is in began again when it was held over.
		began := season.From
		if on := f.Steps[at].Done.On; on != nil && (began == nil || *on > *began) {
			began = on
		}
		l.forecast(&f, at, *began)
	}
	return f
}

func (l Lot) forecast(f *Forecast, at int, began calendar.Day) {
	stages := make([]schedule.Stage, 0, len(l.Stages)-at)
	for i, s := range l.Stages[at:] {
		end := &f.Steps[at+i+1]
		if days, known := l.lengthByGrowth(s, began); i == 0 && known {
			s.Stage, s.From, s.Standing, s.Source = days, schema.FromWalks, schema.StandingWalks, ""
			end.Stage = s
		}
		stage := schedule.Stage{Length: LengthOf(s.Stage), Hands: s.Hands}
		if pin, ok := l.Pins[end.Name]; ok {
			stage.NotBefore, stage.Fixed = pin, true
			end.Pinned, end.Free = &pin, l.Work.Free(pin)
		}
		if i == 0 {
			f.Gates = l.gates(at, began)
			if until, isClosed := closedUntil(f.Gates); isClosed && until > l.AsOf {
				stage.NotBefore, stage.Fixed, f.ClosedUntil = max(stage.NotBefore, until), true, &until
			}
		}
		stages = append(stages, stage)
		f.ToCome++
		if s.Standing != schema.StandingOwn && s.Standing != schema.StandingWalks {
			f.NotOwn++
		}
	}
	asOf := l.AsOf
	if len(stages) == 1 {
		// Nobody notes that a lot is ready: that it was not noted says nothing.
		asOf = began - 1
	}
	ends := schedule.Forward(began, asOf, stages, l.Work)
	// No spring stretches the days up to one that people fixed, where it is the fixed day that is waited for.
	fixedTo := l.AsOf
	for i, end := range ends {
		step, stage := &f.Steps[at+i+1], stages[i]
		step.Coming = &Span{dayAt(end.Chances, 0.1), dayAt(end.Chances, 0.5), dayAt(end.Chances, 0.9)}
		if stage.Fixed && end.ByItself.By(stage.NotBefore) >= 0.5 {
			fixedTo = max(fixedTo, stage.NotBefore)
		}
		if likely, ok := end.ByItself.At(0.5); ok && step.Coming.Day50 != nil {
			if stage.Fixed {
				likely = max(likely, stage.NotBefore)
			}
			if likely != *step.Coming.Day50 {
				step.LikelyFrom, step.LikelyWhy = &likely, l.Work.Free(likely)
			}
		}
	}
	last := ends[len(ends)-1].Chances
	f.Ready05, f.Ready95 = dayAt(last, 0.05), dayAt(last, 0.95)
	if len(stages) > 1 {
		f.Next = at + 1
	}
	if l.By == nil {
		return
	}
	f.Chance = new(last.By(*l.By))
	paces := last.AtPaces(*l.By, fixedTo, l.Pace)
	f.Paces = paces[:]
	for i, g := range schedule.Backward(*l.By, stages, l.Work)[1:] {
		step := &f.Steps[at+i+1]
		step.Latest50, step.Latest90 = latest(g, 0.5, l.Work), latest(g, 0.9, l.Work)
		if unmoved := latest(g, 0.5, calendar.Workdays{}); unmoved != nil && step.Latest50 != nil && *unmoved > *step.Latest50 {
			step.MovedFrom, step.MovedWhy = unmoved, l.Work.Free(*unmoved)
		}
	}
	if f.Next < 0 {
		return
	}
	if next := f.Steps[f.Next]; next.Latest50 != nil && next.Coming.Day50 != nil {
		days, late := slack(*next.Latest50, *next.Coming.Day50, l.AsOf)
		f.SlackDays, f.LateDays = &days, late
	}
}

// slack is Forecast.SlackDays and LateDays of a step, by its latest and its likely day.
func slack(latest, likely, today calendar.Day) (days, late int) {
	return int(latest - likely), max(0, int(today-latest))
}

func dayAt(c schedule.Chances, chance float64) *calendar.Day {
	if d, ok := c.At(chance); ok {
		return &d
	}
	return nil
}

func latest(g schedule.InTime, chance float64, work calendar.Workdays) *calendar.Day {
	if d, ok := g.Latest(chance, work); ok {
		return &d
	}
	return nil
}
