package bed

import (
	"cmp"
	"slices"

	"bedwalk/sync/calendar"
)

// Booked is one booking that was not cancelled. Week is an ISO week ("2026-W50"), "" when none was set; Since is when it was
// entered, ms since 1970.
type Booked struct {
	ID, Grade, Week string
	Pots            int
	Since           int64
}

// Shipment is pots of a lot (Of) that were shipped in an ISO week, At that many ms since 1970.
type Shipment struct {
	Week string
	Pots int
	At   int64
	Of   string
}

// Serve returns how much of each booking was shipped, and the shipped pots that served none. Shipments come in order of time. Pots
// serve the bookings of the week in which they were shipped first, then those of earlier weeks that are still open, the oldest
// first, then those of the week after, since a truck is loaded over the weekend; never later ones, because pots that were sold
// without a booking would then pass for promised ones. For the same reason they serve none that was entered after them. The ledger does not
// say which grade was shipped: within a week the lesser grades are served first, so that the better ones, which are fewer, are never taken
// for shipped too soon. Grades are names, best first; a name that is not among them counts as the best.
func Serve(bookings []Booked, shipments []Shipment, grades []string) (shipped map[string]int, rest []Shipment) {
	shipped = map[string]int{}
	rank := func(b Booked) int { return max(0, slices.Index(grades, b.Grade)) }
	order := slices.SortedFunc(slices.Values(bookings), func(a, b Booked) int {
		return cmp.Or(cmp.Compare(a.Week, b.Week), cmp.Compare(rank(b), rank(a)), cmp.Compare(a.ID, b.ID))
	})
	for _, s := range shipments {
		next := nextWeek(s.Week)
		for _, serves := range []func(Booked) bool{
			func(b Booked) bool { return b.Week == s.Week },
			func(b Booked) bool { return b.Week < s.Week },
			func(b Booked) bool { return b.Week > s.Week && b.Week == next },
		} {
			for _, b := range order {
				if b.Since > s.At || !serves(b) {
					continue
				}
				n := min(s.Pots, b.Pots-shipped[b.ID])
				shipped[b.ID] += n
				s.Pots -= n
			}
		}
		if s.Pots > 0 {
			rest = append(rest, s)
		}
	}
	return shipped, rest
}

func nextWeek(written string) string {
	week, err := calendar.ParseWeek(written)
	if err != nil {
		return ""
	}
	return week.Add(1).String()
}
