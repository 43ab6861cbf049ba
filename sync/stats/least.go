package stats

import (
	"cmp"
	"math"
	"slices"
)

// Stratum is one part of what is promised together, sampled by itself: X of the N pots looked at, drawn without return from
// Bed pots, are marked.
type Stratum struct{ X, N, Bed int }

// LeastInBed is the exact one-sided lower limit, in whole pots, for how many of bed pots are marked when x of the n looked at
// are: the least number under which x or more would still be seen with a chance above risk (hypergeometric; Buonaccorsi 1987).
// Whatever the true number is, the limit lies above it in at most a share risk of random samples. False for impossible numbers.
func LeastInBed(x, n, bed int, risk float64) (int, bool) {
	if !(Stratum{x, n, bed}).possible() || !(risk > 0 && risk < 1) {
		return 0, false
	}
	return firstTrue(x, bed-n+x, func(marked int) bool { return hypergeometric(bed, marked, n).atLeast(x) > risk }), true
}

func (s Stratum) possible() bool { return s.X >= 0 && s.X <= s.N && s.N <= s.Bed }

// Beyond these a search over allocations takes too long, and LeastInStrata adds up limits of a shared risk.
const (
	mostStrata = 6
	mostScore  = 1500
)

// LeastInStrata is a one-sided lower limit for how many pots are marked in several strata together, each sampled at random by
// itself, in whatever proportion. The score of a sample is the sum of its marked pots, each weighted by the pots that it stands
// for; the limit is the least total for which some allocation to the strata leaves a chance above risk of this score or a
// greater one (Buehler 1957, JASA 52:482). So it lies above the true total in at most a share risk of samples, whatever the
// allocation is. The worst allocation is found by exchanging pots between strata, from many starts; the tests hold it against all of
// them.
// More than six strata or very large samples get the sum of LeastInBed at risk divided by their number (Bonferroni), which
// holds as well and is lower. False when any stratum is impossible.
func LeastInStrata(strata []Stratum, risk float64) (int, bool) {
	var sampled []Stratum
	for _, s := range strata {
		if !s.possible() || !(risk > 0 && risk < 1) {
			return 0, false
		}
		if s.N > 0 {
			sampled = append(sampled, s)
		}
	}
	switch len(sampled) {
	case 0:
		return 0, true
	case 1:
		return LeastInBed(sampled[0].X, sampled[0].N, sampled[0].Bed, risk)
	}
	j := newJoint(sampled)
	if len(sampled) > mostStrata || j.most > mostScore {
		return sharedRisk(sampled, risk), true
	}
	low, high := 0, 0
	for i := range sampled {
		low += j.low[i]
		high += j.high[i]
	}
	least := firstTrue(low, high, func(total int) bool { return j.worst(total, risk) > risk })
	// The quick search may have passed over a worse allocation of fewer pots.
	if least > low && j.worstOfCorners(least-1, risk) > risk {
		least = firstTrue(low, least-1, func(total int) bool { return j.worstOfCorners(total, risk) > risk })
	}
	return least, true
}

func sharedRisk(strata []Stratum, risk float64) (sum int) {
	for _, s := range strata {
		one, _ := LeastInBed(s.X, s.N, s.Bed, risk/float64(len(strata)))
		sum += one
	}
	return sum
}

// joint is the search for the allocation of a total under which the score that was seen is likeliest.
type joint struct {
	strata    []Stratum
	low, high []int // marked pots of each stratum that can be, as it showed X
	weight    []int
	score     int // what was seen
	most      int // the greatest score that there can be
	known     []map[int][]float64
}

// finest is how many steps a weight has at most: more would lengthen every sum and order samples hardly better.
const finest = 8

func newJoint(strata []Stratum) *joint {
	j := &joint{strata: strata}
	stands := 0.0
	for _, s := range strata {
		stands = max(stands, float64(s.Bed)/float64(s.N))
	}
	for _, s := range strata {
		w := max(1, int(math.Round(finest*float64(s.Bed)/float64(s.N)/stands)))
		j.weight = append(j.weight, w)
		j.low, j.high = append(j.low, s.X), append(j.high, s.Bed-s.N+s.X)
		j.known = append(j.known, map[int][]float64{})
	}
	// Weights that differ by rounding alone are one.
	if slices.Min(j.weight) == slices.Max(j.weight) {
		for i := range j.weight {
			j.weight[i] = 1
		}
	}
	for i, s := range strata {
		j.score += j.weight[i] * s.X
		j.most += j.weight[i] * s.N
	}
	return j
}

// worst is the greatest chance of the score or more over the allocations of a total; it stops once above enough.
func (j *joint) worst(total int, enough float64) float64 {
	best := 0.0
	for _, at := range j.starts(total) {
		best = max(best, j.climb(at, enough))
		if best > enough {
			break
		}
	}
	return best
}

