package supply

import (
	"encoding/json"
	"math"
	"os"
	"testing"
)

type check struct {
	ID, Computation string
	Inputs          json.RawMessage
	Expected        json.RawMessage
	Tolerance       struct{ Rel, Abs float64 }
}

func read[T any](t *testing.T, text json.RawMessage) (v T) {
	t.Helper()
	if err := json.Unmarshal(text, &v); err != nil {
		t.Fatal(err)
	}
	return v
}

func (c check) near(t *testing.T, name string, got, want float64) {
	t.Helper()
	if math.Abs(got-want) > c.Tolerance.Abs+c.Tolerance.Rel*math.Abs(want) {
		t.Errorf("%s: %v, want %v", name, got, want)
	}
}

// The cases carry their own sources: R 4.2.2, exact rational convolution, arithmetic by hand, Abramowitz and Stegun.
func TestChecks(t *testing.T) {
	var cases []check
	for _, file := range []string{"supply", "routes", "rooting"} {
		text, err := os.ReadFile("../../fixtures/checks/plan/" + file + ".json")
		if err != nil {
			t.Fatal(err)
		}
		cases = append(cases, read[[]check](t, text)...)
	}
	runners := map[string]func(*testing.T, check){
		"supply-sum": summed, "supply-sum-ready": summed, "supply-sum-shared": summed, "normal-nodes": normalNodes,
		"shortfall-by-grade": byGrade, "grade-share-history": history, "loss-ahead": losses, "bookings-placed": placed,
		"routes-compared": routesCompared, "routes-chance": routesChance, "rooting-forecast": rooting,
		"cuttings-forecast": cuttingsAhead, "move-conserves": moveConserves,
	}
	used := map[string]bool{}
	for _, c := range cases {
		used[c.Computation] = true
		t.Run(c.ID, func(t *testing.T) {
			run := runners[c.Computation]
			if run == nil {
				t.Fatalf("nothing computes %s", c.Computation)
			}
			run(t, c)
		})
	}
	for name := range runners {
		if !used[name] {
			t.Errorf("no case uses %s", name)
		}
	}
}

// walked is a lot of one bed with one grade level, ready for sure unless said.
func walked(seen, of, standing int, ready float64) Lot {
	return Lot{Parts: []Part{{In: []int{seen}, Seen: of, Stood: standing, OnBed: standing, Prior: Jeffreys(1)}}, Survive: 1, Ready: ready}
}

func summed(t *testing.T, c check) {
	in := read[struct {
		Lots []struct {
			Seen, Of, Standing int
			Ready              *float64
		}
		LogitSD float64 `json:"logit_sd"`
		Booked  int
	}](t, c.Inputs)
	want := read[struct {
		Mean                     *float64
		Low, Median, High        int
		ShortOfBooked            float64  `json:"short_of_booked"`
		ShortIfIndependent       *float64 `json:"short_if_independent"`
		ChanceOfNone, SumOfEachL *float64
		SumOfEachLow             *int `json:"sum_of_each_low"`
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
	c.near(t, "short", got.Under(in.Booked), want.ShortOfBooked)
	if want.Mean != nil {
		c.near(t, "mean", got.Mean(), *want.Mean)
	}
	if want.SumOfEachLow != nil && eachLow != *want.SumOfEachLow {
		t.Errorf("the low ends added up are %d, want %d", eachLow, *want.SumOfEachLow)
	}
	if want.ShortIfIndependent != nil {
		c.near(t, "short if independent", Sum(lots, 0, 0).Under(in.Booked), *want.ShortIfIndependent)
	}
}

func normalNodes(t *testing.T, c check) {
	want := read[struct{ Node, Weight []float64 }](t, c.Expected)
	for i, n := range nodes {
		c.near(t, "node", n.Z, want.Node[i])
		c.near(t, "weight", n.Weight, want.Weight[i])
	}
}

func byGrade(t *testing.T, c check) {
	in := read[struct {
		Seen     []int
		Standing int
		Booked   []int
	}](t, c.Inputs)
	want := read[struct {
		First float64 `json:"short_first"`
		Both  float64 `json:"short_first_and_second"`
	}](t, c.Expected)
	seen := in.Seen[0] + in.Seen[1] + in.Seen[2]
	l := Lot{Parts: []Part{{In: []int{in.Seen[0], in.Seen[0] + in.Seen[1]}, Seen: seen, Stood: in.Standing, OnBed: in.Standing, Prior: Jeffreys(2)}}, Survive: 1, Ready: 1}
	c.near(t, "first", Sum([]Lot{l}, 0, 0).Under(in.Booked[0]), want.First)
	c.near(t, "both", Sum([]Lot{l}, 1, 0).Under(in.Booked[0]+in.Booked[1]), want.Both)
}

func history(t *testing.T, c check) {
	in := read[struct {
		Shipped []struct{ Florist, Of int }
	}](t, c.Inputs)
	want := read[struct{ A, B *float64 }](t, c.Expected)
	var lots []Graded
	for _, l := range in.Shipped {
		lots = append(lots, Graded{l.Florist, l.Of})
	}
	got, ok := FromEarlier(lots)
	if ok != (want.A != nil) {
		t.Fatalf("%v, want %v", ok, want.A)
	}
	if ok {
		c.near(t, "a", got.A, *want.A)
		c.near(t, "b", got.B, *want.B)
	}
}

func losses(t *testing.T, c check) {
	in := read[struct {
		Lost     int
		PotWeeks float64 `json:"pot_weeks"`
		Weeks    float64
	}](t, c.Inputs)
	got, ok := Survive(in.Lost, in.PotWeeks, in.Weeks)
	if !ok {
		t.Fatal("no rate")
	}
	c.near(t, "survive", got, read[struct{ Survive float64 }](t, c.Expected).Survive)
}

func placed(t *testing.T, c check) {
	in := read[struct {
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
	for _, n := range Place(pots, bookings) {
		unmet += n
	}
	want := read[struct{ Placed, Unmet int }](t, c.Expected)
	if all-unmet != want.Placed || unmet != want.Unmet {
		t.Errorf("%d placed and %d not, want %+v", all-unmet, unmet, want)
	}
}
