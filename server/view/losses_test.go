package view_test

import (
	"math"
	"testing"

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
