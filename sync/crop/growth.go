package crop

import (
	"cmp"
	"math"
	"slices"

	"bedwalk/schema"
	"bedwalk/sync/calendar"
	"bedwalk/sync/stats"

	"gonum.org/v1/gonum/stat/distuv"
)

// WalkMean is the mean head of a lot on one walk of a bed, mm, over N pots with the standard deviation SD.
type WalkMean struct {
	On     calendar.Day
	N      int
	MM, SD float64
}

// variance is that of the mean. Heads are read in whole mm, so it is never less than rounding leaves.
func (w WalkMean) variance() float64 { return (w.SD*w.SD + 1.0/12) / float64(w.N) }

// Limits are those of the mean by the walk alone.
func (w WalkMean) Limits(level float64) stats.Interval {
	half := math.Sqrt(w.variance())
	if w.N > 1 {
		half *= distuv.StudentsT{Sigma: 1, Nu: float64(w.N - 1)}.Quantile((1 + level) / 2)
	}
	return stats.Between(w.MM-half, w.MM+half)
}

// When a growth curve is believed. Assumptions of this project, no source.
const (
	curveWalks  = 5    // fewest walks
	curveTopSE  = 0.10 // largest standard error of the final size, as a share of it
	lineLeast   = 3    // fewest walks of a straight line
	lineMost    = 6    // and the last so many count
	farthestDay = 730  // how far ahead a crossing is looked for, days
)

// Why no curve is believed.
const (
	GrowthPoints    = "points"    // too few walks
	GrowthNoFit     = "fit"       // no curve can be fitted
	GrowthAsymptote = "asymptote" // the final size is too uncertain
	GrowthBelow     = "below"     // the final size lies below what a walk saw
	GrowthHalf      = "half"      // less than half of the way to it was seen
)

// Growth is how the mean head of a lot grows since its last pinch.
type Growth struct {
	Since calendar.Day
	// Walks are those that it rests on, oldest first. Carried says that growth curves are believed; otherwise Why says why not, and a
	// straight line runs through the last walks (Line of them), where there are enough.
	Walks   []WalkMean
	Carried bool
	Why     string
	Line    int
	fits    []stats.Fit
}

// LastPinch is the last day on which the lot was pinched or clipped in its season; nil where nobody noted one.
func LastPinch(family []Part) (last *calendar.Day) {
	season := SeasonOf(family)
	for _, part := range family {
		for _, e := range part.Events {
			if (e.What == "pinched" || e.What == "clipped") && part.has(e.On) && !season.isBefore(e.On) && (last == nil || e.On > *last) {
				last = &e.On
			}
		}
	}
	return last
}

// RegulatorSince is the first day on which a growth regulator was put on from a day on; nil where none was noted.
func RegulatorSince(family []Part, since calendar.Day) (first *calendar.Day) {
	for _, part := range family {
		for _, r := range part.Regulators {
			if part.has(r.On) && r.On >= since && (first == nil || r.On < *first) {
				first = &r.On
			}
		}
	}
	return first
}

// GrowthOf fits the walks after a day by weighted least squares. A logistic and a Gompertz curve are believed where both have a final size
// with a standard error of at most 10 % of it, above every walk's mean, half of which was seen, over at least 5 walks. Otherwise it is a line
// through the last 3 to 6.
func GrowthOf(since calendar.Day, walks []WalkMean) Growth {
	g := Growth{Since: since}
	for _, w := range walks {
		if w.On > since && w.N > 0 {
			g.Walks = append(g.Walks, w)
		}
	}
	slices.SortStableFunc(g.Walks, func(a, b WalkMean) int { return cmp.Or(int(a.On-b.On), cmp.Compare(a.MM, b.MM)) })
	if g.Why = g.curves(); g.Why == "" {
		g.Carried = true
		return g
	}
	last := g.Walks[max(0, len(g.Walks)-lineMost):]
	if fit, err := fitWalks(stats.Straight, since, last); err == nil && len(last) >= lineLeast {
		g.Line, g.fits = len(last), []stats.Fit{fit}
	}
	return g
}

func (g *Growth) curves() (why string) {
	if len(g.Walks) < curveWalks {
		return GrowthPoints
	}
	largest := 0.0
	for _, w := range g.Walks {
		largest = max(largest, w.MM)
	}
	var fits []stats.Fit
	for _, c := range []stats.Curve{stats.Logistic, stats.Gompertz} {
		fit, err := fitWalks(c, g.Since, g.Walks)
		switch last := float64(g.Walks[len(g.Walks)-1].On - g.Since); {
		case err != nil || len(fit.SE) == 0:
			return GrowthNoFit
		case fit.B[0] <= largest:
			return GrowthBelow
		case fit.SE[0] > curveTopSE*fit.B[0]:
			return GrowthAsymptote
		case fit.At(last) < fit.B[0]/2:
			return GrowthHalf
		}
		fits = append(fits, fit)
	}
	g.fits = fits
	return ""
}

