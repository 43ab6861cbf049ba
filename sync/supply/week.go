package supply

import (
	"maps"
	"math"
	"slices"

	"bedwalk/sync/stats"
)

// nodes are the five points of the Gauss-Hermite rule for a standard normal and their weights (Abramowitz and Stegun 25.10, scaled
// by the root of 2): exact for moments up to the ninth.
var nodes = func() (all [5]struct{ z, weight float64 }) {
	root := math.Sqrt(10)
	inner, outer := math.Sqrt(5-root), math.Sqrt(5+root)
	wide, narrow := (7-2*root)/60, (7+2*root)/60
	for i, z := range []float64{-outer, -inner, 0, inner, outer} {
		all[i].z, all[i].weight = z, []float64{wide, narrow, 8.0 / 15, narrow, wide}[i]
	}
	return all
}()

// Sum is how many pots the lots have together in grade level k or a better one, when the seasons of their cultivars have this
// standard deviation.
func Sum(lots []Lot, k int, season float64) Counts {
	all, _ := Sums(lots, k, season)
	return all
}

// Sums is Sum, and that of the lots of each cultivar.
func Sums(lots []Lot, k int, season float64) (all Counts, of map[string]Counts) {
	byCultivar := map[string][]Lot{}
	for _, l := range lots {
		byCultivar[l.Cultivar] = append(byCultivar[l.Cultivar], l)
	}
	all, of = sure(0), map[string]Counts{}
	for _, cultivar := range slices.Sorted(maps.Keys(byCultivar)) {
		of[cultivar] = shared(byCultivar[cultivar], k, season)
		all = all.plus(of[cultivar])
	}
	return all, of
}

// shared is Sum for lots of one cultivar: independent within a season, and mixed over seasons.
func shared(lots []Lot, k int, season float64) Counts {
	var mixed Counts
	for _, node := range nodes {
		in := sure(0)
		for _, l := range lots {
			in = in.plus(l.inSeason(k, season*node.z))
		}
		if season == 0 {
			return in
		}
		mixed = mixed.mix(1, in, node.weight)
	}
	return mixed.trimmed()
}

// inSeason is what the lot brings in a season that moves the share in grade by so much on the logit scale.
func (l Lot) inSeason(k int, shift float64) Counts {
	pots := sure(0)
	for _, part := range l.Parts {
		pots = pots.plus(part.counts(k, shift))
	}
	// A rounding error's room is given, no more: 96.99999999 pots are 97.
	pots = pots.mapped(func(n int) int { return int(math.Floor(float64(n)*l.Survive + 1e-9)) })
	if l.Ready >= 1 {
		return pots
	}
	return sure(0).mix(1-l.Ready, pots, l.Ready)
}

// counts is the pots in grade on one bed: those seen, and of the others a beta-binomial number (Skellam 1948, JRSS B 10:257) whose mean is
// moved and whose a + b is kept.
func (p Part) counts(k int, shift float64) Counts {
	in := 0
	if p.Seen > 0 {
		in = p.In[k]
	}
	a, b := p.Prior[k].A+float64(in), p.Prior[k].B+float64(p.Seen-in)
	if shift != 0 {
		mean := 1 / (1 + b/a*math.Exp(-shift))
		a, b = mean*(a+b), (1-mean)*(a+b)
	}
	rest, err := stats.Predict(0, 0, p.Stood-p.Seen, a, b)
	if err != nil {
		return sure(0) // Fewer pots than were seen: nothing is sure.
	}
	c := Counts{in, make([]float64, p.Stood-p.Seen+1)}
	for i := range c.P {
		c.P[i] = rest.Chance(i)
	}
	return c.trimmed().mapped(func(n int) int { return min(p.OnBed, max(0, n-p.Left)) })
}

// Rooted is how many cuttings of a lot root, given those that were looked at: a number of all that were stuck, those that were looked at
// among them (beta-binomial, Skellam 1948, with Jeffreys' prior). False where none was looked at, or more than were stuck.
func Rooted(rooted, looked, stuck int) (Counts, bool) {
	if looked == 0 || rooted > looked || looked > stuck {
		return Counts{}, false
	}
	return Part{In: []int{rooted}, Seen: looked, Stood: stuck, OnBed: stuck, Prior: Jeffreys(1)}.counts(0, 0), true
}
