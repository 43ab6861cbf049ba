package bed

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"bedwalk/schema"
	"bedwalk/sync/loss"
	"bedwalk/sync/stats"
)

// overPromised is the chance that the limit of a sample lies above the true number of pots in grade: that of all samples from
// the first one with such a limit on, since limits rise with what was seen (else it is 2, which nothing passes).
func overPromised(limit []int, marked, n, bed int) float64 {
	if !slices.IsSorted(limit) {
		return 2
	}
	first := slices.IndexFunc(limit, func(l int) bool { return l > marked })
	if first < 0 {
		return 0
	}
	return stats.HypergeometricAtLeast(first, bed, marked, n)
}

// TestCoverageOfAPromise sums exactly, over every true number of pots in grade, how often a promise is more than there is:
// `go test ./sync/bed -run Coverage -v` prints the tables that README and the doc comments claim. "before" is the lower end of
// the beta-binomial interval that promises were made by until November 2026.
func TestCoverageOfAPromise(t *testing.T) {
	t.Log("one lot: worst share of walks, over all true numbers in grade, in which more is promised than there is")
	t.Logf("%6s %4s %10s %10s %22s", "pots", "n", "exact", "before", "all n good: promised")
	for _, bed := range []int{60, 200, 1200, 3000} {
		for n := 1; n <= min(bed, 200); n++ {
			// Every n takes a while where the race detector looks on; these are where the old limit was worst, and the ends.
			shown := n == 3 || n == 8 || n == 10 || n == 20 || n == 30 || n == 60 || n == 200
			if !shown && (n%7 != 0 || testing.Short()) && bed > 200 {
				continue
			}
			limit, before := make([]int, n+1), make([]int, n+1)
			for x := range limit {
				limit[x], _ = stats.LeastInBed(x, n, bed, PromiseRisk)
				if shown {
					p, _ := stats.PredictJeffreys(x, n, bed)
					before[x] = int(p.Interval(level).Low)
				}
			}
			worst, was := 0.0, 0.0
			for marked := 0; marked <= bed; marked++ {
				// The limit can first be too high just below one of its own values.
				worst = max(worst, overPromised(limit, marked, n, bed))
				if shown && marked%max(1, bed/300) == 0 {
					was = max(was, overPromised(before, marked, n, bed))
				}
			}
			if worst > PromiseRisk+1e-9 {
				t.Errorf("%d of %d: over-promised in %.4f", n, bed, worst)
			}
			if shown {
				t.Logf("%6d %4d %9.2f%% %9.2f%% %21.0f%%", bed, n, 100*worst, 100*was, 100*float64(limit[n])/float64(bed))
			}
		}
	}
}

// aMix is a mixed bed's sampling: pots on the bed and pots looked at, of each lot.
type aMix struct {
	name   string
	bed, n []int
}

// Walks in proportion, as the plan asks, and mixes chosen to break a pooled limit: one lot looked at far more than another.
var mixes = []aMix{
	{"two lots in proportion", []int{600, 600}, []int{10, 10}},
	{"two lots, one twice the other", []int{400, 800}, []int{8, 16}},
	{"a large lot hardly looked at", []int{1000, 100}, []int{5, 25}},
	{"a small lot hardly looked at", []int{1000, 100}, []int{25, 3}},
	{"three lots in proportion", []int{300, 300, 300}, []int{8, 8, 8}},
	{"three lots, unequal", []int{500, 200, 60}, []int{6, 8, 4}},
	{"four lots, few pots of each", []int{120, 80, 100, 90}, []int{3, 3, 3, 3}},
}

// TestCoverageOfPromisesAddedUp does the same for mixed beds: over-promised are the lots together, and any lot that is promised
// what it could be promised alone.
func TestCoverageOfPromisesAddedUp(t *testing.T) {
	t.Log("mixed beds: worst share of walks, over allocations of good pots, in which more is promised than there is")
	t.Logf("%-32s %9s %8s %14s %14s %16s %14s", "lots", "together", "pooled", "sum of alone", "any lot alone", "together of pooled", "after losses")
	r := rand.New(rand.NewPCG(11, 2))
	all := mixes
	for i := range 4 {
		m := aMix{name: fmt.Sprintf("random %d", i+1)}
		for range 2 + i%2 {
			bed := 40 + r.IntN(700)
			m.bed, m.n = append(m.bed, bed), append(m.n, 2+r.IntN(9))
		}
		all = append(all, m)
	}
	for _, m := range all {
		w := newMixWorth(m)
		for _, at := range m.allocations(r) {
			w.add(at)
		}
		if w.together > PromiseRisk+1e-9 {
			t.Errorf("%s: the lots together over-promised in %.4f", m.name, w.together)
		}
		if w.lost > PromiseRisk+1e-9 {
			t.Errorf("%s: more than is left after losses promised in %.4f", m.name, w.lost)
		}
		t.Logf("%-32s %8.2f%% %7.2f%% %13.2f%% %13.2f%% %17.0f%% %13.2f%%", m.name, 100*w.together, 100*w.pooled, 100*w.sum, 100*w.any, 100*w.share, 100*w.lost)
	}
}

