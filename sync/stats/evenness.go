package stats

import "math"

// QuantileType names a definition of a sample quantile after Hyndman and Fan (1996, American Statistician 50:361), types 4 to 9.
type QuantileType int

// TypeSeven is what most people's tools give and what this product shows; gonum's LinInterp is type 4.
const TypeSeven QuantileType = 7

// Quantile is the p quantile (0 to 1) of x by a Hyndman-Fan type 4 to 9. Unknown without a value, for p outside 0..1 and for
// another type.
func Quantile(x []float64, p float64, kind QuantileType) Maybe {
	kept, _ := taken(x)
	n := float64(len(kept))
	if n == 0 || !(p >= 0 && p <= 1) {
		return Maybe{}
	}
	var m float64
	switch kind {
	case 4:
		m = 0
	case 5:
		m = 0.5
	case 6:
		m = p
	case TypeSeven:
		m = 1 - p
	case 8:
		m = (p + 1) / 3
	case 9:
		m = p/4 + 3.0/8
	default:
		return Maybe{}
	}
	sortFloats(kept)
	at := n*p + m
	// A position meant to be whole must not fall below it by a rounding error.
	j := math.Floor(at + 4*n*2.220446049250313e-16)
	g := math.Max(0, at-j)
	low := kept[clamp(int(j)-1, len(kept))]
	high := kept[clamp(int(j), len(kept))]
	return Sure(low + float64(g*(high-low)))
}

func clamp(i, n int) int { return max(0, min(i, n-1)) }

// Median is the middle value of x, or the mean of the two middle ones; unknown without a value.
func Median(x []float64) Maybe {
	kept, _ := taken(x)
	if len(kept) == 0 {
		return Maybe{}
	}
	sortFloats(kept)
	return Sure(medianOfSorted(kept))
}

// MAD is the median absolute deviation from the median, in the unit of x and not scaled (times 1.4826 it estimates the SD of
// normal values). Unknown without a value.
func MAD(x []float64) Maybe {
	m := Median(x)
	kept, _ := taken(x)
	for i := range kept {
		kept[i] = math.Abs(kept[i] - m.X)
	}
	return Median(kept)
}

// Christiansen is the coefficient of uniformity 100 (1 - sum|x-m|/(n m)) (Christiansen 1942), in per cent; borrowed from
// irrigation as a second view on sizes. It may be negative. Unknown without a value or for a mean of 0 or below.
func Christiansen(x []float64) Maybe {
	s := Summarize(x)
	if !s.Mean.Known || s.Mean.X <= 0 {
		return Maybe{}
	}
	kept, _ := taken(x)
	sum := 0.0
	for _, v := range kept {
		sum += math.Abs(v - s.Mean.X)
	}
	return Sure(100 * (1 - sum/(float64(s.N)*s.Mean.X)))
}

// LowShare is the distribution uniformity: 100 times the mean of the lowest part of x over the mean of all, part being 0.25
// for the low quarter (Keller and Bliesner 1990, recalled from memory). Where part n is no whole number the last value counts
// for the fraction, so that the measure does not jump with n. Unknown without a value, for a mean of 0 or below, and for part
// outside (0, 1].
func LowShare(x []float64, part float64) Maybe {
	kept, _ := taken(x)
	s := Summarize(kept)
	if !s.Mean.Known || s.Mean.X <= 0 || !(part > 0 && part <= 1) {
		return Maybe{}
	}
	sortFloats(kept)
	want := part * float64(s.N)
	sum, left := 0.0, want
	for _, v := range kept {
		w := math.Min(1, left)
		if w <= 0 {
			break
		}
		sum += w * v
		left -= w
	}
	return Sure(100 * sum / want / s.Mean.X)
}
