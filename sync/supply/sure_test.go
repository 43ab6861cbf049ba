package supply

import (
	"slices"
	"testing"

	"pgregory.net/rapid"
)

func anySure(t *rapid.T) Sure {
	upTo := func(name string) []int {
		first := rapid.IntRange(0, 6).Draw(t, name+" first")
		return []int{first, first + rapid.IntRange(0, 6).Draw(t, name+" second")}
	}
	return Sure{
		Lots:      []SureLot{{"A", "a", upTo("A")}, {"B", "a", upTo("B")}, {"C", "b", upTo("C")}},
		Cultivars: map[string][]int{"a": upTo("of a"), "b": upTo("of b")}, All: upTo("of all"),
	}
}

func anyBookings(t *rapid.T) (all []Booking) {
	for range rapid.IntRange(0, 5).Draw(t, "bookings") {
		all = append(all, anyBooking(t))
	}
	return all
}

// holds says whether bookings could be given in full, case by case: what any set of them wants must be there (Hall's condition), and those that
// count on several lots must not be past what these are sure of together.
func (s Sure) holds(pots []Pots, given []Booking) bool {
	if lack(pots, given) > 0 {
		return false
	}
	for i, b := range given {
		if b.Lot != "" || b.Pots == 0 {
			continue
		}
		for k := b.Grade; k < len(s.All); k++ {
			ofAll, ofCultivar := 0, 0
			for _, g := range given[:i+1] {
				if g.Grade <= k {
					ofAll += g.Pots
				}
				if g.Grade <= k && g.Cultivar == b.Cultivar {
					ofCultivar += g.Pots
				}
			}
			if ofAll > s.All[k] || b.Cultivar != "" && ofCultivar > s.Cultivars[b.Cultivar][k] {
				return false
			}
		}
	}
	return true
}

// Each booking against every number of pots it could have had, one by one, after those that were entered before it.
func TestSurePotsAreGivenAsFarAsTheyGoAndTheEarlierFirst(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, bookings := anySure(t), anyBookings(t)
		pots := s.pots()
		var given []Booking
		for i, missing := range s.Place(bookings) {
			most := 0
			for n := 1; n <= bookings[i].Pots; n++ {
				one := bookings[i]
				if one.Pots = n; s.holds(pots, append(slices.Clone(given), one)) {
					most = n
				}
			}
			one := bookings[i]
			if one.Pots -= missing; one.Pots != most {
				t.Fatalf("booking %d of %+v has %d pots, could have %d", i, bookings, one.Pots, most)
			}
			given = append(given, one)
		}
	})
}

// What several lots are sure of together is there once: the pots of a scope come to what it is sure of, or to what its lots are by themselves.
func TestPotsOfSeveralLotsAreThereOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anySure(t)
		pots := s.pots()
		for k := range s.All {
			alone, of := map[string]int{}, map[string]int{}
			for _, l := range s.Lots {
				alone[l.Cultivar] += l.Pots[k]
			}
			for _, p := range pots {
				if p.Grade <= k {
					of[p.Cultivar] += p.Pots
				}
			}
			for cultivar, n := range alone {
				if of[cultivar] < max(n, s.Cultivars[cultivar][k]) {
					t.Fatalf("%q, grade %d: %d pots of %d alone, %d together", cultivar, k, of[cultivar], n, s.Cultivars[cultivar][k])
				}
			}
			if all := of["a"] + of["b"] + of[""]; all < s.All[k] {
				t.Fatalf("grade %d: %d pots of %d", k, all, s.All[k])
			}
		}
	})
}

// A lot's pots that no booking leans on may be promised, and not one more: a booking of them, served before all others, leaves nobody else with
// less, and a larger one leaves somebody with less or is not met itself. In small nurseries, with one grade.
func TestWhatLeansOnALotIsWhatItCannotGiveAway(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, bookings := anySure(t), anyBookings(t)
		for i := range bookings {
			bookings[i].Grade = 0
		}
		pots := Sure{Lots: s.Lots, All: []int{0, 0}}.pots()
		own := 0
		for _, b := range bookings {
			if b.Lot == "A" {
				own += b.Pots
			}
		}
		free := max(0, s.Lots[0].Pots[0]-own-s.Leans(bookings)[0][0])
		before := Place(pots, bookings)
		harms := func(n int) bool {
			after := Place(pots, append([]Booking{{Lot: "A", Pots: n}}, bookings...))
			sum := func(all []int) (sum int) {
				for _, n := range all {
					sum += n
				}
				return sum
			}
			return sum(after) > sum(before)
		}
		if harms(free) {
			t.Fatalf("%d pots of A given away are missing: %+v", free, bookings)
		}
		if own <= s.Lots[0].Pots[0] && !harms(free+1) {
			t.Fatalf("one more than %d pots of A could be given away: %+v", free, bookings)
		}
	})
}

// With lesser grades, what may be promised of a lot (see bed.Promised) still leaves nobody with less.
func TestWhatMayBePromisedOfALotHarmsNobody(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, bookings := anySure(t), anyBookings(t)
		leans := s.Leans(bookings)[0]
		k := rapid.IntRange(0, 1).Draw(t, "of grade")
		free, taken := 1<<30, 0
		for g, sure := range s.Lots[0].Pots {
			taken += leans[g]
			for _, b := range bookings {
				if b.Lot == "A" && b.Grade == g {
					taken += b.Pots
				}
			}
			if g >= k {
				free = min(free, sure-taken)
			}
		}
		free = max(0, free)
		pots := Sure{Lots: s.Lots, All: []int{0, 0}}.pots()
		before := Place(pots, bookings)
		after := Place(pots, append([]Booking{{Lot: "A", Grade: k, Pots: free}}, bookings...))
		was, is := 0, after[0]
		for i, n := range before {
			was, is = was+n, is+after[i+1]
		}
		if is > was {
			t.Fatalf("%d pots of A in grade %d harm %+v with %+v", free, k, bookings, s.Lots)
		}
	})
}
