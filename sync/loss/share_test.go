package loss

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Closed forms: of Beta(a, 1) the p point is p^(1/a), of Beta(1, b) it is 1 - (1-p)^(1/b).
func TestThePointsOfAShareAreThoseOfItsBetaDistribution(t *testing.T) {
	for _, chance := range []float64{0.05, 0.5, 0.95} {
		for _, a := range []float64{0.7, 3.7, 41} {
			s := Share{a / (a + 1), 1 / (a + 2)}
			if want := math.Pow(chance, 1/a); math.Abs(s.At(chance)-want) > 1e-9 {
				t.Errorf("Beta(%v, 1) at %v: %v, want %v", a, chance, s.At(chance), want)
			}
			s.Mean = 1 - s.Mean
			if want := 1 - math.Pow(1-chance, 1/a); math.Abs(s.At(chance)-want) > 1e-9 {
				t.Errorf("Beta(1, %v) at %v: %v, want %v", a, chance, s.At(chance), want)
			}
		}
	}
}

func TestAShareThatCountsAsSureIsTakenAtItsWord(t *testing.T) {
	for _, s := range []Share{{Mean: 0.97}, Written(1), {Mean: 0}, Written(1).Times(Written(1))} {
		if low, high := s.InAnySeason(0.35).Limits(0.9); low != s.Mean || high != s.Mean || s.Moved(1) != s || len(s.Spread(500)) != 1 {
			t.Errorf("%+v: from %v to %v", s, low, high)
		}
	}
	// 3 % written: by hand 0.97 x 0.03 x 0.35 squared.
	if got := Written(0.97).Differ; math.Abs(got-0.003564750) > 1e-9 {
		t.Errorf("3 %% lost differ by %v", got)
	}
}

// By hand: the mean of a product is that of the means, its mean square that of the mean squares.
func TestSharesOfSeveralStagesAreMultiplied(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := func(name string) Share {
			return Share{rapid.Float64Range(0.01, 0.99).Draw(t, name), rapid.Float64Range(0.0001, 0.4).Draw(t, name+" differs")}
		}
		a, b := draw("a"), draw("b")
		c := a.Times(b)
		variance := func(s Share) float64 { return s.Differ * s.Mean * (1 - s.Mean) }
		want := variance(a)*variance(b) + variance(a)*b.Mean*b.Mean + variance(b)*a.Mean*a.Mean
		if math.Abs(c.Mean-a.Mean*b.Mean) > 1e-12 || math.Abs(variance(c)-want) > 1e-9 {
			t.Fatalf("%+v times %+v: %+v, want a variance of %v", a, b, c, want)
		}
		if d := b.Times(a); math.Abs(d.Differ-c.Differ) > 1e-9 {
			t.Fatalf("the order plays a part: %v and %v", c.Differ, d.Differ)
		}
		if one := a.Times(Share{Mean: 1}); math.Abs(one.Differ-a.Differ) > 1e-9 {
			t.Fatalf("with a stage in which none are lost: %+v", one)
		}
	})
}

// The rate of a ledger is Gamma(lost + 1/2, pot-weeks): its share's variance by adding up 200,000 equally likely rates' worth of the integral.
func TestALotsOwnLossesLeaveOpenWhatItsPastDoes(t *testing.T) {
	for _, c := range []struct {
		lost            int
		potWeeks, weeks float64
	}{{0, 2000, 10}, {31, 9600, 12}, {4, 2500, 4}} {
		s, known := OfRate(c.lost, c.potWeeks, c.weeks)
		if !known {
			t.Fatalf("%+v is not known", c)
		}
		shape := float64(c.lost) + 0.5
		log, _ := math.Lgamma(shape)
		var all, mean, square float64
		for i := range 400_000 {
			root := (float64(i) + 0.5) / 400_000 * math.Sqrt(shape+40*math.Sqrt(shape)+40)
			x := root * root // of the rate times the pot-weeks; its density has no pole over the root
			weight := 2 * root * math.Exp((shape-1)*math.Log(x)-x-log)
			left := math.Exp(-x / c.potWeeks * c.weeks)
			all, mean, square = all+weight, mean+weight*left, square+weight*left*left
		}
		mean, square = mean/all, square/all
		want := (square-mean*mean)/(s.Mean*(1-s.Mean)) + Written(s.Mean).Differ
		if math.Abs(s.Differ/want-1) > 1e-3 {
			t.Errorf("%+v: %v, want %v", c, s.Differ, want)
		}
	}
	if s, known := OfRate(0, 2000, 0); !known || s.Mean != 1 || s.Differ != 0 {
		t.Errorf("a lot that ships today: %+v", s)
	}
	if _, known := OfRate(3, 1999, 4); known {
		t.Error("a past of under 2,000 pot-weeks says nothing")
	}
}

// A beta distribution whose whole variance is luck has no a and b: one pot is there or it is not.
func TestASinglePotIsKeptOrLost(t *testing.T) {
	shares := Written(0.9).Spread(1)
	if first, last := shares[0], shares[len(shares)-1]; first > 0.1 || last < 0.9 {
		t.Errorf("from %v to %v", first, last)
	}
}

// A frost on a young lot: its own rate of loss leaves next to nothing of it, and a page that shows limits has to write them down.
func TestAShareOfNextToNothingHasLimitsThatAreNumbers(t *testing.T) {
	for _, weeks := range []float64{1, 5, 10, 20, 50, 200} {
		s, known := OfRate(9900, 2857, weeks)
		low, high := s.InAnySeason(0.35).Limits(0.9)
		if !known || !(0 <= low && low <= high && high <= 1) {
			t.Errorf("%v weeks: %+v, from %v to %v", weeks, s, low, high)
		}
	}
}
