package bed

import (
	"maps"
	"testing"
)

func TestShippedPotsServeTheBookingsOfTheirWeekFirst(t *testing.T) {
	grades := []string{"florist", "nursery"}
	bookings := []Booked{
		{"old", "florist", "2026-W48", 30, 0}, {"f", "florist", "2026-W50", 100, 0}, {"n", "nursery", "2026-W50", 60, 0},
		{"next", "florist", "2026-W51", 40, 0}, {"later", "florist", "2027-W02", 50, 0},
	}
	for name, c := range map[string]struct {
		shipments []Shipment
		want      map[string]int
		free      int
	}{
		"nothing shipped":                       {nil, map[string]int{}, 0},
		"the lesser grade first":                {[]Shipment{{"2026-W50", 70, 0, ""}}, map[string]int{"n": 60, "f": 10}, 0},
		"then what is left of earlier weeks":    {[]Shipment{{"2026-W50", 175, 0, ""}}, map[string]int{"n": 60, "f": 100, "old": 15}, 0},
		"then the week after, and none beyond":  {[]Shipment{{"2026-W50", 300, 0, ""}}, map[string]int{"n": 60, "f": 100, "old": 30, "next": 40}, 70},
		"over the weekend before":               {[]Shipment{{"2026-W49", 100, 0, ""}}, map[string]int{"old": 30, "n": 60, "f": 10}, 0},
		"two trucks of one week":                {[]Shipment{{"2026-W50", 70, 0, ""}, {"2026-W50", 90, 0, ""}}, map[string]int{"n": 60, "f": 100}, 0},
		"the week after the last of a year":     {[]Shipment{{"2027-W01", 20, 0, ""}}, map[string]int{"old": 20}, 0},
		"a pot sold long before serves nothing": {[]Shipment{{"2026-W40", 20, 0, ""}}, map[string]int{}, 20},
	} {
		t.Run(name, func(t *testing.T) {
			have, rest := Serve(bookings, c.shipments, grades)
			maps.DeleteFunc(have, func(_ string, n int) bool { return n == 0 })
			if !maps.Equal(have, c.want) || potsIn(rest) != c.free {
				t.Errorf("%v, %v free; want %v, %d", have, rest, c.want, c.free)
			}
		})
	}
	// ISO 8601: 2026 has 53 weeks.
	if have, _ := Serve([]Booked{{"a", "", "2027-W01", 5, 0}}, []Shipment{{"2026-W53", 5, 0, ""}}, nil); have["a"] != 5 {
		t.Errorf("week 1 does not follow week 53: %v", have)
	}
}

// Pots that were sold before a booking was entered are not its pots, whatever its week.
func TestShippedPotsServeNoBookingThatWasEnteredAfterThem(t *testing.T) {
	bookings := []Booked{{"before", "", "2026-W50", 30, 100}, {"after", "", "2026-W50", 30, 300}, {"next", "", "2026-W51", 30, 300}}
	have, rest := Serve(bookings, []Shipment{{"2026-W50", 50, 200, ""}, {"2026-W50", 40, 300, ""}}, nil)
	if have["before"] != 30 || have["after"] != 30 || have["next"] != 10 || potsIn(rest) != 20 || rest[0].At != 200 {
		t.Errorf("%v, %v free", have, rest)
	}
}

func potsIn(shipments []Shipment) (sum int) {
	for _, s := range shipments {
		sum += s.Pots
	}
	return sum
}
