package supply

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/stat/combin"
	"pgregory.net/rapid"
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
		for _, s := range []Share{WrittenShare(0.97), WrittenShare(0.85), {Mean: 0.75, Differ: 1.0 / 82}, WrittenShare(0.97).Times(WrittenShare(0.9))} {
			both := 1/s.Differ - 1
			want, got := thinned(pots, s.Mean*both, (1-s.Mean)*both), pots.kept(s.spread(pots.Mean()))
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

// Closed forms: of Beta(a, 1) the p point is p^(1/a), of Beta(1, b) it is 1 - (1-p)^(1/b).
func TestThePointsOfAShareAreThoseOfItsBetaDistribution(t *testing.T) {
	for _, chance := range []float64{0.05, 0.5, 0.95} {
		for _, a := range []float64{0.7, 3.7, 41} {
			s := Share{a / (a + 1), 1 / (a + 2)}
			if want := math.Pow(chance, 1/a); math.Abs(s.at(chance)-want) > 1e-9 {
				t.Errorf("Beta(%v, 1) at %v: %v, want %v", a, chance, s.at(chance), want)
			}
			s.Mean = 1 - s.Mean
			if want := 1 - math.Pow(1-chance, 1/a); math.Abs(s.at(chance)-want) > 1e-9 {
				t.Errorf("Beta(1, %v) at %v: %v, want %v", a, chance, s.at(chance), want)
			}
		}
	}
}

func TestAShareThatCountsAsSureIsTakenAtItsWord(t *testing.T) {
	for _, s := range []Share{{Mean: 0.97}, WrittenShare(1), {Mean: 0}, WrittenShare(1).Times(WrittenShare(1))} {
		if low, high := s.InAnySeason(0.35).Limits(0.9); low != s.Mean || high != s.Mean || s.moved(1) != s || len(s.spread(500)) != 1 {
			t.Errorf("%+v: from %v to %v", s, low, high)
		}
	}
	// 3 % written: by hand 0.97 x 0.03 x 0.35 squared.
	if got := WrittenShare(0.97).Differ; math.Abs(got-0.003564750) > 1e-9 {
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
		s, known := LostShare(c.lost, c.potWeeks, c.weeks)
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
		want := (square-mean*mean)/(s.Mean*(1-s.Mean)) + WrittenShare(s.Mean).Differ
		if math.Abs(s.Differ/want-1) > 1e-3 {
			t.Errorf("%+v: %v, want %v", c, s.Differ, want)
		}
	}
	if s, known := LostShare(0, 2000, 0); !known || s.Mean != 1 || s.Differ != 0 {
		t.Errorf("a lot that ships today: %+v", s)
	}
	if _, known := LostShare(3, 1999, 4); known {
		t.Error("a past of under 2,000 pot-weeks says nothing")
	}
}

// What is not sure is promised more carefully: fewer pots of a lot are sure, and so many booked are short more often.
func TestALossThatIsNotSureLeavesFewerPotsSure(t *testing.T) {
	one := Lot{Cultivar: "a", Survive: 0.9, Ready: 1, Parts: []Part{{In: []int{28}, Seen: 30, Stood: 400, OnBed: 400, Prior: Jeffreys(1)}}}
	open := one
	open.Differ = WrittenShare(0.9).Differ
	was, is := Sum([]Lot{one}, 0, 0.35), Sum([]Lot{open}, 0, 0.35)
	if is.Quantile(Risk) >= was.Quantile(Risk) || is.Variance() <= was.Variance() {
		t.Errorf("sure %d and %d, variances %v and %v", was.Quantile(Risk), is.Quantile(Risk), was.Variance(), is.Variance())
	}
	if math.Abs(is.Mean()-was.Mean()) > 0.01*was.Mean() {
		t.Errorf("on average %v and %v", was.Mean(), is.Mean())
	}
}
