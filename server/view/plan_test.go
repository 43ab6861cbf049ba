package view_test

import (
	"cmp"
	"context"
	"slices"
	"testing"

	"bedwalk/schema"
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
