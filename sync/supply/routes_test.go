package supply

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"bedwalk/fixtures/checks"
)

type routeIn struct {
	Shares     []float64
	Prices     []*float64
	Loss, Cost float64
	BenchWeeks float64 `json:"bench_weeks"`
	PotsM2     float64 `json:"pots_per_m2"`
}

func (in routeIn) route() Route {
	return Route{in.Shares, in.Prices, in.Loss, in.Cost, new(in.BenchWeeks / in.PotsM2)}
}

func routesCompared(t *testing.T, c checks.Case) {
	in := checks.Read[struct{ A, B routeIn }](t, c.Inputs)
	want := checks.Read[map[string]*float64](t, c.Expected)
	a, b := in.A.route(), in.B.route()
	choice := Choice{a.Shares, a.Prices, Terms{a.Loss, a.Cost, a.BenchWeeks, 0}, Terms{b.Loss, b.Cost, b.BenchWeeks, 0}}
	computed := map[string]func() (float64, bool){
		"wait": func() (float64, bool) { return Waiting(a, b) }, "margin_a": a.Margin, "margin_b": b.Margin, "m2_week_a": a.MarginOfBench, "m2_week_b": b.MarginOfBench,
		"break_even_price": func() (float64, bool) { return BreakEvenPrice(a, b, 0) }, "break_even_share": choice.BreakEvenShare,
	}
	for name, want := range want {
		got, ok := computed[name]()
		if ok != (want != nil) {
			t.Errorf("%s: %v %v, want one: %v", name, got, ok, want != nil)
		} else if ok {
			c.Near(t, name, got, *want)
		}
	}
	// A choice makes the same two routes of its shares.
	if f, n := choice.Routes(); len(in.A.Shares) == 2 {
		for i, pair := range [][2]Route{{f, a}, {n, b}} {
			got, ok := pair[0].Margin()
			want, wants := pair[1].Margin()
			if ok != wants || math.Abs(got-want) > 1e-9 {
				t.Errorf("route %d: %v %v, want %v %v", i, got, ok, want, wants)
			}
		}
	}
}

func routesChance(t *testing.T, c checks.Case) {
	in := checks.Read[struct {
		Seen, Of int
		Share    float64 `json:"break_even_share"`
	}](t, c.Inputs)
	c.Near(t, "chance", SeenShare(in.Seen, in.Of).Over(in.Share), checks.Read[map[string]float64](t, c.Expected)["chance_a_better"])
}

// At the break-even price and at the break-even share both ways bring the same; above the share, the way that gains from it is better.
func TestBreakEvenIsWhereBothWaysBringTheSame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		unit := func(name string) float64 { return float64(rapid.IntRange(0, 1000).Draw(t, name)) / 1000 }
		money := func(name string) float64 { return float64(rapid.IntRange(0, 2000).Draw(t, name)) }
		first, second := unit("first"), unit("second")
		prices := []*float64{new(money("p0")), new(money("p1"))}
		c := Choice{
			[]float64{first, (1 - first) * second}, prices,
			Terms{unit("loss") / 2, money("cost"), new(2.0), 0}, Terms{unit("other loss") / 2, money("other cost"), new(1.0), 0},
		}
		a, b := c.Routes()
		gap := func(a, b Route) float64 { d, _ := difference(a, b); return d }
		if price, ok := BreakEvenPrice(a, b, 0); ok && math.Abs(price) < 1e6 && math.Abs(gap(a.priced(0, price), b.priced(0, price))) > 1e-4 {
			t.Fatalf("at the price %v: %v", price, gap(a.priced(0, price), b.priced(0, price)))
		}
		ahead := func(best float64) float64 { d, _ := c.gain(best); return d }
		share, ok := c.BreakEvenShare()
		chance, known := c.ChanceOfFlorist(SeenShare(22, 30))
		if !known || chance < 0 || chance > 1 {
			t.Fatalf("chance %v %v", chance, known)
		}
		if !ok {
			return
		}
		if at := ahead(share); math.Abs(share) < 1e6 && math.Abs(at) > 1e-4 {
			t.Fatalf("at the share %v: %v", share, at)
		}
		// By integration over the share in ten thousand steps.
		sum, of := 0.0, 0.0
		for i := range 10_000 {
			x := (float64(i) + 0.5) / 10_000
			weight := math.Exp(21.5*math.Log(x) + 7.5*math.Log(1-x))
			if of += weight; ahead(x) > 0 {
				sum += weight
			}
		}
		if math.Abs(sum/of-chance) > 2e-3 {
			t.Fatalf("chance %v, by integration %v", chance, sum/of)
		}
	})
}

func TestAPriceThatNobodyWroteIsNotNothing(t *testing.T) {
	price := new(420.0)
	c := Choice{[]float64{0.7, 0.3}, []*float64{nil, price}, Terms{}, Terms{}}
	if _, known := c.ChanceOfFlorist(SeenShare(7, 10)); known {
		t.Error("a chance without a price")
	}
	if _, known := c.BreakEvenShare(); known {
		t.Error("a share without a price")
	}
	// A grade in which no pot sells needs no price.
	if got, ok := (Route{Shares: []float64{0, 1}, Prices: c.Prices}).Margin(); !ok || got != 420 {
		t.Errorf("%v %v", got, ok)
	}
}
