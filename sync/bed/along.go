package bed

import (
	"math"
	"slices"

	"bedwalk/schema"
	"bedwalk/sync/stats"
)

const (
	// alongSteps cut the drawn line: its band bends, so that its ends alone would not draw it.
	alongSteps = 12
	per5m      = 5.0
)

// Along fits head size on the distance from the entry end, lot by lot, by least squares: how much heads change every 5 m with
// its interval, and the line with the band of its mean at some places from the first pot seen to the last. Lots with fewer than ten
// placed and measured pots, or with all of them in one row, have none; nor has a bed without a length.
func Along(in schema.BedInput) []schema.AlongBed {
	all := []schema.AlongBed{}
	d := depth(in)
	if d == 0 {
		return all
	}
	for _, l := range lotsOf(in) {
		heads := l.values[0]
		var metres, mm []float64
		for i, x := range heads.x {
			if place := l.pots[heads.pots[i]].Now.Place; place != nil {
				metres, mm = append(metres, (float64(place.Row)-0.5)*d), append(mm, x)
			}
		}
		if len(metres) < enoughPlaced || slices.Min(metres) == slices.Max(metres) {
			continue
		}
		fit, err := stats.FitCurve(stats.Straight, metres, mm, nil, nil)
		if err != nil {
			continue
		}
		slope := fit.Of(1, level)
		one := schema.AlongBed{Lot: l.lot, Per5M: schema.Estimate{
			Value: per5m * slope.Value.X, N: slope.N, Known: slope.Value.Known,
			Interval: schema.Interval{Low: per5m * slope.Interval.Low, High: per5m * slope.Interval.High, Known: slope.Interval.Known},
		}}
		from, to := slices.Min(metres), slices.Max(metres)
		for step := range alongSteps + 1 {
			m := from + (to-from)*float64(step)/alongSteps
			at := fit.MeanAt(m, level)
			one.Line = append(one.Line, schema.LinePoint{M: coarse(m, 100), MM: coarse(at.Value.X, 10), Low: coarse(at.Interval.Low, 10), High: coarse(at.Interval.High, 10)})
		}
		all = append(all, one)
	}
	return all
}

// coarse keeps so many parts of a unit: what is drawn needs no more.
func coarse(x, parts float64) float64 { return math.Round(x*parts) / parts }
