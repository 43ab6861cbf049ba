package crop

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"bedwalk/schema"
	"bedwalk/sync/calendar"
	"bedwalk/sync/schedule"

	"pgregory.net/rapid"
)

func day(date string) calendar.Day {
	d, err := calendar.Parse(date)
	if err != nil {
		panic(err)
	}
	return d
}

func at(date string) *calendar.Day { return new(day(date)) }

var workweek = calendar.NewWorkdays([]int{1, 2, 3, 4, 5}, map[calendar.Day]string{
	day("2026-11-26"): "Thanksgiving", day("2026-12-25"): "Christmas", day("2027-01-01"): "New Year",
})

// bedLot is a finished azalea with the regulator on it since 21 September 2026.
func bedLot() Lot {
	return Lot{
		Family: []Part{{PotMM: 165, Events: []Event{{What: "clipped", On: day("2026-08-03")}}, Regulators: []Regulator{{On: day("2026-09-21")}}}},
		Stages: StagesOf("florist's azalea", "florist", Own{}),
		By:     at("2027-02-15"), AsOf: day("2026-12-10"), Work: workweek, Pace: schedule.Pace,
	}
}

func step(t *testing.T, f Forecast, name string) Step {
	t.Helper()
	i := slices.IndexFunc(f.Steps, func(s Step) bool { return s.Name == name })
	if i < 0 {
		t.Fatalf("no step %s in %+v", name, f.Steps)
	}
	return f.Steps[i]
}

// forward-cooler-not-noted-yet and backward-likely-and-safe of fixtures/checks/plan/schedule.json, through a whole lot; slack and
// days late by hand from them (latest 50 % day 30 November, likely day 16 December, asked on 10 December).
func TestALotThatIsLateForItsWeek(t *testing.T) {
	f := bedLot().Forecast()
	cooler, ready := step(t, f, StepCooler), step(t, f, StepReady)
	for what, c := range map[string]struct {
		got  *calendar.Day
		want string
	}{
		"cooler 10": {cooler.Coming.Day10, "2026-12-11"}, "cooler 50": {cooler.Coming.Day50, "2026-12-16"}, "cooler 90": {cooler.Coming.Day90, "2026-12-30"},
		"ready 10": {ready.Coming.Day10, "2027-02-17"}, "ready 50": {ready.Coming.Day50, "2027-03-05"}, "ready 90": {ready.Coming.Day90, "2027-03-26"},
		"latest 50": {cooler.Latest50, "2026-11-30"}, "latest 90": {cooler.Latest90, "2026-11-16"},
		"forcing latest 50": {step(t, f, StepForcing).Latest50, "2027-01-11"},
	} {
		if c.got == nil || c.got.String() != c.want {
			t.Errorf("%s: %v, want %s", what, c.got, c.want)
		}
	}
	if math.Abs(*f.Chance-0.07466826073716613) > 1e-9 {
		t.Errorf("chance %v", *f.Chance)
	}
	if *f.SlackDays != -16 || f.LateDays != 10 || f.Steps[f.Next].Name != StepCooler {
		t.Errorf("slack %d, late %d, next %s", *f.SlackDays, f.LateDays, f.Steps[f.Next].Name)
	}
	if f.NotOwn != 3 || f.ToCome != 3 {
		t.Errorf("%d of %d lengths not the grower's own", f.NotOwn, f.ToCome)
	}
	if s := step(t, f, StepFinishedPot); s.Done == nil || s.Done.On != nil {
		t.Errorf("the pot was passed on a day that nobody noted: %+v", s.Done)
	}
}

func TestALotOfACropWithoutStagesHasNoDates(t *testing.T) {
	l := bedLot()
	l.Stages = nil
	if f := l.Forecast(); f.Problem != NoStages {
		t.Errorf("%+v", f)
	}
}

