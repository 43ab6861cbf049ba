package view_test

import (
	"math"
	"reflect"
	"testing"
	"time"

	"bedwalk/schema"
	"bedwalk/server/testphone"
)

// The lot of supplyOf is in its last stage, bud set, in a pot of 130 mm, and has too short a past of its own.
func TestAWeekCountsWhatIsWrittenOfTheStagesToComeAndHowSureThatIs(t *testing.T) {
	sized := func(pot, share int) *[]schema.SizedStage {
		return &[]schema.SizedStage{{Stage: schema.StageBudSet, PotMM: pot, ShareBP: &share}}
	}
	yields := &[]schema.StageYield{{Stage: schema.StageBudSet, ShareBP: new(9000)}, {Stage: schema.StageCold, ShareBP: new(5000)}}
	sure := map[string]int{}
	for name, c := range map[string]struct {
		profile schema.Profile
		survive float64
		basis   string
	}{
		"nothing written":                     {schema.Profile{}, 1, "crop"},
		"a loss expected of the crop":         {schema.Profile{ExpectedLossBP: new(1000)}, 0.9, "crop"},
		"a share of another stage alone":      {schema.Profile{ExpectedLossBP: new(500), Yields: &[]schema.StageYield{{Stage: schema.StageCold, ShareBP: new(5000)}}}, 0.95, "crop"},
		"a share of the stage":                {schema.Profile{ExpectedLossBP: new(500), Yields: yields}, 0.9, "stages"},
		"a share of the stage in its pots":    {schema.Profile{Yields: yields, Sizes: sized(130, 8000)}, 0.8, "stages"},
		"a share of the stage in other pots":  {schema.Profile{Yields: yields, Sizes: sized(165, 8000)}, 0.9, "stages"},
		"plants to a pot and no share":        {schema.Profile{Yields: &[]schema.StageYield{{Stage: schema.StageBudSet, PlantsEach: new(3)}}}, 1, "crop"},
		"a share in its pots and none else's": {schema.Profile{Sizes: sized(130, 8000)}, 0.8, "stages"},
	} {
		v := supplyOf(t, "2001-W40", func(p *testphone.Phone, n testphone.Nursery) {
			c.profile.Writes = schema.Writes{Of: n.Profile}
			p.Note("profile", "", "", c.profile)
		})
		lot := v.Weeks[0].Lots[0]
		if math.Abs(lot.Survive-c.survive) > 1e-9 || lot.LossBasis != c.basis || lot.OwnLoss {
			t.Errorf("%s: %v left by %s", name, lot.Survive, lot.LossBasis)
		}
		if limits := lot.SurviveLimits; (limits == nil) != (c.survive == 1) || limits != nil && !(limits.Low < c.survive && c.survive < limits.High && limits.High < 1) {
			t.Errorf("%s: limits %+v", name, limits)
		}
		sure[name] = v.Weeks[0].Grades[0].Sure
	}
	if sure["a share of the stage in its pots"] >= sure["a share of the stage"] || sure["a share of the stage"] >= sure["nothing written"] {
		t.Errorf("what is lost is promised: %v", sure)
	}
}

