package bed

import (
	"math"
	"math/rand/v2"
	"slices"

	"bedwalk/schema"
	"bedwalk/sync/stats"
)

// placed is one pot's value relative to its lot's mean (0.1: a tenth above), with where it stands in metres: x along the bed
// from the entry end, y across from the near aisle. A place across is assumed to be as wide as a row is deep.
type placed struct {
	x, y, value float64
	lot         int
	edge        bool
}

// traitPattern looks for where in the bed a trait is larger: along, across, at the edge, in patches. Every pot is compared
// with its own lot's mean, so that lots of different size make no pattern.
func traitPattern(in schema.BedInput, lots []*lotPots, trait int, rng *rand.Rand) []schema.Finding {
	pots := relative(in, lots, trait)
	if len(pots) < enoughPlaced {
		return nil
	}
	name := []string{Head, Buds}[trait]
	tolerance := toleranceOf(mainLot(in).Judged, trait)
	n := float64(len(pots))
	var found []schema.Finding
	if f, ok := edgeFinding(pots, name, tolerance); ok {
		found = append(found, f)
	}
	if depth(in) == 0 {
		return found // no lengths without the bed's
	}
	along := gradient(pots, func(p placed) float64 { return p.x }, rng)
	length := float64(in.LengthMM) / 1000
	if along.P.Known && along.P.X <= alarmP && math.Abs(along.Slope.X)*length >= gradientSize*tolerance {
		found = append(found, schema.Finding{
			Code: CodeGradient, Trait: name, End: towards(along.Slope.X, "entry", "far"), Attention: true,
			Numbers: map[string]float64{
				"per_5m": 5 * math.Abs(along.Slope.X), "total": math.Abs(along.Slope.X) * length, "p": along.P.X, "n": n,
			},
		})
	}
	across := gradient(pots, func(p placed) float64 { return p.y }, rng)
	width := float64(in.Across) * depth(in)
	if across.P.Known && across.P.X <= alarmP && math.Abs(across.Slope.X)*width >= gradientSize*tolerance {
		found = append(found, schema.Finding{
			Code: CodeAcross, Trait: name, End: towards(across.Slope.X, "near", "far"), Attention: true,
			Numbers: map[string]float64{"total": math.Abs(across.Slope.X) * width, "p": across.P.X, "n": n},
		})
	}
	// What a gradient explains is not a patch.
	for i := range pots {
		pots[i].value -= along.Slope.X*pots[i].x + across.Slope.X*pots[i].y
	}
	if i, p := moran(pots, rng); p.Known && p.X <= patternP {
		found = append(found, schema.Finding{Code: CodePatch, Trait: name, Numbers: map[string]float64{"i": i, "p": p.X, "n": n}})
	}
	return found
}

// relative returns the pots with a place and a value, in lots with three values or more and a mean above 0.
func relative(in schema.BedInput, lots []*lotPots, trait int) []placed {
	var out []placed
	for number, l := range lots {
		v := l.values[trait]
		mean := stats.Summarize(v.x).Mean
		if len(v.x) < MinPotsPerLot || mean.X <= 0 {
			continue
		}
		for i, x := range v.x {
			place := l.pots[v.pots[i]].Now.Place
			if place == nil {
				continue
			}
			d := depth(in)
			out = append(out, placed{
				x: (float64(place.Row) - 0.5) * d, y: (float64(place.Across) - 0.5) * d,
				value: x/mean.X - 1, lot: number, edge: atEdge(in, place.Across),
			})
		}
	}
	return out
}

func depth(in schema.BedInput) float64 {
	if in.Rows < 1 {
		return 0
	}
	return float64(in.LengthMM) / 1000 / float64(in.Rows)
}

// gradient is the slope of relative values on a position that is centred within each lot: the slope within lots, with its P by
// shuffling values within their lots, because lots may be unevenly spread.
func gradient(pots []placed, at func(placed) float64, rng *rand.Rand) stats.Gradient {
	sum, n := map[int]float64{}, map[int]float64{}
	for _, p := range pots {
		sum[p.lot] += at(p)
		n[p.lot]++
	}
	position, value := make([]float64, len(pots)), make([]float64, len(pots))
	for i, p := range pots {
		position[i], value[i] = at(p)-sum[p.lot]/n[p.lot], p.value
	}
	g := stats.GradientOf(position, value, 0, rng)
	if g.Slope.Known {
		g.P = shuffledWithin(pots, value, shufflesFor(len(value)), rng, func(value []float64) float64 {
			sum := 0.0
			for i, v := range value {
				sum += position[i] * v
			}
			return math.Abs(sum)
		})
	}
	return g
}

