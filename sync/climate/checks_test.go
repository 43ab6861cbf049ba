package climate

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"bedwalk/fixtures/checks"
)

// The cases carry their own sources: Weinberger 1950, Richardson 1974, Shaltout and Unrath 1983, Fishman 1987, arithmetic by hand.
func TestChecks(t *testing.T) {
	checks.Run(t, map[string]func(*testing.T, checks.Case){
		"chill-units": chillUnits, "chill-north-carolina": northCarolinaNodes, "chill-portions": chillPortions, "cold-in-band": coldInBand,
		"cold-counted": checks.Elsewhere, // by sync/crop
	}, "plan/cold")
}

// recordOf lays out one temperature (degrees C) an hour.
func recordOf(hours []float64) Record {
	samples := make([]Sample, len(hours))
	for h, c := range hours {
		samples[h] = Logged(int64(h)*hourMS, int(math.Round(c*10)), hourMS)
	}
	return SeriesOf(samples).Over(Time{0, int64(len(hours)) * hourMS})
}

func chillUnits(t *testing.T, c checks.Case) {
	in := checks.Read[struct {
		Hourly []float64 `json:"hourly_c"`
	}](t, c.Inputs)
	want := checks.Read[map[string]float64](t, c.Expected)
	got := recordOf(in.Hourly).Chilled()
	c.Near(t, "up to 7.2", float64(got.UpTo72), want["hours_to_7_2"])
	c.Near(t, "0 to 7.2", float64(got.From0To72), want["hours_0_to_7_2"])
	c.Near(t, "Utah", got.Utah, want["utah"])
	c.Near(t, "Utah, positive", got.UtahPositive, want["utah_positive"])
	c.Near(t, "North Carolina", got.NorthCarolina, want["north_carolina"])
}

func northCarolinaNodes(t *testing.T, c checks.Case) {
	in := checks.Read[struct {
		Hourly []float64 `json:"hourly_c"`
	}](t, c.Inputs)
	want := checks.Read[struct{ Weight []float64 }](t, c.Expected)
	for i, temp := range in.Hourly {
		c.Near(t, "weight", northCarolina(temp), want.Weight[i])
	}
}

func chillPortions(t *testing.T, c checks.Case) {
	in := checks.Read[struct {
		Constant *float64  `json:"constant_c"`
		Hours    int       `json:"hours"`
		Cycle    []float64 `json:"cycle_c"`
		Repeats  int       `json:"repeats"`
	}](t, c.Inputs)
	hours := slices.Repeat(in.Cycle, in.Repeats)
	if in.Constant != nil {
		hours = slices.Repeat([]float64{*in.Constant}, in.Hours)
	}
	want := checks.Read[struct {
		Portions   float64
		FirstHours []int `json:"first_hours"`
		Count      *int
	}](t, c.Expected)
	got := recordOf(hours).Chilled()
	c.Near(t, "portions", got.Portions, want.Portions)
	// The case numbers its hours from 1.
	var fixed []int
	for h := 1; h <= len(hours); h++ {
		if portions(hours[:h]) > portions(hours[:h-1]) {
			fixed = append(fixed, h)
		}
	}
	if len(want.FirstHours) > 0 && !slices.Equal(fixed[:len(want.FirstHours)], want.FirstHours) {
		t.Errorf("hours that fix something: %v, want first %v", fixed, want.FirstHours)
	}
	if want.Count != nil && len(fixed) != *want.Count {
		t.Errorf("%d hours fix something, want %d", len(fixed), *want.Count)
	}
}

