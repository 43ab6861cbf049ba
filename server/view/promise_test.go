package view_test

import (
	"slices"
	"testing"

	"bedwalk/schema"
	"bedwalk/server/testphone"
	"bedwalk/sync/bed"
)

func TestTheDemoLotBookedInBothGradesKeepsItsFloristNumber(t *testing.T) {
	d, err := grown()
	if err != nil {
		t.Fatal(err)
	}
	n, err := planted()
	if err != nil {
		t.Fatal(err)
	}
	v, err := d.Lot(t.Context(), n.Truth.BookedLot)
	if err != nil {
		t.Fatal(err)
	}
	if v.Promise == nil || len(v.Promise.Lines) != 2 || len(v.Bookings) != 2 {
		t.Fatalf("%+v, %+v", v.Promise, v.Bookings)
	}
	florist, nursery := v.Promise.Lines[0], v.Promise.Lines[1]
	if nursery.Booked != n.Truth.BookedNursery || florist.Booked == 0 || florist.Over+nursery.Over > 0 {
		t.Errorf("florist %+v, nursery %+v", florist, nursery)
	}
	// What is left of it at shipping, less its own bookings alone.
	if florist.Safe != florist.Kept-florist.Booked || florist.Kept > florist.Sure || nursery.Safe < florist.Safe {
		t.Errorf("florist %+v, nursery %+v", florist, nursery)
	}
}

