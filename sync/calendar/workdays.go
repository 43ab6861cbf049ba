package calendar

// Workdays are the days on which a nursery's people work. The zero value has no rest: everybody works on every day.
type Workdays struct {
	// rests are the weekdays without work, by number less 1; holidays are named.
	rests    [7]bool
	holidays map[Day]string
}

// Weekend is why nobody works on a day that is no holiday.
const Weekend = "weekend"

// NewWorkdays takes the weekdays worked (1 Monday to 7 Sunday) and the holidays, each with its name. Without any weekday, or with all seven,
// no day of the week is free: a week without work would move every step for ever.
func NewWorkdays(weekdays []int, holidays map[Day]string) Workdays {
	w := Workdays{holidays: holidays}
	works := [7]bool{}
	any := false
	for _, d := range weekdays {
		if d >= 1 && d <= 7 {
			works[d-1], any = true, true
		}
	}
	for i := range w.rests {
		w.rests[i] = any && !works[i]
	}
	return w
}

// Free says why nobody works on a day: the holiday's name, Weekend, or "" on a working day.
func (w Workdays) Free(d Day) string {
	if name, ok := w.holidays[d]; ok {
		return name
	}
	if w.rests[d.Weekday()-1] {
		return Weekend
	}
	return ""
}

// longestRest bounds the search for a working day: a year of holidays in a row is a mistake of whoever entered them.
const longestRest = 366

// Next is the first working day on or after a day. Where a year has none it is the day itself.
func (w Workdays) Next(d Day) Day { return w.seek(d, 1) }

// Previous is the last working day on or before a day.
func (w Workdays) Previous(d Day) Day { return w.seek(d, -1) }

func (w Workdays) seek(from Day, step Day) Day {
	for d := from; d != from+step*longestRest; d += step {
		if w.Free(d) == "" {
			return d
		}
	}
	return from
}
