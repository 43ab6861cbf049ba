package stats

import (
	"math"
)

// Uniformity is the share of a lot's pots expected within the tolerance of their lot's mean, beside the share counted.
type Uniformity struct {
	Expected Estimate `json:"expected"` // 2 Phi(tolerance/CV) - 1, for normal sizes
	Counted  Share    `json:"counted"`  // pots within the tolerance of the sample mean
	Spread   Spread   `json:"spread"`
	Differ   bool     `json:"differ"` // the counted share's interval leaves the expected share out, by DifferBy at least
}

// DifferBy is the least distance between expected and counted share that is worth a look. Common practice, no source.
const DifferBy = 0.05

// UniformityOf scores the values of one lot (any unit) against a tolerance, a fraction of the mean (0.10 = within 10 %), in a
// bed of bed pots (0: no end). Expected uses the corrected CV; its interval is the CV's (Vangel 1996) carried over. Where the
// upper CV limit does not exist the lower uniformity limit is 0. Unknown where the CV is; 1 without interval when all values
// are equal. Two humps, or a few runts, break the normal form and with it the interval (mere skew hardly does): Differ tells the
// reader to look at the dots. Of normal lots it flags one in twenty at most, of clearly two-humped ones half at n = 20 and nine
// in ten at n = 40 (coverage_test.go).
func UniformityOf(x []float64, tolerance float64, bed int, level float64) Uniformity {
	u := Uniformity{Spread: SpreadOf(x, level)}
	u.Expected = Estimate{N: u.Spread.N, Missing: u.Spread.Missing}
	if !(tolerance > 0) || !u.Spread.CV.Known {
		return u
	}
	u.Expected.Value = Sure(WithinTolerance(u.Spread.Corrected.X, tolerance))
	u.Expected.Interval = uniformityInterval(u.Spread.Interval, tolerance)
	inside := 0
	kept, _ := taken(x)
	for _, v := range kept {
		if withinOf(v, u.Spread.Mean.X, tolerance) {
			inside++
		}
	}
	u.Counted = ShareOf(inside, len(kept), bed, level)
	// Asked as if the bed had no end: whether sizes are normal is a question about what grew, and counting every pot of a bed,
	// which leaves the counted share no width at all, does not make them less so.
	endless := ShareOf(inside, len(kept), 0, level)
	u.Differ = endless.Interval.Known && !endless.Interval.Contains(u.Expected.Value.X) &&
		math.Abs(endless.Value.X-u.Expected.Value.X) >= DifferBy
	return u
}

// withinOf allows the tolerance's edge a rounding error, so that 27 of a mean of 30 counts as within 10 % in cm and in inches.
func withinOf(v, mean, tolerance float64) bool {
	return math.Abs(v-mean) <= float64(float64(tolerance*mean)*(1+1e-9))
}

// WithinTolerance is the share of normal values within the tolerance (a fraction) of their mean: 2 Phi(tolerance/cv) - 1,
// by the definition of the normal distribution. A CV of zero gives 1; a negative CV or a tolerance of zero or less gives 0.
func WithinTolerance(cv, tolerance float64) float64 {
	if cv == 0 && tolerance > 0 {
		return 1
	}
	if cv < 0 || tolerance <= 0 {
		return 0
	}
	return math.Erf(tolerance / cv / math.Sqrt2)
}

// UniformityAt is the uniformity that n values with a CV of cv would show, with the interval carried over from the CV's.
func UniformityAt(cv, tolerance float64, n int, level float64) Estimate {
	return Estimate{
		N: n, Value: Sure(WithinTolerance(CorrectCV(cv, n), tolerance)), Interval: uniformityInterval(VangelInterval(cv, n, level), tolerance),
	}
}

// uniformityInterval turns a CV's interval round: the smaller the CV, the higher the uniformity.
func uniformityInterval(cv Interval, tolerance float64) Interval {
	switch {
	case cv.Known:
		return Between(WithinTolerance(cv.High, tolerance), WithinTolerance(cv.Low, tolerance))
	case cv.Open:
		return Between(0, WithinTolerance(cv.Low, tolerance))
	}
	return Interval{}
}

// LotValues is the values of one lot of a bed with the tolerance that it is judged by (a fraction of its mean) and its weight: the
// pots that stand there.
type LotValues struct {
	X         []float64
	Tolerance float64
	Weight    float64
}

// JoinedUniformity is the uniformity of a bed of several lots: the lots' own shares (UniformityOf), weighted. Their intervals are
// joined by MOVER, the method of variance estimates recovery, in which the joined limits are the value -+ sqrt(sum w^2 d^2), d
// being each share's distance from its own limit (Zou and Donner 2008, Statistics in Medicine 27:1693; for sums with weights
// Zou 2008, American Journal of Epidemiology 168:212; from memory). One CV pooled over the lots stands for their shares only
// where all are equally uneven: with CVs of 7, 10 and 18 % its interval held the bed's share 66 to 82 times in 100, this one 88
// to 95 times (coverage tests of package bed).
//
// A lot of equal values has no CV interval; among others that of its counted share stands in (Wilson). A lot with fewer than two values, or of
// weight 0, tells nothing of a spread and is left out. Unknown when no lot is left.
func JoinedUniformity(strata []LotValues, level float64) Estimate {
	shares := make([]Estimate, len(strata))
	weights := make([]float64, len(strata))
	e := Estimate{}
	counted := make([]Interval, len(strata))
	told := 0
	for i, s := range strata {
		u := UniformityOf(s.X, s.Tolerance, 0, level)
		shares[i], weights[i], counted[i] = u.Expected, s.Weight, u.Counted.Interval
		if u.Expected.Value.Known && s.Weight > 0 {
			told++
		}
		e.N += u.Expected.N
		e.Missing += u.Expected.Missing
	}
	for i := range shares {
		if told > 1 && !shares[i].Interval.Known {
			shares[i].Interval = counted[i]
		}
	}
	joined := JoinByMOVER(shares, weights)
	joined.N, joined.Missing = e.N, e.Missing
	return joined
}

// JoinByMOVER is the weighted mean of independent estimates with their intervals joined (see JoinedUniformity). Estimates that are
// unknown, and weights of 0 or less, are left out; the interval is known when those of all that are left are.
func JoinByMOVER(parts []Estimate, weights []float64) Estimate {
	total, left, only := 0.0, 0, 0
	for i, p := range parts {
		if p.Value.Known && weights[i] > 0 {
			total += weights[i]
			left++
			only = i
		}
	}
	switch left {
	case 0:
		return Estimate{}
	case 1:
		return Estimate{Value: parts[only].Value, Interval: parts[only].Interval}
	}
	var value, below, above float64
	known := true
	for i, p := range parts {
		if !p.Value.Known || !(weights[i] > 0) {
			continue
		}
		w := weights[i] / total
		value += float64(w * p.Value.X)
		low, high := w*(p.Value.X-p.Interval.Low), w*(p.Interval.High-p.Value.X)
		below += float64(low * low)
		above += float64(high * high)
		known = known && p.Interval.Known
	}
	e := Estimate{Value: Sure(value)}
	if known {
		e.Interval = Between(value-math.Sqrt(below), value+math.Sqrt(above))
	}
	return e
}

func zOf(level float64) float64 { return stdNormal.Quantile((1 + level) / 2) }

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
