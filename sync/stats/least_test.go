package stats

import (
	"math/rand/v2"
	"testing"
)

// naiveLeast is LeastInStrata by trying every allocation of every total, with tails summed by Hypergeometric alone.
func naiveLeast(strata []Stratum, j *joint, risk float64) int {
	least := -1
	var try func(i int, at []int)
	try = func(i int, at []int) {
		if i == len(strata) {
			total := 0
			for _, n := range at {
				total += n
			}
			if (least < 0 || total < least) && naiveTail(strata, j.weight, at, j.score) > risk {
				least = total
			}
			return
		}
		for n := j.low[i]; n <= j.high[i]; n++ {
			try(i+1, append(at[:i:i], n))
		}
	}
	try(0, nil)
	return least
}

func naiveTail(strata []Stratum, weight, at []int, score int) float64 {
	if len(strata) == 0 {
		if score <= 0 {
			return 1
		}
		return 0
	}
	sum := 0.0
	for k := 0; k <= strata[0].N; k++ {
		if p := Hypergeometric(k, strata[0].Bed, at[0], strata[0].N); p > 0 {
			sum += p * naiveTail(strata[1:], weight[1:], at[1:], score-k*weight[0])
		}
	}
	return sum
}

func TestTheLeastInStrataIsThatOfTheWorstOfAllAllocations(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 150 {
		k := 2 + r.IntN(3)
		most := []int{0, 0, 40, 12, 7}[k]
		var strata []Stratum
		for range k {
			bed := 3 + r.IntN(most)
			n := 1 + r.IntN(min(bed, 7))
			strata = append(strata, Stratum{r.IntN(n + 1), n, bed})
		}
		// Most samples in use are good: half of these show nothing but marked pots in all strata but one.
		if r.IntN(2) == 0 {
			for i := range strata[1:] {
				strata[i].X = strata[i].N
			}
		}
		for _, risk := range []float64{0.05, 0.2} {
			have, ok := LeastInStrata(strata, risk)
			if want := naiveLeast(strata, newJoint(strata), risk); !ok || have != want {
				t.Errorf("%v at %g: %d, by every allocation %d", strata, risk, have, want)
			}
		}
	}
}

// Allocations under which a search by exchange alone missed the worst: some strata without a marked pot, some full, the others in
// proportion. What is promised may be more than they hold in at most a share risk of all samples.
func TestTheLeastHoldsWhereSomeStrataAreEmpty(t *testing.T) {
	for _, c := range []struct{ bed, n, marked []int }{
		{[]int{1200, 800, 1000, 900}, []int{4, 4, 4, 4}, []int{506, 0, 422, 0}},
		{[]int{10, 10, 11, 14}, []int{5, 6, 6, 4}, []int{9, 1, 0, 6}},
		{[]int{15, 15, 15, 15}, []int{2, 3, 4, 2}, []int{7, 0, 15, 8}},
		{[]int{12, 8, 35}, []int{5, 2, 3}, []int{2, 7, 7}},
	} {
		total := 0
		for _, m := range c.marked {
			total += m
		}
		over := 0.0
		var each func(strata []Stratum, chance float64)
		each = func(strata []Stratum, chance float64) {
			i := len(strata)
			if chance == 0 {
				return
			}
			if i == len(c.bed) {
				if least, _ := LeastInStrata(strata, 0.05); least > total {
					over += chance
				}
				return
			}
			for x := 0; x <= c.n[i]; x++ {
				each(append(strata[:i:i], Stratum{x, c.n[i], c.bed[i]}), chance*Hypergeometric(x, c.bed[i], c.marked[i], c.n[i]))
			}
		}
		each(nil, 1)
		if over > 0.05+1e-9 {
			t.Errorf("%v of %v marked: more than these in %.4f of samples of %v", c.marked, c.bed, over, c.n)
		}
	}
}

func TestManyStrataShareTheRisk(t *testing.T) {
	var many []Stratum
	sum := 0
	for range 10 {
		many = append(many, Stratum{9, 10, 200})
		one, _ := LeastInBed(9, 10, 200, 0.005)
		sum += one
	}
	if have, ok := LeastInStrata(many, 0.05); !ok || have != sum {
		t.Errorf("%d, want %d", have, sum)
	}
	if have, ok := LeastInStrata(nil, 0.05); !ok || have != 0 {
		t.Errorf("of nothing: %d", have)
	}
	one, _ := LeastInBed(3, 4, 50, 0.05)
	if have, ok := LeastInStrata([]Stratum{{3, 4, 50}, {0, 0, 70}}, 0.05); !ok || have != one {
		t.Errorf("a stratum nobody looked at: %d, want %d", have, one)
	}
	if _, ok := LeastInStrata([]Stratum{{3, 4, 50}, {5, 4, 70}}, 0.05); ok {
		t.Error("five of four pots were marked")
	}
	if _, ok := LeastInBed(3, 4, 50, 0); ok {
		t.Error("a limit without a risk")
	}
}

// Buonaccorsi's limits as R's phyper gives them: the lower one of the two-sided interval at 95 % has a risk of 2.5 %.
func TestTheLeastIsTheLowerEndOfTheTwoSidedInterval(t *testing.T) {
	for _, s := range []Stratum{{60, 60, 2500}, {15, 20, 120}, {0, 8, 300}, {8, 8, 8}} {
		least, ok := LeastInBed(s.X, s.N, s.Bed, 0.025)
		// By counting up: the fewest marked pots of the bed that give so many in the sample more often than the risk.
		want := s.X
		for HypergeometricAtLeast(s.X, s.Bed, want, s.N) <= 0.025 {
			want++
		}
		if !ok || least != want {
			t.Errorf("%v: %d, by counting up %d", s, least, want)
		}
	}
	if least, _ := LeastInBed(60, 60, 2500, 0.025); least != 2353 {
		t.Errorf("60 of 60 in 2,500: %d, 2,353 by R (fixtures/checks/grade-out.json)", least)
	}
}
