package stats

import "testing"

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
