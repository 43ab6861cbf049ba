package stats

import (
	"math"
	"math/rand/v2"
	"sort"
)

// RankTest is the Mann-Whitney comparison of two groups.
type RankTest struct {
	U     Maybe `json:"u"`     // pairs in which a is above b, ties half
	Share Maybe `json:"share"` // U over the number of pairs: the chance that a pot of a is above one of b
	P     Maybe `json:"p"`     // two-sided
	Exact bool  `json:"exact"`
}

// exactRanks: above this many values a side the normal form is as good and the exact one slow.
const exactRanks = 25

// MannWhitney tests whether values of a tend to lie above or below those of b (Mann and Whitney 1947, Ann. Math. Stat. 18:50).
// Without ties and with at most 25 values a side P is exact; otherwise normal with tie and continuity corrections. U needs
// one value each; P is unknown when all values are equal.
func MannWhitney(a, b []float64) RankTest {
	a, _ = taken(a)
	b, _ = taken(b)
	na, nb := len(a), len(b)
	if na == 0 || nb == 0 {
		return RankTest{}
	}
	all := append(append([]float64{}, a...), b...)
	ranks, ties := midRanks(all)
	sum := 0.0
	for i := range na {
		sum += ranks[i]
	}
	pairs := float64(na) * float64(nb)
	u := sum - float64(na)*float64(na+1)/2
	r := RankTest{U: Sure(u), Share: Sure(u / pairs)}
	if ties == 0 && na <= exactRanks && nb <= exactRanks {
		r.Exact = true
		r.P = Sure(exactRankP(na, nb, int(u)))
		return r
	}
	n := float64(na + nb)
	variance := pairs / 12 * (n + 1 - ties/(n*(n-1)))
	if variance <= 0 {
		return r
	}
	z := math.Max(0, math.Abs(u-pairs/2)-0.5) / math.Sqrt(variance)
	r.P = Sure(math.Min(1, 2*stdNormal.Survival(z)))
	return r
}

// midRanks gives ranks from 1, ties sharing their mean, and the sum of t^3 - t over groups of t equal values.
func midRanks(x []float64) (ranks []float64, ties float64) {
	order := make([]int, len(x))
	for i := range order {
		order[i] = i
	}
	sort.Slice(order, func(i, j int) bool { return x[order[i]] < x[order[j]] })
	ranks = make([]float64, len(x))
	for i := 0; i < len(order); {
		j := i
		for j < len(order) && x[order[j]] == x[order[i]] {
			j++
		}
		for _, k := range order[i:j] {
			ranks[k] = float64(i+j+1) / 2
		}
		t := float64(j - i)
		ties += t*t*t - t
		i = j
	}
	return ranks, ties
}

// exactRankP counts the ways to reach each U by adding one value of a at a time above some number of b's.
func exactRankP(na, nb, u int) float64 {
	u = min(u, na*nb-u)
	ways := make([][]float64, nb+1) // ways[j][u] with i of a and j of b placed
	for j := range ways {
		ways[j] = make([]float64, na*nb+1)
		ways[j][0] = 1
	}
	for range na {
		for j := 1; j <= nb; j++ {
			// Either the largest value is of b and i of a stand with j-1, or it is of a and adds j pairs.
			next := make([]float64, na*nb+1)
			copy(next, ways[j-1])
			for v := j; v <= na*nb; v++ {
				next[v] += ways[j][v-j]
			}
			ways[j] = next
		}
	}
	total, tail := 0.0, 0.0
	for v, w := range ways[nb] {
		total += w
		if v <= u {
			tail += w
		}
	}
	return math.Min(1, 2*tail/total)
}

// Side says which results of a permutation count as extreme.
type Side int

// TwoSided compares absolute values, which suits statistics that are 0 when nothing is there.
const (
	Greater Side = iota
	Less
	TwoSided
)

// Permutation is the answer of a permutation test.
type Permutation struct {
	Observed Maybe `json:"observed"`
	P        Maybe `json:"p"`
	Times    int   `json:"times"`
}

// Permute asks how often the statistic of x in random order is as extreme as seen, by times shuffles of rng:
// P = (1 + number as extreme)/(times + 1) (Davison and Hinkley 1997, sec. 4.3), so that P is never 0. It is unknown when
// defined is false, times is below 1 or x has fewer than two values. The same rng state gives the same answer.
func Permute(x []float64, statistic func([]float64) float64, defined bool, side Side, times int, rng *rand.Rand) Permutation {
	if !defined || times < 1 || len(x) < 2 {
		return Permutation{}
	}
	seen := statistic(x)
	shuffled := append([]float64{}, x...)
	extreme := 0
	// Equal arrangements must count as equal although their sums were added in another order.
	slack := 1e-9 * math.Max(1e-300, math.Abs(seen))
	for range times {
		rng.Shuffle(len(shuffled), func(i, j int) { shuffled[i], shuffled[j] = shuffled[j], shuffled[i] })
		v := statistic(shuffled)
		if (side == Greater && v >= seen-slack) || (side == Less && v <= seen+slack) ||
			(side == TwoSided && math.Abs(v) >= math.Abs(seen)-slack) {
			extreme++
		}
	}
	return Permutation{Observed: Sure(seen), P: Sure(float64(1+extreme) / float64(times+1)), Times: times}
}

// Gradient is how values change along a position (per unit of it), with the permutation P of no change.
type Gradient struct {
	Slope     Maybe `json:"slope"`
	Intercept Maybe `json:"intercept"`
	P         Maybe `json:"p"`
	N         int   `json:"n"`
}

// GradientOf fits a least-squares line of values on positions and tests its slope by permutation (two-sided). Pairs with a
// missing half are left out; unknown for fewer than three pairs or when all positions are equal.
func GradientOf(position, value []float64, times int, rng *rand.Rand) Gradient {
	var x, y []float64
	for i := range min(len(position), len(value)) {
		if Sure(position[i]).Known && Sure(value[i]).Known {
			x, y = append(x, position[i]), append(y, value[i])
		}
	}
	g := Gradient{N: len(x)}
	a, b, _, _, ok := line(x, y)
	if !ok || g.N < 3 {
		return g
	}
	g.Slope, g.Intercept = Sure(b), Sure(a)
	mean := Summarize(x).Mean.X
	// With positions fixed the slope is proportional to this sum, which is cheaper to shuffle.
	g.P = Permute(y, func(y []float64) float64 {
		sum := 0.0
		for i := range y {
			sum += (x[i] - mean) * y[i]
		}
		return sum
	}, true, TwoSided, times, rng).P
	return g
}
