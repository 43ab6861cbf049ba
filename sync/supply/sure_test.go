package supply

import (
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
