package stats

import (
	"fmt"
	"math"
	"time"
)

// DayDegrees are the degree-days of one day above a lower and, where it is used, below an upper threshold, in the unit of the
// temperatures (degree-days Celsius or Fahrenheit).
type DayDegrees struct {
	Sine    float64 `json:"sine"`    // single sine with horizontal cutoff
	Average float64 `json:"average"` // mean of the extremes less the lower threshold, never below 0
	Clamped float64 `json:"clamped"` // the same with both extremes kept within the thresholds first
}

// DegreesOf computes one day's degree-days from its extremes: single sine with A the half-range, above T: [(M-T)(pi/2-th) + A
// cos th]/pi, th = asin((T-M)/A), upper part taken off (Baskerville and Emin 1969, Ecology 50:514-517; Allen 1976). It
// refuses a maximum below the minimum, thresholds out of order and a missing temperature: a missing day is no day of 0.
func DegreesOf(low, high, lower, upper float64) (DayDegrees, error) {
	for _, v := range []float64{low, high, lower, upper} {
		if !Sure(v).Known {
			return DayDegrees{}, fmt.Errorf("%w: a temperature is missing", ErrInput)
		}
	}
	if high < low || upper <= lower {
		return DayDegrees{}, fmt.Errorf("%w: the day's high must not be below its low, nor the upper threshold at or below the lower (got %g, %g, %g, %g)", ErrInput, low, high, lower, upper)
	}
	keep := func(t float64) float64 { return math.Max(lower, math.Min(upper, t)) }
	return DayDegrees{
		Sine:    math.Max(0, sineAbove(low, high, lower)-sineAbove(low, high, upper)),
		Average: math.Max(0, (low+high)/2-lower),
		Clamped: (keep(low)+keep(high))/2 - lower,
	}, nil
}

func sineAbove(low, high, t float64) float64 {
	m, a := (high+low)/2, (high-low)/2
	switch {
	case high <= t:
		return 0
	case low >= t:
		return m - t
	}
	th := math.Asin((t - m) / a)
	return ((m-t)*(math.Pi/2-th) + a*math.Cos(th)) / math.Pi
}

// ISOWeek is a day named by ISO 8601 year, week and weekday (1 Monday to 7 Sunday), with the day of the calendar year.
type ISOWeek struct {
	Year      int `json:"year"`
	Week      int `json:"week"`
	Weekday   int `json:"weekday"`
	DayOfYear int `json:"dayOfYear"`
}

// WeekOf names a date written 2026-12-31; the year may differ from the calendar's in the first and last days.
func WeekOf(date string) (ISOWeek, error) {
	d, err := dayOf(date)
	if err != nil {
		return ISOWeek{}, err
	}
	year, week := d.ISOWeek()
	return ISOWeek{Year: year, Week: week, Weekday: (int(d.Weekday())+6)%7 + 1, DayOfYear: d.YearDay()}, nil
}

// WeeksInYear is 53 for the long ISO years and 52 for the others: 28 December is always in the last week (ISO 8601).
func WeeksInYear(year int) int {
	_, week := time.Date(year, time.December, 28, 0, 0, 0, 0, time.UTC).ISOWeek()
	return week
}

// DaysBetween counts the days from one date to another; clock changes play no part, because days are counted in UTC.
func DaysBetween(from, to string) (int, error) {
	a, err := dayOf(from)
	if err != nil {
		return 0, err
	}
	b, err := dayOf(to)
	if err != nil {
		return 0, err
	}
	return int(math.Round(b.Sub(a).Hours() / 24)), nil
}

func dayOf(date string) (time.Time, error) {
	d, err := time.Parse(time.DateOnly, date)
	if err != nil {
		return d, fmt.Errorf("%w: %q is not a date like 2026-12-31", ErrInput, date)
	}
	return d, nil
}
