package stats

import "math"

// BrierScore is the mean of (p - outcome)^2 over yes-or-no forecasts: 0 is perfect (Brier 1950). Unknown without a forecast,
// for unequal lengths or a p outside 0..1.
func BrierScore(p []float64, came []bool) Maybe {
	return meanScore(p, came, func(p, y float64) float64 { return (p - y) * (p - y) })
}

// LogScore is the mean of -ln(probability given to what came): 0 is perfect (Good 1952). Unknown also when something came that
// was called impossible, as its score has no bound.
func LogScore(p []float64, came []bool) Maybe {
	return meanScore(p, came, func(p, y float64) float64 { return -math.Log(1 - math.Abs(y-p)) })
}

func meanScore(p []float64, came []bool, score func(p, y float64) float64) Maybe {
	if len(p) == 0 || len(p) != len(came) {
		return Maybe{}
	}
	sum := 0.0
	for i, q := range p {
		if !(q >= 0 && q <= 1) {
			return Maybe{}
		}
		y := 0.0
		if came[i] {
			y = 1
		}
		sum += score(q, y)
	}
	return Sure(sum / float64(len(p)))
}

// IntervalScore rates an interval forecast of the given level once y came: its width, plus 2/a for each unit by which y was
// missed, a = 1-level (Winkler 1972; Gneiting and Raftery 2007, JASA 102:359, eq. 43). Smaller is better.
func IntervalScore(i Interval, y, level float64) Maybe {
	if !i.Known || !goodLevel(level) {
		return Maybe{}
	}
	return Sure(i.High - i.Low + 2/(1-level)*(math.Max(0, i.Low-y)+math.Max(0, y-i.High)))
}