// booked is a small nursery with a whole walk of twelve good pots, graded, and the lot as it is seen.
func booked(t *testing.T, more func(p *testphone.Phone, n testphone.Nursery)) schema.LotView {
	t.Helper()
	o := newOffice(t)
	p := testphone.New("1111111111111111")
	n := p.Plant()
	grades := []schema.Grade{{Name: "florist", PotMM: 130, HeadMinMM: new(280)}, {Name: "nursery", PotMM: 130, HeadMinMM: new(200)}}
	p.Note("profile", "", "", schema.Profile{Writes: schema.Writes{Of: n.Profile}, Crop: new("azalea"), ExpectedLossBP: new(0), Grades: &grades})
	for i := range 12 {
		p.See(n, 1+i/5, 1+i%5, 300, 40)
	}
	p.Note("walk_end", "", n.Bed, schema.WalkEnd{Walk: n.Walk, Bed: n.Bed, Why: "planned"})
	more(p, n)
	o.push(p)
	v, err := o.desk.Lot(t.Context(), n.Lot)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func book(p *testphone.Phone, n testphone.Nursery, name, grade, week string, pots int) {
	p.Note("booking", n.Lot, "", schema.Booking{
		Writes: schema.Writes{Of: testphone.ID(name)}, Lot: &n.Lot, Grade: &grade, Pots: &pots, Buyer: &name, ShipWeek: &week,
	})
}

// The office's clock stands on 9 September 2001, in ISO week 36. 12 of 12 of 50 pots: 41 by exact fractions (Python).
func TestBookingsAreSubtractedByGradeAndServedByWhatIsShipped(t *testing.T) {
	v := booked(t, func(p *testphone.Phone, n testphone.Nursery) {
		book(p, n, "Oxbow", "florist", "2001-W36", 10)
		book(p, n, "Ferry", "nursery", "2001-W36", 8)
		book(p, n, "Gone", "florist", "2001-W36", 30)
		p.Note("booking", n.Lot, "", schema.Booking{Writes: schema.Writes{Of: testphone.ID("Gone")}, Cancelled: new(true)})
		p.Note("count", n.Lot, n.Bed, schema.Count{Lot: n.Lot, Span: n.Span, Change: -10, Reason: "shipped"})
	})
	lines := v.Promise.Lines
	// Ten pots have left the 50, taken for florist ones: 31 of 40 are sure. Eight nursery and two florist pots were shipped.
	if lines[0].Sure != 31 || lines[0].Booked != 8 || lines[0].Safe != 23 || lines[1].Booked != 0 || v.Promise.Left != 10 {
		t.Errorf("%+v", v.Promise)
	}
	open, shipped := map[string]int{}, map[string]int{}
	for _, b := range v.Bookings {
		open[b.Buyer], shipped[b.Buyer] = b.Open, b.Shipped
		if len(b.Live) == 0 {
			t.Errorf("%s says not what it was folded from", b.Buyer)
		}
	}
	if open["Oxbow"] != 8 || shipped["Oxbow"] != 2 || open["Ferry"] != 0 || shipped["Ferry"] != 8 || open["Gone"] != 0 || v.ShippedFree != 0 {
		t.Errorf("%+v", v.Bookings)
	}
}

// Twenty pots were sold on the spot, then thirty of the rest were booked for the same week: all thirty are still owed.
func TestABookingEnteredAfterPotsWereSoldIsOpenInFull(t *testing.T) {
	v := booked(t, func(p *testphone.Phone, n testphone.Nursery) {
		p.Note("count", n.Lot, n.Bed, schema.Count{Lot: n.Lot, Span: n.Span, Change: -20, Reason: "shipped"})
		book(p, n, "Oxbow", "florist", "2001-W36", 30)
		p.Note("booking", n.Lot, "", schema.Booking{Writes: schema.Writes{Of: testphone.ID("Oxbow")}, Pots: new(25)})
	})
	if b := v.Bookings[0]; b.Open != 25 || b.Shipped != 0 || v.ShippedFree != 20 {
		t.Errorf("%+v, %d free", b, v.ShippedFree)
	}
}

func TestOverbookingIsSaid(t *testing.T) {
	v := booked(t, func(p *testphone.Phone, n testphone.Nursery) { book(p, n, "Oxbow", "florist", "2001-W40", 45) })
	if line := v.Promise.Lines[0]; line.Over != 4 || line.Safe != 0 {
		t.Errorf("%+v", line)
	}
}

func TestAShippedLotHasNoOpenBookingsAndNoPromise(t *testing.T) {
	v := booked(t, func(p *testphone.Phone, n testphone.Nursery) {
		book(p, n, "Oxbow", "florist", "2001-W36", 10)
		p.Note("lot", n.Lot, "", schema.Lot{Writes: schema.Writes{Of: n.Lot}, ShippedOn: new("2001-09-08")})
	})
	if v.Promise.Hold != "shipped" || v.Bookings[0].Open != 0 {
		t.Errorf("%+v, %+v", v.Promise, v.Bookings)
	}
}

func TestAMoveWithinABedAndARecountAreNoLossOfPots(t *testing.T) {
	v := booked(t, func(p *testphone.Phone, n testphone.Nursery) {
		other := testphone.ID("other span")
		p.Note("span", n.Lot, n.Bed, schema.Span{Writes: schema.Writes{Of: other}, Lot: &n.Lot, Bed: &n.Bed, FromRow: new(1), ToRow: new(2)})
		p.Note("move", n.Lot, n.Bed, schema.Move{Why: "moved", Legs: []schema.Leg{
			{Lot: n.Lot, Span: n.Span, Change: -20}, {Lot: n.Lot, Span: other, Change: 20},
		}})
	})
	if v.Promise.Left != 0 || v.Promise.PotsOnBed != 50 || v.Promise.Lines[0].Sure != 41 {
		t.Errorf("%+v", v.Promise)
	}
}

// A stretch that nobody counted says how many pots it could hold, not how many there are, whichever of the lot's stretches it is.
func TestALotOfWhichOneStretchIsNotCountedPromisesNothing(t *testing.T) {
	v := booked(t, func(p *testphone.Phone, n testphone.Nursery) {
		p.Note("span", n.Lot, n.Bed, schema.Span{Writes: schema.Writes{Of: testphone.ID("other span")}, Lot: &n.Lot, Bed: &n.Bed, FromRow: new(9), ToRow: new(10)})
	})
	if v.Promise.Hold != bed.HoldUncounted || len(v.Promise.Lines) != 0 {
		t.Errorf("%+v", v.Promise)
	}
}

// A walk under way is no part of the promise, so it takes no undecided pot away either.
func TestTheLotSaysHowManyPotsOfItsPromiseAreUndecidedWhileAnotherWalkGoesOn(t *testing.T) {
	o := newOffice(t)
	p := testphone.New("1111111111111111")
	n := p.Plant()
	grades := []schema.Grade{{Name: "florist", PotMM: 130, HeadMinMM: new(280), ChlorosisMax: new(1)}}
	p.Note("profile", "", "", schema.Profile{Writes: schema.Writes{Of: n.Profile}, Crop: new("azalea"), Grades: &grades})
	pot := func(walk string, i int, leaves string) {
		p.Note("observation", n.Lot, n.Bed, schema.Observation{
			Walk: walk, Bed: n.Bed, Lot: n.Lot, Place: &schema.Place{Row: 1 + i/5, Across: 1 + i%5}, HeadAMM: new(300), Chlorosis: &leaves,
		})
	}
	for i := range 10 {
		pot(n.Walk, i, "none")
	}
	pot(n.Walk, 10, "old")
	pot(n.Walk, 11, "old")
	p.Note("walk_end", "", n.Bed, schema.WalkEnd{Walk: n.Walk, Bed: n.Bed, Why: "planned"})
	next := testphone.ID("next walk")
	p.Note("walk", "", n.Bed, schema.Walk{Walk: next, Bed: n.Bed, Seed: 2, Planned: 12})
	pot(next, 0, "none")
	o.push(p)
	v, err := o.desk.Lot(t.Context(), n.Lot)
	if err != nil {
		t.Fatal(err)
	}
	if v.Promise.Whole != 10 || v.Promise.Seen != 12 {
		t.Errorf("%d of %d pots are whole", v.Promise.Whole, v.Promise.Seen)
	}
	if want := []schema.GradeLack{{Line: bed.LackSeverity, Pots: 2}}; !slices.Equal(v.Promise.Lacks, want) {
		t.Errorf("%+v", v.Promise.Lacks)
	}
}
