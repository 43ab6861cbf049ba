package stats

import (
	"math"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Summary holds count, mean and standard deviation (divisor n-1) of one lot's values, in the values' own unit.
type Summary struct {
	N       int   `json:"n"`
	Missing int   `json:"missing"`
	Mean    Maybe `json:"mean"`
	SD      Maybe `json:"sd"`
	Min     Maybe `json:"min"`
	Max     Maybe `json:"max"`
}

// Summarize counts, averages and measures the spread of x. With no value nothing is known; with one the mean is known and
// the SD is not. The sums are gonum's two-pass ones with correction (Chan, Golub and LeVeque 1983), which keep the digits
// when the mean is large beside the spread.
func Summarize(x []float64) Summary {
	kept, missing := taken(x)
	s := Summary{N: len(kept), Missing: missing}
	if s.N == 0 {
		return s
	}
	s.Min, s.Max = Sure(kept[0]), Sure(kept[0])
	for _, v := range kept {
		s.Min.X, s.Max.X = math.Min(s.Min.X, v), math.Max(s.Max.X, v)
	}
	if s.Min.X == s.Max.X {
		// Equal values must give a spread of exactly zero; rounding in the mean would leave a trace of one.
		s.Mean = s.Min
		if s.N > 1 {
			s.SD = Sure(0)
		}
		return s
	}
	mean, variance := stat.MeanVariance(kept, nil)
	s.Mean, s.SD = Sure(mean), Sure(math.Sqrt(variance))
	return s
}

// MeanInterval is the t interval of the mean of a bed of bed pots (0: no end) of which x were looked at: mean +- t(n-1) s
// sqrt((1-n/N)/n) (Cochran 1977, eq. 2.20). It is unknown for fewer than two values, and has no width when every pot was
// looked at. n over N is an impossible bed and gives unknown.
func MeanInterval(x []float64, bed int, level float64) Estimate {
	s := Summarize(x)
	e := Estimate{Value: s.Mean, N: s.N, Missing: s.Missing}
	half, ok := meanHalfWidth(s, bed, level)
	if ok {
		e.Interval = Between(s.Mean.X-half, s.Mean.X+half)
	}
	return e
}

func meanHalfWidth(s Summary, bed int, level float64) (float64, bool) {
	if !s.SD.Known || !goodLevel(level) || (bed > 0 && s.N > bed) {
		return 0, false
	}
	n := float64(s.N)
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: n - 1}.Quantile((1 + level) / 2)
	return t * s.SD.X * math.Sqrt(unseen(s.N, bed)/n), true
}

// unseen is the finite-population factor 1-n/N, the share of the bed not looked at; 1 for a bed without end.
func unseen(n, bed int) float64 {
	if bed <= 0 {
		return 1
	}
	return math.Max(0, 1-float64(n)/float64(bed))
}

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

// Median is the middle value of x, or the mean of the two middle ones; unknown without a value.
func Median(x []float64) Maybe {
	kept, _ := taken(x)
	if len(kept) == 0 {
		return Maybe{}
	}
	sortFloats(kept)
	return Sure(medianOfSorted(kept))
}

// Pooled is the spread within the lots of a bed, the differences between the lots' means left out.
type Pooled struct {
	N            int      `json:"n"`
	Missing      int      `json:"missing"`
	Lots         int      `json:"lots"` // lots with at least two values and a CV
	DF           int      `json:"df"`
	SD           Maybe    `json:"sd"`           // sqrt of the mean square within, in the values' unit
	GrandMean    Maybe    `json:"grandMean"`    // mean of all values of those lots
	CV           Maybe    `json:"cv"`           // lots' CVs pooled by degrees of freedom: the product's form
	Corrected    Maybe    `json:"cvCorrected"`  // CV with the small-sample correction for DF+1 values
	CVOfMeans    Maybe    `json:"cvOfMeans"`    // SD over GrandMean: the textbook form, beside it
	Interval     Interval `json:"interval"`     // of CV
	TooFewInLots int      `json:"tooFewInLots"` // lots left out for want of a second value or of a CV
}

// PoolWithin pools the CVs of lots: sqrt(sum((n_i-1) cv_i^2) / sum(n_i-1)), which asks of each pot how far it stands from its
// own lot's mean, so that two even cultivars of different size stay even. Beside it stands sqrt(MSW) over the grand mean (one
// SD for all lots). The interval is Vangel's for DF+1 values, which for one lot is exactly that lot's; for several it is an
// extension of our own (no source), whose coverage the tests measure; it holds where the lots are equally uneven. Lots of one pot tell nothing and are counted apart.
func PoolWithin(lots [][]float64, level float64) Pooled {
	var p Pooled
	var squares, cvSquares, sum float64
	used := 0
	for _, x := range lots {
		s := SpreadOf(x, level)
		p.N += s.N
		p.Missing += s.Missing
		if !s.CV.Known {
			if s.N > 0 {
				p.TooFewInLots++
			}
			continue
		}
		p.Lots++
		used += s.N
		df := float64(s.N - 1)
		p.DF += s.N - 1
		squares += float64(df * float64(s.SD.X*s.SD.X))
		cvSquares += float64(df * float64(s.CV.X*s.CV.X))
		sum += float64(float64(s.N) * s.Mean.X)
	}
	if p.DF == 0 {
		return p
	}
	df := float64(p.DF)
	p.SD = Sure(math.Sqrt(squares / df))
	p.GrandMean = Sure(sum / float64(used))
	p.CV = Sure(math.Sqrt(cvSquares / df))
	p.Corrected = Sure(CorrectCV(p.CV.X, p.DF+1))
	p.CVOfMeans = Sure(p.SD.X / p.GrandMean.X)
	p.Interval = VangelInterval(p.CV.X, p.DF+1, level)
	return p
}