func TestWhichPinchWasTheLastIsKnownByWordOrByTheRegulator(t *testing.T) {
	for _, c := range []struct {
		what       string
		pinches    []Event
		regulators []string
		pinch, reg string
	}{
		{"two clips and nothing after", []Event{{What: "clipped", On: day("2026-06-01"), Last: false}, {What: "clipped", On: day("2026-07-01"), Last: false}}, nil, "", ""},
		{"called the last", []Event{{What: "clipped", On: day("2026-06-01"), Last: false}, {What: "clipped", On: day("2026-07-01"), Last: true}}, nil, "2026-07-01", ""},
		{"called the last, and then another", []Event{{What: "clipped", On: day("2026-06-01"), Last: true}, {What: "clipped", On: day("2026-07-01"), Last: false}}, nil, "", ""},
		{"regulator after", []Event{{What: "pinched", On: day("2026-06-01"), Last: false}}, []string{"2026-07-20", "2026-08-03"}, "2026-06-01", "2026-07-20"},
		{"regulator before a later clip does not count", []Event{{What: "clipped", On: day("2026-06-01"), Last: false}, {What: "clipped", On: day("2026-08-01"), Last: false}}, []string{"2026-07-20", "2026-09-07"}, "2026-08-01", "2026-09-07"},
		{"regulator and no pinch", nil, []string{"2026-07-20"}, "", "2026-07-20"},
	} {
		l := bedLot()
		l.Family = []Part{{PotMM: 165, PottedOn: at("2026-03-02"), Events: c.pinches}}
		for _, on := range c.regulators {
			l.Family[0].Regulators = append(l.Family[0].Regulators, Regulator{On: day(on)})
		}
		f := l.Forecast()
		for name, want := range map[string]string{StepLastPinch: c.pinch, StepRegulator: c.reg} {
			got := ""
			if d := step(t, f, name).Done; d != nil && d.On != nil {
				got = d.On.String()
			}
			if got != want {
				t.Errorf("%s: %s on %q, want %q", c.what, name, got, want)
			}
		}
	}
}

func TestAFamilyIsFollowedUpToTheDayOfTheSplit(t *testing.T) {
	l := bedLot()
	l.Family = []Part{
		{PotMM: 165, PottedOn: at("2026-04-06")},
		{PotMM: 100, PottedOn: at("2025-11-03"), Until: at("2026-04-06"), Events: []Event{{What: "clipped", On: day("2026-06-01"), Last: true}}},
		{PotMM: 60, StuckOn: at("2025-07-21"), PottedOn: at("2025-09-08"), Until: at("2025-11-03")},
	}
	f := l.Forecast()
	for name, want := range map[string]string{StepStuck: "2025-07-21", StepLiner: "2025-09-08", StepSmallPot: "2025-11-03", StepFinishedPot: "2026-04-06"} {
		if d := step(t, f, name).Done; d == nil || d.On == nil || d.On.String() != want {
			t.Errorf("%s: %+v, want %s", name, d, want)
		}
	}
	if s := step(t, f, StepLastPinch); s.Done != nil {
		t.Errorf("a clip of the mother after the split counted: %s", s.Done.On)
	}
}

func TestADayBeforeAnEarlierStepIsMarked(t *testing.T) {
	l := bedLot()
	l.Family[0].Events = append(l.Family[0].Events, Event{What: "into_cooler", On: day("2026-09-01")})
	f := l.Forecast()
	if d := step(t, f, StepCooler).Done; d == nil || !d.OutOfOrder {
		t.Errorf("into the cooler before the regulator: %+v", d)
	}
	if d := step(t, f, StepRegulator).Done; d.OutOfOrder {
		t.Error("the earlier of the two steps was marked")
	}
}

func TestNoLotIsForecastWhenItHasShipped(t *testing.T) {
	l := bedLot()
	l.Shipped = true
	if f := l.Forecast(); f.Chance != nil || step(t, f, StepReady).Coming != nil {
		t.Errorf("%+v", f)
	}
}

// Nobody notes that a lot is ready, so a forcing that began long ago is not taken to go on for ever.
func TestALotInItsLastStageMayBeReadyAlready(t *testing.T) {
	l := bedLot()
	l.Family[0].Events = append(l.Family[0].Events, Event{What: "into_forcing", On: day("2026-09-28")})
	if ready := step(t, l.Forecast(), StepReady).Coming; ready.Day50.String() != "2026-11-02" {
		t.Errorf("likely ready on %s, 35 days after 28 September", ready.Day50)
	}
}

func TestRoutesAndTheGrowersOwnStages(t *testing.T) {
	names := func(stages []Stage) (all []string) {
		for _, s := range stages {
			all = append(all, s.Name)
		}
		return all
	}
	if got := fmt.Sprint(names(StagesOf("azalea", "nursery", Own{}))); got != "[root liner small_pot finished_pot grow_out bud_set]" {
		t.Errorf("nursery route: %s", got)
	}
	own := map[string]schema.Stage{schema.StageCold: {ShortestDays: 35, LikelyDays: 42, LongestDays: 49}}
	stages := StagesOf("azalea", "nursery", Own{Crop: own})
	if cold := stages[len(stages)-1]; cold.Name != schema.StageCold || cold.Standing != schema.StandingOwn || cold.LongestDays != 49 {
		t.Errorf("the grower's own stage: %+v", cold)
	}
	bad := map[string]schema.Stage{schema.StageCold: {ShortestDays: 50, LikelyDays: 42, LongestDays: 49}}
	if cold := StagesOf("azalea", "", Own{Crop: bad})[6]; cold.Standing != schema.StandingPublished {
		t.Errorf("a length out of order counted: %+v", cold)
	}
	if got := names(StagesOf("cyclamen", "", Own{Crop: own})); len(got) != 1 {
		t.Errorf("a crop that Bedwalk does not know has the grower's own stages alone: %s", got)
	}
}

