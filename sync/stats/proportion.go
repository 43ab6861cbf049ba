package stats

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Share is a counted share: x of n pots, with its interval.
type Share struct {
	Count    int      `json:"count"`
	N        int      `json:"n"`
	Value    Maybe    `json:"value"`
	Interval Interval `json:"interval"`
}

// ShareOf is x of n pots looked at on a bed of bed pots (0: no end), with the Wilson interval. n of 0 leaves value and
// interval unknown.
func ShareOf(x, n, bed int, level float64) Share {
	s := Share{Count: x, N: n}
	if n > 0 && x >= 0 && x <= n {
		s.Value = Sure(float64(x) / float64(n))
		s.Interval = Wilson(x, n, bed, level)
	}
	return s
}

// Wilson is the score interval (Wilson 1927, JASA 22:209) for the share of a bed: (p + z^2/2n +- z sqrt(p(1-p)/n +
// z^2/4n^2)) / (1 + z^2/n), exactly 0 or 1 at the ends that x = 0 and x = n touch. For a bed of bed pots (0: no end) n is
// replaced by n (N-1)/(N-n), the sample size of equal variance without a finite bed (Cochran 1977, eq. 3.8 turned round; the
// replacement is common practice, no source), and the limits are kept where the pots already seen put them: at least x and at
// most N-n+x pots. Unknown for n = 0, x outside 0..n, or n over a known bed.
func Wilson(x, n, bed int, level float64) Interval {
	if n < 1 || x < 0 || x > n || (bed > 0 && n > bed) || !goodLevel(level) {
		return Interval{}
	}
	p, m, z := float64(x)/float64(n), float64(n), stdNormal.Quantile((1+level)/2)
	if bed > 0 {
		if n == bed {
			return Between(p, p)
		}
		m = float64(n) * float64(bed-1) / float64(bed-n)
	}
	z2 := float64(z * z)
	middle := p + z2/(2*m)
	half := z * math.Sqrt(float64(p*(1-p))/m+z2/(4*float64(m*m)))
	low, high := (middle-half)/(1+z2/m), (middle+half)/(1+z2/m)
	if x == 0 {
		low = 0
	}
	if x == n {
		high = 1
	}
	if bed > 0 {
		low = math.Max(low, float64(x)/float64(bed))
		high = math.Min(high, float64(bed-n+x)/float64(bed))
	}
	return Between(low, high)
}

// ClopperPearson is the exact interval (Clopper and Pearson 1934, Biometrika 26:404): Beta(a/2; x, n-x+1) and
// Beta(1-a/2; x+1, n-x), 0 and 1 at the ends. It never covers less than its level, and mostly more.
func ClopperPearson(x, n int, level float64) Interval {
	if n < 1 || x < 0 || x > n || !goodLevel(level) {
		return Interval{}
	}
	low, high := 0.0, 1.0
	// The ends are set by hand: gonum's Beta with a parameter of 0 panics.
	if x > 0 {
		low = distuv.Beta{Alpha: float64(x), Beta: float64(n - x + 1)}.Quantile((1 - level) / 2)
	}
	if x < n {
		high = distuv.Beta{Alpha: float64(x + 1), Beta: float64(n - x)}.Quantile((1 + level) / 2)
	}
	return Between(low, high)
}
