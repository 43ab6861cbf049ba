package stats

import (
	"math"
)

func zOf(level float64) float64 { return stdNormal.Quantile((1 + level) / 2) }

// UniformityWidth is how wide the uniformity interval is at n pots of a bed whose CV is cv: the width of the carried-over
// Vangel interval times sqrt(1-n/N). The finite-bed factor is borrowed from the mean (Cochran 1977) and approximate here.
// Unknown for n < 2.
func UniformityWidth(cv, tolerance float64, n, bed int, level float64) Maybe {
	i := uniformityInterval(VangelInterval(cv, n, level), tolerance)
	if !i.Known || !(tolerance > 0) {
		return Maybe{}
	}
	return Sure((i.High - i.Low) * math.Sqrt(unseen(n, bed)))
}
