package stats

import (
	"math"
	"math/rand/v2"
	"sort"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Dispersion tells how counts per pot (or per square of the bed) are scattered: evenly, at random or in clumps.
type Dispersion struct {
	N          int   `json:"n"`
	Total      int   `json:"total"`
	Mean       Maybe `json:"mean"`
	Variance   Maybe `json:"variance"`  // divisor n-1
	Index      Maybe `json:"index"`     // variance over mean; 1 when random
	ChiSquare  Maybe `json:"chiSquare"` // (n-1) variance/mean on DF, for randomness
	DF         int   `json:"df"`
	PUpper     Maybe `json:"pUpper"`  // chance of so clumped a scatter or more when random
	PLower     Maybe `json:"pLower"`  // chance of so even a scatter or more when random
	KMoment    Maybe `json:"kMoment"` // mean^2/(variance-mean)
	Morisita   Maybe `json:"morisita"`
	Crowding   Maybe `json:"crowding"`   // Lloyd's mean crowding
	Patchiness Maybe `json:"patchiness"` // crowding over mean
	Green      Maybe `json:"green"`      // (index-1)/(total-1)
}

// DispersionOf computes the index of dispersion, chi-square (Fisher 1925), moment k, Morisita's index n sum x(x-1)/(T(T-1))
// (1959), Lloyd's crowding m + s^2/m - 1 and patchiness (1967) and Green's index (1966). Nothing but the mean is known when
// all counts are 0; k is unknown unless the variance exceeds the mean; Morisita's and Green's need a total of 2. A negative
// count makes all unknown.
func DispersionOf(counts []int) Dispersion {
	d := Dispersion{N: len(counts), DF: max(0, len(counts)-1)}
	x := make([]float64, len(counts))
	pairs := 0.0
	for i, c := range counts {
		if c < 0 {
			return Dispersion{}
		}
		x[i] = float64(c)
		d.Total += c
		pairs += x[i] * (x[i] - 1)
	}
	s := Summarize(x)
	d.Mean = s.Mean
	if !s.SD.Known {
		return d
	}
	m, v := s.Mean.X, s.SD.X*s.SD.X
	d.Variance = Sure(v)
	if d.Total == 0 {
		return d
	}
	d.Index = Sure(v / m)
	d.ChiSquare = Sure(float64(d.DF) * v / m)
	chi := distuv.ChiSquared{K: float64(d.DF)}
	d.PUpper, d.PLower = Sure(chi.Survival(d.ChiSquare.X)), Sure(chi.CDF(d.ChiSquare.X))
	if v > m {
		d.KMoment = Sure(m * m / (v - m))
	}
	d.Crowding = Sure(m + v/m - 1)
	d.Patchiness = Sure(d.Crowding.X / m)
	if t := float64(d.Total); d.Total > 1 {
		d.Morisita = Sure(float64(d.N) * pairs / (t * (t - 1)))
		d.Green = Sure((d.Index.X - 1) / (t - 1))
	}
	return d
}

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

// line is ordinary least squares with the slope's standard error.
func line(x, y []float64) (a, b float64, seB, r2 Maybe, ok bool) {
	sx := Summarize(x)
	if !sx.SD.Known || sx.SD.X == 0 {
		return 0, 0, Maybe{}, Maybe{}, false
	}
	a, b = stat.LinearRegression(x, y, nil, false)
	rss := 0.0
	for i := range x {
		e := y[i] - a - b*x[i]
		rss += e * e
	}
	n := float64(len(x))
	if n > 2 {
		seB = Sure(math.Sqrt(rss/(n-2)) / (sx.SD.X * math.Sqrt(n-1)))
	}
	if sy := Summarize(y); sy.SD.X > 0 {
		r2 = Sure(1 - rss/(sy.SD.X*sy.SD.X*(n-1)))
	}
	return a, b, seB, r2, true
}
