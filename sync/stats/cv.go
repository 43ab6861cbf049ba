package stats

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// CVReach is the coefficient of variation up to which Vangel's approximation is close: there its limits are within 6.4 % of
// the exact normal ones at n=5, 1.2 % at n=10, 0.5 % at n=20. Above it the interval is given and called rough.
const CVReach = 0.33

// Spread is the coefficient of variation of one lot: SD over mean, as a fraction.
type Spread struct {
	Summary
	CV        Maybe    `json:"cv"`
	Corrected Maybe    `json:"cvCorrected"`
	Interval  Interval `json:"interval"`
	Rough     bool     `json:"rough"`
}

// SpreadOf measures the spread of x about its mean at the given confidence level (0 to 1). The CV is unknown for fewer than
// two values, for a mean of zero, and when a value is negative (a size or a count cannot be). When all values are equal the
// CV is 0 and its interval unknown: "no spread seen in n" is not proof that there is none.
func SpreadOf(x []float64, level float64) Spread {
	s := Spread{Summary: Summarize(x)}
	if !s.SD.Known || s.Min.X < 0 || s.Mean.X <= 0 {
		return s
	}
	s.CV = Sure(s.SD.X / s.Mean.X)
	s.Corrected = Sure(CorrectCV(s.CV.X, s.N))
	s.Interval = VangelInterval(s.CV.X, s.N, level)
	s.Rough = s.CV.X > CVReach
	return s
}

// CorrectCV takes off the small-sample bias of a CV from n values: (1 + 1/4n) cv (Haldane 1955; Sokal and Rohlf 1995, p. 58).
func CorrectCV(cv float64, n int) float64 { return cv * (1 + 1/(4*float64(n))) }

// VangelInterval is the modified McKay interval for a CV from n normal values: K / sqrt(((u+2)/n - 1)K^2 + u/v) with v = n-1
// and u the chi-square quantile on v (Vangel 1996, American Statistician 50:21-26, eq. 16; the constant is +2). Unknown for
// n < 2, for a CV of zero or less, and for a level outside (0, 1). With a large CV the upper limit may not exist: then the
// interval is Open.
func VangelInterval(cv float64, n int, level float64) Interval { return mckayLike(cv, n, level, 2) }

func mckayLike(cv float64, n int, level, add float64) Interval {
	if n < 2 || !(cv > 0) || math.IsInf(cv, 0) || !goodLevel(level) {
		return Interval{}
	}
	v := float64(n - 1)
	chi := distuv.ChiSquared{K: v}
	limit := func(p float64) Maybe {
		u := chi.Quantile(p)
		under := float64((float64((u+add)/float64(n))-1)*float64(cv*cv)) + float64(u/v)
		if under <= 0 {
			return Maybe{}
		}
		return Sure(cv / math.Sqrt(under))
	}
	low, high := limit((1+level)/2), limit((1-level)/2)
	return Interval{Low: low.X, High: high.X, Known: low.Known && high.Known, Open: low.Known && !high.Known}
}
