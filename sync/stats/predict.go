package stats

import (
	"errors"
	"fmt"
	"math"
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

// Bed is the number of pots predicted about.
func (p Predictive) Bed() int { return p.bed }

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

// SD is the standard deviation in pots.
func (p Predictive) SD() float64 {
	mean, sum := p.Mean(), 0.0
	for i, w := range p.p {
		d := float64(p.low+i) - mean
		sum += w * d * d
	}
	return math.Sqrt(sum)
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

// GradeForecast predicts several grades of one bed together (Dirichlet-multinomial; Mosimann 1962, Biometrika 49:65).
type GradeForecast struct {
	Grades []Predictive // each grade's own distribution, a beta-binomial
	weight []float64
	total  float64
	rest   int
}

// PredictGrades takes the pots seen in each grade, the bed and the prior weight of each grade (1/2 each is the product's).
func PredictGrades(seen []int, bed int, prior []float64) (GradeForecast, error) {
	if len(seen) < 2 || len(seen) != len(prior) {
		return GradeForecast{}, fmt.Errorf("%w: two grades or more and one prior weight for each are needed", ErrInput)
	}
	n, sum := 0, 0.0
	for i, c := range seen {
		n += c
		sum += prior[i]
	}
	f := GradeForecast{rest: bed - n, total: sum + float64(n)}
	var errs []error
	for i, c := range seen {
		p, err := Predict(c, n, bed, prior[i], sum-prior[i])
		errs = append(errs, err)
		f.Grades = append(f.Grades, p)
		f.weight = append(f.weight, prior[i]+float64(c))
	}
	return f, errors.Join(errs...)
}

// Covariance is that of the numbers in grades i and j, in pots squared; negative, as one grade's pots are lost to the other.
func (f GradeForecast) Covariance(i, j int) float64 {
	m, a := float64(f.rest), f.total
	pi, pj := f.weight[i]/a, f.weight[j]/a
	scale := m * (a + m) / (a + 1)
	if i == j {
		return scale * pi * (1 - pi)
	}
	return -scale * pi * pj
}
