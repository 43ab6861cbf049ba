package supply

import "slices"

// Served are the bookings of a week with the pots that they were given, in the order in which they are served.
type Served struct {
	week   *Week
	placed *placing
	spare  []*spare
}

// Serve gives a week's pots to its bookings, earlier ones first, and returns what is missing of each. A booking is given as many pots as are there in
// 19 of 20 cases once those that were given before it have theirs, from whichever lots they may be served; this in its grade and in each lesser one,
// since these count the same pots. So it never counts on pots that an earlier booking may have to take, and no later one takes any from it. Besides, all
// of them must find room in what each lot is sure of and several are together (see Sure): no lot gives a better grade than it has.
//
// What is missing of a booking is kept for nobody: later ones may be given it.
func (w *Week) Serve(bookings []Booking) (served *Served, missing []int) {
	served = &Served{week: w, placed: placingOf(w.pots()), spare: make([]*spare, len(w.All))}
	for _, b := range bookings {
		asked := b
		asked.Pots = served.most(b)
		lacks := served.placed.add(asked)
		missing = append(missing, b.Pots-asked.Pots+lacks)
		asked.Pots -= lacks
		for _, spare := range served.spare {
			if spare != nil {
				spare.give(asked)
			}
		}
	}
	return served, missing
}

// Room is how many pots of one more booking, served after all others, would be given.
func (s *Served) Room(b Booking) int {
	b.Pots = s.most(b)
	return b.Pots - s.placed.clone().add(b)
}

// Short is the chance that one more booking, served after all others, would not have all its pots.
func (s *Served) Short(b Booking) (chance float64) {
	for k := b.Grade; k < len(s.spare) && b.Pots > 0; k++ {
		chance = max(chance, 1-s.at(k).of(b).there(b.Pots))
	}
	return chance
}

// most is how many pots of one more booking are there in 19 of 20 cases, whatever the lots give one by one.
func (s *Served) most(b Booking) int {
	for k := b.Grade; k < len(s.spare); k++ {
		b.Pots = s.at(k).of(b).most(b.Pots)
	}
	return b.Pots
}

// Leans is how many pots of each very grade of a lot bookings of its cultivar or of anything need, if it is ready: what one more booking of the lot
// could be given if these were not, less what it can be given.
func (s *Served) Leans(name string) []int {
	grades := len(s.spare)
	leans, pots, free, room := make([]int, grades), make([]int, grades), make([]int, grades), make([]int, grades)
	lot, ok := s.week.places[name]
	if !ok {
		return leans
	}
	all := s.week.lots[lot].Pots()
	for k := grades - 1; k >= 0; k-- {
		at := s.at(k)
		ifReady := func(less int, wider bool) int {
			return at.ofLot(lot, less, wider).ifSure(s.week.lots[lot].Ready).most(all)
		}
		pots[k], free[k], room[k] = ifReady(0, false), ifReady(at.own[lot], false), ifReady(at.own[lot], true)
		if k+1 < grades {
			free[k], room[k] = min(free[k], free[k+1]), min(room[k], room[k+1])
		}
	}
	placed := s.placedIfSure(lot, pots)
	upTo := 0
	for k := range leans {
		room[k] -= placed.clone().add(Booking{Lot: name, Cultivar: s.week.lots[lot].Cultivar, Grade: k, Pots: room[k]})
		leans[k] = max(0, free[k]-room[k]-upTo)
		upTo += leans[k]
	}
	return leans
}

// placedIfSure are the bookings as they were given pots, if a lot were sure of so many.
func (s *Served) placedIfSure(lot int, pots []int) *placing {
	sure := s.week.Sure
	sure.Lots = slices.Clone(sure.Lots)
	sure.Lots[lot].Pots = pots
	placed := placingOf(sure.pots())
	for _, b := range s.placed.bookings {
		placed.add(b)
	}
	return placed
}