func coldInBand(t *testing.T, c checks.Case) {
	in := checks.Read[struct {
		Samples [][2]float64 `json:"samples_min_c"`
		Low     float64      `json:"low_c"`
		High    float64      `json:"high_c"`
		Every   int64        `json:"every_min"`
		Longest int64        `json:"longest_gap_min"`
	}](t, c.Inputs)
	const minute = 60_000
	var samples []Sample
	for _, s := range in.Samples {
		samples = append(samples, Sample{int64(s[0]) * minute, int(math.Round(s[1] * 10)), in.Every * minute, in.Longest * minute})
	}
	end := samples[len(samples)-1].At + in.Every*minute
	// The assumptions of this project are those of the cases.
	if logged, byHand := Logged(0, 0, in.Every*minute), ByHand(0, 0); samples[0].LongestMS != logged.LongestMS && samples[0].LongestMS != byHand.LongestMS {
		t.Errorf("stands %d ms: neither a logger's sample nor a reading", samples[0].LongestMS)
	}
	want := checks.Read[struct {
		InBand  float64   `json:"hours_in_band"`
		Covered float64   `json:"hours_covered"`
		Gap     float64   `json:"hours_gap"`
		Mean    float64   `json:"mean_c"`
		Most    float64   `json:"hours_in_band_most"`
		Gaps    []float64 `json:"gaps_minutes"`
	}](t, c.Expected)
	r := SeriesOf(samples).Over(Time{samples[0].At, end})
	got := r.Within(int(math.Round(in.Low*10)), int(math.Round(in.High*10)))
	c.Near(t, "in band", float64(got.InBandMS)/hourMS, want.InBand)
	c.Near(t, "covered", float64(got.CoveredMS)/hourMS, want.Covered)
	c.Near(t, "gap", float64(got.GapMS)/hourMS, want.Gap)
	c.Near(t, "mean", got.MeanDC/10, want.Mean)
	c.Near(t, "most", float64(got.InBandMS+got.GapMS)/hourMS, want.Most)
	if len(r.Gaps) != len(want.Gaps) {
		t.Errorf("gaps %v, want %v", r.Gaps, want.Gaps)
	}
}

// Hours in bands by hand (trade-notes 5.2): the bands' upper limits belong to them.
func TestBandsOfUtahByHand(t *testing.T) {
	var hours []float64
	for h := range 21 {
		hours = append(hours, float64(h))
	}
	got := recordOf(append(hours, 7.2, 7.3, -1)).Chilled()
	if got.UpTo72 != 10 || got.From0To72 != 9 || got.Utah != 7.5 || got.UtahPositive != 11 {
		t.Errorf("%+v, want 10, 9, 7.5 and 11", got)
	}
	for temp, want := range map[float64]float64{
		1.4: 0, 1.5: 0.5, 2.4: 0.5, 2.5: 1, 9.1: 1, 9.2: 0.5, 12.4: 0.5, 12.5: 0, 15.9: 0, 16: -0.5, 18: -0.5, 18.1: -1,
	} {
		if got := utah(temp); got != want {
			t.Errorf("%v degrees: %v, want %v", temp, got, want)
		}
	}
}

// A logger that was off for 31 hours: what it read before and after counts, the hours between may have been anything.
func TestAGapIsNeitherColdNorWarm(t *testing.T) {
	var samples []Sample
	for h := range int64(100) {
		if h <= 20 || h >= 52 {
			samples = append(samples, Logged(h*hourMS, 50, hourMS))
		}
	}
	r := SeriesOf(samples).Over(Time{0, 100 * hourMS})
	got := r.Within(35, 72)
	if got.InBandMS != 69*hourMS || got.GapMS != 31*hourMS || len(r.Gaps) != 1 || got.LongestGap != (Time{21 * hourMS, 52 * hourMS}) {
		t.Errorf("%+v with gaps %v, want 69 hours and a gap of 31", got, r.Gaps)
	}
	if chill := r.Chilled(); chill.Hours != 69 || chill.Missing != 31 || chill.UpTo72 != 69 || chill.Restarts != 1 {
		t.Errorf("%+v, want 69 hours, 31 missing, one new beginning", chill)
	}
}

