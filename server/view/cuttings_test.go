package view_test

import (
	"strings"
	"testing"

	"bedwalk/schema"
	"bedwalk/server/testphone"
)

// Takings of a day are one; the lots on both ends name each other; a lot that is kept for cuttings is in no week, and what is booked of it is in
// none either, with the reason.
func TestCuttingsAreFollowedFromTheirMotherAndAStockLotIsNotForSale(t *testing.T) {
	o := newOffice(t)
	p := testphone.New("1111111111111111")
	p.Plant()
	lot := func(name string, more schema.Lot) string {
		more.Of, more.Tag, more.Crop, more.Cultivar = testphone.ID(name), new(name), new("azalea"), new("Ruddy")
		p.Note("lot", more.Of, "", more)
		return more.Of
	}
	count := func(lot string, change int, reason string) {
		p.Note("count", lot, "", schema.Count{Lot: lot, Change: change, Reason: reason})
	}
	mother := lot("S-1", schema.Lot{Stock: new(true), PlantsEach: new(2), ShipWeek: new("2001-W50"), PotMM: new(165)})
	count(mother, 20, "opening")
	take := func(to string, cuttings, stuck int, on string) string {
		daughter := lot(to, schema.Lot{Mother: &mother, StruckOn: &on})
		p.Note("event", mother, "", schema.Event{Lot: mother, What: "cuttings_taken", On: on, Cuttings: &cuttings, To: daughter})
		count(daughter, stuck, "struck")
		return daughter
	}
	first := take("C-1", 400, 390, "2001-06-01")
	take("C-2", 220, 220, "2001-06-01")
	over := take("C-3", 540, 560, "2001-08-01")
	p.Note("booking", mother, "", schema.Booking{Writes: schema.Writes{Of: testphone.ID("B-1")}, Lot: &mother, Pots: new(5), Buyer: new("Stall"), ShipWeek: new("2001-W50")})
	threes := lot("T-1", schema.Lot{Parent: &first, PlantsEach: new(3), PotMM: new(110)})
	p.Note("move", first, "", schema.Move{Why: "step_up", Legs: []schema.Leg{{Lot: first, Change: -390}, {Lot: threes, Change: 130, PlantsEach: new(3)}}})
	o.push(p)
	see := func(id string) schema.LotView {
		v, err := o.desk.Lot(t.Context(), id)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	m := see(mother)
	if got := m.Cuttings; len(got.Taken) != 3 || len(got.Daughters) != 3 || got.Taken[0].Tag != "C-3" || got.Mother != nil || got.Plants.Here != 40 || got.Plants.On != 0 {
		t.Errorf("%+v", got)
	}
	// 620 and 540 cuttings, each of 40 plants: 14.5 a plant, 580 of the 40.
	if r := m.Cuttings.Rate; r == nil || r.Takes != 2 || r.PerPlant != 14.5 || r.Plants != 40 || r.Expected != 580 || r.Low <= 0 || r.High <= 580 {
		t.Errorf("%+v", r)
	}
	if !m.Lot.Stock || m.Plan.Problem != "stock" || m.Promise != nil {
		t.Errorf("stock %v, plan %q, promise %v", m.Lot.Stock, m.Plan.Problem, m.Promise)
	}
	d := see(first).Cuttings
	if d.Mother == nil || d.Mother.ID != mother || len(d.From) != 1 || d.From[0].Cuttings != 400 || d.From[0].Tag != "S-1" || d.Stuck != 390 {
		t.Errorf("%+v", d)
	}
	if more := see(over).Cuttings; more.Stuck <= more.From[0].Cuttings {
		t.Errorf("560 stuck of 540 taken does not show: %+v", more)
	}
	plan, err := o.desk.Plan(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for _, one := range plan.Lots {
		if one.Lot == mother || one.Lot == first {
			t.Errorf("%s is in the plan: a stock lot, or one whose pots have all gone on", one.Tag)
		}
	}
	if got := see(threes).Cuttings.Plants; got.From != 390 || got.Here != 390 || got.Each != 3 || len(got.Astray) > 0 {
		t.Errorf("%+v", got)
	}
	weeks, err := o.desk.Supply(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for _, week := range weeks.Weeks {
		for _, one := range week.Lots {
			if one.Lot == mother {
				t.Error("a stock lot is in a week")
			}
		}
	}
	if len(weeks.Unplaced) != 1 || weeks.Unplaced[0].Lot != mother || weeks.Unplaced[0].Why != "stock" {
		t.Errorf("%+v", weeks.Unplaced)
	}
	if _, err := o.desk.Try(t.Context(), schema.TryAsk{Lots: []schema.TryLot{{Lot: mother, ShipWeek: new("2001-W51")}}}); err == nil || !strings.Contains(err.Error(), "kept for cuttings") {
		t.Errorf("tried all the same: %v", err)
	}
}

// A ledger that begins after a taking begins with what stood on both beds, not with the first line alone: 400 cuttings of 40 plants are 10 a plant.
func TestATakingBeforeTheLedgerCountsThePlantsOfAllBeds(t *testing.T) {
	o := newOffice(t)
	p := testphone.New("1111111111111111")
	n := p.Plant()
	mother := testphone.ID("S-2")
	p.Note("lot", mother, "", schema.Lot{Writes: schema.Writes{Of: mother}, Tag: new("S-2"), Crop: new("azalea"), Cultivar: new("Ruddy"), Stock: new(true)})
	second := testphone.ID("second bed of S-2")
	p.Note("span", mother, n.Bed, schema.Span{Writes: schema.Writes{Of: second}, Lot: &mother, Bed: &n.Bed, FromRow: new(1), ToRow: new(2)})
	for _, span := range []string{"", second} {
		p.Note("count", mother, "", schema.Count{Lot: mother, Span: span, Change: 20, Reason: "opening"})
	}
	daughter := testphone.ID("C-4")
	p.Note("lot", daughter, "", schema.Lot{Writes: schema.Writes{Of: daughter}, Tag: new("C-4"), Crop: new("azalea"), Cultivar: new("Ruddy"), Mother: &mother})
	p.Note("event", mother, "", schema.Event{Lot: mother, What: "cuttings_taken", On: "2000-06-01", Cuttings: new(400), To: daughter})
	o.push(p)
	v, err := o.desk.Lot(t.Context(), mother)
	if err != nil {
		t.Fatal(err)
	}
	if r := v.Cuttings.Rate; r == nil || r.PerPlant != 10 || r.Plants != 40 {
		t.Errorf("%+v", r)
	}
}
