package crop

import (
	"testing"
)

func TestTheTimeInTheCooler(t *testing.T) {
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