// allocations are true numbers in grade: a lattice over all lots, corners and edges with it, and random ones.
func (m aMix) allocations(r *rand.Rand) (all [][]int) {
	steps := map[int]int{2: 30, 3: 10, 4: 6}[len(m.bed)]
	var walk func(i int, at []int)
	walk = func(i int, at []int) {
		if i == len(m.bed) {
			all = append(all, at)
			return
		}
		for s := 0; s <= steps; s++ {
			walk(i+1, append(at[:i:i], m.bed[i]*s/steps))
		}
	}
	walk(0, nil)
	for range 300 {
		var at []int
		for _, bed := range m.bed {
			at = append(at, r.IntN(bed+1))
		}
		all = append(all, at)
	}
	return all
}

// mixWorth holds the limits of every sample that a mix can show, and the worst that was found of each way to promise.
type mixWorth struct {
	m                          aMix
	samples                    [][]int
	joint, pool, alone, kept   []int
	each                       [][]int
	together, pooled, sum, any float64
	share                      float64
	// lost is the worst of what is promised when pots are lost before shipping, one share of them for all the lots, as of one lot on several beds.
	lost float64
}

// keptOfMix are the shares of pots that are left, expected to be 9 in 10.
var keptOfMix = loss.Written(0.9).InAnySeason(0.35)

func newMixWorth(m aMix) *mixWorth {
	w := &mixWorth{m: m}
	jointSum, poolSum := 0.0, 0.0
	var walk func(i int, x []int)
	walk = func(i int, x []int) {
		if i < len(m.bed) {
			for k := 0; k <= m.n[i]; k++ {
				walk(i+1, append(x[:i:i], k))
			}
			return
		}
		var strata []stats.Stratum
		var whole stats.Stratum
		var each []int
		sum := 0
		for h := range x {
			s := stats.Stratum{X: x[h], N: m.n[h], Bed: m.bed[h]}
			strata = append(strata, s)
			whole.X, whole.N, whole.Bed = whole.X+s.X, whole.N+s.N, whole.Bed+s.Bed
			one, _ := stats.LeastInBed(s.X, s.N, s.Bed, PromiseRisk)
			each, sum = append(each, one), sum+one
		}
		joint, _ := stats.LeastInStrata(strata, PromiseRisk)
		pool, _ := stats.LeastInBed(whole.X, whole.N, whole.Bed, PromiseRisk)
		w.samples, w.joint, w.pool, w.alone = append(w.samples, x), append(w.joint, joint), append(w.pool, pool), append(w.alone, sum)
		w.each = append(w.each, each)
		w.kept = append(w.kept, inGrade{strata, joint, 0, whole.Bed}.atShipping(keptOfMix))
		if 10*whole.X >= 8*whole.N {
			jointSum, poolSum = jointSum+float64(joint), poolSum+float64(pool)
		}
	}
	walk(0, nil)
	w.share = jointSum / poolSum
	return w
}

func (w *mixWorth) add(at []int) {
	total := 0
	var p [][]float64
	for h, marked := range at {
		total += marked
		var of []float64
		for k := 0; k <= w.m.n[h]; k++ {
			of = append(of, stats.Hypergeometric(k, w.m.bed[h], marked, w.m.n[h]))
		}
		p = append(p, of)
	}
	var together, pooled, sum, anyLot, lost float64
	fewer := fewerKept(total, keptOfMix)
	for s, x := range w.samples {
		chance := 1.0
		for h, k := range x {
			chance *= p[h][k]
		}
		if chance == 0 {
			continue
		}
		if w.kept[s] > total {
			lost += chance
		} else {
			lost += chance * fewer[w.kept[s]]
		}
		over := false
		for h := range x {
			over = over || w.each[s][h] > at[h]
		}
		for _, one := range []struct {
			is   bool
			into *float64
		}{{w.joint[s] > total, &together}, {w.pool[s] > total, &pooled}, {w.alone[s] > total, &sum}, {over, &anyLot}} {
			if one.is {
				*one.into += chance
			}
		}
	}
	w.together, w.pooled = math.Max(w.together, together), math.Max(w.pooled, pooled)
	w.lost = math.Max(w.lost, lost)
	w.sum, w.any = math.Max(w.sum, sum), math.Max(w.any, anyLot)
}

// TestCoverageOfTwoGradesToTheFull measures what the doc comment of promiseOf leaves open: a grower who promises both grades of
// a lot as high as their lines allow. Each line holds in 95 %, both at once in at least 90 %.
func TestCoverageOfTwoGradesToTheFull(t *testing.T) {
	const bed, n = 120, 12
	one := make([]int, n+1)
	for x := range one {
		one[x], _ = stats.LeastInBed(x, n, bed, PromiseRisk)
	}
	worst := 0.0
	for florist := 0; florist <= bed; florist += 3 {
		for nursery := 0; florist+nursery <= bed; nursery += 3 {
			p := 0.0
			for x := 0; x <= n; x++ {
				for y := 0; x+y <= n; y++ {
					if one[x] > florist || one[x+y] > florist+nursery {
						p += stats.Hypergeometric(x, bed, florist, n) * stats.Hypergeometric(y, bed-florist, nursery, n-x)
					}
				}
			}
			worst = max(worst, p)
		}
	}
	t.Logf("two grades of one lot both promised to the full: over in up to %.1f %% of walks (each by itself in up to 5 %%)", 100*worst)
	if worst > 2*PromiseRisk+1e-9 {
		t.Errorf("over-promised in %.4f", worst)
	}
}

func seenAs(lot string, head int, n int) (pots []schema.PotSeen) {
	for i := range n {
		pots = append(pots, schema.PotSeen{ID: fmt.Sprint(lot, head, i), Now: schema.Observation{Lot: lot, HeadAMM: &head}})
	}
	return pots
}
