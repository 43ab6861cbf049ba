package crop

import (
	"slices"
	"testing"

	"bedwalk/sync/calendar"
)

// plan.md, section 2: a step's day is the earliest of its events after the last held_over. The days are invented.
func TestALotHeldOverTakesItsYearlyStepsAgain(t *testing.T) {
	l := bedLot()
	first := []Event{
		{What: "pinched", On: day("2025-06-01"), Last: true}, {What: "into_cooler", On: day("2025-11-20")}, {What: "into_forcing", On: day("2026-01-05")},
		{What: "held_over", On: day("2026-03-02")},
	}
	l.Family = []Part{{PotMM: 165, PottedOn: at("2025-03-02"), Events: first, Regulators: []Regulator{{On: day("2025-07-20")}}}}
	l.AsOf = day("2026-04-01")
	f := l.Forecast()
	if f.Next < 0 || f.Steps[f.Next].Name != StepLastPinch {
		t.Fatalf("the next step is %d of %+v", f.Next, f.Steps)
	}
	if d := step(t, f, StepFinishedPot).Done; d == nil || d.On == nil || d.On.String() != "2025-03-02" {
		t.Errorf("the pot stays as it was: %+v", d)
	}
	// The stage began again on the day of holding over: the same lot, potted that day for the first time, has the same days ahead.
	fresh := l
	fresh.Family = []Part{{PotMM: 165, PottedOn: at("2026-03-02")}}
	if a, b := step(t, f, StepLastPinch).Coming, step(t, fresh.Forecast(), StepLastPinch).Coming; *a.Day10 != *b.Day10 || *a.Day50 != *b.Day50 || *a.Day90 != *b.Day90 {
		t.Errorf("held over %s %s %s, potted %s %s %s", a.Day10, a.Day50, a.Day90, b.Day10, b.Day50, b.Day90)
	}
	l.Family[0].Events = append(slices.Clone(first), Event{What: "into_cooler", On: day("2026-11-21")}, Event{What: "into_cooler", On: day("2026-11-19")})
	l.AsOf = day("2026-12-01")
	f = l.Forecast()
	d := step(t, f, StepCooler).Done
	if d == nil || d.On == nil || d.On.String() != "2026-11-19" || len(d.Others) != 1 || d.Others[0].String() != "2026-11-21" || f.Steps[f.Next].Name != StepForcing {
		t.Errorf("the cooler of the second season is %+v", d)
	}
	if c, was := CooledOf(l.Family); !was || c.In.String() != "2026-11-19" || c.Out != nil {
		t.Errorf("in the cooler since %+v", c)
	}
}

// A lot of which only the holding over is known has dates: it is in the stage that ends with the last pinch.
func TestALotOfWhichOnlyTheHoldingOverIsNotedHasDates(t *testing.T) {
	l := bedLot()
	l.Family = []Part{{PotMM: 165, Events: []Event{{What: "into_cooler", On: day("2025-11-20")}, {What: "held_over", On: day("2026-03-02")}}}}
	l.AsOf = day("2026-04-01")
	f := l.Forecast()
	if f.Problem != "" || f.Next < 0 || f.Steps[f.Next].Name != StepLastPinch || f.Steps[f.Next].Coming.Day50 == nil {
		t.Errorf("problem %q, next %d of %+v", f.Problem, f.Next, f.Steps)
	}
}

func TestSeasonsAreCountedInAnyOrderAndAHoldingOverNotedTwiceIsOne(t *testing.T) {
	on := func(what, date string) Event { return Event{What: what, On: day(date)} }
	events := []Event{
		on("into_cooler", "2024-11-20"), on("held_over", "2025-03-02"), on("held_over", "2025-03-09"), on("pinched", "2025-06-01"), on("held_over", "2026-03-01"),
	}
	for range 2 {
		slices.Reverse(events)
		s := SeasonOf([]Part{{Events: events}})
		if s.Nth != 3 || *s.From != day("2026-03-01") {
			t.Errorf("%+v", s)
		}
	}
	if s := SeasonOf([]Part{{Events: events[:3]}}); s.Nth != 2 || *s.From != day("2025-03-02") {
		t.Errorf("noted twice: %+v", s)
	}
	// What was noted of the mother after the lot was split off is about other pots.
	mother := Part{Until: new(calendar.Day), Events: []Event{on("held_over", "2025-03-02")}}
	*mother.Until = day("2025-01-01")
	if s := SeasonOf([]Part{{}, mother}); s.Nth != 1 || s.From != nil {
		t.Errorf("of the mother: %+v", s)
	}
}
