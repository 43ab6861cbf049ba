package crop

import (
	"math"
	"slices"
	"testing"

	"bedwalk/fixtures/checks"
	"bedwalk/schema"
	"bedwalk/sync/stats"
)

// The cases carry their own sources: Wilson limits with a finite bed computed in two ways, NIST StRD, arithmetic by hand, definitions.
func TestChecks(t *testing.T) {
	checks.Run(t, map[string]func(*testing.T, checks.Case){
		"gate": gateChecked, "curve-crossing": crossing, "curve-carried": carried, "pace-weighted": noPace,
		"slack": slackChecked, "schedule-forward": startUnknown, "step-date": tickedTwice, "cold-counted": coldCounted,
		"chill-units": checks.Elsewhere, "chill-north-carolina": checks.Elsewhere, "chill-portions": checks.Elsewhere,
		"cold-in-band": checks.Elsewhere, // by sync/climate
	}, "plan/gates", "plan/growth", "plan/lots", "plan/cold")
}

func gateChecked(t *testing.T, c checks.Case) {
	in := checks.Read[struct {
		AtLeastShare float64 `json:"at_least_share"`
		Seen         int
		Met          int
		Standing     int
		Walked       *string
		AsOf         string `json:"as_of"`
	}](t, c.Inputs)
	want := checks.Read[struct {
		State     string
		Low, High *float64
	}](t, c.Expected)
	var seen *Seen
	if in.Walked != nil {
		covers := slices.Concat(slices.Repeat([]int{4}, in.Met), slices.Repeat([]int{2}, in.Seen-in.Met))
		seen = &Seen{On: day(*in.Walked), PotsOnBeds: in.Standing, Values: map[string][]int{"root_cover": covers}}
	}
	rule := schema.Gate{Line: "root_cover", AtLeast: 3, ShareBP: int(math.Round(in.AtLeastShare * 10_000))}
	got := GateOf(rule, seen, day("2026-11-01"), day(in.AsOf))
	if got.State != want.State || got.Limits.Known != (want.Low != nil) {
		t.Fatalf("%+v, want %s", got, want.State)
	}
	if want.Low != nil {
		c.Near(t, "low", got.Limits.Low, *want.Low)
		c.Near(t, "high", got.Limits.High, *want.High)
	}
}

// grown are the inputs of the cases of growth.
type grown struct {
	X, Y          []float64
	HeadMM        []float64 `json:"head_mm"`
	SEMM          []float64 `json:"se_mm"`
	Height, Level float64
}

func crossing(t *testing.T, c checks.Case) {
	in := checks.Read[grown](t, c.Inputs)
	fit, err := stats.FitCurve(stats.Logistic, in.X, in.Y, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	want := checks.Read[map[string]*float64](t, c.Expected)
	if got := (Growth{Since: day("2026-05-01"), fits: []stats.Fit{fit}}).Crosses(in.Height, in.Level); got.Likely != nil || got.Late != nil || want["crosses_at"] != nil {
		t.Errorf("%+v", got)
	}
}

func carried(t *testing.T, c checks.Case) {
	in, since := checks.Read[grown](t, c.Inputs), day("2026-05-01")
	want := checks.Read[struct {
		Carried bool
		Why     string
	}](t, c.Expected)
	if g := GrowthOf(since, walksAt(since, in.X, in.Y, 20, 1)); g.Carried != want.Carried || g.Why != want.Why {
		t.Errorf("carried %v, %q", g.Carried, g.Why)
	}
}

func noPace(t *testing.T, c checks.Case) {
	in, since := checks.Read[grown](t, c.Inputs), day("2026-05-01")
	g := GrowthOf(since, walksAt(since, []float64{1}, in.HeadMM, 1, in.SEMM[0]))
	if g.IsKnown() || g.At(since+70, 0.9).Value.Known || checks.Read[map[string]*float64](t, c.Expected)["mm_a_week"] != nil {
		t.Errorf("one walk has a pace: %+v", g)
	}
}

func slackChecked(t *testing.T, c checks.Case) {
	in := checks.Read[struct {
		Latest50 string `json:"latest_50"`
		Expected string
		AsOf     string `json:"as_of"`
	}](t, c.Inputs)
	want := checks.Read[struct {
		SlackDays int `json:"slack_days"`
		DaysLate  int `json:"days_late"`
	}](t, c.Expected)
	if days, late := slack(day(in.Latest50), day(in.Expected), day(in.AsOf)); days != want.SlackDays || late != want.DaysLate {
		t.Errorf("slack %d, late %d, want %+v", days, late, want)
	}
}

// An unknown date is never zero and never today.
func startUnknown(t *testing.T, c checks.Case) {
	in := checks.Read[struct {
		Start    *string
		AsOf, By string
	}](t, c.Inputs)
	want := checks.Read[struct{ Problem string }](t, c.Expected)
	l := bedLot()
	l.Family = []Part{{PotMM: 165}}
	if in.Start != nil {
		t.Fatal("the case has a start")
	}
	f := l.Forecast()
	if f.Problem != want.Problem || f.Chance != nil || slices.ContainsFunc(f.Steps, func(s Step) bool { return s.Coming != nil || s.Latest50 != nil }) {
		t.Errorf("%+v", f)
	}
}

// The earlier day counts, both are shown, and the order of arrival plays no part.
func tickedTwice(t *testing.T, c checks.Case) {
	in := checks.Read[struct{ Events []struct{ On string } }](t, c.Inputs)
	want := checks.Read[struct {
		On         string
		DifferDays int `json:"differ_days"`
		Both       bool
	}](t, c.Expected)
	for range 2 {
		slices.Reverse(in.Events)
		l := bedLot()
		for _, e := range in.Events {
			l.Family[0].Events = append(l.Family[0].Events, Event{What: "into_cooler", On: day(e.On)})
		}
		d := step(t, l.Forecast(), StepCooler).Done
		if d == nil || d.On.String() != want.On || (len(d.Others) == len(in.Events)-1) != want.Both || int(d.Others[0]-*d.On) != want.DifferDays {
			t.Errorf("%+v, want %+v", d, want)
		}
	}
}

// Cold before the buds were seen ready is flagged, not counted.
func coldCounted(t *testing.T, c checks.Case) {
	in := checks.Read[struct {
		In    string `json:"into_cooler"`
		Ready string `json:"buds_ready_seen"`
		Out   string
	}](t, c.Inputs)
	want := checks.Read[struct {
		Days    int     `json:"days_in_cooler"`
		Counted int     `json:"days_counted"`
		Flagged int     `json:"days_flagged"`
		Weeks   float64 `json:"weeks_counted"`
	}](t, c.Expected)
	events := []Event{
		{What: "into_forcing", On: day(in.Out) + 3}, {What: "out_of_cooler", On: day(in.Out)},
		{What: LineBudsReady, On: day(in.Ready)}, {What: "into_cooler", On: day(in.In), House: "north"},
	}
	for range 2 {
		slices.Reverse(events)
		cooled, was := CooledOf([]Part{{Events: events}})
		if !was {
			t.Fatal("never in")
		}
		all, counted, flagged := cooled.Days(day("2027-03-01"))
		if all != want.Days || *counted != want.Counted || *flagged != want.Flagged || float64(*counted)/7 != want.Weeks || cooled.House != "north" {
			t.Errorf("%d days, %d counted, %d flagged in %q", all, *counted, *flagged, cooled.House)
		}
	}
}
