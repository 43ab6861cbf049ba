package bed

import (
	"cmp"
	"math"
	"slices"
)

// nearby is how many neighbours each pot looked at has: its nearest, since pots next to each other are hardly ever both
// looked at. Common practice, no source.
const nearby = 4

type cell struct{ x, y int }

// cells sorts pots into squares, so that neighbours are found without comparing every pot with every other.
type cells struct {
	side  float64
	in    map[cell][]int
	width int // the most squares from one end of the pots to the other
}

func (c cells) of(p placed) cell {
	return cell{int(math.Floor(p.x / c.side)), int(math.Floor(p.y / c.side))}
}

// cellsOf makes squares that hold about one place each. Of pots on one place it keeps nearby+1, which are enough neighbours for
// each other and for those around.
func cellsOf(pots []placed) cells {
	type point struct{ x, y float64 }
	at := map[point]int{}
	lowX, highX, lowY, highY := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	var kept []int
	for i, p := range pots {
		if at[point{p.x, p.y}]++; at[point{p.x, p.y}] > nearby+1 {
			continue
		}
		kept = append(kept, i)
		lowX, highX, lowY, highY = math.Min(lowX, p.x), math.Max(highX, p.x), math.Min(lowY, p.y), math.Max(highY, p.y)
	}
	places := float64(len(at))
	c := cells{side: max(math.Sqrt((highX-lowX)*(highY-lowY)/places), (highX-lowX)/places, (highY-lowY)/places), in: map[cell][]int{}}
	if !(c.side > 0) {
		c.side = 1
	}
	c.width = int(math.Max(highX-lowX, highY-lowY)/c.side) + 2
	for _, i := range kept {
		c.in[c.of(pots[i])] = append(c.in[c.of(pots[i])], i)
	}
	return c
}

// neighbours are each pot's nearest, those of equal distance in the order of pots.
func neighbours(pots []placed) [][]int {
	near := make([][]int, len(pots))
	c := cellsOf(pots)
	type other struct {
		i    int
		away float64
	}
	var found []other
	for i, p := range pots {
		found = found[:0]
		at := c.of(p)
		for ring := 0; ring <= c.width; ring++ {
			for _, around := range ringOf(at, ring) {
				for _, j := range c.in[around] {
					if j != i {
						found = append(found, other{j, math.Hypot(pots[j].x-p.x, pots[j].y-p.y)})
					}
				}
			}
			slices.SortFunc(found, func(a, b other) int { return cmp.Or(cmp.Compare(a.away, b.away), cmp.Compare(a.i, b.i)) })
			// Everything beyond this ring is farther than ring squares.
			if len(found) >= nearby && found[nearby-1].away <= float64(ring)*c.side {
				break
			}
		}
		for _, o := range found[:min(nearby, len(found))] {
			near[i] = append(near[i], o.i)
		}
	}
	return near
}

// ringOf are the squares that lie just so many steps from one, itself for none.
func ringOf(at cell, ring int) []cell {
	if ring == 0 {
		return []cell{at}
	}
	var all []cell
	for step := -ring; step <= ring; step++ {
		all = append(all, cell{at.x + step, at.y - ring}, cell{at.x + step, at.y + ring})
		if step > -ring && step < ring {
			all = append(all, cell{at.x - ring, at.y + step}, cell{at.x + ring, at.y + step})
		}
	}
	return all
}

// spacing is the usual distance from a pot to the nearest one on another place: the median, in metres; 0 when all stand on one.
func spacing(pots []placed, near [][]int) float64 {
	var away []float64
	for i, ones := range near {
		for _, j := range ones {
			if d := math.Hypot(pots[j].x-pots[i].x, pots[j].y-pots[i].y); d > 0 {
				away = append(away, d)
				break
			}
		}
	}
	if len(away) == 0 {
		return 0
	}
	slices.Sort(away)
	return away[len(away)/2]
}
