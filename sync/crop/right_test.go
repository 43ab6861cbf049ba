package crop_test

import (
	"testing"

	"bedwalk/sync/calendar"
	"bedwalk/sync/crop"
)

// By hand: 2026-12-28 is the Monday of 2026-W53, whose Sunday is 2027-01-03 (ISO 8601).
func TestWhatWasSaidIsHeldAgainstTheDayOnWhichTheLotLeft(t *testing.T) {
	day := func(date string) *calendar.Day {
		d, err := calendar.Parse(date)
		if err != nil {
			t.Fatal(err)
		}
		return &d
	}
	for _, c := range []struct {
		name                    string
		r05, r50, r95, by, left string
		inside, inTime          bool
		late                    int
	}{
		{"on its likely day", "2026-12-10", "2026-12-20", "2026-12-31", "2026-12-28", "2026-12-20", true, true, 0},
		{"waited for its week", "2026-11-10", "2026-11-20", "2026-11-30", "2026-12-28", "2026-12-30", true, true, 0},
		{"left on the Sunday of its week", "2026-11-10", "2026-11-20", "2026-11-30", "2026-12-28", "2027-01-03", true, true, 0},
		{"left a day after its week", "2026-11-10", "2026-11-20", "2026-11-30", "2026-12-28", "2027-01-04", false, false, 1},
		{"late, within the span", "2026-12-20", "2027-01-10", "2027-02-10", "2026-12-28", "2027-01-20", true, false, 10},
		{"before the span", "2026-12-10", "2026-12-20", "2026-12-31", "2026-12-28", "2026-12-09", false, true, -11},
		{"early, within the span", "2026-12-10", "2026-12-20", "2026-12-31", "2026-12-28", "2026-12-11", true, true, -9},
		{"a last day beyond all that is computed", "2026-12-10", "2026-12-20", "", "2026-12-28", "2028-01-01", true, false, 363},
		{"no week", "2026-12-10", "2026-12-20", "2026-12-31", "", "2027-01-02", false, false, 13},
	} {
		said := crop.Said{Ready05: day(c.r05), Ready50: day(c.r50)}
		if c.r95 != "" {
			said.Ready95 = day(c.r95)
		}
		if c.by != "" {
			said.By = day(c.by)
		}
		v, ok := said.Against(*day(c.left))
		if !ok || v.Inside != c.inside || v.LateDays != c.late || (v.InTime == nil) != (c.by == "") || v.InTime != nil && *v.InTime != c.inTime {
			t.Errorf("%s: %+v", c.name, v)
		}
	}
	if _, ok := (crop.Said{By: day("2026-12-28")}).Against(*day("2026-12-28")); ok {
		t.Error("a forecast without a likely day was compared")
	}
}
