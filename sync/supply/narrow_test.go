package supply_test

import (
	"math"
	"testing"

	"bedwalk/sync/supply"
)

// The variance of a sum is checked against the moments of the beta-binomial distribution (Skellam 1948, JRSS B 10:257): n p q (a+b+n)/(a+b+1).
func TestTheVarianceIsThatOfTheBetaBinomial(t *testing.T) {
	a, b, n := 3.0, 5.0, 40
	lot := supply.Lot{Ready: 1, Survive: 1, Parts: []supply.Part{{Stood: n, OnBed: n, Prior: []supply.Beta{{A: a, B: b}}}}}
	got := supply.Sum([]supply.Lot{lot}, 0, 0).Variance()
	p := a / (a + b)
	want := float64(n) * p * (1 - p) * (a + b + float64(n)) / (a + b + 1)
	if math.Abs(got-want) > 1e-6 {
		t.Errorf("%v, want %v", got, want)
	}
}

// A walk of more pots narrows more, one of all pots leaves nothing open, and the other parts stay as they are.
func TestAWalkOfMorePotsLeavesLessOpen(t *testing.T) {
	prior := supply.Jeffreys(1)
	lot := supply.Lot{Ready: 1, Survive: 1, Parts: []supply.Part{
		{Stood: 100, OnBed: 100, Prior: prior},
		{In: []int{6}, Seen: 10, Stood: 100, OnBed: 90, Left: 10, Prior: prior},
	}}
	last := math.Inf(1)
	for _, n := range []int{5, 10, 20, 40, 80} {
		after := lot.Walked(1, n)
		wide := supply.Sum([]supply.Lot{after}, 0, 0.35).Variance()
		if wide >= last {
			t.Errorf("%d pots leave a variance of %v, fewer %v", n, wide, last)
		}
		last = wide
		if after.Parts[0].Seen != 0 || after.Parts[1].Seen != n || lot.Parts[1].Seen != 10 {
			t.Errorf("%+v", after.Parts)
		}
	}
	all := supply.Lot{Ready: 1, Survive: 1, Parts: lot.Parts[1:]}.Walked(0, 500)
	if wide := supply.Sum([]supply.Lot{all}, 0, 0.35).Variance(); wide > 1e-9 || all.Parts[0].Seen != 90 {
		t.Errorf("all pots seen leave %v", wide)
	}
}
