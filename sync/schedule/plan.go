package schedule

import (
	"slices"

	"bedwalk/sync/calendar"
)

// Stage is one stage of a chain, and what its end waits for.
type Stage struct {
	Length Length
	// Hands says that its end needs people: it moves to the next working day.
	Hands bool
	// NotBefore is the first day on which it may end: one that a person fixed. Zero value: no such day (see Fixed).
	NotBefore calendar.Day
	Fixed     bool
}

// move is the day on which a stage ends that would end by itself on d.
func (s Stage) move(d calendar.Day, work calendar.Workdays) calendar.Day {
	if s.Fixed {
		d = max(d, s.NotBefore)
	}
	if s.Hands {
		d = work.Next(d)
	}
	return d
}

// End is on which days a stage ends, and on which it would end by itself, with no day fixed and people at work on all days.
type End struct {
	Chances
	ByItself Chances
}

// Forward is on which days the stages end, one after the other, when the first of them began on start and was not over at the
// end of the day asOf.
func Forward(start, asOf calendar.Day, stages []Stage, work calendar.Workdays) []End {
	ends := make([]End, 0, len(stages))
	at := Sure(start)
	for i, s := range stages {
		length := s.Length.chances()
		if i == 0 {
			length = s.Length.given(int(asOf - start))
		}
		byItself := at.plus(length)
		at = byItself.moved(func(d calendar.Day) calendar.Day { return s.move(d, work) }).trimmed()
		ends = append(ends, End{at, byItself})
	}
	return ends
}

// negligible is the chance that trimmed leaves out at each end of the axis: far below anything that is shown.
const negligible = 1e-15

// trimmed leaves out days at both ends that have no chance, so that sums stay short.
func (c Chances) trimmed() Chances {
	from, to := 0, len(c.P)
	for from < to-1 && c.P[from] < negligible {
		from++
	}
	for to > from+1 && c.P[to-1] < negligible {
		to--
	}
	return Chances{First: c.First + calendar.Day(from), P: slices.Clip(c.P[from:to])}
}

// InTime is, for a stage of a chain, the chance of being over by a day, by the day on which the stage begins.
type InTime struct {
	first calendar.Day
	p     []float64
}

// Backward is InTime for each of the stages of a chain that must be over by a day. A begin earlier than the reach of all lengths has
// the chance of the earliest one that was computed.
func Backward(by calendar.Day, stages []Stage, work calendar.Workdays) []InTime {
	all := make([]InTime, len(stages))
	next := InTime{first: by, p: []float64{1}}
	for i := len(stages) - 1; i >= 0; i-- {
		s := stages[i]
		length := s.Length.chances()
		// From first on, each day of begin is computed; before it even the longest carried length is in time, but for what lies later.
		first := next.first - calendar.Day(len(length)-1) - slack
		g := InTime{first: first, p: make([]float64, by-first+1)}
		// In time, by the day on which the stage ends by itself.
		inTime := make([]float64, len(g.p)+len(length))
		for j := range inTime {
			inTime[j] = next.at(s.move(first+calendar.Day(j), work), by)
		}
		for j := range g.p {
			for k, p := range length {
				g.p[j] += p * inTime[j+k]
			}
		}
		all[i], next = g, g
	}
	return all
}

// slack is room for moves to working days before the first day that is computed.
const slack = 14

// at is the chance when the stage begins on a day.
func (g InTime) at(d, by calendar.Day) float64 {
	switch {
	case d > by:
		return 0
	case d < g.first:
		return g.p[0]
	}
	return g.p[d-g.first]
}

// Latest is the last working day on which the stage may begin to be in time with at least this chance; false when even the
// earliest day that was looked at does not reach it.
func (g InTime) Latest(chance float64, work calendar.Workdays) (calendar.Day, bool) {
	for j, p := range slices.Backward(g.p) {
		if d := g.first + calendar.Day(j); p >= chance-1e-12 && work.Free(d) == "" {
			return d, true
		}
	}
	return 0, false
}
