package crop

import (
	"encoding/json"
	"os"
	"slices"
	"testing"

	"bedwalk/sync/calendar"
)

func dayAs(t *testing.T, date string) calendar.Day {
	t.Helper()
	d, err := calendar.Parse(date)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// cold-before-maturity of fixtures/checks/plan/cold.json, arithmetic by hand.
func TestColdBeforeBudsAreReadyIsFlagged(t *testing.T) {
	text, err := os.ReadFile("../../fixtures/checks/plan/cold.json")
	if err != nil {
		t.Fatal(err)
	}
	var cases []struct {
		ID, Computation string
		Inputs          struct {
			In    string `json:"into_cooler"`
			Ready string `json:"buds_ready_seen"`
			Out   string `json:"out"`
		}
		Expected struct {
			Days    int     `json:"days_in_cooler"`
			Counted int     `json:"days_counted"`
			Flagged int     `json:"days_flagged"`
			Weeks   float64 `json:"weeks_counted"`
		}
	}
	// The other cases of the file have other shapes, and what does not fit them is left out.
	_ = json.Unmarshal(text, &cases)
	ran := 0
	for _, c := range cases {
		if c.Computation != "cold-counted" {
			continue
		}
		ran++
		events := []Event{
			{What: "into_forcing", On: dayAs(t, c.Inputs.Out) + 3}, {What: "out_of_cooler", On: dayAs(t, c.Inputs.Out)},
			{What: LineBudsReady, On: dayAs(t, c.Inputs.Ready)}, {What: "into_cooler", On: dayAs(t, c.Inputs.In), House: "north"},
		}
		for range 2 {
			slices.Reverse(events)
			cooled, was := CooledOf([]Part{{Events: events}})
			if !was {
				t.Fatalf("%s: never in", c.ID)
			}
			all, counted, flagged := cooled.Days(dayAs(t, "2027-03-01"))
			if all != c.Expected.Days || *counted != c.Expected.Counted || *flagged != c.Expected.Flagged || float64(*counted)/7 != c.Expected.Weeks || cooled.House != "north" {
				t.Errorf("%s: %d days, %d counted, %d flagged in %q", c.ID, all, *counted, *flagged, cooled.House)
			}
		}
	}
	if ran == 0 {
		t.Error("no case")
	}
}

func TestTheTimeInTheCooler(t *testing.T) {
	day := func(s string) calendar.Day { return dayAs(t, s) }
	in := Event{What: "into_cooler", On: day("2026-10-05")}
	if _, was := CooledOf([]Part{{Events: []Event{{What: LineBudsReady, On: 1}}}}); was {
		t.Error("in a cooler that it never went into")
	}
	// Buds that nobody saw: no number of days counts.
	c, _ := CooledOf([]Part{{Events: []Event{in}}})
	if all, counted, flagged := c.Days(day("2026-10-15")); all != 10 || counted != nil || flagged != nil {
		t.Errorf("%d, %v, %v", all, counted, flagged)
	}
	// Buds seen before an earlier regulator were last season's; those seen after the lot came out say nothing of this time.
	c, _ = CooledOf([]Part{{
		Events: []Event{
			in, {What: LineBudsReady, On: day("2026-06-01")}, {What: LineBudsReady, On: day("2026-11-20")}, {What: "out_of_cooler", On: day("2026-11-16")},
			{What: "out_of_cooler", On: day("2026-01-16")},
		},
		Regulators: []Regulator{{On: day("2026-07-20")}},
	}})
	if c.Ready != nil || c.Out == nil || *c.Out != day("2026-11-16") {
		t.Errorf("%+v", c)
	}
	// Two people noted it, one of them the cooler. Ready before it went in: every day counts.
	c, _ = CooledOf([]Part{{Events: []Event{in, {What: "into_cooler", On: in.On, House: "a"}, {What: LineBudsReady, On: in.On - 3}}}})
	if all, counted, flagged := c.Days(in.On + 7); c.House != "a" || all != 7 || *counted != 7 || *flagged != 0 {
		t.Errorf("%+v: %d %d %d", c, all, *counted, *flagged)
	}
	// What happened to the mother after this lot left her is about other pots.
	c, was := CooledOf([]Part{{}, {Events: []Event{in}, Until: new(in.On - 1)}})
	if was {
		t.Errorf("%+v", c)
	}
}
