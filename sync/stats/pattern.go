package stats

import (
	"math"
	"math/rand/v2"
)

// Grid is a bed seen from above: values row by row (row-major), NaN where no pot was looked at.
type Grid struct {
	Rows, Cols int
	Values     []float64
}

// Neighbours says which pots of a grid count as next to each other.
type Neighbours int

// Rook: the four sides. Queen: the corners as well.
const (
	Rook Neighbours = iota
	Queen
)

// Moran is Moran's I of a bed: above Expected when neighbours are alike (patches), below when they differ.
type Moran struct {
	N            int   `json:"n"` // pots with at least one neighbour looked at
	I            Maybe `json:"i"`
	Expected     Maybe `json:"expected"`  // -1/(N-1)
	VarRandom    Maybe `json:"varRandom"` // over all orders of the values
	ZRandom      Maybe `json:"zRandom"`
	PRandom      Maybe `json:"pRandom"`   // one-sided, for patches, by the normal approximation
	VarNormal    Maybe `json:"varNormal"` // for normal values
	ZNormal      Maybe `json:"zNormal"`
	Isolated     int   `json:"isolated"` // pots left out for want of a neighbour
	WeightsByRow bool  `json:"weightsByRow"`
}

// field is a grid turned into values and the neighbours of each.
type field struct {
	values   []float64
	near     [][]int
	byRow    bool
	isolated int
}

func newField(g Grid, kind Neighbours, byRow bool) (field, bool) {
	f := field{byRow: byRow}
	if g.Rows < 1 || g.Cols < 1 || len(g.Values) != g.Rows*g.Cols {
		return f, false
	}
	here := func(r, c int) bool {
		return r >= 0 && c >= 0 && r < g.Rows && c < g.Cols && Sure(g.Values[r*g.Cols+c]).Known
	}
	steps := [][2]int{{-1, 0}, {1, 0}, {0, -1}, {0, 1}}
	if kind == Queen {
		steps = append(steps, [][2]int{{-1, -1}, {-1, 1}, {1, -1}, {1, 1}}...)
	}
	number := map[int]int{}
	var cells [][]int
	for cell := range g.Values {
		r, c := cell/g.Cols, cell%g.Cols
		if !here(r, c) {
			continue
		}
		var near []int
		for _, s := range steps {
			if here(r+s[0], c+s[1]) {
				near = append(near, (r+s[0])*g.Cols+c+s[1])
			}
		}
		if near == nil {
			f.isolated++
			continue
		}
		number[cell] = len(f.values)
		f.values = append(f.values, g.Values[cell])
		cells = append(cells, near)
	}
	for _, near := range cells {
		renamed := make([]int, len(near))
		for i, cell := range near {
			renamed[i] = number[cell]
		}
		f.near = append(f.near, renamed)
	}
	return f, true
}

func (f field) weight(i int) float64 {
	if f.byRow {
		return 1 / float64(len(f.near[i]))
	}
	return 1
}

// sums gives Cliff and Ord's S0, S1 and S2 of the weights.
func (f field) sums() (s0, s1, s2 float64) {
	in := make([]float64, len(f.near))
	for i, near := range f.near {
		for _, j := range near {
			in[j] += f.weight(i)
			s0 += f.weight(i)
			both := f.weight(i) + f.weight(j)
			s1 += both * both / 2
		}
	}
	for i, near := range f.near {
		t := f.weight(i)*float64(len(near)) + in[i]
		s2 += t * t
	}
	return s0, s1, s2
}

// moran is I for values in the field's order; unknown when they do not vary.
func (f field) moran(values []float64, s0 float64) Maybe {
	s := Summarize(values)
	if !s.SD.Known || s.SD.X == 0 || s0 == 0 {
		return Maybe{}
	}
	var cross, squares float64
	for i, near := range f.near {
		z := values[i] - s.Mean.X
		squares += z * z
		for _, j := range near {
			cross += f.weight(i) * z * (values[j] - s.Mean.X)
		}
	}
	return Sure(float64(s.N) / s0 * cross / squares)
}

// MoranOf is Moran's I = (n/S0) z'Wz/z'z with its variance under random order and under normality (Moran 1950; Cliff and Ord
// 1981, Spatial Processes, eq. 1.43 and ch. 2). Pots without a neighbour that was looked at are left out and the sums taken
// anew. byRow gives each pot's neighbours a total weight of 1. Own code: gonum's GlobalMoransI has the right I with a wrong
// variance. I is unknown when all values are equal or no two pots are neighbours, the variances for fewer than four pots.
func MoranOf(g Grid, kind Neighbours, byRow bool) Moran {
	f, ok := newField(g, kind, byRow)
	if !ok {
		return Moran{}
	}
	m := Moran{N: len(f.values), Isolated: f.isolated, WeightsByRow: byRow}
	s0, s1, s2 := f.sums()
	m.I = f.moran(f.values, s0)
	if !m.I.Known {
		return m
	}
	n := float64(m.N)
	m.Expected = Sure(-1 / (n - 1))
	if m.N < 4 {
		return m
	}
	s := Summarize(f.values)
	var second, fourth float64
	for _, v := range f.values {
		z := v - s.Mean.X
		second += z * z
		fourth += z * z * z * z
	}
	b2 := n * fourth / (second * second)
	e2 := m.Expected.X * m.Expected.X
	m.VarRandom = Sure((n*((n*n-3*n+3)*s1-n*s2+3*s0*s0)-b2*((n*n-n)*s1-2*n*s2+6*s0*s0))/((n-1)*(n-2)*(n-3)*s0*s0) - e2)
	m.VarNormal = Sure((n*n*s1-n*s2+3*s0*s0)/((n*n-1)*s0*s0) - e2)
	if m.VarRandom.X > 0 {
		m.ZRandom = Sure((m.I.X - m.Expected.X) / math.Sqrt(m.VarRandom.X))
		m.PRandom = Sure(stdNormal.Survival(m.ZRandom.X))
	}
	if m.VarNormal.X > 0 {
		m.ZNormal = Sure((m.I.X - m.Expected.X) / math.Sqrt(m.VarNormal.X))
	}
	return m
}

// MoranByOrder is the chance of an I as high as seen when the values lie in random order, by times shuffles of rng:
// (1 + number at or above)/(times + 1). Unknown where I is.
func MoranByOrder(g Grid, kind Neighbours, byRow bool, times int, rng *rand.Rand) Permutation {
	f, ok := newField(g, kind, byRow)
	if !ok {
		return Permutation{}
	}
	s0, _, _ := f.sums()
	return Permute(f.values, func(x []float64) float64 { return f.moran(x, s0).X }, f.moran(f.values, s0).Known, Greater, times, rng)
}
