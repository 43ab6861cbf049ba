package crop

import (
	"math"
	"testing"

	"bedwalk/schema"
	"bedwalk/sync/calendar"
	"bedwalk/sync/stats"
)

// Growth of NIST StRD Rat42 (pasture yield, Ratkowsky 1983), days and heights, certified logistic 72.462237576, 2.6180768402,
// 0.067359200066.
var (
	rat42X = []float64{9, 14, 21, 28, 42, 57, 63, 70, 79}
	rat42Y = []float64{8.93, 10.8, 18.59, 22.33, 39.35, 56.11, 61.73, 64.62, 67.08}
)

func walksAt(since calendar.Day, x, y []float64, n int, sd float64) (walks []WalkMean) {
	for i := range x {
		walks = append(walks, WalkMean{On: since + calendar.Day(x[i]), N: n, MM: y[i], SD: sd})
	}
	return walks
}

// By hand from the certified parameters: 60 is reached at (2.6180768402 + ln(60/12.462237576))/0.067359200066 = 62.2 days.
func TestTheDayOfACrossingFollowsFromTheCertifiedCurve(t *testing.T) {
	since := day("2026-05-01")
	fit, err := stats.FitCurve(stats.Logistic, rat42X, rat42Y, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	c := Growth{Since: since, fits: []stats.Fit{fit}}.Crosses(60, 0.9)
	want := since + calendar.Day(math.Ceil((2.6180768402+math.Log(60/12.462237576))/0.067359200066))
	if c.Likely == nil || *c.Likely != want || c.Early == nil || c.Late == nil || *c.Early >= want || *c.Late <= want {
		t.Errorf("%+v, want %v", c, want)
	}
}

func TestBothCurvesMustBeBelievedAndTheirIntervalsAreJoined(t *testing.T) {
	since := day("2026-05-01")
	g := GrowthOf(since, walksAt(since, rat42X, rat42Y, 30, 3))
	if !g.Carried || len(g.fits) != 2 {
		t.Fatalf("%q: %+v", g.Why, g)
	}
	joined := g.At(since+60, 0.9)
	for _, fit := range g.fits {
		one := fit.MeanAt(60, 0.9)
		if joined.Interval.Low > one.Interval.Low || joined.Interval.High < one.Interval.High {
			t.Errorf("%v does not cover %v", joined.Interval, one.Interval)
		}
	}
}

func TestACurveIsRefusedWithItsReasonAndALineStandsIn(t *testing.T) {
	since := day("2026-05-01")
	for name, c := range map[string]struct {
		x, y []float64
		why  string
		line int
	}{
		"four walks":        {rat42X[:4], rat42Y[:4], GrowthPoints, 4},
		"two walks":         {rat42X[:2], rat42Y[:2], GrowthPoints, 0},
		"young":             {rat42X[:5], rat42Y[:5], "", 5},
		"heads that shrink": {[]float64{7, 14, 21, 28, 35}, []float64{50, 48, 45, 44, 40}, GrowthNoFit, 5},
	} {
		g := GrowthOf(since, walksAt(since, c.x, c.y, 30, 3))
		if g.Carried || g.Why == "" || c.why != "" && g.Why != c.why || g.Line != c.line {
			t.Errorf("%s: carried %v, %q, line of %d", name, g.Carried, g.Why, g.Line)
		}
	}
	if c := GrowthOf(since, walksAt(since, []float64{7, 14, 21, 28, 35}, []float64{50, 48, 45, 44, 40}, 30, 3)).Crosses(60, 0.9); c.Likely != nil {
		t.Errorf("heads that shrink reach 60 mm on %v", *c.Likely)
	}
}

// A walk before the last pinch is of other shoots; so are pinches of an earlier season.
func TestOnlyWalksAfterTheLastPinchOfTheSeasonCount(t *testing.T) {
	since := day("2026-05-01")
	walks := append(walksAt(since, rat42X, rat42Y, 30, 3), WalkMean{On: since - 3, N: 30, MM: 300, SD: 3}, WalkMean{On: since, N: 30, MM: 300, SD: 3})
	if got, want := GrowthOf(since, walks), GrowthOf(since, walks[:len(rat42X)]); len(got.Walks) != len(want.Walks) {
		t.Errorf("%+v", got.Walks)
	}
	part := Part{Events: []Event{{What: "clipped", On: day("2025-06-01")}, {What: "held_over", On: day("2026-02-01")}, {What: "pinched", On: day("2026-04-01")}, {What: "clipped", On: day("2026-05-01")}}}
	if got := LastPinch([]Part{part}); got == nil || *got != since {
		t.Errorf("%v", got)
	}
	part.Events = part.Events[:2]
	if got := LastPinch([]Part{part}); got != nil {
		t.Errorf("a pinch of the season before: %v", *got)
	}
}

// Walks that differ by more than their own errors make the interval wider, and none narrower than these errors allow.
func TestWalksThatDifferByMoreThanTheirErrorsWidenTheInterval(t *testing.T) {
	since := day("2026-05-01")
	noisy := append([]float64{}, rat42Y...)
	for i := range noisy {
		noisy[i] += []float64{3, -3}[i%2]
	}
	on := since + 50
	width := func(y []float64, n int) float64 {
		e := GrowthOf(since, walksAt(since, rat42X, y, n, 3)).At(on, 0.9)
		return e.Interval.High - e.Interval.Low
	}
	if calm, wild := width(rat42Y, 30), width(noisy, 30); wild < 1.5*calm {
		t.Errorf("%v and %v", calm, wild)
	}
	if few, many := width(rat42Y, 4), width(rat42Y, 400); few <= many {
		t.Errorf("4 pots a walk %v, 400 pots %v", few, many)
	}
}

func TestAGateOnHeadSizeTakesTheDayFromTheLotsOwnGrowth(t *testing.T) {
	pinch := day("2026-05-01")
	stages := map[string]schema.Stage{
		schema.StageFinishedPot: {ShortestDays: 84, LikelyDays: 168, LongestDays: 238, Hands: true, PotMM: new(120), Gates: []schema.Gate{{Line: "head_mm", AtLeast: 60, ShareBP: 5000}}},
		schema.StageGrowOut:     {ShortestDays: 35, LikelyDays: 42, LongestDays: 56, Hands: true},
	}
	l := Lot{
		Family: []Part{{PotMM: 130, PottedOn: at("2026-04-20"), Events: []Event{{What: "pinched", On: pinch}}}},
		Stages: StagesOf("azalea", "florist", Own{Crop: stages}), AsOf: pinch + 50, Work: workweek,
	}
	without := step(t, l.Forecast(), StepLastPinch)
	if without.Stage.From != schema.FromCrop || without.Coming == nil {
		t.Fatalf("%+v", without)
	}
	l.Heads = walksAt(pinch, rat42X[:7], rat42Y[:7], 30, 3)
	few := step(t, l.Forecast(), StepLastPinch)
	l.Heads = walksAt(pinch, rat42X, rat42Y, 30, 3)
	f := l.Forecast()
	with := step(t, f, StepLastPinch)
	if with.Stage.From != schema.FromWalks || with.Stage.Standing != schema.StandingWalks {
		t.Fatalf("%+v", with.Stage)
	}
	// 62 days after the pinch, by the curve's own crossing (see above): the last pinch is then likely within days of it.
	if got := *with.Coming.Day50; got < pinch+60 || got > pinch+67 {
		t.Errorf("likely on %v", got)
	}
	if *with.Coming.Day50 >= *without.Coming.Day50 {
		t.Errorf("%v with the curve, %v without", *with.Coming.Day50, *without.Coming.Day50)
	}
	if before := (Lot{Family: l.Family, Stages: l.Stages, AsOf: l.AsOf, Work: workweek}).Forecast(); f.NotOwn != before.NotOwn {
		t.Errorf("%d lengths are not the grower's own, before %d", f.NotOwn, before.NotOwn)
	}
	// A curve that is not believed changes nothing.
	if GrowthOf(pinch, walksAt(pinch, rat42X[:7], rat42Y[:7], 30, 3)).Carried == (few.Stage.From == schema.FromCrop) {
		t.Errorf("%+v", few.Stage)
	}
	l.Family[0].Events = nil
	if got := step(t, l.Forecast(), StepLastPinch); got.Stage.From != schema.FromCrop {
		t.Errorf("without a pinch: %+v", got.Stage)
	}
}