func TestTheStagesToStartWithCanBeTaken(t *testing.T) {
	for _, c := range schema.CropStarts() {
		for _, s := range c.Stages {
			if err := LengthOf(s.Stage).Check(); err != nil {
				t.Errorf("%s %s: %v", c.Words, s.Name, err)
			}
			if (s.Standing == schema.StandingPublished) != (s.Source != "") {
				t.Errorf("%s %s: standing %s, source %q", c.Words, s.Name, s.Standing, s.Source)
			}
		}
	}
}

// anyLot draws a lot with events on any days, in any order.
func anyLot(t *rapid.T) Lot {
	l := bedLot()
	l.AsOf = day("2026-01-01") + calendar.Day(rapid.IntRange(0, 500).Draw(t, "as of"))
	n := rapid.IntRange(0, 6).Draw(t, "events")
	l.Family = []Part{{PotMM: rapid.SampledFrom([]int{60, 100, 165}).Draw(t, "pot"), StuckOn: at("2025-07-21")}}
	for range n {
		what := rapid.SampledFrom([]string{"stuck", "potted", "clipped", "pinched", "into_cooler", "out_of_cooler", "into_forcing"}).Draw(t, "what")
		l.Family[0].Events = append(l.Family[0].Events, Event{What: what, On: day("2025-07-21") + calendar.Day(rapid.IntRange(0, 500).Draw(t, "on")), Last: rapid.Bool().Draw(t, "last")})
	}
	for range rapid.IntRange(0, 2).Draw(t, "regulators") {
		l.Family[0].Regulators = append(l.Family[0].Regulators, Regulator{On: day("2026-01-01") + calendar.Day(rapid.IntRange(0, 300).Draw(t, "put on"))})
	}
	return l
}

func TestAnyOrderAndRepetitionOfNotesGivesTheSamePlan(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := anyLot(t)
		before := describe(l.Forecast())
		events := rapid.Permutation(slices.Concat(l.Family[0].Events, l.Family[0].Events)).Draw(t, "order")
		l.Family[0].Events = events
		l.Family[0].Regulators = slices.Concat(l.Family[0].Regulators, l.Family[0].Regulators)
		slices.Reverse(l.Family[0].Regulators)
		if after := describe(l.Forecast()); after != before {
			t.Fatalf("%s\n%s", before, after)
		}
	})
}

func describe(f Forecast) string {
	s := fmt.Sprint(f.Problem, f.Next, f.LateDays, f.NotOwn, f.ToCome)
	show := func(days ...*calendar.Day) {
		for _, d := range days {
			if d == nil {
				s += " -"
			} else {
				s += " " + d.String()
			}
		}
	}
	for _, step := range f.Steps {
		s += "\n" + step.Name
		if step.Done != nil {
			show(step.Done.On)
			s += fmt.Sprint(step.Done.Others, step.Done.OutOfOrder)
		}
		if step.Coming != nil {
			show(step.Coming.Day10, step.Coming.Day50, step.Coming.Day90)
		}
		show(step.Latest50, step.Latest90)
	}
	if f.Chance != nil {
		s += fmt.Sprint(*f.Chance)
	}
	return s
}

// A later pin never makes a lot earlier, and never likelier to be in time.
func TestALaterPinNeverMakesALotEarlier(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := anyLot(t)
		first := day("2026-06-01") + calendar.Day(rapid.IntRange(0, 400).Draw(t, "pin"))
		l.Pins = map[string]calendar.Day{StepCooler: first}
		a := l.Forecast()
		l.Pins = map[string]calendar.Day{StepCooler: first + calendar.Day(rapid.IntRange(1, 60).Draw(t, "later"))}
		b := l.Forecast()
		if a.Chance == nil {
			return
		}
		if *b.Chance > *a.Chance+1e-9 {
			t.Fatalf("chance %v, later pin %v", *a.Chance, *b.Chance)
		}
		ra, rb := a.Steps[len(a.Steps)-1].Coming, b.Steps[len(b.Steps)-1].Coming
		if ra.Day50 != nil && rb.Day50 != nil && *rb.Day50 < *ra.Day50 {
			t.Fatalf("ready %s, with the later pin %s", ra.Day50, rb.Day50)
		}
	})
}

