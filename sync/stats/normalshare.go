package stats

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/distuv"
)

// AboveLimit is the share of pots above a limit, from normal sizes.
type AboveLimit struct {
	Shown      Estimate `json:"shown"`      // Phi((mean-limit)/s) with limits through the noncentral t
	Predictive Maybe    `json:"predictive"` // chance that the next pot is above
	Unbiased   Maybe    `json:"unbiased"`   // the estimate with the smallest variance
}

// ShareAbove estimates the share of pots above limit (in the unit of x) when sizes are normal: plug-in Phi(K) with K =
// (mean-limit)/s, the predictive chance t_(n-1)(K/sqrt(1+1/n)), and confidence limits Phi(d/sqrt n) with P(T_(n-1)(d) <=
// K sqrt n) at the two tails (Owen 1968, Technometrics 10:445). For counts use the limit less one half. Unknown for n < 2 or
// when all values are equal. Where the form is in doubt the counted share is the better headline.
func ShareAbove(x []float64, limit, level float64) AboveLimit {
	s := Summarize(x)
	a := AboveLimit{Shown: Estimate{N: s.N, Missing: s.Missing}}
	if !s.SD.Known || s.SD.X == 0 {
		return a
	}
	n := float64(s.N)
	k := (s.Mean.X - limit) / s.SD.X
	a.Shown.Value = Sure(stdNormal.CDF(k))
	a.Predictive = Sure(distuv.StudentsT{Mu: 0, Sigma: 1, Nu: n - 1}.CDF(k / math.Sqrt(1+1/n)))
	a.Unbiased = Sure(1 - FractionBeyond(k, s.N).X)
	if goodLevel(level) {
		t := k * math.Sqrt(n)
		low, okLow := noncentralityAt(t, n-1, (1+level)/2)
		high, okHigh := noncentralityAt(t, n-1, (1-level)/2)
		if okLow && okHigh {
			a.Shown.Interval = Between(stdNormal.CDF(low/math.Sqrt(n)), stdNormal.CDF(high/math.Sqrt(n)))
		}
	}
	return a
}

// FractionBeyond is the minimum-variance unbiased estimate of the fraction of normal values beyond one limit that lies q
// sample SDs from the mean of n values: the incomplete beta I_w(n/2-1, n/2-1), w = max(0, (1 - q sqrt(n)/(n-1))/2)
// (Lieberman and Resnikoff 1955, JASA 50:457). Unknown for n < 3.
func FractionBeyond(q float64, n int) Maybe {
	if n < 3 {
		return Maybe{}
	}
	w := (1 - q*math.Sqrt(float64(n))/float64(n-1)) / 2
	return Sure(mathext.RegIncBeta(float64(n)/2-1, float64(n)/2-1, math.Max(0, math.Min(1, w))))
}

// BothAbove is P(Z1 > h, Z2 > k) for standard normals with correlation rho: the integral over x > h of phi(x) Phi((rho x -
// k)/sqrt(1-rho^2)) (conditioning; Abramowitz and Stegun 1964, 26.3). Own code: gonum has no bivariate normal distribution
// function. Unknown for rho outside [-1, 1].
func BothAbove(h, k, rho float64) Maybe {
	switch {
	case !(rho >= -1 && rho <= 1) || math.IsNaN(h) || math.IsNaN(k):
		return Maybe{}
	case rho == 1:
		return Sure(stdNormal.Survival(math.Max(h, k)))
	case rho == -1:
		return Sure(math.Max(0, stdNormal.CDF(-h)-stdNormal.CDF(k)))
	}
	root := math.Sqrt((1 - rho) * (1 + rho))
	f := func(x float64) float64 { return stdNormal.Prob(x) * stdNormal.CDF((rho*x-k)/root) }
	cuts := []float64{math.Max(h, -10)}
	if cuts[0] >= 10 {
		return Sure(0)
	}
	if rho != 0 {
		// With rho near 1 the inner factor is a step; the rule needs cuts close around it.
		for _, c := range []float64{-8, -1, 0, 1, 8} {
			if x := (k + c*root) / rho; x > cuts[0] && x < 10 {
				cuts = append(cuts, x)
			}
		}
	}
	cuts = append(cuts, 10)
	sortFloats(cuts)
	sum := 0.0
	for i := 1; i < len(cuts); i++ {
		sum += quad.Fixed(f, cuts[i-1], cuts[i], 120, quad.Legendre{}, 0)
	}
	return Sure(math.Min(1, sum))
}
