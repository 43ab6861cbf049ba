package stats

import "math"

// Trend is a monotone trend over time by ranks and by the median of slopes.
type Trend struct {
	N         int      `json:"n"`
	Missing   int      `json:"missing"`
	S         int      `json:"s"`    // pairs that rise less pairs that fall
	VarS      Maybe    `json:"varS"` // with ties
	Z         Maybe    `json:"z"`
	P         Maybe    `json:"p"`         // two-sided; exact for up to ten values without ties
	Exact     bool     `json:"exact"`     // how P was reckoned
	TauA      Maybe    `json:"tauA"`      // S over all pairs
	TauB      Maybe    `json:"tauB"`      // S over pairs without ties
	Slope     Maybe    `json:"slope"`     // Theil-Sen, per unit of time
	Interval  Interval `json:"interval"`  // of Slope
	Intercept Maybe    `json:"intercept"` // median of value - slope time
	Pairs     int      `json:"pairs"`
}

// exactTrend: up to this n, without ties, the number of orders is counted in full.
const exactTrend = 10

// TrendOf tests values against time (any unit, need not be even: a missing week is a gap, not a step) by Mann-Kendall: S = sum
// sign(x_j - x_i), variance [n(n-1)(2n+5) - sum t(t-1)(2t+5)]/18, z with continuity correction (Mann 1945; Kendall 1975), and
// Theil-Sen slope with limits at ranks (N'-C)/2 and (N'+C)/2 + 1 of the N' slopes, rounded, C = z sqrt(var) (Sen 1968; Gilbert
// 1987, ch. 16). Own code: gonum's Kendall counts ties as rising. Times must rise. Unknown for fewer than two values, slope
// limits where the ranks fall outside the slopes. ok is false when lengths differ or times do not rise.
func TrendOf(time, value []float64, level float64) (tr Trend, ok bool) {
	if len(time) != len(value) {
		return tr, false
	}
	var t, x []float64
	for i, v := range value {
		if !Sure(v).Known || !Sure(time[i]).Known {
			tr.Missing++
			continue
		}
		if len(t) > 0 && time[i] <= t[len(t)-1] {
			return Trend{}, false
		}
		t, x = append(t, time[i]), append(x, v)
	}
	n := len(x)
	tr.N = n
	if n < 2 {
		return tr, true
	}
	var slopes []float64
	ties := 0
	for i := range n {
		for j := i + 1; j < n; j++ {
			slopes = append(slopes, (x[j]-x[i])/(t[j]-t[i]))
			switch {
			case x[j] > x[i]:
				tr.S++
			case x[j] < x[i]:
				tr.S--
			default:
				ties++
			}
		}
	}
	tr.Pairs = len(slopes)
	sortFloats(slopes)
	tr.Slope = Sure(medianOfSorted(slopes))
	off := make([]float64, n)
	for i := range off {
		off[i] = x[i] - float64(tr.Slope.X*t[i])
	}
	tr.Intercept = Median(off)
	pairs := float64(tr.Pairs)
	tr.TauA = Sure(float64(tr.S) / pairs)
	if ties < tr.Pairs {
		tr.TauB = Sure(float64(tr.S) / math.Sqrt(pairs*(pairs-float64(ties))))
	}
	tr.VarS = Sure(varianceOfS(x))
	tr.judge(slopes, ties, level)
	return tr, true
}

func varianceOfS(x []float64) float64 {
	n := float64(len(x))
	sum := n * (n - 1) * (2*n + 5)
	groups := map[float64]float64{}
	for _, v := range x {
		groups[v]++
	}
	for _, g := range groups {
		sum -= g * (g - 1) * (2*g + 5) // whole numbers: the order of adding does not matter
	}
	return sum / 18
}

func (tr *Trend) judge(slopes []float64, ties int, level float64) {
	sd := math.Sqrt(tr.VarS.X)
	if sd == 0 {
		// Nothing changes at all: S can be nothing but 0.
		tr.Z, tr.P = Sure(0), Sure(1)
	}
	if sd > 0 {
		s := float64(tr.S)
		z := 0.0
		if tr.S != 0 {
			z = (s - math.Copysign(1, s)) / sd
		}
		tr.Z, tr.P = Sure(z), Sure(math.Min(1, 2*stdNormal.Survival(math.Abs(z))))
	}
	if ties == 0 && tr.N <= exactTrend {
		tr.Exact, tr.P = true, Sure(exactTrendP(tr.N, tr.S))
	}
	if !goodLevel(level) || sd == 0 {
		return
	}
	c := zOf(level) * sd
	low := int(math.Round((float64(tr.Pairs) - c) / 2))
	high := int(math.Round((float64(tr.Pairs)+c)/2 + 1))
	if low >= 1 && high <= tr.Pairs {
		tr.Interval = Between(slopes[low-1], slopes[high-1])
	}
}

// exactTrendP is the two-sided P of S from the number of orders of n values with each number of falling pairs.
func exactTrendP(n, s int) float64 {
	orders := []float64{1}
	for m := 2; m <= n; m++ {
		next := make([]float64, len(orders)+m-1)
		for i, w := range orders {
			for add := range m {
				next[i+add] += w
			}
		}
		orders = next
	}
	pairs := n * (n - 1) / 2
	total, tail := 0.0, 0.0
	for falling, w := range orders {
		total += w
		if 2*falling <= pairs-abs(s) {
			tail += w
		}
	}
	return math.Min(1, 2*tail/total)
}

func abs(x int) int { return max(x, -x) }
