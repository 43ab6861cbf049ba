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

// Severity sums up classes of severity 0, 1, 2 ... counted over pots.
type Severity struct {
	N                 int   `json:"n"`
	Incidence         Maybe `json:"incidence"`         // share of pots above class 0
	MeanClass         Maybe `json:"meanClass"`         // over all pots
	MeanClassAffected Maybe `json:"meanClassAffected"` // over pots above class 0; unknown when there is none
	Index             Maybe `json:"index"`             // McKinney's, 0 to 100
}

// SeverityOf takes the number of pots in class 0, 1, ..., k and gives McKinney's index 100 sum(class count)/(n k) (McKinney
// 1923, J. Agric. Res. 26:195, recalled from memory). Unknown without a pot, with a negative count, or with class 0 alone on
// the scale.
func SeverityOf(counts []int) Severity {
	var s Severity
	weighted := 0
	for class, c := range counts {
		if c < 0 {
			return Severity{}
		}
		s.N += c
		weighted += class * c
	}
	if s.N == 0 || len(counts) < 2 {
		return s
	}
	n, top := float64(s.N), float64(len(counts)-1)
	affected := s.N - counts[0]
	s.Incidence = Sure(float64(affected) / n)
	s.MeanClass = Sure(float64(weighted) / n)
	s.Index = Sure(100 * float64(weighted) / (n * top))
	if affected > 0 {
		s.MeanClassAffected = Sure(float64(weighted) / float64(affected))
	}
	return s
}
