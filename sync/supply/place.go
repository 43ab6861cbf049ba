package supply

import "slices"

// Pots are sure pots of one lot that are exactly of one grade, 0 the best. Without a lot they are pots that several lots are sure to have
// together, of one cultivar, or of any where Cultivar is "".
type Pots struct {
	Lot, Cultivar string
	Grade, Pots   int
}

// Booking wants so many pots of a grade or a better one: of one lot; of any lot of a cultivar where Lot is ""; of any lot where Cultivar is ""
// too. One of a lot may repeat the lot's cultivar.
type Booking struct {
	Lot, Cultivar string
	Grade, Pots   int
}

// IsNarrowerThan says that the other booking may be served from all lots that this one may, and from more.
func (b Booking) IsNarrowerThan(other Booking) bool {
	if b.Lot == "" {
		return b.Cultivar != "" && other.Lot == "" && other.Cultivar == ""
	}
	return other.Lot == "" && (other.Cultivar == "" || other.Cultivar == b.Cultivar)
}

func (b Booking) takes(p Pots) bool {
	return (b.Lot == "" || b.Lot == p.Lot) && (b.Cultivar == "" || b.Cultivar == p.Cultivar) && p.Grade <= b.Grade
}

// placing is pots, and the bookings that were given some of them, one after another, so that as many pots as possible serve. Of all ways to
// serve most it is one that serves earlier bookings first: a booking once served is served from other pots later, where that frees pots
// for another one, but never by fewer (largest flow by shortest paths; Edmonds and Karp 1972, JACM 19:248).
type placing struct {
	pots []Pots
	// left is what no booking has, of each of pots.
	left []int
	// bookings have the pots that they were given, given[b][p] those of pots[p].
	bookings []Booking
	given    [][]int
}

func placingOf(pots []Pots) *placing {
	placed := &placing{pots: pots, left: make([]int, len(pots))}
	for i, p := range pots {
		placed.left[i] = p.Pots
	}
	return placed
}

func (w *placing) clone() *placing {
	same := &placing{w.pots, slices.Clone(w.left), slices.Clone(w.bookings), slices.Clone(w.given)}
	for i, given := range w.given {
		same.given[i] = slices.Clone(given)
	}
	return same
}

// add gives pots to one more booking, none of those before it getting less, and returns what is missing of it.
func (w *placing) add(b Booking) (missing int) {
	i := len(w.bookings)
	missing, b.Pots = b.Pots, 0
	w.bookings, w.given = append(w.bookings, b), append(w.given, make([]int, len(w.pots)))
	for missing > 0 {
		n := w.serve(i, missing)
		if n == 0 {
			break
		}
		w.bookings[i].Pots += n
		missing -= n
	}
	return missing
}

// serve gives booking b some of the pots that are missing, along one shortest chain: pots that are left, or pots that another booking gives up for
// others. It returns how many; 0 where there is no chain.
func (w *placing) serve(b, missing int) int {
	// By the pots of a chain: the booking that would take them, and for that booking the pots that it would give up.
	taker := make([]int, len(w.pots))
	for p := range taker {
		taker[p] = -1
	}
	givesUp := map[int]int{}
	queue := []int{b}
	for len(queue) > 0 {
		to := queue[0]
		queue = queue[1:]
		for p := range w.pots {
			if taker[p] >= 0 || !w.bookings[to].takes(w.pots[p]) {
				continue
			}
			taker[p] = to
			if w.left[p] > 0 {
				return w.move(b, p, missing, taker, givesUp)
			}
			for other := range w.bookings {
				if _, in := givesUp[other]; !in && other != b && w.given[other][p] > 0 {
					givesUp[other] = p
					queue = append(queue, other)
				}
			}
		}
	}
	return 0
}

// move carries as many of the missing pots as the chain that ends at p lets through.
func (w *placing) move(b, p, missing int, taker []int, givesUp map[int]int) int {
	n := min(w.left[p], missing)
	for to, at := taker[p], p; to != b; to = taker[at] {
		at = givesUp[to]
		n = min(n, w.given[to][at])
	}
	w.left[p] -= n
	for at := p; ; {
		to := taker[at]
		w.given[to][at] += n
		if to == b {
			return n
		}
		at = givesUp[to]
		w.given[to][at] -= n
	}
}
