package stats

import (
	"fmt"
	"math"
)

// DayDegrees are the degree-days of one day above a lower and, where it is used, below an upper threshold, in the unit of the
// temperatures (degree-days Celsius or Fahrenheit).
type DayDegrees struct {
	Sine     float64 `json:"sine"`     // single sine with horizontal cutoff
	Triangle float64 `json:"triangle"` // single triangle with horizontal cutoff
	Average  float64 `json:"average"`  // mean of the extremes less the lower threshold, never below 0
	Clamped  float64 `json:"clamped"`  // the same with both extremes kept within the thresholds first
}

// DegreesOf computes one day's degree-days from its extremes: single sine with A the half-range, above T: [(M-T)(pi/2-th) + A
// cos th]/pi, th = asin((T-M)/A), upper part taken off (Baskerville and Emin 1969, Ecology 50:514-517; Allen 1976). The triangle has straight sides in its place (Zalom et al. 1983). It
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
		Sine:     math.Max(0, sineAbove(low, high, lower)-sineAbove(low, high, upper)),
		Triangle: math.Max(0, triangleAbove(low, high, lower)-triangleAbove(low, high, upper)),
		Average:  math.Max(0, (low+high)/2-lower),
		Clamped:  (keep(low)+keep(high))/2 - lower,
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

func triangleAbove(low, high, t float64) float64 {
	switch {
	case high <= t:
		return 0
	case low >= t:
		return (high+low)/2 - t
	}
	return (high - t) * (high - t) / (2 * (high - low))
}
