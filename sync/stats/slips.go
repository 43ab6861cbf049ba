package stats

import (
	"math"
	"sort"
)

// SlipLimit is the robust z beyond which a value is offered for a second look (Iglewicz and Hoaglin 1993).
const SlipLimit = 3.5

// fewestForSlips: with fewer values the median absolute deviation says nothing about what is usual.
const fewestForSlips = 5

// RobustZ is how far each value stands from the median in robust SDs: 0.6745 (x - median)/MAD (Iglewicz and Hoaglin 1993,
// How to Detect and Handle Outliers). When more than half the values are equal the MAD is 0 and the mean absolute deviation
// stands in, (x - median)/(1.253314 meanAD) (the same authors, recalled from memory). Unknown for a missing value, for fewer
// than five values, and when all are equal.
func RobustZ(x []float64) []Maybe {
	z := make([]Maybe, len(x))
	kept, _ := taken(x)
	if len(kept) < fewestForSlips {
		return z
	}
	sortFloats(kept)
	median := medianOfSorted(kept)
	away := make([]float64, len(kept))
	mean := 0.0
	for i, v := range kept {
		away[i] = math.Abs(v - median)
		mean += away[i] / float64(len(kept))
	}
	sortFloats(away)
	scale := medianOfSorted(away) / 0.6745
	if scale == 0 {
		scale = 1.253314 * mean
	}
	if scale == 0 {
		return z
	}
	for i, v := range x {
		z[i] = Sure((v - median) / scale)
	}
	return z
}

// Slips gives the positions in x of the values to look at again before they are scored: a robust z beyond SlipLimit. It
// judges nothing: a true runt is marked as well as a mistyped figure. Give it one lot at a time.
func Slips(x []float64) []int {
	found := []int{}
	for i, z := range RobustZ(x) {
		if z.Known && math.Abs(z.X) > SlipLimit {
			found = append(found, i)
		}
	}
	return found
}

func sortFloats(x []float64) { sort.Float64s(x) }

func medianOfSorted(x []float64) float64 {
	n := len(x)
	if n%2 == 1 {
		return x[n/2]
	}
	return (x[n/2-1] + x[n/2]) / 2
}
