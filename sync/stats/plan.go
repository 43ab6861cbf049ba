package stats

import (
	"fmt"
	"math"
	"sort"

	"gonum.org/v1/gonum/stat/distuv"
)

// searchLimit ends the search for a sample size in a bed without end: no one walks that many pots.
const searchLimit = 100000

// Need is a number of pots to look at: N0 for a bed without end, Real after the finite-population correction, N rounded up.
type Need struct {
	N0   float64 `json:"n0"`
	Real float64 `json:"real"`
	N    int     `json:"n"`
}

func badPlan(format string, a ...any) error {
	return fmt.Errorf("%w: %s", ErrInput, fmt.Sprintf(format, a...))
}

// upTo rounds up within the bed, forgiving a rounding error, and never below least.
func upTo(n float64, least, bed int) int {
	k := max(least, int(math.Ceil(n-1e-9)))
	if bed > 0 {
		k = min(k, bed)
	}
	return k
}

func zOf(level float64) float64 { return stdNormal.Quantile((1 + level) / 2) }

// NeedForMean is the n that puts a mean within a relative error of rel: n0 = (z cv/rel)^2, n = n0/(1+n0/N) (Cochran 1977, eq.
// 4.7 and 2.20). cv and rel are fractions, both above 0; bed 0 means no end. N is 2 at least and never more than the bed.
func NeedForMean(cv, rel float64, bed int, level float64) (Need, error) {
	if !(cv > 0 && rel > 0) || !goodLevel(level) {
		return Need{}, badPlan("spread and error must be above 0, level between 0 and 1 (got %g, %g, %g)", cv, rel, level)
	}
	return needForMean(zOf(level), cv, rel, bed), nil
}

func needForMean(z, cv, rel float64, bed int) Need {
	n0 := math.Pow(z*cv/rel, 2)
	return finite(n0, n0, 2, bed)
}

// finite applies n = n0/(1+over/N), over being n0 for a mean and n0-1 for a share.
func finite(n0, over float64, least, bed int) Need {
	real := n0
	if bed > 0 {
		real = n0 / (1 + over/float64(bed))
	}
	return Need{N0: n0, Real: real, N: upTo(real, least, bed)}
}

// NeedForMeanT is the smallest n whose t interval of the mean is within rel: t(n-1) cv sqrt((1-n/N)/n) <= rel, a few pots more
// than the normal form for small n.
func NeedForMeanT(cv, rel float64, bed int, level float64) (int, error) {
	if !(cv > 0 && rel > 0) || !goodLevel(level) {
		return 0, badPlan("spread and error must be above 0, level between 0 and 1 (got %g, %g, %g)", cv, rel, level)
	}
	return smallest(2, bed, func(n int) bool {
		t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(n - 1)}.Quantile((1 + level) / 2)
		return t*cv*math.Sqrt(unseen(n, bed)/float64(n)) <= rel
	})
}

// smallest searches by halving, which a phone can do too: every rule here stays met once it is met (plan_test.go).
func smallest(from, bed int, enough func(int) bool) (int, error) {
	to := searchLimit
	if bed > 0 {
		to = bed
	}
	n := from + sort.Search(max(0, to-from+1), func(i int) bool { return enough(from + i) })
	switch {
	case n <= to:
		return n, nil
	case bed > 0:
		return bed, nil // looking at every pot answers any question about the bed
	}
	return 0, badPlan("more than %d pots would be needed", searchLimit)
}

// NeedForShare is the n that puts a share near p within d: n0 = z^2 p(1-p)/d^2, n = n0/(1+(n0-1)/N) (Cochran 1977, eq. 4.1,
// 4.2). Use p = 0.5 when nothing is known.
func NeedForShare(p, d float64, bed int, level float64) (Need, error) {
	if !(p > 0 && p < 1 && d > 0) || !goodLevel(level) {
		return Need{}, badPlan("share must be between 0 and 1, error above 0, level between 0 and 1 (got %g, %g, %g)", p, d, level)
	}
	return needForShare(zOf(level), p, d, bed), nil
}

func needForShare(z, p, d float64, bed int) Need {
	n0 := z * z * p * (1 - p) / (d * d)
	return finite(n0, n0-1, 1, bed)
}

// NeedForCV is the n that puts the CV itself within a relative error of rel: n0 = z^2 (1/2+cv^2)/rel^2, from var(cv) about
// cv^2 (1/2+cv^2)/n (Miller 1991), with the same finite correction as for a mean.
func NeedForCV(cv, rel float64, bed int, level float64) (Need, error) {
	if !(cv > 0 && rel > 0) || !goodLevel(level) {
		return Need{}, badPlan("spread and error must be above 0, level between 0 and 1 (got %g, %g, %g)", cv, rel, level)
	}
	z := zOf(level)
	n0 := z * z * (0.5 + cv*cv) / (rel * rel)
	return finite(n0, n0, 2, bed), nil
}

// NeedForCVByVangel is the smallest n whose Vangel interval is no wider than 2 rel cv; no finite-population correction.
func NeedForCVByVangel(cv, rel, level float64) (int, error) {
	if !(cv > 0 && rel > 0) || !goodLevel(level) {
		return 0, badPlan("spread and error must be above 0, level between 0 and 1 (got %g, %g, %g)", cv, rel, level)
	}
	return smallest(2, 0, func(n int) bool {
		w := VangelInterval(cv, n, level).Width()
		return w.Known && w.X/2 <= rel*cv
	})
}

// UniformityWidth is how wide the uniformity interval is at n pots of a bed whose CV is cv: the width of the carried-over
// Vangel interval times sqrt(1-n/N). The finite-bed factor is borrowed from the mean (Cochran 1977) and approximate here.
// Unknown for n < 2.
func UniformityWidth(cv, tolerance float64, n, bed int, level float64) Maybe {
	i := uniformityInterval(VangelInterval(cv, n, level), tolerance)
	if !i.Known || !(tolerance > 0) {
		return Maybe{}
	}
	return Sure((i.High - i.Low) * math.Sqrt(unseen(n, bed)))
}

// fewestForWidth: from two pots to three the interval of a wide spread may still widen; from three on it only narrows.
const fewestForWidth = 3

// NeedForUniformity is the smallest n (3 or more) that brings the uniformity interval to the wanted width (0 to 1), given the
// CV expected from the last walk or the profile. The rule is the one EnoughForUniformity stops by. In a bed of known size
// the answer never exceeds the bed.
func NeedForUniformity(cv, tolerance, width float64, bed int, level float64) (int, error) {
	if !(cv > 0 && tolerance > 0 && width > 0) || !goodLevel(level) {
		return 0, badPlan("spread, tolerance and width must be above 0, level between 0 and 1 (got %g, %g, %g, %g)", cv, tolerance, width, level)
	}
	return smallest(fewestForWidth, bed, func(n int) bool {
		w := UniformityWidth(cv, tolerance, n, bed, level)
		return w.Known && w.X <= width
	})
}

// EnoughForUniformity says after n pots with CV cv whether the interval is narrow enough, not before least pots (3 in any case)
// unless the bed holds no more. Looking after every pot makes the stated level a little optimistic (Chow and Robbins 1965),
// which the least number keeps small.
func EnoughForUniformity(cv, tolerance, width float64, n, least, bed int, level float64) bool {
	if n < max(least, fewestForWidth) {
		return bed > 0 && n >= bed
	}
	w := UniformityWidth(cv, tolerance, n, bed, level)
	return w.Known && w.X <= width
}