// Three missing hours are gone over at the last temperature; a fourth makes the dynamic model begin again.
func TestTheDynamicModelGoesOverShortGaps(t *testing.T) {
	whole := slices.Repeat([]float64{6}, 200)
	for missing, restarts := range map[int]int{3: 0, 4: 1} {
		var samples []Sample
		for h, c := range whole {
			if h < 100 || h >= 100+missing {
				samples = append(samples, Logged(int64(h)*hourMS, int(c*10), hourMS))
			}
		}
		got := SeriesOf(samples).Over(Time{0, 200 * hourMS}).Chilled()
		if got.Restarts != restarts || (got.Portions == portions(whole)) != (restarts == 0) || got.Portions > portions(whole) {
			t.Errorf("%d hours missing: %+v, whole %v", missing, got, portions(whole))
		}
	}
}

func TestTwoTemperaturesOfOneMoment(t *testing.T) {
	one := []Sample{Logged(0, 50, hourMS), Logged(hourMS, 50, hourMS), Logged(2*hourMS, 50, hourMS)}
	over := Time{0, 3 * hourMS}
	if r := SeriesOf(append(one, one...)).Over(over); r.Read != 3 || r.Clashes != 0 || r.Within(35, 72).InBandMS != 3*hourMS {
		t.Errorf("the same file twice: %+v", r)
	}
	if r := SeriesOf(append(one, Logged(2*hourMS, 90, hourMS))).Over(over); r.Clashes != 1 || r.Read != 2 || r.Within(35, 72).InBandMS != 2*hourMS {
		t.Errorf("two files that differ: %+v", r)
	}
}

// What was read in any order says the same; pieces and gaps fill the time whole; and where samples are lost so that a gap opens, less is
// counted as cold, and what is possible stays possible.
func TestAGapNeverAddsCold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		step := rapid.Int64Range(1, 12).Draw(t, "step") * hourMS / 4
		var samples []Sample
		for i := range rapid.Int64Range(3, 60).Draw(t, "n") {
			samples = append(samples, Logged(i*step, rapid.IntRange(-50, 200).Draw(t, "dc"), step))
		}
		over := Time{0, int64(len(samples)) * step}
		low := rapid.IntRange(-20, 60).Draw(t, "low")
		high := low + rapid.IntRange(0, 80).Draw(t, "wide")
		whole := SeriesOf(samples).Over(over)
		all := whole.Within(low, high)
		if all.CoveredMS != over.To || all.InBandMS+all.BelowMS+all.AboveMS != all.CoveredMS {
			t.Fatalf("%+v", all)
		}
		// One sample more or less opens no gap: the one before stands for it.
		from := rapid.IntRange(0, len(samples)-2).Draw(t, "from")
		to := rapid.IntRange(from+2, len(samples)).Draw(t, "to")
		fewer := append(slices.Clone(samples[:from]), samples[to:]...)
		slices.Reverse(fewer)
		r := SeriesOf(fewer).Over(over)
		got := r.Within(low, high)
		if got.InBandMS > all.InBandMS || got.InBandMS+got.GapMS < all.InBandMS || got.CoveredMS+got.GapMS != over.To {
			t.Fatalf("whole %+v, with a gap %+v", all, got)
		}
		// A stretch of the time says what the pieces in it say, however the stretch is cut.
		cut := rapid.Int64Range(0, over.To).Draw(t, "cut")
		head, tail := SeriesOf(fewer).Over(Time{0, cut}).Within(low, high), SeriesOf(fewer).Over(Time{cut, over.To}).Within(low, high)
		if head.InBandMS+tail.InBandMS != got.InBandMS || head.GapMS+tail.GapMS != got.GapMS {
			t.Fatalf("cut at %d: %+v and %+v, whole %+v", cut, head, tail, got)
		}
		if fewer, more := r.Chilled(), whole.Chilled(); fewer.UpTo72 > more.UpTo72 || fewer.UtahPositive > more.UtahPositive || fewer.Hours+fewer.Missing != more.Hours {
			t.Fatalf("whole %+v, with a gap %+v", more, fewer)
		}
	})
}