// One lot on one bed, of which every pot was seen and is good: then nothing is open but what it loses, and its page, the bed's page and its ship week say
// the same. A week counts every season apart and rounds to the nearest pot, so it may have one pot more.
func TestALotsPageItsBedsPageAndItsShipWeekTakeTheSameLossesOff(t *testing.T) {
	yields := &[]schema.StageYield{{Stage: schema.StageBudSet, ShareBP: new(8500)}}
	for name, c := range map[string]struct {
		profile schema.Profile
		basis   string
	}{
		"nothing is lost":                 {schema.Profile{}, "crop"},
		"a loss expected of the crop":     {schema.Profile{ExpectedLossBP: new(1000)}, "crop"},
		"a share of the stage still open": {schema.Profile{ExpectedLossBP: new(300), Yields: yields}, "stages"},
	} {
		o := newOffice(t)
		p := testphone.New("1111111111111111")
		n := p.Plant()
		grades := []schema.Grade{{Name: "florist", PotMM: 130, HeadMinMM: new(280)}}
		p.Note("profile", "", "", schema.Profile{Writes: schema.Writes{Of: n.Profile}, Crop: new("azalea"), ExpectedLossBP: new(0), Grades: &grades})
		c.profile.Writes = schema.Writes{Of: n.Profile}
		p.Note("profile", "", "", c.profile)
		p.Note("lot", n.Lot, "", schema.Lot{Writes: schema.Writes{Of: n.Lot}, PottedOn: new("1999-06-01"), Route: new("nursery"), ShipWeek: new("2001-W40")})
		january := time.Date(2000, time.January, 10, 12, 0, 0, 0, time.UTC).UnixMilli()
		p.Note("application", n.Lot, "", schema.Application{Lot: n.Lot, Beds: []string{n.Bed}, Purpose: "growth_regulator", Active: "invented", EndedAt: january})
		for i := range 50 {
			p.See(n, 1+i/5, 1+i%5, 300, 40)
		}
		p.Note("walk_end", "", n.Bed, schema.WalkEnd{Walk: n.Walk, Bed: n.Bed, Why: "planned"})
		o.push(p)
		lot, err := o.desk.Lot(t.Context(), n.Lot)
		if err != nil {
			t.Fatal(err)
		}
		bed, err := o.desk.Bed(t.Context(), n.Bed, "")
		if err != nil {
			t.Fatal(err)
		}
		weeks, err := o.desk.Supply(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		onBed, week := bed.Bed.Score.Lots[0].GradeOut.Promise, weeks.Weeks[0].Lots[0]
		if !reflect.DeepEqual(*lot.Promise, onBed) {
			t.Errorf("%s: the lot's page has %+v, the bed's %+v", name, *lot.Promise, onBed)
		}
		beds, err := o.desk.Beds(t.Context(), "")
		if err != nil {
			t.Fatal(err)
		}
		for page, of := range map[string]schema.Promise{
			"list of beds": beds.Houses[0].Beds[0].Score.Lots[0].GradeOut.Promise, "lot's page of its walks": lot.Scores[0].Score.GradeOut.Promise,
		} {
			if of.Hold != "list" || len(of.Lines) != 0 || of.Shrink != 0 || of.Whole != 50 {
				t.Errorf("%s: the %s promises %+v", name, page, of)
			}
		}
		line := lot.Promise.Lines[0]
		if lot.Promise.LossBasis != c.basis || week.LossBasis != c.basis || !reflect.DeepEqual(lot.Promise.KeptLimits, week.SurviveLimits) {
			t.Errorf("%s: %+v, the week %+v", name, lot.Promise, week)
		}
		if week.Ready < 0.99 || line.Sure != 50 || line.Kept > week.Sure[0] || line.Kept < week.Sure[0]-1 {
			t.Errorf("%s: of %d pots %d are left, and %d in the ship week (ready %v)", name, line.Sure, line.Kept, week.Sure[0], week.Ready)
		}
		// 50 pots less the loss that is expected is more than is left in 19 of 20 lots.
		if written := int(50 * (1 - lot.Promise.Shrink)); (line.Kept < written) != (lot.Promise.Shrink > 0) {
			t.Errorf("%s: %d are left, with the loss as sure it would be %d", name, line.Kept, written)
		}
	}
}

func TestAPlanCountsWithTheDaysOfTheLotsPotSize(t *testing.T) {
	for _, pot := range []int{130, 165} {
		o := newOffice(t)
		p := testphone.New("1111111111111111")
		n := p.Plant()
		p.Note("lot", n.Lot, "", schema.Lot{Writes: schema.Writes{Of: n.Lot}, PottedOn: new("2001-06-01"), Route: new("nursery")})
		p.Note("profile", "", "", schema.Profile{Writes: schema.Writes{Of: n.Profile}, Crop: new("azalea"), Sizes: &[]schema.SizedStage{
			{Stage: schema.StageGrowOut, PotMM: pot, ShortestDays: new(50), LikelyDays: new(60), LongestDays: new(70)},
		}})
		o.push(p)
		v, err := o.desk.Lot(t.Context(), n.Lot)
		if err != nil {
			t.Fatal(err)
		}
		for _, step := range v.Plan.Steps {
			if step.Stage != schema.StageGrowOut {
				continue
			}
			if isSize := step.From == schema.FromSize && step.Standing == schema.StandingOwn && step.Days[1] == 60; isSize != (pot == 130) {
				t.Errorf("pots of %d mm: %+v", pot, step)
			}
		}
	}
}