// shuffledWithin is the chance that values shuffled within their lots give as large a statistic. Pots of one lot stand together in
// their order.
func shuffledWithin(pots []placed, value []float64, times int, rng *rand.Rand, statistic func([]float64) float64) stats.Maybe {
	seen := statistic(value)
	slack := 1e-9 * math.Max(1e-300, math.Abs(seen))
	shuffled := slices.Clone(value)
	as := 0
	for range times {
		for from := 0; from < len(pots); {
			to := from
			for to < len(pots) && pots[to].lot == pots[from].lot {
				to++
			}
			one := shuffled[from:to]
			rng.Shuffle(len(one), func(i, j int) { one[i], one[j] = one[j], one[i] })
			from = to
		}
		if statistic(shuffled) >= seen-slack {
			as++
		}
	}
	return stats.Sure(float64(1+as) / float64(times+1))
}

// towards names the end toward which values shrink.
func towards(slope float64, first, second string) string {
	if slope < 0 {
		return second
	}
	return first
}

func edgeFinding(pots []placed, name string, tolerance float64) (schema.Finding, bool) {
	var edge, inner []float64
	for _, p := range pots {
		if p.edge {
			edge = append(edge, p.value)
		} else {
			inner = append(inner, p.value)
		}
	}
	if min(len(edge), len(inner)) < enoughSide {
		return schema.Finding{}, false
	}
	test := stats.MannWhitney(edge, inner)
	difference := stats.Summarize(edge).Mean.X - stats.Summarize(inner).Mean.X
	if !test.P.Known || test.P.X > alarmP || math.Abs(difference) < gradientSize*tolerance {
		return schema.Finding{}, false
	}
	return schema.Finding{Code: CodeEdge, Trait: name, Attention: difference < 0, Numbers: map[string]float64{
		"difference": difference, "share": test.Share.X, "p": test.P.X,
		"edge_n": float64(len(edge)), "n": float64(len(edge) + len(inner)),
	}}, true
}

// moran is Moran's I = (n/S0) z'Wz/z'z (Moran 1950) with weight 1 on each pot's nearest pots, and its P by permutation.
func moran(pots []placed, rng *rand.Rand) (i float64, p stats.Maybe) {
	near := neighbours(pots)
	z := make([]float64, len(pots))
	for k, one := range pots {
		z[k] = one.value
	}
	mean, squares, s0 := stats.Summarize(z).Mean.X, 0.0, 0.0
	for k := range z {
		z[k] -= mean
		squares += z[k] * z[k]
		s0 += float64(len(near[k]))
	}
	// Shuffling changes neither mean nor squares, so the cross sum alone decides.
	if squares == 0 {
		return 0, stats.Maybe{}
	}
	p = shuffledWithin(pots, z, shufflesFor(nearby*len(z)), rng, func(z []float64) float64 { return crossSum(z, near) })
	return float64(len(pots)) / s0 * crossSum(z, near) / squares, p
}

func crossSum(z []float64, near [][]int) float64 {
	sum := 0.0
	for k, ones := range near {
		for _, j := range ones {
			sum += z[k] * z[j]
		}
	}
	return sum
}

// spanned is how many flagged pots some test holds for, and from where to where they stand along the bed, in metres; all
// 0 where it holds for none.
func spanned(pots []placed, depth float64, holds func(i int) bool) (n int, from, to float64) {
	for i, p := range pots {
		if p.value == 0 || !holds(i) {
			continue
		}
		start, end := p.x-depth/2, p.x+depth/2
		if n == 0 {
			from, to = start, end
		}
		from, to = math.Min(from, start), math.Max(to, end)
		n++
	}
	return n, from, to
}

func flagPlaces(in schema.BedInput, lots []*lotPots, flag int) (pots []placed, x int) {
	for number, l := range lots {
		for _, p := range l.pots {
			shows, looked := flagged(p.Now)
			if !looked[flag] || p.Now.Place == nil {
				continue
			}
			d := depth(in)
			one := placed{x: (float64(p.Now.Place.Row) - 0.5) * d, y: (float64(p.Now.Place.Across) - 0.5) * d, lot: number}
			if shows[flag] {
				one.value = 1
				x++
			}
			pots = append(pots, one)
		}
	}
	return pots, x
}