// fitWalks weighs each mean by one over its variance and that between walks, which is the least that makes the weighted sum of squares no
// larger than its degrees of freedom (Paule and Mandel 1982, J. Res. Natl. Bur. Stand. 87:377).
func fitWalks(c stats.Curve, since calendar.Day, walks []WalkMean) (fit stats.Fit, err error) {
	x, y, w := make([]float64, len(walks)), make([]float64, len(walks)), make([]float64, len(walks))
	for i, walk := range walks {
		x[i], y[i] = float64(walk.On-since), walk.MM
	}
	try := func(between float64) (stats.Fit, error) {
		for i, walk := range walks {
			w[i] = 1 / (walk.variance() + between)
		}
		return stats.FitCurve(c, x, y, w, nil)
	}
	if fit, err = try(0); err != nil || fit.DF < 1 || fit.RSS <= float64(fit.DF) {
		return fit, err
	}
	low, high := 0.0, walks[0].variance()
	for range 60 {
		if fit, err = try(high); err != nil || fit.RSS <= float64(fit.DF) {
			break
		}
		low, high = high, 4*high
	}
	for range 40 {
		if err != nil || high-low <= 1e-6*high {
			break
		}
		mid := (low + high) / 2
		middle, failed := try(mid)
		if failed != nil {
			return middle, failed
		}
		if middle.RSS > float64(middle.DF) {
			low = mid
		} else {
			high, fit = mid, middle
		}
	}
	return fit, err
}

// IsKnown says that there is a pace: a curve or a line.
func (g Growth) IsKnown() bool { return len(g.fits) > 0 }

// At is the mean head on a day, mm, with the interval that covers those of all fits.
func (g Growth) At(on calendar.Day, level float64) stats.Estimate {
	var e stats.Estimate
	for i, fit := range g.fits {
		one := fit.MeanAt(float64(on-g.Since), level)
		if i == 0 {
			e = one
			continue
		}
		e.Value = stats.Sure((e.Value.X*float64(i) + one.Value.X) / float64(i+1))
		if e.Interval.Known && one.Interval.Known {
			e.Interval = stats.Between(min(e.Interval.Low, one.Interval.Low), max(e.Interval.High, one.Interval.High))
		}
	}
	e.N = len(g.Walks)
	return e
}

// Crossing is when the mean head reaches a size: the first days on which the upper limit, the fit itself and the lower limit do; nil for one
// that does not within two years.
type Crossing struct{ Early, Likely, Late *calendar.Day }

// Crosses finds when the mean head reaches a size, by the limits of a level.
func (g Growth) Crosses(mm, level float64) (c Crossing) {
	if len(g.fits) == 0 {
		return c
	}
	for d := g.Since; d <= g.Since+farthestDay && c.Late == nil; d++ {
		e := g.At(d, level)
		first := func(at **calendar.Day, is bool) {
			if *at == nil && is {
				*at = new(d)
			}
		}
		first(&c.Likely, e.Value.X >= mm)
		if e.Interval.Known {
			first(&c.Early, e.Interval.High >= mm)
			first(&c.Late, e.Interval.Low >= mm)
		}
	}
	return c
}

func asksHead(g schema.Gate) bool { return g.Line == "head_mm" }

// AsksHeads says that the stage has a gate on head size.
func (s Stage) AsksHeads() bool { return slices.ContainsFunc(s.Gates, asksHead) }

// lengthByGrowth is how long a stage that began on a day takes until enough heads have the size that its gate asks, as its walks have it: of
// the crossing, the 10, 50 and 90 % days. The mean at which the share asked is reached follows from how much heads differed on the last
// walk, in proportion to their size (a normal spread, assumed to stay). False without such a gate or a curve that is believed.
func (l Lot) lengthByGrowth(s Stage, began calendar.Day) (days schema.Stage, known bool) {
	i := slices.IndexFunc(s.Gates, asksHead)
	if i < 0 || len(l.Heads) == 0 {
		return s.Stage, false
	}
	pinch := LastPinch(l.Family)
	if pinch == nil {
		return s.Stage, false
	}
	growth := GrowthOf(*pinch, l.Heads)
	if !growth.Carried {
		return s.Stage, false
	}
	gate, last := s.Gates[i], growth.Walks[len(growth.Walks)-1]
	share := min(0.99, max(0.01, float64(gate.ShareBP)/10_000))
	spread := 1 - distuv.UnitNormal.Quantile(share)*last.SD/last.MM
	if spread <= 0 {
		return s.Stage, false
	}
	// 10 and 90 % are the limits of a two-sided 80 % interval.
	c := growth.Crosses(float64(gate.AtLeast)/spread, 0.8)
	if c.Early == nil || c.Likely == nil || c.Late == nil {
		return s.Stage, false
	}
	days = s.Stage
	after := func(d *calendar.Day) int { return max(1, int(*d-began)) }
	days.ShortestDays, days.LikelyDays, days.LongestDays = after(c.Early), after(c.Likely), after(c.Late)
	return days, LengthOf(days).Check() == nil
}
