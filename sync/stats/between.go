package stats

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Off is how far something came out from what was said of it, with the variance of that distance by itself, in one group.
type Off struct {
	Group   string
	By, Var float64
}

// GroupSpread is a standard deviation with its 90 % interval, from N distances in Groups groups.
type GroupSpread struct {
	SD, Low, High float64
	N, Groups     int
}

// leastGroups is how few groups say nothing of how groups differ: two have one distance from each other. An assumption, no source.
const leastGroups = 3

// BetweenGroups is how much groups differ beyond what their own distances vary, whatever they have in common: the variance with which the weighted sum of
// squares of the groups' means about their common mean is its degrees of freedom (Paule and Mandel 1982, J. Res. Natl. Bur. Stand. 87:377), between
// those with which it is the 95 and the 5 % point of chi-squared (Viechtbauer 2007, Statist. Med. 26:37). False with fewer than three groups, and where
// a variance is not above 0.
func BetweenGroups(offs []Off) (s GroupSpread, known bool) {
	sums, weights := map[string]float64{}, map[string]float64{}
	var names []string
	for _, o := range offs {
		if !(o.Var > 0) || math.IsNaN(o.By) || math.IsInf(o.By, 0) {
			return s, false
		}
		if weights[o.Group] == 0 {
			names = append(names, o.Group)
		}
		sums[o.Group], weights[o.Group] = sums[o.Group]+o.By/o.Var, weights[o.Group]+1/o.Var
	}
	s.N, s.Groups = len(offs), len(names)
	if s.Groups < leastGroups {
		return s, false
	}
	squares := func(between float64) (q float64) {
		mean, all := 0.0, 0.0
		for _, name := range names {
			w := 1 / (between + 1/weights[name])
			mean, all = mean+w*sums[name]/weights[name], all+w
		}
		mean /= all
		for _, name := range names {
			off := sums[name]/weights[name] - mean
			q += off * off / (between + 1/weights[name])
		}
		return q
	}
	df := float64(s.Groups - 1)
	chi := distuv.ChiSquared{K: df}
	s.SD, s.Low, s.High = rootOf(squares, df), rootOf(squares, chi.Quantile(0.95)), rootOf(squares, chi.Quantile(0.05))
	return s, true
}

// rootOf is the standard deviation at which falling squares come to so much, 0 where they are below it from the beginning.
func rootOf(squares func(float64) float64, target float64) float64 {
	if squares(0) <= target {
		return 0
	}
	low, high := 0.0, 1.0
	for squares(high*high) > target && high < 1e6 {
		high *= 2
	}
	for range 80 {
		if mid := (low + high) / 2; squares(mid*mid) > target {
			low = mid
		} else {
			high = mid
		}
	}
	return high
}
