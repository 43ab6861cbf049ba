package view_test

import (
	"cmp"
	"context"
	"slices"
	"testing"
	"time"

	"bedwalk/schema"
	"bedwalk/server/testphone"
)

// The demo has lots of every stage: the plan must have an answer for each, and the stories that the pages show.
func TestThePlanOfTheDemo(t *testing.T) {
	desk, err := grown()
	if err != nil {
		t.Fatal(err)
	}
	plan, err := desk.Plan(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	if plan.Today != "2026-11-25" || len(plan.Lots) < 50 || plan.OwnStages {
		t.Fatalf("%d lots on %s, own stages %v", len(plan.Lots), plan.Today, plan.OwnStages)
	}
	late, sold := 0, 0
	for _, lot := range plan.Lots {
		if lot.Plan.Problem != "" {
			t.Errorf("%s: %s", lot.Tag, lot.Plan.Problem)
			continue
		}
		ready := lot.Plan.Steps[len(lot.Plan.Steps)-1]
		if ready.Day10 > ready.Day50 || ready.Day50 != "" && ready.Day90 != "" && ready.Day50 > ready.Day90 {
			t.Errorf("%s: ready %s, %s, %s", lot.Tag, ready.Day10, ready.Day50, ready.Day90)
		}
		if lot.Plan.LateDays > 0 {
			late++
			if next := lot.Plan.Steps[lot.Plan.Next]; next.Latest50 >= plan.Today || next.Done {
				t.Errorf("%s is late for %s, which may be taken until %s", lot.Tag, next.Step, next.Latest50)
			}
		}
		if lot.Route == "nursery" && slices.ContainsFunc(lot.Plan.Steps, func(s schema.PlanStep) bool { return s.Step == "into_cooler" }) {
			t.Errorf("%s is sold budded and has a step into the cooler", lot.Tag)
		}
		if lot.Route == "nursery" {
			sold++
		}
	}
	if late == 0 || late > len(plan.Lots)/2 || sold == 0 {
		t.Errorf("%d of %d lots are late, %d sold budded: the page has nothing true to show", late, len(plan.Lots), sold)
	}
	if !slices.IsSortedFunc(plan.Lots, func(a, b schema.LotPlan) int {
		// Those without a week come last.
		return cmp.Compare(cmp.Or(a.ShipWeek, "~"), cmp.Or(b.ShipWeek, "~"))
	}) {
		t.Error("the lots are not in order of their ship weeks")
	}
}

// A lot's own page and the plan of all lots say the same of it.
func TestALotsPageAndThePlanAgree(t *testing.T) {
	desk, err := grown()
	if err != nil {
		t.Fatal(err)
	}
	ctx := context.Background()
	plan, err := desk.Plan(ctx)
	if err != nil {
		t.Fatal(err)
	}
	for _, one := range []schema.LotPlan{plan.Lots[0], plan.Lots[len(plan.Lots)/2]} {
		lot, err := desk.Lot(ctx, one.Lot)
		if err != nil {
			t.Fatal(err)
		}
		if *lot.Plan.Chance != *one.Plan.Chance || len(lot.Plan.Steps) != len(one.Plan.Steps) || lot.Today != plan.Today {
			t.Errorf("%s: %+v, on its page %+v", one.Tag, one.Plan, lot.Plan)
		}
	}
}

// Plan and ship weeks are kept until a note comes or a day begins, and not beyond either.
func TestAPlanIsKeptForTheDayAndUntilTheNextNote(t *testing.T) {
	o := newOffice(t)
	p := testphone.New("1111111111111111")
	n := p.Plant()
	p.Note("lot", n.Lot, "", schema.Lot{Writes: schema.Writes{Of: n.Lot}, PottedOn: new("2001-06-01"), Route: new("nursery"), ShipWeek: new("2001-W40")})
	o.push(p)
	weeks := func() (all []string) {
		plan, err := o.desk.Plan(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		supply, err := o.desk.Supply(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		return []string{plan.Today, plan.Lots[0].ShipWeek, supply.Today, supply.Weeks[0].Week}
	}
	first := weeks()
	if again := weeks(); !slices.Equal(again, first) || first[1] != "2001-W40" || first[3] != "2001-W40" {
		t.Errorf("%v, then %v", first, again)
	}
	sent := len(p.Raw)
	p.Note("lot", n.Lot, "", schema.Lot{Writes: schema.Writes{Of: n.Lot}, ShipWeek: new("2001-W41")})
	o.pushFrom(p, sent+1)
	if moved := weeks(); moved[1] != "2001-W41" || moved[3] != "2001-W41" {
		t.Errorf("after a note: %v", moved)
	}
	o.at += (36 * time.Hour).Milliseconds()
	if later := weeks(); later[0] == first[0] || later[2] != later[0] {
		t.Errorf("on another day: %v, before %v", later, first)
	}
}
