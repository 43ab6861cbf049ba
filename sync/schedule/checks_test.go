package schedule

import (
	"math"
	"strconv"
	"testing"

	"bedwalk/fixtures/checks"
	"bedwalk/sync/calendar"
)

// The cases carry their own sources: R 4.2.2, quadrature, arithmetic by hand, 40,000 seeded draws.
func TestChecks(t *testing.T) {
	checks.Run(t, map[string]func(*testing.T, checks.Case){
		"stage-length": lengths, "stage-length-so-far": soFar, "stage-lengths-summed": summed, "stage-length-learned": learned,
		"schedule-forward": forward, "schedule-backward": backward, "schedule-backward-likely": backwardLikely,
	}, "plan/schedule")
}

func lengths(t *testing.T, c checks.Case) {
	in := checks.Read[Length](t, c.Inputs)
	want := checks.Read[struct {
		Day10          int                `json:"day_10"`
		Day50          int                `json:"day_50"`
		Day90          int                `json:"day_90"`
		Day95          int                `json:"day_95"`
		AtMost         map[string]float64 `json:"at_most"`
		ChanceOfLikely float64            `json:"chance_of_likely"`
		Later          float64
		Problem        string
	}](t, c.Expected)
	if err := in.Check(); (err != nil) != (want.Problem != "") {
		t.Fatalf("problem %v, want %q", err, want.Problem)
	}
	if want.Problem != "" {
		return
	}
	d := Chances{P: in.chances()}
	for chance, day := range map[float64]int{.1: want.Day10, .5: want.Day50, .9: want.Day90, .95: want.Day95} {
		if got, ok := d.At(chance); !ok || int(got) != day {
			t.Errorf("%v: day %d, want %d", chance, got, day)
		}
	}
	for day, chance := range want.AtMost {
		n, err := strconv.Atoi(day)
		if err != nil {
			t.Fatal(err)
		}
		c.Near(t, "at most "+day, d.By(calendar.Day(n)), chance)
	}
	c.Near(t, "likely", d.P[in.Likely], want.ChanceOfLikely)
	c.Near(t, "later", 1-d.By(math.MaxInt32), want.Later)
}

func soFar(t *testing.T, c checks.Case) {
	in := checks.Read[struct {
		Length
		Elapsed int
	}](t, c.Inputs)
	want := checks.Read[struct {
		Day10      int     `json:"day_10"`
		Day50      int     `json:"day_50"`
		Day90      int     `json:"day_90"`
		WithinWeek float64 `json:"within_a_week"`
	}](t, c.Expected)
	d := Chances{P: in.given(in.Elapsed)}
	for chance, day := range map[float64]int{.1: want.Day10, .5: want.Day50, .9: want.Day90} {
		if got, _ := d.At(chance); int(got) != day {
			t.Errorf("%v: day %d, want %d", chance, got, day)
		}
	}
	c.Near(t, "within a week", d.By(calendar.Day(in.Elapsed+7)), want.WithinWeek)
}

func summed(t *testing.T, c checks.Case) {
	in := checks.Read[struct{ Stages [][3]int }](t, c.Inputs)
	want := checks.Read[struct {
		Day10  int     `json:"day_10"`
		Day50  int     `json:"day_50"`
		Day90  int     `json:"day_90"`
		AtMost float64 `json:"at_most_170"`
	}](t, c.Expected)
	d := Sure(0)
	for _, s := range in.Stages {
		d = d.plus(Length{s[0], s[1], s[2]}.chances())
	}
	for chance, day := range map[float64]int{.1: want.Day10, .5: want.Day50, .9: want.Day90} {
		if got, _ := d.At(chance); int(got) != day {
			t.Errorf("%v: day %d, want %d", chance, got, day)
		}
	}
	c.Near(t, "by 170", d.By(170), want.AtMost)
}

type chain struct {
	Start  string
	By     string
	AsOf   string `json:"as_of"`
	Stages []struct {
		Stage string
		Length
		Hands bool `json:"needs_hands"`
	}
	Workdays  []int
	Holidays  []string
	NotBefore map[string]string `json:"not_before"`
	Chances   []float64
}

func (c chain) read(t *testing.T) (stages []Stage, work calendar.Workdays) {
	t.Helper()
	for _, s := range c.Stages {
		stage := Stage{Length: s.Length, Hands: s.Hands}
		if on, ok := c.NotBefore[s.Stage]; ok {
			stage.NotBefore, stage.Fixed = day(t, on), true
		}
		stages = append(stages, stage)
	}
	holidays := map[calendar.Day]string{}
	for _, h := range c.Holidays {
		holidays[day(t, h)] = "a holiday"
	}
	return stages, calendar.NewWorkdays(c.Workdays, holidays)
}

