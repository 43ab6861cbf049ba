package stats

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// Equal variances make it arithmetic by hand: means 1, 2, 3, 6 lie 14 in squares about 3, so 14/(v + 0.5) is 3 at v = 4.1666…, and the limits are
// 14/7.814728 - 0.5 and 14/0.351846 - 0.5 (chi-squared with 3 degrees of freedom: 7.814728 and 0.351846, by any table). Two in a group count as one of half
// the variance.
func TestBetweenGroupsByHand(t *testing.T) {
	s, ok := BetweenGroups([]Off{{"a", 1, 0.5}, {"b", 2, 0.5}, {"c", 2, 1}, {"c", 4, 1}, {"d", 6, 0.5}})
	if !ok || s.N != 5 || s.Groups != 4 {
		t.Fatalf("%+v, %v", s, ok)
	}
	for _, c := range [][2]float64{{s.SD * s.SD, 14.0/3 - 0.5}, {s.Low * s.Low, 14/7.814728 - 0.5}, {s.High * s.High, 14/0.351846 - 0.5}} {
		if math.Abs(c[0]-c[1]) > 1e-4 {
			t.Errorf("%v, want %v", c[0], c[1])
		}
	}
}

func TestGroupsThatDoNotDifferHaveNoSpreadOfTheirOwn(t *testing.T) {
	if s, ok := BetweenGroups([]Off{{"a", 1, 1}, {"b", 1.1, 1}, {"c", 0.9, 1}}); !ok || s.SD != 0 || s.Low != 0 || s.High != 0 {
		t.Errorf("%+v, %v", s, ok)
	}
	if _, ok := BetweenGroups([]Off{{"a", 1, 1}, {"b", 5, 1}, {"b", 6, 1}}); ok {
		t.Error("two groups say how groups differ")
	}
	if _, ok := BetweenGroups([]Off{{"a", 1, 1}, {"b", 5, 0}, {"c", 6, 1}}); ok {
		t.Error("a distance without a variance")
	}
}

// 2,000 drawn sets of eight groups, from one seed: the interval holds the true spread in 90 % of them (3 standard errors are 2 %).
func TestTheIntervalHoldsTheTrueSpread(t *testing.T) {
	chance := rand.New(rand.NewPCG(3, 9))
	held, sum := 0, 0.0
	const sets, sd = 2000, 0.35
	for range sets {
		var offs []Off
		for g := range 8 {
			group := distuv.Normal{Mu: 0.2, Sigma: sd, Src: chance}.Rand()
			for range 3 {
				variance := 0.05 + 0.2*chance.Float64()
				offs = append(offs, Off{fmt.Sprint(g), distuv.Normal{Mu: group, Sigma: math.Sqrt(variance), Src: chance}.Rand(), variance})
			}
		}
		s, ok := BetweenGroups(offs)
		if !ok {
			t.Fatal("nothing is known")
		}
		if s.Low <= sd && sd <= s.High {
			held++
		}
		sum += s.SD * s.SD
	}
	if share := float64(held) / sets; share < 0.88 || share > 0.92 {
		t.Errorf("held in %.1f %%", 100*share)
	}
	if mean := sum / sets; math.Abs(mean-sd*sd) > 0.02 {
		t.Errorf("the mean variance is %v, want %v", mean, sd*sd)
	}
}
