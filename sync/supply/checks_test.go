package supply

import (
	"testing"

	"bedwalk/fixtures/checks"
	"bedwalk/sync/loss"
)

// The cases carry their own sources: R 4.2.2, exact rational convolution, arithmetic by hand, Abramowitz and Stegun.
func TestChecks(t *testing.T) {
	checks.Run(t, map[string]func(*testing.T, checks.Case){
		"supply-sum": summed, "supply-sum-ready": summed, "supply-sum-shared": summed, "normal-nodes": normalNodes,
		"shortfall-by-grade": byGrade, "grade-share-history": history, "loss-ahead": losses, "bookings-placed": placed,
		"routes-compared": routesCompared, "routes-chance": routesChance, "rooting-forecast": rooting,
		"cuttings-forecast": cuttingsAhead, "move-conserves": moveConserves,
		"yield-chain": checks.Elsewhere, // by sync/crop/yields.test.ts
	}, "plan/supply", "plan/routes", "plan/rooting")
}

// walked is a lot of one bed with one grade level, ready for sure unless said.
func walked(seen, of, standing int, ready float64) Lot {
	return Lot{Parts: []Part{{In: []int{seen}, Seen: of, Stood: standing, OnBed: standing, Prior: Jeffreys(1)}}, Survive: 1, Ready: ready}
}

func summed(t *testing.T, c checks.Case) {
	in := checks.Read[struct {
		Lots []struct {
			Seen, Of, Standing int
			Ready              *float64
		}
		LogitSD float64 `json:"logit_sd"`
		Booked  int
	}](t, c.Inputs)
	want := checks.Read[struct {
		Mean               *float64
		Low, Median, High  int
		ShortOfBooked      float64  `json:"short_of_booked"`
		ShortIfIndependent *float64 `json:"short_if_independent"`
		ChanceOfNone       *float64 `json:"chance_of_none"`
		SumOfEachLow       *int     `json:"sum_of_each_low"`
	}](t, c.Expected)
	var lots []Lot
	eachLow := 0
	for _, l := range in.Lots {
		ready := 1.0
		if l.Ready != nil {
			ready = *l.Ready
		}
		one := walked(l.Seen, l.Of, l.Standing, ready)
		lots = append(lots, one)
		eachLow += Sum([]Lot{one}, 0, 0).Quantile(Risk)
	}
	got := Sum(lots, 0, in.LogitSD)
	if low, median, high := got.Quantile(Risk), got.Quantile(0.5), got.Quantile(1-Risk); low != want.Low || median != want.Median || high != want.High {
		t.Errorf("%d, %d, %d, want %+v", low, median, high, want)
	}
	c.Near(t, "short", got.Under(in.Booked), want.ShortOfBooked)
	if want.Mean != nil {
		c.Near(t, "mean", got.Mean(), *want.Mean)
	}
	if want.SumOfEachLow != nil && eachLow != *want.SumOfEachLow {
		t.Errorf("the low ends added up are %d, want %d", eachLow, *want.SumOfEachLow)
	}
	if want.ChanceOfNone != nil {
		c.Near(t, "chance of none", got.Under(1), *want.ChanceOfNone)
	}
	if want.ShortIfIndependent != nil {
		c.Near(t, "short if independent", Sum(lots, 0, 0).Under(in.Booked), *want.ShortIfIndependent)
	}
}

func normalNodes(t *testing.T, c checks.Case) {
	want := checks.Read[struct{ Node, Weight []float64 }](t, c.Expected)
	for i, n := range nodes {
		c.Near(t, "node", n.Z, want.Node[i])
		c.Near(t, "weight", n.Weight, want.Weight[i])
	}
}

func byGrade(t *testing.T, c checks.Case) {
	in := checks.Read[struct {
		Seen     []int
		Standing int
		Booked   []int
	}](t, c.Inputs)
	want := checks.Read[struct {
		First float64 `json:"short_first"`
		Both  float64 `json:"short_first_and_second"`
	}](t, c.Expected)
	seen := in.Seen[0] + in.Seen[1] + in.Seen[2]
	l := Lot{Parts: []Part{{In: []int{in.Seen[0], in.Seen[0] + in.Seen[1]}, Seen: seen, Stood: in.Standing, OnBed: in.Standing, Prior: Jeffreys(2)}}, Survive: 1, Ready: 1}
	c.Near(t, "first", Sum([]Lot{l}, 0, 0).Under(in.Booked[0]), want.First)
	c.Near(t, "both", Sum([]Lot{l}, 1, 0).Under(in.Booked[0]+in.Booked[1]), want.Both)
}

func history(t *testing.T, c checks.Case) {
	in := checks.Read[struct {
		Shipped []struct{ Florist, Of int }
	}](t, c.Inputs)
	want := checks.Read[struct{ A, B *float64 }](t, c.Expected)
	var lots []Graded
	for _, l := range in.Shipped {
		lots = append(lots, Graded{l.Florist, l.Of})
	}
	got, ok := FromEarlier(lots)
	if ok != (want.A != nil) {
		t.Fatalf("%v, want %v", ok, want.A)
	}
	if ok {
		c.Near(t, "a", got.A, *want.A)
		c.Near(t, "b", got.B, *want.B)
	}
}

func losses(t *testing.T, c checks.Case) {
	in := checks.Read[struct {
		Lost     int
		PotWeeks float64 `json:"pot_weeks"`
		Weeks    float64
	}](t, c.Inputs)
	got, ok := loss.Survive(in.Lost, in.PotWeeks, in.Weeks)
	if !ok {
		t.Fatal("no rate")
	}
	c.Near(t, "survive", got, checks.Read[struct{ Survive float64 }](t, c.Expected).Survive)
}

func placed(t *testing.T, c checks.Case) {
	in := checks.Read[struct {
		Grades []string
		Supply []struct {
			Lot, Grade string
			Pots       int
		}
		Bookings []struct {
			Lot, Grade string
			Pots       int
		}
	}](t, c.Inputs)
	rank := map[string]int{}
	for i, g := range in.Grades {
		rank[g] = i
	}
	var pots []Pots
	for _, s := range in.Supply {
		pots = append(pots, Pots{Lot: s.Lot, Grade: rank[s.Grade], Pots: s.Pots})
	}
	var bookings []Booking
	all, unmet := 0, 0
	for _, b := range in.Bookings {
		bookings, all = append(bookings, Booking{Lot: b.Lot, Grade: rank[b.Grade], Pots: b.Pots}), all+b.Pots
	}
	for _, n := range place(pots, bookings) {
		unmet += n
	}
	want := checks.Read[struct{ Placed, Unmet int }](t, c.Expected)
	if all-unmet != want.Placed || unmet != want.Unmet {
		t.Errorf("%d placed and %d not, want %+v", all-unmet, unmet, want)
	}
}