func day(t *testing.T, date string) calendar.Day {
	t.Helper()
	d, err := calendar.Parse(date)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func forward(t *testing.T, c checks.Case) {
	in := checks.Read[chain](t, c.Inputs)
	want := checks.Read[struct {
		Ends map[string]struct {
			Day10 string `json:"day_10"`
			Day50 string `json:"day_50"`
			Day90 string `json:"day_90"`
		}
		ReadyBy float64 `json:"ready_by"`
	}](t, c.Expected)
	stages, work := in.read(t)
	ends := Forward(day(t, in.Start), day(t, in.AsOf), stages, work)
	for i, s := range in.Stages {
		w := want.Ends[s.Stage]
		for chance, day := range map[float64]string{.1: w.Day10, .5: w.Day50, .9: w.Day90} {
			if got, _ := ends[i].At(chance); got.String() != day {
				t.Errorf("%s %v: %s, want %s", s.Stage, chance, got, day)
			}
		}
	}
	c.Near(t, "ready by", ends[len(ends)-1].By(day(t, in.By)), want.ReadyBy)
}

func backward(t *testing.T, c checks.Case) {
	in := checks.Read[chain](t, c.Inputs)
	want := checks.Read[struct {
		Latest50 map[string]string `json:"latest_50"`
		Latest90 map[string]string `json:"latest_90"`
	}](t, c.Expected)
	stages, work := in.read(t)
	all := Backward(day(t, in.By), stages, work)
	for i, s := range in.Stages {
		for chance, latest := range map[float64]string{.5: want.Latest50[s.Stage], .9: want.Latest90[s.Stage]} {
			if got, ok := all[i].Latest(chance, work); !ok || got.String() != latest {
				t.Errorf("%s %v: %s, want %s", s.Stage, chance, got, latest)
			}
		}
	}
}

// Of lengths that are known to the day every chance is that of the likely length; each stage ends by hand.
func backwardLikely(t *testing.T, c checks.Case) {
	in := checks.Read[chain](t, c.Inputs)
	want := checks.Read[struct {
		Latest map[string]string
		Moved  map[string]int
	}](t, c.Expected)
	for i, s := range in.Stages {
		in.Stages[i].Length, in.Stages[i].Hands = Length{s.Likely, s.Likely, s.Likely}, true
	}
	stages, work := in.read(t)
	all, every := Backward(day(t, in.By), stages, work), calendar.Workdays{}
	for i, s := range in.Stages {
		got, ok := all[i].Latest(0.5, work)
		byItself, _ := all[i].Latest(0.5, every)
		if !ok || got.String() != want.Latest[s.Stage] || int(got-byItself) != want.Moved[s.Stage] {
			t.Errorf("%s: %s, %d days from %s, want %s", s.Stage, got, got-byItself, byItself, want.Latest[s.Stage])
		}
	}
}

func learned(t *testing.T, c checks.Case) {
	in := checks.Read[struct {
		Shortest, Likely, Longest int
		OwnDays                   []int `json:"own_days"`
		WorthLots                 int   `json:"worth_lots"`
	}](t, c.Inputs)
	want := checks.Read[struct {
		Median     float64
		ScaleRatio float64 `json:"scale_ratio"`
		Day10      float64 `json:"day_10"`
		Day90      float64 `json:"day_90"`
	}](t, c.Expected)
	if in.WorthLots != WorthLots {
		t.Fatalf("the profile counts for %d lots, want %d", WorthLots, in.WorthLots)
	}
	before := Length{in.Shortest, in.Likely, in.Longest}
	got := before.Learn(in.OwnDays)
	c.Near(t, "median", got.Median, want.Median)
	c.Near(t, "10 % day", got.Day10, want.Day10)
	c.Near(t, "90 % day", got.Day90, want.Day90)
	// The 0.9 quantile of Student's t with 9 degrees of freedom, as the case gives it.
	ratio := math.Log(got.Day90/got.Median) / (1.3830287384 * math.Log(float64(in.Longest)/float64(in.Likely)) / t90)
	c.Near(t, "scale", ratio, want.ScaleRatio)
	if whole := got.Length(); whole != (Length{61, 70, 79}) {
		t.Errorf("in whole days %v", whole)
	}
}

func TestALengthOfNoSpreadIsLearnedWithoutASideOfNoWidth(t *testing.T) {
	got := Length{42, 42, 42}.Learn([]int{42, 42, 45})
	if !(got.Day10 < got.Median && got.Median < got.Day90) || got.Median < 42 || got.Median > 43 {
		t.Errorf("%+v", got)
	}
	if err := got.Length().Check(); err != nil {
		t.Error(err)
	}
}
