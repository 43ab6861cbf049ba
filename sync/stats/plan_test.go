package stats

import "testing"

// The search by halving is right only if a rule once met stays met.
func TestAWidthOnceReachedIsNotLostByLookingAtMorePots(t *testing.T) {
	for _, cv := range []float64{0.01, 0.04, 0.08, 0.15, 0.3, 0.6, 1.2, 3} {
		for _, tolerance := range []float64{0.05, 0.1, 0.2, 0.5} {
			for _, bed := range []int{0, 300} {
				last := 2.0
				for n := fewestForWidth; n <= 300; n++ {
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

func TestTheFewestPotsAreTheFewest(t *testing.T) {
	for _, bed := range []int{0, 60, 500} {
		for _, width := range []float64{0.05, 0.1, 0.2, 0.4} {
			n, err := NeedForUniformity(0.09, 0.1, width, bed, 0.9)
			if err != nil {
				t.Fatal(err)
			}
			if w := UniformityWidth(0.09, 0.1, n, bed, 0.9); n != bed && w.X > width {
				t.Errorf("bed %d: %d pots leave a width of %v, wanted %g", bed, n, w.X, width)
			}
			if w := UniformityWidth(0.09, 0.1, n-1, bed, 0.9); w.Known && w.X <= width {
				t.Errorf("bed %d: %d pots were enough for %g", bed, n-1, width)
			}
		}
	}
}

func TestStopRuleAndPlanSayTheSame(t *testing.T) {
	n, err := NeedForUniformity(0.09, 0.1, 0.2, 400, 0.9)
	if err != nil {
		t.Fatal(err)
	}
	if !EnoughForUniformity(0.09, 0.1, 0.2, n, 5, 400, 0.9) || EnoughForUniformity(0.09, 0.1, 0.2, n-1, 5, 400, 0.9) {
		t.Errorf("the plan says %d and the stop rule does not", n)
	}
	if EnoughForUniformity(0.09, 0.1, 0.2, n, n+1, 400, 0.9) {
		t.Error("the fewest pots asked for must be kept")
	}
}
