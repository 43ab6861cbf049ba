package supply

import (
	"maps"
	"slices"
)

// Sure is what a week is sure to have, in each grade or a better one: of each lot by itself, of the lots of each cultivar together, and of all.
type Sure struct {
	Lots      []SureLot
	Cultivars map[string][]int
	All       []int
}

// SureLot is one lot's own share.
type SureLot struct {
	Lot, Cultivar string
	Pots          []int
}

// Place gives the sure pots to the bookings, earlier ones first, and returns what is missing of each. A booking of a lot takes what that lot is
// sure of by itself; one of a cultivar or of anything may count on what its lots are sure of together, which is mostly more than what each is
// sure of, added up. It never counts on more: then what was given before, from all lots of its cultivar or of the week, leaves it less.
func (s Sure) Place(bookings []Booking) (missing []int) {
	placed := placingOf(s.pots())
	for _, b := range bookings {
		asked := b
		if b.Lot == "" {
			asked.Pots = min(b.Pots, s.room(b, placed.bookings))
		}
		missing = append(missing, b.Pots-asked.Pots+placed.add(asked))
	}
	return missing
}

// room is how much of a booking of a cultivar or of anything its lots are sure of together, beyond what was given before: in its grade, and in each
// lesser one, which counts the same pots.
func (s Sure) room(b Booking, given []Booking) int {
	room := b.Pots
	for k := b.Grade; k < len(s.All); k++ {
		ofAll, ofCultivar := s.All[k], upTo(s.Cultivars[b.Cultivar], k)
		for _, g := range given {
			if g.Grade > k {
				continue
			}
			ofAll -= g.Pots
			if g.Cultivar == b.Cultivar {
				ofCultivar -= g.Pots
			}
		}
		if room = min(room, ofAll); b.Cultivar != "" {
			room = min(room, ofCultivar)
		}
	}
	return max(0, room)
}

// upTo is a grade's number, 0 where there is none.
func upTo(pots []int, k int) int {
	if k < len(pots) {
		return pots[k]
	}
	return 0
}

// pots are the lots' own, then what several are sure of beyond these: of each cultivar, and of all.
func (s Sure) pots() (all []Pots) {
	byCultivar := map[string][]int{"": make([]int, len(s.All))}
	for _, l := range s.Lots {
		exact := exactly(l.Pots)
		if byCultivar[l.Cultivar] == nil {
			byCultivar[l.Cultivar] = make([]int, len(s.All))
		}
		sum := 0
		for k, n := range exact {
			all = append(all, Pots{l.Lot, l.Cultivar, k, n})
			sum += n
			byCultivar[l.Cultivar][k] += sum
		}
	}
	together := make([]int, len(s.All))
	for _, cultivar := range slices.Sorted(maps.Keys(byCultivar)) {
		more := make([]int, len(s.All))
		for k, alone := range byCultivar[cultivar] {
			if cultivar != "" {
				more[k] = max(0, upTo(s.Cultivars[cultivar], k)-alone)
			}
			together[k] += alone
		}
		sum := 0
		for k, n := range exactly(more) {
			all = append(all, Pots{"", cultivar, k, n})
			sum += n
			together[k] += sum
		}
	}
	for k := range together {
		together[k] = max(0, s.All[k]-together[k])
	}
	for k, n := range exactly(together) {
		all = append(all, Pots{"", "", k, n})
	}
	return all
}

// exactly turns pots in a grade or a better one into pots of each very grade.
func exactly(upTo []int) []int {
	exact, before := make([]int, len(upTo)), 0
	for k, n := range upTo {
		exact[k] = max(0, n-before)
		before = max(before, n)
	}
	return exact
}

// Leans is, lot by lot, how many pots of each grade bookings of a cultivar or of anything need of it: what would be missing of them without it and
// is not missing with it, if each lot gave what it is sure of by itself. Bookings of a lot are served first, so that the others lean on what is left.
func (s Sure) Leans(bookings []Booking) (leans [][]int) {
	pots := Sure{Lots: s.Lots, All: make([]int, len(s.All))}.pots()
	order := slices.Clone(bookings)
	slices.SortStableFunc(order, func(a, b Booking) int { return wide(a) - wide(b) })
	with := Place(pots, order)
	for _, lot := range s.Lots {
		without := slices.DeleteFunc(slices.Clone(pots), func(p Pots) bool { return p.Lot == lot.Lot })
		of := make([]int, len(s.All))
		for i, missing := range Place(without, order) {
			if order[i].Lot == "" {
				of[order[i].Grade] += max(0, missing-with[i])
			}
		}
		leans = append(leans, of)
	}
	return leans
}

// wide puts bookings of a lot before those of anything.
func wide(b Booking) int {
	if b.Lot == "" {
		return 1
	}
	return 0
}