// Components is a one-way random-effects analysis of lots on a bed. Variances are in the values' unit squared.
type Components struct {
	Lots              int      `json:"lots"`
	N                 int      `json:"n"`
	DFBetween         int      `json:"dfBetween"`
	DFWithin          int      `json:"dfWithin"`
	MSBetween         Maybe    `json:"msBetween"`
	MSWithin          Maybe    `json:"msWithin"`
	F                 Maybe    `json:"f"`
	N0                Maybe    `json:"n0"` // effective lot size
	VarWithin         Maybe    `json:"varWithin"`
	VarBetweenRaw     Maybe    `json:"varBetweenRaw"` // may be negative: then there is no sign of a difference between lots
	VarBetween        Maybe    `json:"varBetween"`    // never below 0; what is shown
	NegativeComponent bool     `json:"negativeComponent"`
	ShareBetween      Maybe    `json:"shareBetween"` // VarBetween over VarBetween + VarWithin, the ICC with negatives shown as 0
	ICC               Maybe    `json:"icc"`          // (MSB-MSW)/(MSB+(n0-1)MSW), may be negative
	ICCInterval       Interval `json:"iccInterval"`  // exact for lots of equal n; for unequal n the same formula with n0, approximate
	P                 Maybe    `json:"p"`            // of F, for no difference between lots
}

// VarianceComponents splits the spread of a bed into between lots and within lots by the ANOVA method for unequal lots:
// s2_between = (MSB-MSW)/n0 with n0 = (N - sum n_i^2/N)/(k-1) (Searle, Casella and McCulloch 1992, ch. 3). Empty lots are
// left out. Mean squares are unknown for fewer than two lots (no between) or when no lot has two values (no within); when
// nothing varies within, F is unknown. ANOVA and REML differ on unequal lots; this is ANOVA throughout.
func VarianceComponents(lots [][]float64, level float64) Components {
	var c Components
	var sum, ssWithin, squaresOfN float64
	var summaries []Summary
	for _, x := range lots {
		s := Summarize(x)
		if s.N == 0 {
			continue
		}
		summaries = append(summaries, s)
		c.N += s.N
		squaresOfN += float64(s.N * s.N)
		sum += s.Mean.X * float64(s.N)
		ssWithin += s.SD.X * s.SD.X * float64(s.N-1)
	}
	c.Lots = len(summaries)
	if c.Lots == 0 {
		return c
	}
	c.DFBetween, c.DFWithin = c.Lots-1, c.N-c.Lots
	grand, ssBetween := sum/float64(c.N), 0.0
	for _, s := range summaries {
		d := s.Mean.X - grand
		ssBetween += float64(s.N) * d * d
	}
	if c.DFWithin > 0 {
		c.MSWithin = Sure(ssWithin / float64(c.DFWithin))
		c.VarWithin = c.MSWithin
	}
	if c.DFBetween > 0 {
		c.MSBetween = Sure(ssBetween / float64(c.DFBetween))
		c.N0 = Sure((float64(c.N) - squaresOfN/float64(c.N)) / float64(c.DFBetween))
	}
	if !c.MSWithin.Known || !c.MSBetween.Known {
		return c
	}
	msb, msw, n0 := c.MSBetween.X, c.MSWithin.X, c.N0.X
	c.VarBetweenRaw = Sure((msb - msw) / n0)
	c.VarBetween = Sure(math.Max(0, c.VarBetweenRaw.X))
	c.NegativeComponent = c.VarBetweenRaw.X < 0
	if total := c.VarBetween.X + msw; total > 0 {
		c.ShareBetween = Sure(c.VarBetween.X / total)
	}
	if down := msb + (n0-1)*msw; down > 0 {
		c.ICC = Sure((msb - msw) / down)
	}
	if msw > 0 {
		c.F = Sure(msb / msw)
		f := distuv.F{D1: float64(c.DFBetween), D2: float64(c.DFWithin)}
		c.P = Sure(f.Survival(c.F.X))
		if goodLevel(level) {
			low := c.F.X / f.Quantile((1+level)/2)
			high := c.F.X / f.Quantile((1-level)/2)
			c.ICCInterval = Between((low-1)/(low+n0-1), (high-1)/(high+n0-1))
		}
	}
	return c
}
