package calendar

import (
	"slices"
	"testing"
	"time"

	"bedwalk/fixtures/checks"
)

// The cases carry their own sources (ISO 8601, the IANA time zones, arithmetic by hand).
func TestChecks(t *testing.T) {
	checks.Run(t, map[string]func(*testing.T, checks.Case){
		"iso-week-list": weeks, "monday-of-week": mondays, "week-minus": weeksBack, "working-day": workingDays,
		"days-between-list": daysBetween, "days-between": daysBetween, "day-in-zone": daysInZone, "iso-week": week, "iso-53": longYears,
		"easter": checks.Elsewhere, "nth-weekday": checks.Elsewhere, // by week.test.ts
	}, "plan/calendar")
}

func weeks(t *testing.T, c checks.Case) {
	in, want := checks.Read[struct{ Dates []string }](t, c.Inputs), checks.Read[struct{ Week [][3]int }](t, c.Expected)
	for i, date := range in.Dates {
		d := day(t, date)
		if got := [3]int{d.Week().Year, d.Week().Week, d.Weekday()}; got != want.Week[i] {
			t.Errorf("%s: %v, want %v", date, got, want.Week[i])
		}
		if back := d.Week().Day(d.Weekday()); back != d || d.String() != date {
			t.Errorf("%s: from its week and weekday %s, written %s", date, back, d)
		}
	}
}

func week(t *testing.T, c checks.Case) {
	in := checks.Read[struct{ Date string }](t, c.Inputs)
	want := checks.Read[struct {
		Year    int `json:"iso_year"`
		Week    int `json:"iso_week"`
		Weekday int `json:"iso_weekday"`
	}](t, c.Expected)
	if d := day(t, in.Date); d.Week() != (Week{want.Year, want.Week}) || d.Weekday() != want.Weekday {
		t.Errorf("%s: %s weekday %d, want %+v", in.Date, d.Week(), d.Weekday(), want)
	}
}

func longYears(t *testing.T, c checks.Case) {
	in, want := checks.Read[struct{ From, To int }](t, c.Inputs), checks.Read[struct{ Years []int }](t, c.Expected)
	var years []int
	for y := in.From; y <= in.To; y++ {
		if (Week{Year: y}).weeks() == 53 {
			years = append(years, y)
		}
	}
	if !slices.Equal(years, want.Years) {
		t.Errorf("%v, want %v", years, want.Years)
	}
}

func mondays(t *testing.T, c checks.Case) {
	in, want := checks.Read[struct{ Weeks []string }](t, c.Inputs), checks.Read[struct{ Monday []*string }](t, c.Expected)
	for i, written := range in.Weeks {
		w, err := ParseWeek(written)
		switch {
		case want.Monday[i] == nil && err == nil:
			t.Errorf("%s is no week and was read as %v", written, w)
		case want.Monday[i] != nil && (err != nil || w.Monday().String() != *want.Monday[i]):
			t.Errorf("%s: %s (%v), want %s", written, w.Monday(), err, *want.Monday[i])
		}
	}
}

func weeksBack(t *testing.T, c checks.Case) {
	in, want := checks.Read[struct {
		Week  []string
		Weeks []int
	}](t, c.Inputs), checks.Read[struct{ Week []string }](t, c.Expected)
	for i, written := range in.Week {
		w, err := ParseWeek(written)
		if err != nil {
			t.Fatal(err)
		}
		if got := w.Add(-in.Weeks[i]).String(); got != want.Week[i] {
			t.Errorf("%s less %d: %s, want %s", written, in.Weeks[i], got, want.Week[i])
		}
	}
}

func workingDays(t *testing.T, c checks.Case) {
	in := checks.Read[struct {
		Dates, Holidays []string
		Workdays        []int
	}](t, c.Inputs)
	want := checks.Read[struct{ Next, Previous []string }](t, c.Expected)
	holidays := map[Day]string{}
	for _, h := range in.Holidays {
		holidays[day(t, h)] = "a holiday"
	}
	work := NewWorkdays(in.Workdays, holidays)
	for i, date := range in.Dates {
		d := day(t, date)
		if got := work.Next(d).String(); got != want.Next[i] {
			t.Errorf("after %s: %s, want %s", date, got, want.Next[i])
		}
		if got := work.Previous(d).String(); got != want.Previous[i] {
			t.Errorf("before %s: %s, want %s", date, got, want.Previous[i])
		}
		if (work.Free(d) == "") != (want.Next[i] == date) {
			t.Errorf("%s: free says %q", date, work.Free(d))
		}
	}
}

func daysBetween(t *testing.T, c checks.Case) {
	in, want := checks.Read[struct{ Pairs [][2]string }](t, c.Inputs), checks.Read[struct{ Days []int }](t, c.Expected)
	for i, p := range in.Pairs {
		if got := int(day(t, p[1]) - day(t, p[0])); got != want.Days[i] {
			t.Errorf("%v: %d, want %d", p, got, want.Days[i])
		}
	}
}

func daysInZone(t *testing.T, c checks.Case) {
	in, want := checks.Read[struct {
		MS       []int64
		TimeZone string `json:"time_zone"`
	}](t, c.Inputs), checks.Read[struct{ Day []string }](t, c.Expected)
	zone, err := time.LoadLocation(in.TimeZone)
	if err != nil {
		t.Fatal(err)
	}
	for i, ms := range in.MS {
		if got := Of(time.UnixMilli(ms).In(zone)).String(); got != want.Day[i] {
			t.Errorf("%d: %s, want %s", ms, got, want.Day[i])
		}
	}
}

func day(t *testing.T, date string) Day {
	t.Helper()
	d, err := Parse(date)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func TestDatesBefore1970AndEveryDayOfACentury(t *testing.T) {
	for d, want := day(t, "1899-12-28"), time.Date(1899, time.December, 28, 0, 0, 0, 0, time.UTC); want.Year() < 2100; d, want = d+1, want.AddDate(0, 0, 1) {
		year, week := want.ISOWeek()
		if d.String() != want.Format(time.DateOnly) || d.Week() != (Week{year, week}) || d.Weekday() != (int(want.Weekday())+6)%7+1 || Of(want) != d {
			t.Fatalf("%s: %s, %v, weekday %d", want.Format(time.DateOnly), d, d.Week(), d.Weekday())
		}
	}
}

func TestWhatIsNoDateAndNoWeekIsRefused(t *testing.T) {
	for _, s := range []string{"", "31.12.2026", "2026-02-30", "2026-13-01"} {
		if d, err := Parse(s); err == nil {
			t.Errorf("%q was read as %s", s, d)
		}
	}
	for _, s := range []string{"", "2026", "2026-W5", "2026-W054", "W01-2026", "2026-W-1"} {
		if w, err := ParseWeek(s); err == nil {
			t.Errorf("%q was read as %s", s, w)
		}
	}
}

func TestANurseryThatNeverWorksKeepsItsDays(t *testing.T) {
	every := map[Day]string{}
	for d := day(t, "2026-01-01"); d < day(t, "2028-01-01"); d++ {
		every[d] = "closed"
	}
	work := NewWorkdays([]int{1, 2, 3, 4, 5}, every)
	if d := day(t, "2026-06-01"); work.Next(d) != d {
		t.Errorf("moved to %s", work.Next(d))
	}
	if d := day(t, "2026-06-06"); !slices.Equal([]Day{NewWorkdays(nil, nil).Next(d), NewWorkdays([]int{8}, nil).Next(d)}, []Day{d, d}) {
		t.Error("without a weekday that is worked, a day moved")
	}
}
