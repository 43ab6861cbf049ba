package schedule

import (
	"math"
	"math/rand/v2"
	"testing"

	"bedwalk/sync/calendar"

	"pgregory.net/rapid"
)

func drawn(t *rapid.T) (stages []Stage, work calendar.Workdays) {
	for range rapid.IntRange(1, 4).Draw(t, "stages") {
		a := rapid.IntRange(1, 90).Draw(t, "quickest")
		m := a + rapid.IntRange(0, 60).Draw(t, "to the middle")
		b := m + rapid.IntRange(0, 60).Draw(t, "to the slowest")
		s := Stage{Length: Length{a, m, b}, Hands: rapid.Bool().Draw(t, "hands")}
		if rapid.IntRange(0, 3).Draw(t, "pinned") == 0 {
			s.Fixed, s.NotBefore = true, 20_000+calendar.Day(rapid.IntRange(0, 300).Draw(t, "pin"))
		}
		stages = append(stages, s)
	}
	holidays := map[calendar.Day]string{}
	for range rapid.IntRange(0, 10).Draw(t, "holidays") {
		holidays[20_000+calendar.Day(rapid.IntRange(0, 600).Draw(t, "holiday"))] = "a holiday"
	}
	return stages, calendar.NewWorkdays([]int{1, 2, 3, 4, 5}, holidays)
}

// Forward and backward are two ways to the same chance: of a chain that begins on a day, to be over by another.
func TestForwardAndBackwardAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		stages, work := drawn(t)
		start := 20_000 + calendar.Day(rapid.IntRange(0, 200).Draw(t, "start"))
		by := start + calendar.Day(rapid.IntRange(0, 500).Draw(t, "by"))
		ends := Forward(start, start-1, stages, work)
		g := Backward(by, stages, work)[0]
		a, b := ends[len(ends)-1].By(by), g.at(start, by)
		if math.Abs(a-b) > 1e-9 {
			t.Fatalf("forward %v, backward %v", a, b)
		}
		for _, chance := range []float64{0.5, 0.9} {
			latest, ok := g.Latest(chance, work)
			if !ok {
				continue
			}
			if p := Forward(latest, latest-1, stages, work); p[len(p)-1].By(by) < chance-1e-9 {
				t.Fatalf("from the latest day %s the chance is %v", latest, p[len(p)-1].By(by))
			}
			next := work.Next(latest + 1)
			if p := Forward(next, next-1, stages, work); p[len(p)-1].By(by) >= chance+1e-9 {
				t.Fatalf("from %s, after the latest day, it is still %v", next, p[len(p)-1].By(by))
			}
		}
	})
}

func TestChancesAreChances(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		stages, work := drawn(t)
		elapsed := rapid.IntRange(-1, 400).Draw(t, "elapsed")
		ends := Forward(20_000, 20_000+calendar.Day(elapsed), stages, work)
		before := 0.0
		for i, end := range ends {
			sum := 0.0
			for _, p := range end.P {
				if p < 0 {
					t.Fatalf("a chance of %v", p)
				}
				sum += p
			}
			if sum > 1+1e-9 {
				t.Fatalf("chances add up to %v", sum)
			}
			if i == 0 && elapsed >= 0 && end.By(20_000+calendar.Day(elapsed)) > 0 {
				t.Fatalf("a stage that was not over is over")
			}
			mean := end.By(20_000 + 700)
			if i > 0 && mean > before+1e-9 {
				t.Fatalf("a later stage is over sooner")
			}
			before = mean
		}
	})
}

// Against draws from the model itself, with one seed: the shares of 200,000 draws are within five standard errors.
func TestForwardAgainstDraws(t *testing.T) {
	work := calendar.NewWorkdays([]int{1, 2, 3, 4, 5}, nil)
	stages := []Stage{{Length: Length{63, 75, 88}, Hands: true}, {Length: Length{42, 42, 42}, Hands: true}, {Length: Length{21, 35, 49}}}
	ends := Forward(20_000, 19_999, stages, work)
	chance := rand.New(rand.NewPCG(7, 11))
	const n = 200_000
	counts := map[calendar.Day]float64{}
	for range n {
		d, isLater := calendar.Day(20_000), false
		for _, s := range stages {
			days := draw(chance, s.Length)
			isLater = isLater || days > 4*s.Length.Longest
			d = s.move(d+calendar.Day(days), work)
		}
		if !isLater {
			counts[d]++
		}
	}
	last := ends[2]
	sum, share := 0.0, 0.0
	for i, p := range last.P {
		sum += p
		share += counts[last.First+calendar.Day(i)] / n
		if se := math.Sqrt(sum*(1-sum)/n) + 1e-6; math.Abs(sum-share) > 5*se {
			t.Fatalf("by %s: %v, of draws %v", last.First+calendar.Day(i), sum, share)
		}
	}
}

// draw is a whole number of days: the length itself is drawn from Student's t with 4 degrees of freedom as a normal over the
// root of a chi-square, which shares nothing with the closed form.
func draw(chance *rand.Rand, l Length) int {
	q := 0.0
	for range 4 {
		z := chance.NormFloat64()
		q += z * z
	}
	t := chance.NormFloat64() / math.Sqrt(q/4)
	scale := math.Log(float64(l.Likely)/float64(l.Shortest)) / t90
	if t > 0 {
		scale = math.Log(float64(l.Longest)/float64(l.Likely)) / t90
	}
	return int(math.Floor(float64(l.Likely)*math.Exp(t*scale) + 0.5))
}

func TestALengthOutOfOrderIsRefused(t *testing.T) {
	for _, l := range []Length{{0, 1, 2}, {3, 2, 4}, {3, 4, 3}} {
		if l.Check() == nil {
			t.Errorf("%v was taken", l)
		}
	}
}

// A stage of fixed days that was to be over long ago can end tomorrow at the earliest.
func TestAFixedStagePastItsEndIsOverdue(t *testing.T) {
	ends := Forward(20_000, 20_060, []Stage{{Length: Length{42, 42, 42}}}, calendar.Workdays{})
	if d, ok := ends[0].At(0.9); !ok || d != 20_061 {
		t.Errorf("%d", d)
	}
}

func BenchmarkALotWithAllStagesAhead(b *testing.B) {
	work := calendar.NewWorkdays([]int{1, 2, 3, 4, 5}, nil)
	var stages []Stage
	for _, l := range []Length{{42, 49, 84}, {56, 84, 112}, {84, 133, 182}, {84, 168, 238}, {35, 42, 56}, {63, 75, 88}, {42, 42, 42}, {21, 35, 49}} {
		stages = append(stages, Stage{Length: l, Hands: true})
	}
	for b.Loop() {
		Forward(20_000, 20_001, stages, work)
		Backward(20_800, stages, work)
	}
}
