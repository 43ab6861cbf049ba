package view_test

import (
	"encoding/json"
	"errors"
	"testing"

	"bedwalk/schema"
	"bedwalk/server/view"
)

// What is tried is the plan that would be computed if it were written, and trying it leaves the plan as it is.
func TestWhatIsTriedIsThePlanThatWouldBeWritten(t *testing.T) {
	desk, err := grown()
	if err != nil {
		t.Fatal(err)
	}
	before, err := desk.Supply(t.Context())
	if err != nil {
		t.Fatal(err)
	}
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
	after, err := desk.Supply(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	a, _ := json.Marshal(before.Weeks)
	b, _ := json.Marshal(after.Weeks)
	if string(a) != string(b) {
		t.Error("trying changed what stands")
	}
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
	if _, err := desk.Try(t.Context(), schema.TryAsk{Lots: []schema.TryLot{{Lot: "ffffffffffffffffffffffffffffffff"}}}); !errors.Is(err, view.ErrNoSuch) {
		t.Errorf("%v", err)
	}
}
