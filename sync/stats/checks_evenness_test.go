package stats

import (
	"testing"
)

func init() {
	runners["evenness"] = func(t *testing.T, c check) got {
		in := inputs[struct{ X []float64 }](t, c)
		s := SpreadOf(in.X, 0.9)
		return got{"mean": s.Mean, "cv": s.CV, "median": Median(in.X)}
	}
	runners["severity"] = func(t *testing.T, c check) got {
		in := inputs[struct{ Freq []int }](t, c)
		s := SeverityOf(in.Freq)
		return got{"n": s.N, "incidence": s.Incidence, "mean_class": s.MeanClass, "mean_class_affected": s.MeanClassAffected,
			"severity_index_pct": s.Index, "median_class": Median(spellOut(in.Freq))}
	}
}

// spellOut turns class counts into one value a pot.
func spellOut(counts []int) []float64 {
	var x []float64
	for class, n := range counts {
		for range n {
			x = append(x, float64(class))
		}
	}
	return x
}
