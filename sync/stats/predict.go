package stats

import (
	"fmt"
)

// ErrCounts says that a sample does not fit its bed.
var ErrCounts = fmt.Errorf("%w: counts do not fit the bed", ErrInput)

// Predictive is the distribution of how many of a bed's pots will make it, over whole numbers from 0 to the bed. Its zero value
// is about no bed at all and is what a sum by Plus starts from.
type Predictive struct {
	counts
	bed int
}

// Predict gives the number of bed pots in grade when x of the n looked at are: x plus a beta-binomial number of the bed-n
// others under a Beta(a, b) prior (Skellam 1948, JRSS B 10:257). a = b = 1/2 is Jeffreys' prior, the product's. With n = 0 the
// prior alone speaks; with n = bed there is no doubt left. Own code: gonum has no beta-binomial.
func Predict(x, n, bed int, a, b float64) (Predictive, error) {
	if x < 0 || x > n || n > bed || !(a > 0 && b > 0) {
		return Predictive{}, fmt.Errorf("%w (x %d, n %d, bed %d, prior %g, %g)", ErrCounts, x, n, bed, a, b)
	}
	a, b = a+float64(x), b+float64(n-x)
	rest := bed - n
	c := byRatio(0, rest, int(float64(rest)*a/(a+b)), func(k int) float64 {
		return float64(rest-k) / float64(k+1) * (a + float64(k)) / (b + float64(rest-k-1))
	})
	c.low = x
	return Predictive{counts: c, bed: bed}, nil
}

// PredictJeffreys is Predict with Jeffreys' prior.
func PredictJeffreys(x, n, bed int) (Predictive, error) { return Predict(x, n, bed, 0.5, 0.5) }

// Chance is the probability of exactly k pots in all.
func (p Predictive) Chance(k int) float64 { return p.at(k) }

// AtLeast is the probability of k pots or more in all.
func (p Predictive) AtLeast(k int) float64 { return p.atLeast(k) }

// Mean is the expected number of pots.
func (p Predictive) Mean() float64 {
	sum := 0.0
	for i, w := range p.p {
		sum += w * float64(i)
	}
	return float64(p.low) + sum
}

// Quantile is the smallest number of pots whose cumulative probability reaches q.
func (p Predictive) Quantile(q float64) int {
	sum := 0.0
	for i, w := range p.p {
		sum += w
		// A cumulative sum that should equal q must not miss it by a rounding error.
		if sum >= q-1e-12 {
			return p.low + i
		}
	}
	return p.low + max(0, len(p.p)-1)
}

// Interval is the two-sided predictive interval in whole pots.
func (p Predictive) Interval(level float64) Interval {
	if !goodLevel(level) || len(p.p) == 0 {
		return Interval{}
	}
	return Between(float64(p.Quantile((1-level)/2)), float64(p.Quantile((1+level)/2)))
}

// Plus is the distribution of the sum of two independent predictions, as for two lots of one bed or two beds of one week.
func (p Predictive) Plus(q Predictive) Predictive {
	if len(p.p) == 0 {
		return q
	}
	if len(q.p) == 0 {
		return p
	}
	sum := counts{low: p.low + q.low, p: make([]float64, len(p.p)+len(q.p)-1)}
	for i, a := range p.p {
		if a == 0 {
			continue
		}
		for j, b := range q.p {
			sum.p[i+j] += a * b
		}
	}
	return Predictive{counts: sum, bed: p.bed + q.bed}
}
