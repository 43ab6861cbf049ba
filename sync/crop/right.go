package crop

import "bedwalk/sync/calendar"

// Said is what a forecast said of a lot on one day, as far as it can be held against the day on which the lot left. By is the day by which
// it had to be ready for the ship week that it had then, Chance that it would be; both nil while it had none. Days that were later than
// all that a forecast carries are nil.
type Said struct {
	Ready05, Ready50, Ready95 *calendar.Day
	By                        *calendar.Day
	Chance                    *float64
}

// Verdict is how right it was.
type Verdict struct {
	// Inside says that the lot left within the 90 % span of its ready day. A lot that was ready and waited for its week is inside too.
	Inside bool
	// LateDays is how long after its likely day the lot left, below 0 before it. Days of waiting for the ship week are not counted.
	LateDays int
	// InTime says that it left in its week or before; nil where it had none.
	InTime *bool
}

// Against holds what was said against the day on which the lot left. False where there was no likely day to compare.
//
// Nobody notes that a lot is ready, so the day on which it left stands for that day. A lot that is ready early waits for its ship week: from
// the likely day up to the Sunday of that week it is on time.
func (s Said) Against(left calendar.Day) (v Verdict, ok bool) {
	if s.By != nil {
		v.InTime = new(left <= s.weekEnd())
	}
	if s.Ready05 == nil || s.Ready50 == nil {
		return v, false
	}
	v.Inside = left >= *s.Ready05 && (s.Ready95 == nil || left <= max(*s.Ready95, s.weekEnd()))
	switch latest := max(*s.Ready50, s.weekEnd()); {
	case left < *s.Ready50:
		v.LateDays = int(left - *s.Ready50)
	case left > latest:
		v.LateDays = int(left - latest)
	}
	return v, true
}

// weekEnd is the Sunday of the ship week, before all days where there was none.
func (s Said) weekEnd() calendar.Day {
	if s.By == nil {
		return -1 << 31
	}
	return s.By.Week().Day(7)
}