// backward-by-hand-valentine of the plan's cases: 42 days before Friday 5 February 2027 is Christmas Day, so the day before; and that is said.
func TestADayThatIsMovedForAHolidayKeepsItsReason(t *testing.T) {
	l := bedLot()
	own := map[string]schema.Stage{}
	for name, days := range map[string]int{schema.StageGrowOut: 42, schema.StageBudSet: 56, schema.StageCold: 42, schema.StageForcing: 42} {
		own[name] = schema.Stage{ShortestDays: days, LikelyDays: days, LongestDays: days}
	}
	l.Stages = StagesOf("florist's azalea", "florist", Own{Crop: own})
	l.By, l.AsOf = at("2027-02-05"), day("2026-09-22")
	l.Work = calendar.NewWorkdays([]int{1, 2, 3, 4, 5}, map[calendar.Day]string{day("2026-12-25"): "Christmas"})
	f := l.Forecast()
	forcing, cooler := step(t, f, StepForcing), step(t, f, StepCooler)
	if forcing.Latest50 == nil || forcing.Latest50.String() != "2026-12-24" || forcing.MovedFrom == nil || forcing.MovedFrom.String() != "2026-12-25" || forcing.MovedWhy != "Christmas" {
		t.Errorf("%+v", forcing)
	}
	if cooler.Latest50 == nil || cooler.MovedFrom != nil {
		t.Errorf("%+v", cooler)
	}
}

// Each day to come that would fall on a day off says which day that was and why; a day that was fixed is not such a day.
func TestALikelyDayThatIsMovedKeepsItsReason(t *testing.T) {
	l := bedLot()
	own := map[string]schema.Stage{}
	for name, days := range map[string]int{schema.StageBudSet: 95, schema.StageCold: 42, schema.StageForcing: 42} {
		own[name] = schema.Stage{ShortestDays: days, LikelyDays: days, LongestDays: days, Hands: name != schema.StageForcing}
	}
	l.Stages = StagesOf("florist's azalea", "florist", Own{Crop: own})
	f := l.Forecast()
	// 95 days after 21 September are 25 December, a Friday; 42 days after the Monday that follows the cold is over on a Monday.
	cooler, forcing := step(t, f, StepCooler), step(t, f, StepForcing)
	if cooler.LikelyFrom == nil || cooler.LikelyFrom.String() != "2026-12-25" || cooler.LikelyWhy != "Christmas" || cooler.Coming.Day50.String() != "2026-12-28" {
		t.Errorf("%+v, %v", cooler, cooler.Coming.Day50)
	}
	if forcing.LikelyFrom != nil || forcing.LikelyWhy != "" || forcing.Coming.Day50.String() != "2027-02-08" {
		t.Errorf("%+v", forcing)
	}
	l.Pins = map[string]calendar.Day{StepCooler: day("2027-01-05")}
	if pinned := step(t, l.Forecast(), StepCooler); pinned.LikelyFrom != nil || pinned.Coming.Day50.String() != "2027-01-05" {
		t.Errorf("%+v", pinned)
	}
}

// A spring stretches no day up to one that people fixed: of a lot whose forcing is fixed late, the paces differ as those of a lot that is put into
// forcing on that day; where the fixed day is long past by itself, as if none were fixed.
func TestNoSpringStretchesTheDaysUpToAFixedOne(t *testing.T) {
	l := bedLot()
	l.By = at("2027-04-26")
	spread := func(l Lot) float64 { p := l.Forecast().Paces; return p[0] - p[len(p)-1] }
	free := spread(l)
	l.Pins = map[string]calendar.Day{StepForcing: day("2027-03-22")}
	fixed := spread(l)
	on := l
	on.Pins, on.AsOf = nil, day("2027-03-22")
	on.Family = []Part{{PotMM: 165, Events: []Event{{What: "into_cooler", On: day("2027-01-04")}, {What: "into_forcing", On: day("2027-03-22")}}}}
	if want := spread(on); math.Abs(fixed-want) > 0.02 {
		t.Errorf("fixed %v, on the day itself %v, nothing fixed %v", fixed, want, free)
	}
	l.By, l.Pins = at("2027-03-08"), nil
	free = spread(l)
	l.Pins = map[string]calendar.Day{StepForcing: day("2026-12-14")}
	if early := spread(l); early != free {
		t.Errorf("fixed before it can be %v, nothing fixed %v", early, free)
	}
}