// starts are allocations to search from: in proportion to the pots, in proportion to what was seen, and each stratum filled
// before the others.
func (j *joint) starts(total int) [][]int {
	k := len(j.strata)
	pots, seen := make([]float64, k), make([]float64, k)
	for i, s := range j.strata {
		pots[i] = float64(s.Bed)
		seen[i] = float64(s.Bed) * (float64(s.X) + 0.5) / (float64(s.N) + 1)
	}
	all := [][]int{j.allocate(total, pots), j.allocate(total, seen)}
	for first := range k {
		filled := make([]float64, k)
		for i := range filled {
			filled[i] = 1e-6 * pots[i]
		}
		filled[first] = 1
		all = append(all, j.allocate(total, filled))
	}
	return all
}

// climbed is how many of the corners are climbed from, those with the greatest chance.
const climbed = 4

// worstOfCorners is worst from more starts: each stratum as empty as it can be, as full, or one of those that share the rest in
// proportion to their room. From the starts of worst alone, exchanges stay below the top now and then where lots are four or more,
// or small: promises were exceeded in up to 6 % of samples.
func (j *joint) worstOfCorners(total int, enough float64) float64 {
	type corner struct {
		at     []int
		chance float64
	}
	var corners []corner
	kind := make([]int, len(j.strata))
	for more := true; more; more = next(kind) {
		if at, ok := j.corner(total, kind); ok {
			corners = append(corners, corner{at, j.chance(at)})
		}
	}
	slices.SortStableFunc(corners, func(a, b corner) int { return cmp.Compare(b.chance, a.chance) })
	best := 0.0
	for _, c := range corners[:min(climbed, len(corners))] {
		if best = max(best, j.climb(c.at, enough)); best > enough {
			break
		}
	}
	return best
}

// What a corner makes of a stratum.
const (
	sharesRest = iota
	isEmpty
	isFull
	kinds
)

// next counts kinds up, like digits; false after the last.
func next(kind []int) bool {
	for i := range kind {
		if kind[i]++; kind[i] < kinds {
			return true
		}
		kind[i] = sharesRest
	}
	return false
}

// corner is the allocation of a total that kind describes, false when there is none.
func (j *joint) corner(total int, kind []int) ([]int, bool) {
	at := slices.Clone(j.low)
	left, room := total, 0
	for i, k := range kind {
		if k == isFull {
			at[i] = j.high[i]
		} else if k == sharesRest {
			room += j.high[i] - j.low[i]
		}
		left -= at[i]
	}
	if left < 0 || left > room {
		return nil, false
	}
	for i, k := range kind {
		if own := j.high[i] - j.low[i]; k == sharesRest && own > 0 {
			more := left * own / room
			at[i] += more
			left, room = left-more, room-own
		}
	}
	return at, true
}

// allocate parts a total in proportion to shares, within what can be.
func (j *joint) allocate(total int, share []float64) []int {
	at := slices.Clone(j.low)
	left := total
	for _, n := range at {
		left -= n
	}
	for left > 0 {
		sum := 0.0
		for i := range at {
			if at[i] < j.high[i] {
				sum += share[i]
			}
		}
		given := 0
		for i := range at {
			if at[i] < j.high[i] {
				more := min(j.high[i]-at[i], int(float64(left)*share[i]/sum))
				at[i] += more
				given += more
			}
		}
		if given == 0 {
			// What rounding left over goes one by one to where there is room.
			for i := range at {
				if given < left && at[i] < j.high[i] {
					at[i]++
					given++
				}
			}
		}
		left -= given
	}
	return at
}

// climb exchanges pots between two strata, many at first and fewer later, while the chance grows.
func (j *joint) climb(at []int, enough float64) float64 {
	best := j.chance(at)
	step := 1
	for _, s := range j.strata {
		for step*2 <= s.Bed/4 {
			step *= 2
		}
	}
	for step > 0 && best <= enough {
		moved := false
		for from := range at {
			for to := range at {
				n := min(step, at[from]-j.low[from], j.high[to]-at[to])
				if from == to || n <= 0 {
					continue
				}
				at[from], at[to] = at[from]-n, at[to]+n
				if p := j.chance(at); p > best {
					best, moved = p, true
				} else {
					at[from], at[to] = at[from]+n, at[to]-n
				}
			}
		}
		if !moved {
			step /= 2
		}
	}
	return best
}

// chance is that of the score that was seen, or a greater one, when at are the marked pots of each stratum.
func (j *joint) chance(at []int) float64 {
	sum := []float64{1}
	for i, marked := range at {
		p := j.ofStratum(i, marked)
		next := make([]float64, len(sum)+(len(p)-1)*j.weight[i])
		for x, a := range p {
			if a == 0 {
				continue
			}
			for y, b := range sum {
				next[y+x*j.weight[i]] += a * b
			}
		}
		sum = next
	}
	tail := 0.0
	for y := len(sum) - 1; y >= j.score; y-- {
		tail += sum[y]
	}
	return tail
}

// ofStratum is the chance of 0, 1, ... N marked pots in a stratum's sample.
func (j *joint) ofStratum(i, marked int) []float64 {
	p, ok := j.known[i][marked]
	if !ok {
		s := j.strata[i]
		c := hypergeometric(s.Bed, marked, s.N)
		p = make([]float64, c.low+len(c.p))
		copy(p[c.low:], c.p)
		j.known[i][marked] = p
	}
	return p
}
