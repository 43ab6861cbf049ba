package schedule

import "bedwalk/sync/calendar"

// Chances is on which day something happens: P[i] is the chance of First + i. What they lack to 1 is later than the last.
type Chances struct {
	First calendar.Day
	P     []float64
}

// Sure is a day that is known.
func Sure(d calendar.Day) Chances { return Chances{First: d, P: []float64{1}} }

// At is the first day by which it has happened with at least this chance (0.1, 0.5, 0.9 ...); false when that day is later than
// all that are carried.
func (c Chances) At(chance float64) (calendar.Day, bool) {
	sum := 0.0
	for i, p := range c.P {
		// A sum of many small chances may fall short of a whole one by rounding alone.
		if sum += p; sum >= chance-1e-12 {
			return c.First + calendar.Day(i), true
		}
	}
	return 0, false
}

// By is the chance that it has happened by the end of a day.
func (c Chances) By(d calendar.Day) (chance float64) {
	for i, p := range c.P {
		if c.First+calendar.Day(i) > d {
			break
		}
		chance += p
	}
	return min(1, chance)
}

// plus is the day of the end of a stage that begins on c's day and takes length days with chance length[days].
func (c Chances) plus(length []float64) Chances {
	sum := Chances{First: c.First, P: make([]float64, len(c.P)+len(length)-1)}
	for i, p := range c.P {
		if p == 0 {
			continue
		}
		for d, q := range length {
			sum.P[i+d] += p * q
		}
	}
	return sum
}

// moved is c with each day carried to another one, never an earlier one than First.
func (c Chances) moved(to func(calendar.Day) calendar.Day) Chances {
	last := c.First + calendar.Day(len(c.P)-1)
	first := min(to(c.First), to(last))
	m := Chances{First: first, P: make([]float64, max(to(last), to(c.First))-first+1)}
	for i, p := range c.P {
		m.P[to(c.First+calendar.Day(i))-first] += p
	}
	return m
}
