package bed

import (
	"cmp"
	"math"
	"slices"

	"bedwalk/schema"
	"bedwalk/sync/stats"
)

// limitsLevel is the level of Bland and Altman's limits of agreement: where 95 % of single pots lie, as they defined it.
const limitsLevel = 0.95

// Pair is one pot as two scouts saw it.
type Pair struct{ A, B schema.Observation }

// PairUp matches two walks over the same pots by their place, in the order of the rows. A place that one of the two did not
// look at is left out; of several notes of one place in one walk the last is taken.
func PairUp(first, second []schema.PotSeen) []Pair {
	a, b := byPlace(first), byPlace(second)
	var both []schema.Place
	for place := range a {
		if _, ok := b[place]; ok {
			both = append(both, place)
		}
	}
	slices.SortFunc(both, func(x, y schema.Place) int {
		return cmp.Or(cmp.Compare(x.Row, y.Row), cmp.Compare(x.Across, y.Across))
	})
	pairs := make([]Pair, len(both))
	for i, place := range both {
		pairs[i] = Pair{a[place].Now, b[place].Now}
	}
	return pairs
}

func byPlace(pots []schema.PotSeen) map[schema.Place]schema.PotSeen {
	at := map[schema.Place]schema.PotSeen{}
	for _, i := range sortedPots(pots) {
		p := pots[i]
		if p.Now.Place == nil {
			continue
		}
		if before, ok := at[*p.Now.Place]; !ok || p.At >= before.At {
			at[*p.Now.Place] = p
		}
	}
	return at
}

// Agree compares two scouts on the same pots, each having scored without seeing the other's values. Head sizes are compared
// as ratios, because scouts who read large read large pots larger: bias and limits of agreement are computed on logarithms
// (Bland and Altman 1986, 1999) and given as fractions less one. The intraclass correlation is ICC(2,1) (Shrout and Fleiss
// 1979): would any scout do? Root cover, root life and chlorosis class (0 to 4) are compared by quadratically weighted kappa
// (Cohen 1968); a pot that one of the two did not check is left out. Unknown where stats says so, among others
// kappa when both put every pot in one class.
func Agree(a, b string, pairs []Pair) schema.Agreement {
	out := schema.Agreement{A: a, B: b, N: len(pairs)}
	var logA, logB []float64
	var heads [][]float64
	for _, p := range pairs {
		headA, okA := HeadMM(p.A)
		headB, okB := HeadMM(p.B)
		if okA && okB && headA > 0 && headB > 0 {
			logA, logB = append(logA, math.Log(headA)), append(logB, math.Log(headB))
			heads = append(heads, []float64{headA, headB})
		}
	}
	if bias, ok := stats.PairsOf(logB, logA, level); ok {
		out.Bias = ratio(estimate(bias.Bias))
	}
	if limits, ok := stats.PairsOf(logB, logA, limitsLevel); ok && limits.Limits.Known {
		out.Limits = schema.Interval{Low: math.Expm1(limits.Limits.Low), High: math.Expm1(limits.Limits.High), Known: true}
	}
	out.ICC = estimate(stats.ICCsOf(heads, level).Two)
	out.ICC.N = len(heads)
	out.Cover = kappa(pairs, 6, func(o schema.Observation) (int, bool) { return given(o.RootCover, 0) })
	out.Life = kappa(pairs, 5, func(o schema.Observation) (int, bool) { return given(o.RootLife, 1) })
	out.Chlorosis = kappa(pairs, 5, severityClass)
	return out
}

// ratio turns the logarithm of a ratio into the ratio less one.
func ratio(e schema.Estimate) schema.Estimate {
	e.Value = math.Expm1(e.Value)
	if e.Interval.Known {
		e.Interval.Low, e.Interval.High = math.Expm1(e.Interval.Low), math.Expm1(e.Interval.High)
	}
	return e
}

func given(value *int, from int) (int, bool) {
	if value == nil {
		return 0, false
	}
	return *value - from, true
}

func kappa(pairs []Pair, classes int, class func(schema.Observation) (int, bool)) schema.Estimate {
	var first, second []int
	for _, p := range pairs {
		a, okA := class(p.A)
		b, okB := class(p.B)
		if okA && okB {
			first, second = append(first, a), append(second, b)
		}
	}
	table, n, ok := stats.TableOf(first, second, classes)
	if !ok {
		return schema.Estimate{}
	}
	k := stats.AgreementOf(table, n, stats.Quadratic.Weights(classes), level)
	return schema.Estimate{Value: k.Kappa.X, Interval: interval(k.Interval), N: int(n), Known: k.Kappa.Known}
}
