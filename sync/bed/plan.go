package bed

import (
	"cmp"
	"slices"

	"bedwalk/schema"
)

// MinPotsPerLot is the fewest pots that a plan asks of each stretch of a bed, as far as the number of pots goes: three let a small
// lot show a spread of its own. Common practice, no source.
const MinPotsPerLot = 3

// MakePlan chooses which pots to pull. The bed is cut into strata: first its stretches of lots, in proportion to pots
// on the bed with MinPotsPerLot at least; then, across each, the aisle edges and bands between them, in proportion to their width;
// then, along each band, as many equal pieces as it has pots to give. One pot is drawn in each piece. Shares that are not
// whole are rounded up or down by chance in proportion (systematic rounding), so that no edge is left out walk after walk.
// Places are listed as a snake from the entry end, slice by slice, across and back. A phone leads along the aisles instead.
//
// The same input, seed and n give the same places on every device: only whole numbers and Rand are used. A bed without rows
// or places across gives an empty plan, one smaller than n all its pots.
func MakePlan(in schema.BedInput, seed uint32, n int) schema.Plan {
	spans := stretches(in)
	r := NewRand(seed)
	var places []schema.Place
	for i, k := range shareOut(spans, n, r) {
		places = append(places, drawn(in, spans[i], k, r)...)
	}
	snake(in, places)
	if places == nil {
		places = []schema.Place{}
	}
	return schema.Plan{N: len(places), Places: places}
}

// stretch is rows from..to of a bed, with a weight in pots.
type stretch struct{ from, to, weight, cells int }

// stretches are the parts of a bed with a lot on them, cut to the bed; the whole bed when no lot is known. Weights are pots
// on the bed, or places where no stretch has any by the ledger.
func stretches(in schema.BedInput) []stretch {
	if in.Rows < 1 || in.Across < 1 {
		return nil
	}
	var spans []stretch
	potsOnBed := 0
	for _, l := range in.Lots {
		s := stretch{from: max(1, l.FromRow), to: min(in.Rows, l.ToRow), weight: max(0, l.PotsOnBed)}
		if s.to >= s.from {
			spans = append(spans, s)
			potsOnBed += s.weight
		}
	}
	if len(spans) == 0 {
		spans = []stretch{{from: 1, to: in.Rows}}
	}
	for i := range spans {
		spans[i].cells = (spans[i].to - spans[i].from + 1) * in.Across
		if potsOnBed == 0 {
			spans[i].weight = spans[i].cells
		}
	}
	return spans
}

// shareOut gives each stretch its number of pots: in proportion, then at least MinPotsPerLot (or an equal part when n is too small
// for that), taken from the stretches that have most, never more than it has places.
func shareOut(spans []stretch, n int, r *Rand) []int {
	if len(spans) == 0 || n < 1 {
		return nil
	}
	weights := make([]int, len(spans))
	withPots := 0
	for i, s := range spans {
		weights[i] = s.weight
		if s.weight > 0 {
			withPots++
		}
	}
	out := rounded(n, weights, r)
	least := min(MinPotsPerLot, n/withPots)
	for i, s := range spans {
		for s.weight > 0 && out[i] < min(least, s.cells) {
			most := slices.Index(out, slices.Max(out))
			if out[most] <= least {
				break
			}
			out[most]--
			out[i]++
		}
	}
	spare := 0
	for i, s := range spans {
		spare += max(0, out[i]-s.cells)
		out[i] = min(out[i], s.cells)
	}
	for i, s := range spans {
		more := min(spare, s.cells-out[i])
		out[i] += more
		spare -= more
	}
	return out
}

// rounded divides n in proportion to weights, each share rounded down or up with the chance that keeps it right on average
// (systematic sampling on the summed weights).
func rounded(n int, weights []int, r *Rand) []int {
	total := 0
	for _, w := range weights {
		total += w
	}
	out := make([]int, len(weights))
	if total == 0 {
		return out
	}
	start, sum, before := int(r.Below(uint32(total))), 0, 0
	for i, w := range weights {
		sum += w
		upTo := (n*sum + start) / total
		out[i] = upTo - before
		before = upTo
	}
	return out
}

// drawn chooses k places in one stretch.
func drawn(in schema.BedInput, s stretch, k int, r *Rand) []schema.Place {
	rows := s.to - s.from + 1
	bands := bandsOf(in, rows, k)
	widths := make([]int, len(bands))
	for i, b := range bands {
		widths[i] = b.to - b.from + 1
	}
	var places []schema.Place
	for i, m := range rounded(k, widths, r) {
		cells := rows * widths[i]
		for piece := range m {
			first, end := piece*cells/m, (piece+1)*cells/m
			cell := first + int(r.Below(uint32(end-first)))
			places = append(places, schema.Place{Row: s.from + cell/widths[i], Across: bands[i].from + cell%widths[i]})
		}
	}
	return places
}

// bandsOf cuts a stretch across: each aisle edge by itself, and what lies between into bands about as wide as the pieces of
// them are long, two at least once there are eight pots to place.
func bandsOf(in schema.BedInput, rows, k int) []stretch {
	first, last := 1, in.Across
	var near, far []stretch
	if atEdge(in, 1) && first <= last {
		near, first = []stretch{{from: 1, to: 1}}, 2
	}
	if atEdge(in, in.Across) && first <= last {
		far, last = []stretch{{from: last, to: last}}, last-1
	}
	inner := last - first + 1
	if inner < 1 {
		return slices.Concat(near, far)
	}
	parts := 1
	for (parts+1)*(parts+1)*rows <= k*inner {
		parts++
	}
	if k >= 8 {
		parts = max(parts, 2)
	}
	parts = min(parts, inner)
	middle := make([]stretch, parts)
	for i := range middle {
		middle[i] = stretch{from: first + i*inner/parts, to: first + (i+1)*inner/parts - 1}
	}
	return slices.Concat(near, middle, far)
}

// snake orders places for walking: the bed is cut along its length into slices about as deep as the bed is wide (never more of
// them than pots), and every second slice is walked back across. So a walk leads from the entry end to the far one, and no
// step goes back by more than a slice.
func snake(in schema.BedInput, places []schema.Place) {
	along := min(len(places), (in.Rows+in.Across-1)/max(1, in.Across))
	slice := func(p schema.Place) int { return (p.Row - 1) * along / in.Rows }
	slices.SortFunc(places, func(a, b schema.Place) int {
		across := cmp.Compare(a.Across, b.Across)
		if slice(a)%2 == 1 {
			across = -across
		}
		return cmp.Or(cmp.Compare(slice(a), slice(b)), across, cmp.Compare(a.Row, b.Row))
	})
}
