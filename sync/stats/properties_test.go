package stats

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// sizes draws a lot of plausible head sizes in cm, some of them equal.
func sizes(least int) *rapid.Generator[[]float64] {
	return rapid.SliceOfN(rapid.Custom(func(t *rapid.T) float64 {
		return float64(rapid.IntRange(100, 600).Draw(t, "tenths")) / 10
	}), least, 40)
}

func near(a, b Maybe, rel float64) bool {
	return a.Known == b.Known && math.Abs(a.X-b.X) <= rel*math.Max(math.Abs(a.X), math.Abs(b.X))+1e-12
}

func nearIntervals(a, b Interval, rel float64) bool {
	return a.Known == b.Known && a.Open == b.Open && near(Sure(a.Low), Sure(b.Low), rel) && near(Sure(a.High), Sure(b.High), rel)
}

func TestUniformityNeverRisesWhenTwoPotsMoveApartAboutTheirMean(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := sizes(2).Draw(t, "x")
		i, j := rapid.IntRange(0, len(x)-1).Draw(t, "i"), rapid.IntRange(0, len(x)-1).Draw(t, "j")
		if x[i] > x[j] {
			i, j = j, i
		}
		step := rapid.Float64Range(0, 5).Draw(t, "step")
		apart := append([]float64{}, x...)
		if i != j {
			apart[i] -= step
			apart[j] += step
		}
		before, after := UniformityOf(x, 0.1, 0, 0.9).Expected, UniformityOf(apart, 0.1, 0, 0.9).Expected
		if after.Value.X > before.Value.X*(1+1e-9) {
			t.Fatalf("rose from %v to %v", before.Value, after.Value)
		}
		if before.Interval.Known && (after.Interval.Low > before.Interval.Low+1e-9 || after.Interval.High > before.Interval.High+1e-9) {
			t.Fatalf("interval rose from %v to %v", before.Interval, after.Interval)
		}
	})
}

func TestTheUnitOfMeasureChangesNothingButMeanAndSD(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cm := sizes(0).Draw(t, "cm")
		inches := make([]float64, len(cm))
		for i, v := range cm {
			inches[i] = v / 2.54
		}
		a, b := UniformityOf(cm, 0.1, 0, 0.9), UniformityOf(inches, 0.1, 0, 0.9)
		if !near(a.Expected.Value, b.Expected.Value, 1e-9) || !nearIntervals(a.Expected.Interval, b.Expected.Interval, 1e-9) ||
			a.Counted.Count != b.Counted.Count || !near(a.Spread.CV, b.Spread.CV, 1e-9) {
			t.Fatalf("cm %+v, inches %+v", a, b)
		}
	})
}

func TestTheOrderOfThePotsChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := sizes(0).Draw(t, "x")
		y := rapid.Permutation(x).Draw(t, "y")
		a, b := UniformityOf(x, 0.1, 0, 0.9), UniformityOf(y, 0.1, 0, 0.9)
		if !near(a.Expected.Value, b.Expected.Value, 1e-9) || !nearIntervals(a.Expected.Interval, b.Expected.Interval, 1e-9) || a.Counted.Count != b.Counted.Count {
			t.Fatalf("%+v against %+v", a, b)
		}
	})
}

func TestAMixedBedOfTwoEvenCultivarsScoresAsEvenWithinLots(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		one := sizes(5).Draw(t, "one")
		factor := rapid.Float64Range(0.3, 3).Draw(t, "factor")
		other := make([]float64, len(one))
		for i, v := range one {
			other[i] = v * factor // another cultivar: as even, another size
		}
		alone, mixed := SpreadOf(one, 0.9), PoolWithin([][]float64{one, other}, 0.9)
		if !near(alone.CV, mixed.CV, 1e-9) {
			t.Fatalf("alone %v, mixed %v", alone.CV, mixed.CV)
		}
		single := PoolWithin([][]float64{one}, 0.9)
		if !near(single.CV, alone.CV, 1e-12) || !nearIntervals(single.Interval, alone.Interval, 1e-12) || !near(single.Corrected, alone.Corrected, 1e-12) {
			t.Fatal("one lot pooled must be that lot")
		}
	})
}

func TestEveryIntervalHoldsItsEstimateAndNarrowsAsTheLevelFalls(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 200).Draw(t, "n")
		x := rapid.IntRange(0, n).Draw(t, "x")
		bed := rapid.SampledFrom([]int{0, n, n + 1, 10 * n}).Draw(t, "bed")
		p := float64(x) / float64(n)
		for _, of := range []func(level float64) Interval{
			func(l float64) Interval { return Wilson(x, n, bed, l) },
			func(l float64) Interval { return ClopperPearson(x, n, l) },
		} {
			wide, narrow := of(0.95), of(0.8)
			if !wide.Known || wide.Low > p+1e-12 || wide.High < p-1e-12 || wide.Low < 0 || wide.High > 1 {
				t.Fatalf("%d of %d in %d: %v", x, n, bed, wide)
			}
			if narrow.Low < wide.Low-1e-12 || narrow.High > wide.High+1e-12 {
				t.Fatalf("%v does not lie within %v", narrow, wide)
			}
		}
	})
}

func TestPredictionsAddUpToOneAndNeverLeaveTheBed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		bed := rapid.IntRange(0, 3000).Draw(t, "bed")
		n := rapid.IntRange(0, bed).Draw(t, "n")
		x := rapid.IntRange(0, n).Draw(t, "x")
		p, err := PredictJeffreys(x, n, bed)
		if err != nil {
			t.Fatal(err)
		}
		i := p.Interval(0.9)
		if math.Abs(p.AtLeast(0)-1) > 1e-9 || i.Low < float64(x) || i.High > float64(bed-n+x) || i.Low > i.High {
			t.Fatalf("%d of %d in %d: sum %v, interval %v", x, n, bed, p.AtLeast(0), i)
		}
		want := float64(x)
		if bed > n {
			want += float64(bed-n) * (float64(x) + 0.5) / (float64(n) + 1)
		}
		if math.Abs(p.Mean()-want) > 1e-6*math.Max(1, want) {
			t.Fatalf("mean %v, want %v", p.Mean(), want)
		}
		// The exact limit asks more of a sample than a prior allows itself.
		if least, ok := LeastInBed(x, n, bed, 0.05); !ok || least < x || float64(least) > i.Low {
			t.Fatalf("%d of %d in %d: at least %d, predicted %v", x, n, bed, least, i)
		}
	})
}

// The search by halving is right only if a rule once met stays met.
func TestAWidthOnceReachedIsNotLostByLookingAtMorePots(t *testing.T) {
	for _, cv := range []float64{0.01, 0.04, 0.08, 0.15, 0.3, 0.6, 1.2, 3} {
		for _, tolerance := range []float64{0.05, 0.1, 0.2, 0.5} {
			for _, bed := range []int{0, 300} {
				last := 2.0
				for n := 3; n <= 300; n++ {
					w := UniformityWidth(cv, tolerance, n, bed, 0.9)
					if !w.Known || w.X > last*(1+1e-12) {
						t.Fatalf("cv %g, tolerance %g, bed %d: width %v at %d after %v", cv, tolerance, bed, w, n, last)
					}
					last = w.X
				}
			}
		}
	}
}
