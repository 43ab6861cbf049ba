package schedule

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"bedwalk/sync/calendar"
	"bedwalk/sync/stats"
)

func weighted(at [5]float64) (mean float64) {
	for i, n := range stats.NormalNodes() {
		mean += n.Weight * at[i]
	}
	return mean
}

// A pace moves lots together and makes none less certain: over all paces each has the chance that it had. A slower one is never likelier in time.
func TestPacesKeepTheChanceThatALotHas(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := rapid.IntRange(1, 60).Draw(t, "quickest"), rapid.IntRange(0, 40).Draw(t, "more")
		stages := []Stage{{Length: Length{a, a + b, a + 2*b + 1}, Hands: true}, {Length: Length{30, 35, 49}}}
		asOf := calendar.Day(20_000)
		end := Forward(asOf-calendar.Day(rapid.IntRange(0, 50).Draw(t, "since")), asOf, stages, calendar.Workdays{})[1]
		by := asOf + calendar.Day(rapid.IntRange(-5, 260).Draw(t, "ahead"))
		at := end.AtPaces(by, asOf, rapid.Float64Range(0, 0.3).Draw(t, "sd"))
		if math.Abs(weighted(at)-end.By(by)) > 1e-9 {
			t.Fatalf("%v, the mean %v of %v", at, weighted(at), end.By(by))
		}
		for i := 1; i < len(at); i++ {
			if at[i] > at[i-1]+1e-12 {
				t.Fatalf("slower and likelier: %v", at)
			}
		}
	})
}

// Against the closed form of a length whose ln days are normal (by math.Erf): from the end of the first day on, which has passed, the days are
// stretched by the pace, and the day is the one at which the mean over the nodes is that of the day asked for. Own arithmetic.
func TestAPaceIsAStretchOfTheDaysToCome(t *testing.T) {
	asOf, sd := calendar.Day(1000), 0.12
	normal := func(x float64) float64 { return 0.5 * (1 + math.Erf(x/math.Sqrt2)) }
	c := Chances{First: asOf}
	for d := range 400 {
		up := normal((math.Log(float64(d)+1) - math.Log(100)) / sd)
		down := 0.0
		if d > 0 {
			down = normal((math.Log(float64(d)) - math.Log(100)) / sd)
		}
		c.P = append(c.P, up-down)
	}
	by := asOf + 109
	at := c.AtPaces(by, asOf, 0.05)
	// The day c at which the mean over the nodes is that of the day asked for, found here by halving over the closed form.
	nodes := stats.NormalNodes()
	mean := func(days float64) (sum float64) {
		for _, n := range nodes {
			sum += n.Weight * normal((math.Log(1+days*math.Exp(-0.05*n.Z))-math.Log(100))/sd)
		}
		return sum
	}
	low, high := 50.0, 400.0
	for range 80 {
		if mid := (low + high) / 2; mean(mid) < c.By(by) {
			low = mid
		} else {
			high = mid
		}
	}
	for i, n := range nodes {
		want := normal((math.Log(1+high*math.Exp(-0.05*n.Z)) - math.Log(100)) / sd)
		if math.Abs(at[i]-want) > 5e-4 {
			t.Errorf("at node %d: %v, want %v", i, at[i], want)
		}
	}
}

// What is sure, and what no day can change any more, is at every pace.
func TestNoPaceDelaysWhatIsKnown(t *testing.T) {
	for _, c := range []struct {
		name     string
		by, asOf calendar.Day
		want     float64
	}{{"ready since", 110, 120, 1}, {"on the day", 100, 90, 1}, {"not before", 99, 90, 0}} {
		if at := Sure(100).AtPaces(c.by, c.asOf, 0.05); at != [5]float64{c.want, c.want, c.want, c.want, c.want} {
			t.Errorf("%s: %v", c.name, at)
		}
	}
}
