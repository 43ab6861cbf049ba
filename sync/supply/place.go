package supply

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

func (b Booking) takes(p Pots) bool {
	return (b.Lot == "" || b.Lot == p.Lot) && (b.Cultivar == "" || b.Cultivar == p.Cultivar) && p.Grade <= b.Grade
}

// Place gives pots to bookings so that as many as possible are served, and returns what is missing of each. Of all ways to serve most
// pots it takes one that serves earlier bookings in the list first: a booking once served is served from other pots later, where that
// frees pots for another one, but never by fewer (largest flow by shortest paths; Edmonds and Karp 1972, JACM 19:248).
func Place(pots []Pots, bookings []Booking) (missing []int) {
	left := make([]int, len(pots))
	for i, p := range pots {
		left[i] = p.Pots
	}
	// given[b][p] are the pots of p that b has.
	given := make([][]int, len(bookings))
	for i := range given {
		given[i] = make([]int, len(pots))
	}
	missing = make([]int, len(bookings))
	for i, b := range bookings {
		missing[i] = b.Pots
		for missing[i] > 0 && serve(i, pots, bookings, left, given, missing) {
		}
	}
	return missing
}

// serve gives booking b some pots along one shortest chain: pots that are left, or pots that another booking gives up for others.
func serve(b int, pots []Pots, bookings []Booking, left []int, given [][]int, missing []int) bool {
	// By the pots of a chain: the booking that would take them, and for that booking the pots that it would give up.
	taker := make([]int, len(pots))
	for p := range taker {
		taker[p] = -1
	}
	givesUp := map[int]int{}
	queue := []int{b}
	for len(queue) > 0 {
		to := queue[0]
		queue = queue[1:]
		for p := range pots {
			if taker[p] >= 0 || !bookings[to].takes(pots[p]) {
				continue
			}
			taker[p] = to
			if left[p] > 0 {
				move(b, p, taker, givesUp, left, given, missing)
				return true
			}
			for other := range bookings {
				if _, in := givesUp[other]; !in && other != b && given[other][p] > 0 {
					givesUp[other] = p
					queue = append(queue, other)
				}
			}
		}
	}
	return false
}

// move carries as many pots as the chain that ends at p lets through.
func move(b, p int, taker []int, givesUp map[int]int, left []int, given [][]int, missing []int) {
	n := min(left[p], missing[b])
	for to, at := taker[p], p; to != b; to = taker[at] {
		at = givesUp[to]
		n = min(n, given[to][at])
	}
	left[p] -= n
	for at := p; ; {
		to := taker[at]
		given[to][at] += n
		if to == b {
			break
		}
		at = givesUp[to]
		given[to][at] -= n
	}
	missing[b] -= n
}
