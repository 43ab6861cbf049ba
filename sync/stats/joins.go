package stats

import "math"

// Joins counts neighbouring pairs of pots by flag: both flagged, one, none.
type Joins struct {
	N             int   `json:"n"`
	Flagged       int   `json:"flagged"`
	Both          int   `json:"both"`
	Mixed         int   `json:"mixed"`
	Neither       int   `json:"neither"`
	ExpectedBoth  Maybe `json:"expectedBoth"`
	VarBoth       Maybe `json:"varBoth"`
	ZBoth         Maybe `json:"zBoth"`
	ExpectedMixed Maybe `json:"expectedMixed"`
	VarMixed      Maybe `json:"varMixed"`
	ZMixed        Maybe `json:"zMixed"`
}

// JoinsOf counts joins between flagged (value above 0) and other pots of a grid and compares them with chance when the same
// number of flags lies at random (nonfree sampling; Cliff and Ord 1981, Spatial Processes, sec. 1.4 and 2.3). Pots without a
// neighbour are left out. Expectations need two pots, variances four; z is unknown where nothing can vary (no flag, or all).
func JoinsOf(g Grid, kind Neighbours) Joins {
	f, ok := newField(g, kind, false)
	if !ok {
		return Joins{}
	}
	j := Joins{N: len(f.values)}
	both, mixed, neither := 0, 0, 0
	for i, near := range f.near {
		if f.values[i] > 0 {
			j.Flagged++
		}
		for _, k := range near {
			switch {
			case f.values[i] > 0 && f.values[k] > 0:
				both++
			case f.values[i] > 0 || f.values[k] > 0:
				mixed++
			default:
				neither++
			}
		}
	}
	// Each pair was met from both sides.
	j.Both, j.Mixed, j.Neither = both/2, mixed/2, neither/2
	if j.N < 2 {
		return j
	}
	s0, s1, s2 := f.sums()
	n, b := float64(j.N), float64(j.Flagged)
	w := n - b
	two := b * (b - 1) / (n * (n - 1))
	pair := b * w / (n * (n - 1))
	j.ExpectedBoth, j.ExpectedMixed = Sure(s0*two/2), Sure(s0*pair)
	if j.N < 4 {
		return j
	}
	n3, n4 := n*(n-1)*(n-2), n*(n-1)*(n-2)*(n-3)
	three := b * (b - 1) * (b - 2) / n3
	four := b * (b - 1) * (b - 2) * (b - 3) / n4
	rest := s0*s0 + s1 - s2
	j.VarBoth = Sure((s1*two+(s2-2*s1)*three+rest*four)/4 - j.ExpectedBoth.X*j.ExpectedBoth.X)
	j.VarMixed = Sure((2*s1*pair+(s2-2*s1)*b*w*(b+w-2)/n3+4*rest*b*(b-1)*w*(w-1)/n4)/4 - j.ExpectedMixed.X*j.ExpectedMixed.X)
	z := func(seen int, expected, variance Maybe) Maybe {
		if variance.X <= 1e-12*math.Max(1, expected.X*expected.X) {
			return Maybe{}
		}
		return Sure((float64(seen) - expected.X) / math.Sqrt(variance.X))
	}
	j.ZBoth, j.ZMixed = z(j.Both, j.ExpectedBoth, j.VarBoth), z(j.Mixed, j.ExpectedMixed, j.VarMixed)
	return j
}
