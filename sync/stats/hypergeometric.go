package stats

import "math"

// counts is a distribution over whole numbers Low, Low+1, ...
type counts struct {
	low int
	p   []float64
}

// byRatio builds a distribution on low..high from the ratio p(k+1)/p(k), starting near its mode and going outward, then
// normalising: no gamma function is needed and the tails underflow to 0 without harm.
func byRatio(low, high, mode int, ratio func(k int) float64) counts {
	c := counts{low: low, p: make([]float64, high-low+1)}
	mode = max(low, min(high, mode))
	c.p[mode-low] = 1
	sum := 1.0
	for k := mode; k < high; k++ {
		c.p[k+1-low] = c.p[k-low] * ratio(k)
		sum += c.p[k+1-low]
	}
	for k := mode; k > low; k-- {
		c.p[k-1-low] = c.p[k-low] / ratio(k-1)
		sum += c.p[k-1-low]
	}
	for i := range c.p {
		c.p[i] /= sum
	}
	return c
}

func (c counts) at(k int) float64 {
	if k < c.low || k >= c.low+len(c.p) {
		return 0
	}
	return c.p[k-c.low]
}

// upTo is P(X <= k), atLeast P(X >= k); each sums its own tail so that small chances keep their digits.
func (c counts) upTo(k int) float64 {
	sum := 0.0
	for i := 0; i < len(c.p) && c.low+i <= k; i++ {
		sum += c.p[i]
	}
	return math.Min(1, sum)
}

func (c counts) atLeast(k int) float64 {
	sum := 0.0
	for i := len(c.p) - 1; i >= 0 && c.low+i >= k; i-- {
		sum += c.p[i]
	}
	return math.Min(1, sum)
}

// hypergeometric is the number of marked pots among n drawn from bed pots of which marked are marked.
func hypergeometric(bed, marked, n int) counts {
	low, high := max(0, n-(bed-marked)), min(n, marked)
	mode := int(float64(n+1) * float64(marked+1) / float64(bed+2))
	return byRatio(low, high, mode, func(k int) float64 {
		return float64(marked-k) * float64(n-k) / (float64(k+1) * float64(bed-marked-n+k+1))
	})
}

func goodDraw(bed, marked, n int) bool {
	return bed >= 0 && marked >= 0 && marked <= bed && n >= 0 && n <= bed
}

// Hypergeometric is the chance that n pots drawn without return from a bed show exactly k of its marked pots. Own code: gonum
// has no hypergeometric. An impossible draw has chance 0.
func Hypergeometric(k, bed, marked, n int) float64 {
	if !goodDraw(bed, marked, n) {
		return 0
	}
	return hypergeometric(bed, marked, n).at(k)
}

// HypergeometricUpTo is the chance of k marked pots or fewer.
func HypergeometricUpTo(k, bed, marked, n int) float64 {
	if !goodDraw(bed, marked, n) {
		return 0
	}
	return hypergeometric(bed, marked, n).upTo(k)
}

// HypergeometricAtLeast is the chance of k marked pots or more.
func HypergeometricAtLeast(k, bed, marked, n int) float64 {
	if !goodDraw(bed, marked, n) {
		return 0
	}
	return hypergeometric(bed, marked, n).atLeast(k)
}

// firstTrue finds the smallest number from low to high for which the rising condition holds; high when none before does.
func firstTrue(low, high int, f func(int) bool) int {
	for low < high {
		mid := low + (high-low)/2
		if f(mid) {
			high = mid
		} else {
			low = mid + 1
		}
	}
	return low
}
