package view_test

import (
	"encoding/json"
	"errors"
	"testing"

	"bedwalk/schema"
	"bedwalk/server/view"
)

func demoSupply(t *testing.T) (*view.Views, schema.SupplyView) {
	t.Helper()
	desk, err := grown()
	if err != nil {
		t.Fatal(err)
	}
	supply, err := desk.Supply(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	return desk, supply
}

// stillStands fails where the ship weeks are otherwise than they were.
func stillStands(t *testing.T, desk *view.Views, before schema.SupplyView) {
	t.Helper()
	after, err := desk.Supply(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	a, _ := json.Marshal(before.Weeks)
	b, _ := json.Marshal(after.Weeks)
	if string(a) != string(b) {
		t.Error("the ship weeks are otherwise than they were")
	}
}

// What is tried is the plan that would be computed if it were written, and trying it leaves the plan as it is.
func TestWhatIsTriedIsThePlanThatWouldBeWritten(t *testing.T) {
	desk, before := demoSupply(t)
	var of schema.SupplyWeek
	for _, w := range before.Weeks {
		if len(w.Lots) > 1 && w.Lots[0].Basis == "walk" {
			of = w
			break
		}
	}
	lot := of.Lots[0].Lot
	got, err := desk.Try(t.Context(), schema.TryAsk{Lots: []schema.TryLot{{Lot: lot, ShipWeek: new("2027-W20")}}})
	if err != nil {
		t.Fatal(err)
	}
	if len(got.Lots) != 1 || got.Lots[0].Now.By != of.By || got.Lots[0].Tried.By != "2027-05-17" || *got.Lots[0].Tried.Chance < *got.Lots[0].Now.Chance {
		t.Fatalf("%+v", got.Lots)
	}
	// The week loses the lot and its pots, another one has both.
	var left, gained *schema.SupplyWeek
	for i, w := range got.Tried {
		switch w.Week {
		case of.Week:
			left = &got.Tried[i]
		case "2027-W20":
			gained = &got.Tried[i]
		}
	}
	if left == nil || gained == nil || len(left.Lots) != len(of.Lots)-1 || len(gained.Lots) != 1 || gained.Lots[0].Lot != lot {
		t.Fatalf("%+v", got.Tried)
	}
	if got.Now[0].Grades[0] != of.Grades[0] || left.Grades[0].Expected >= of.Grades[0].Expected {
		t.Errorf("now %+v, tried %+v, stands %+v", got.Now[0].Grades[0], left.Grades[0], of.Grades[0])
	}
	stillStands(t, desk, before)
}

// A booking of the crop is tried: its week has it and less to promise, the demo's other bookings keep what they have, and nothing is written.
func TestATriedBookingIsInItsWeekAlone(t *testing.T) {
	desk, before := demoSupply(t)
	for _, of := range before.Weeks {
		if len(of.Grades) == 0 || of.Grades[0].Safe < 2 {
			continue
		}
		ask := schema.TryBooking{Crop: of.Crop, PotMM: of.PotMM, Grade: of.Grades[0].Grade, Pots: of.Grades[0].Safe, ShipWeek: of.Week}
		got, err := desk.Try(t.Context(), schema.TryAsk{Bookings: []schema.TryBooking{ask}})
		if err != nil {
			t.Fatal(err)
		}
		if len(got.Tried) != 1 || len(got.Now) != 1 || len(got.Now[0].Bookings) != len(of.Bookings) {
			t.Fatalf("%+v", got)
		}
		now, tried := got.Now[0], got.Tried[0]
		last := tried.Bookings[len(tried.Bookings)-1]
		if last.ID != schema.TriedID || last.Missing != 0 || tried.Missing != now.Missing || tried.Grades[0].Safe != 0 {
			t.Errorf("what is safe to promise of %s can be booked: %+v, %+v, missing %d and %d", of.Week, last, tried.Grades, now.Missing, tried.Missing)
		}
		if now.Missing+now.Undecided > 0 {
			continue // What is missing of an earlier booking is taken from nobody.
		}
		ask.Pots++
		got, err = desk.Try(t.Context(), schema.TryAsk{Bookings: []schema.TryBooking{ask}})
		if err != nil {
			t.Fatal(err)
		}
		if last = got.Tried[0].Bookings[len(tried.Bookings)-1]; last.Missing != 1 || got.Tried[0].Missing+got.Tried[0].Undecided != 1 {
			t.Errorf("one more than is safe in %s: %+v", of.Week, last)
		}
	}
	stillStands(t, desk, before)
}

// A booking that is moved to another week leaves its own: both are shown.
func TestATriedChangeOfABookingShowsBothWeeks(t *testing.T) {
	desk, before := demoSupply(t)
	for _, of := range before.Weeks {
		for _, b := range of.Bookings {
			got, err := desk.Try(t.Context(), schema.TryAsk{Bookings: []schema.TryBooking{
				{ID: b.ID, Crop: of.Crop, PotMM: of.PotMM, Grade: b.Grade, Pots: b.Open, ShipWeek: "2027-W20"},
			}})
			if err != nil {
				t.Fatal(err)
			}
			if len(got.Tried) == 2 && len(got.Tried[0].Bookings) == len(of.Bookings)-1 && got.Tried[1].Week == "2027-W20" && got.Tried[1].Bookings[0].Buyer == b.Buyer {
				return
			}
			t.Fatalf("%+v", got.Tried)
		}
	}
	t.Fatal("the demo has no booking")
}

func TestATryThatCannotBeIsRefusedWithWhatToDo(t *testing.T) {
	desk, err := grown()
	if err != nil {
		t.Fatal(err)
	}
	plan, err := desk.Plan(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	lot, stands := plan.Lots[0].Lot, plan.Lots[0].ShipWeek
	if _, err := desk.Try(t.Context(), schema.TryAsk{Lots: []schema.TryLot{{Lot: lot, ShipWeek: &stands}}}); err != nil {
		t.Errorf("the lot as it stands: %v", err)
	}
	for _, as := range []schema.TryLot{
		{Lot: lot, ShipWeek: new("2026-W40")}, {Lot: lot, ShipWeek: new("2027-W53")}, {Lot: lot, PinCool: new("2026-11-24")},
	} {
		_, err := desk.Try(t.Context(), schema.TryAsk{Lots: []schema.TryLot{as}})
		if p, ok := errors.AsType[*schema.Problem](err); !ok || p.Remedy == "" {
			t.Errorf("%+v: %v", as, err)
		}
	}
	for _, as := range []schema.TryBooking{
		{}, {Crop: "azalea", Pots: 5, ShipWeek: "2027-W20"}, {Crop: "azalea", PotMM: 130, Pots: 5}, {Crop: "azalea", PotMM: 130, Pots: 5, ShipWeek: "2026-W40"},
	} {
		ask := schema.TryAsk{Bookings: []schema.TryBooking{as}}
		if as.Crop == "" {
			ask.Bookings = nil
		}
		_, err := desk.Try(t.Context(), ask)
		if p, ok := errors.AsType[*schema.Problem](err); !ok || p.Remedy == "" {
			t.Errorf("%+v: %v", as, err)
		}
	}
	if _, err := desk.Try(t.Context(), schema.TryAsk{Lots: []schema.TryLot{{Lot: "ffffffffffffffffffffffffffffffff"}}}); !errors.Is(err, view.ErrNoSuch) {
		t.Errorf("%v", err)
	}
}
