package supply

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/stat/combin"

	"bedwalk/sync/loss"
)

// thinned is what is left of a number of pots that are kept by a beta-binomial number (Skellam 1948), term by term.
func thinned(c Counts, a, b float64) Counts {
	left := Counts{0, make([]float64, c.Low+len(c.P))}
	beta := func(a, b float64) float64 {
		x, _ := math.Lgamma(a)
		y, _ := math.Lgamma(b)
		z, _ := math.Lgamma(a + b)
		return x + y - z
	}
	for i, p := range c.P {
		n := c.Low + i
		for m := 0; m <= n; m++ {
			left.P[m] += p * math.Exp(combin.LogGeneralizedBinomial(float64(n), float64(m))+beta(a+float64(m), b+float64(n-m))-beta(a, b))
		}
	}
	return left
}

// Thirty equally likely shares stand for every number of pots that a beta-binomial loss leaves: its points are within one pot or one in a hundred.
func TestWhatIsKeptIsTheBetaBinomialNumber(t *testing.T) {
	for name, pots := range map[string]Counts{
		"100 pots": sure(100), "a walk of 20": Part{In: []int{15}, Seen: 20, Stood: 240, OnBed: 240, Prior: Jeffreys(1)}.counts(0, 0),
		"pots of earlier lots": Part{Stood: 90, OnBed: 90, Prior: []Beta{{17.8, 4.6}}}.counts(0, 0),
	} {
		for _, s := range []loss.Share{loss.Written(0.97), loss.Written(0.85), {Mean: 0.75, Differ: 1.0 / 82}, loss.Written(0.97).Times(loss.Written(0.9))} {
			both := 1/s.Differ - 1
			want, got := thinned(pots, s.Mean*both, (1-s.Mean)*both), pots.kept(s.Spread(pots.Mean()))
			if off := math.Abs(got.Mean() - want.Mean()); off > 0.01*want.Mean() {
				t.Errorf("%s, %+v: %v on average, want %v", name, s, got.Mean(), want.Mean())
			}
			for _, chance := range []float64{0.05, 0.25, 0.5, 0.75, 0.95} {
				if off := math.Abs(float64(got.Quantile(chance) - want.Quantile(chance))); off > max(1, 0.01*want.Mean()) {
					t.Errorf("%s, %+v: %v point %d, want %d", name, s, chance, got.Quantile(chance), want.Quantile(chance))
				}
			}
		}
	}
}

// What is not sure is promised more carefully: fewer pots of a lot are sure, and so many booked are short more often.
func TestALossThatIsNotSureLeavesFewerPotsSure(t *testing.T) {
	one := Lot{Cultivar: "a", Survive: 0.9, Ready: 1, Parts: []Part{{In: []int{28}, Seen: 30, Stood: 400, OnBed: 400, Prior: Jeffreys(1)}}}
	open := one
	open.Differ = loss.Written(0.9).Differ
	was, is := Sum([]Lot{one}, 0, 0.35), Sum([]Lot{open}, 0, 0.35)
	if is.Quantile(Risk) >= was.Quantile(Risk) || is.Variance() <= was.Variance() {
		t.Errorf("sure %d and %d, variances %v and %v", was.Quantile(Risk), is.Quantile(Risk), was.Variance(), is.Variance())
	}
	if math.Abs(is.Mean()-was.Mean()) > 0.01*was.Mean() {
		t.Errorf("on average %v and %v", was.Mean(), is.Mean())
	}
}
