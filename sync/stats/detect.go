package stats

import (
	"math"
	"sort"
)

// NeedToDetect is the smallest n that finds at least one of affected pots in a bed of bed with the given confidence:
// C(N-D, n)/C(N, n) <= 1-confidence (hypergeometric; Cannon and Roe 1982). It needs 1 <= affected <= bed.
func NeedToDetect(bed, affected int, confidence float64) (int, error) {
	if affected < 1 || affected > bed || !goodLevel(confidence) {
		return 0, badPlan("need 1 <= affected <= bed and confidence between 0 and 1 (got %d, %d, %g)", affected, bed, confidence)
	}
	return smallest(1, bed, func(n int) bool {
		return ChanceOfMissing(bed, affected, n) <= (1-confidence)*(1+1e-12)
	})
}

// ChanceOfMissing is the chance that n of bed pots show none of the affected ones: C(N-D, n)/C(N, n).
func ChanceOfMissing(bed, affected, n int) float64 {
	if n > bed-affected {
		return 0
	}
	p := 1.0
	// The product over the smaller of the two numbers is short and loses no digits.
	few, other := min(n, affected), max(n, affected)
	for i := range few {
		p *= float64(bed-other-i) / float64(bed-i)
	}
	return p
}

// NeedToDetectRoughly is Cannon and Roe's (1982) closed form (1-(1-confidence)^(1/D)) (N-(D-1)/2), not rounded.
func NeedToDetectRoughly(bed, affected int, confidence float64) Maybe {
	if affected < 1 || affected > bed || !goodLevel(confidence) {
		return Maybe{}
	}
	d := float64(affected)
	return Sure((1 - math.Pow(1-confidence, 1/d)) * (float64(bed) - (d-1)/2))
}

// NeedToDetectShare is the n for a bed without end: ceil(ln(1-confidence)/ln(1-p)), 0 < p < 1.
func NeedToDetectShare(p, confidence float64) (int, error) {
	if !(p > 0 && p < 1) || !goodLevel(confidence) {
		return 0, badPlan("share and confidence must be between 0 and 1 (got %g, %g)", p, confidence)
	}
	return upTo(math.Log(1-confidence)/math.Log1p(-p), 1, 0), nil
}

// Neyman shares out n pots over strata in proportion to N_h S_h (Cochran 1977, eq. 5.26), whole pots by largest remainder,
// never more than a stratum holds. Strata without spread get none while others have; when none has any spread, pots go by
// size. It needs equal lengths and no negative numbers.
func Neyman(n int, sizes []int, sds []float64) ([]int, error) {
	if len(sizes) != len(sds) || n < 0 {
		return nil, badPlan("one SD for each stratum is needed, and n of 0 or more (got %d, %d, n %d)", len(sizes), len(sds), n)
	}
	weights, total, room := make([]float64, len(sizes)), 0.0, 0
	for h := range sizes {
		if sizes[h] < 0 || !(sds[h] >= 0) {
			return nil, badPlan("stratum %d has a negative size or SD", h)
		}
		weights[h] = float64(sizes[h]) * sds[h]
		total += weights[h]
		room += sizes[h]
	}
	if total == 0 {
		for h := range sizes {
			weights[h] = float64(sizes[h])
		}
	}
	return spreadOut(min(n, room), weights, sizes), nil
}

// spreadOut gives every stratum its proportional share of n in whole pots. A stratum whose share would exceed its room is
// filled and leaves the reckoning first; what is left after rounding down goes by largest remainder, earlier strata first.
func spreadOut(n int, weights []float64, room []int) []int {
	out := make([]int, len(weights))
	open := make([]int, len(weights))
	for h := range open {
		open[h] = h
	}
	share := make([]float64, len(weights))
	for filled := true; filled; {
		filled = false
		total := 0.0
		for _, h := range open {
			total += weights[h]
		}
		if total == 0 { // only strata without spread still have room: these share by size
			for _, h := range open {
				weights[h] = float64(room[h])
				total += weights[h]
			}
		}
		if total == 0 {
			return out
		}
		var stay []int
		spent := 0
		for _, h := range open {
			share[h] = float64(n) * weights[h] / total
			if share[h] >= float64(room[h]) {
				out[h], filled = room[h], true
				spent += room[h]
				continue
			}
			stay = append(stay, h)
		}
		open, n = stay, n-spent
	}
	for _, h := range open {
		out[h] = int(share[h] + 1e-9)
		n -= out[h]
	}
	sort.SliceStable(open, func(i, j int) bool {
		return share[open[i]]-float64(out[open[i]]) > share[open[j]]-float64(out[open[j]])
	})
	for _, h := range open[:min(n, len(open))] {
		out[h]++
	}
	return out
}
