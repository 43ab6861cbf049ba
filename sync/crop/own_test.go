package crop

import (
	"reflect"
	"testing"

	"bedwalk/schema"
)

func named(stages []Stage, name string) Stage {
	for _, s := range stages {
		if s.Name == name {
			return s
		}
	}
	return Stage{}
}

// stands is what a stage has to say of itself.
type stands struct {
	likely         int
	from, standing string
}

func expectStages(t *testing.T, stages []Stage, wanted map[string]stands) {
	t.Helper()
	for name, want := range wanted {
		if s := named(stages, name); s.LikelyDays != want.likely || s.From != want.from || s.Standing != want.standing {
			t.Errorf("%s: %+v, want %+v", name, s, want)
		}
	}
}

func TestACultivarsValuesCountBeforeTheCropsAndThoseBeforeWhatBedwalkStartsWith(t *testing.T) {
	ofCrop := map[string]schema.Stage{
		schema.StageBudSet: {ShortestDays: 60, LikelyDays: 70, LongestDays: 80, Hands: true},
		schema.StageLiner:  {ShortestDays: 50, LikelyDays: 60, LongestDays: 70, Hands: true, PotMM: new(40)},
	}
	ofCultivar := map[string]schema.Stage{
		schema.StageBudSet: {ShortestDays: 66, LikelyDays: 77, LongestDays: 88},
		schema.StageCold:   {ShortestDays: 28, LikelyDays: 30, LongestDays: 35},
	}
	both := StagesOf("azalea", "", Own{Cultivar: ofCultivar, Crop: ofCrop})
	expectStages(t, both, map[string]stands{
		schema.StageBudSet:  {77, schema.FromCultivar, schema.StandingOwn},
		schema.StageCold:    {30, schema.FromCultivar, schema.StandingOwn},
		schema.StageLiner:   {60, schema.FromCrop, schema.StandingOwn},
		schema.StageRoot:    {49, schema.FromStart, schema.StandingMemory},
		schema.StageForcing: {35, schema.FromStart, schema.StandingPublished},
	})
	// What the cultivar leaves out of a stage is the crop's, and who ends the stage always is.
	budSet, cold := named(both, schema.StageBudSet), named(both, schema.StageCold)
	if len(budSet.Gates) != 1 || budSet.Gates[0].Line != LineBudsReady || !budSet.Hands {
		t.Errorf("bud set without the crop's gate and hands: %+v", budSet)
	}
	if cold.Route == nil || *cold.Route != "florist" || !cold.Hands {
		t.Errorf("cold without the crop's route and hands: %+v", cold)
	}
	if named(StagesOf("azalea", "nursery", Own{Cultivar: ofCultivar}), schema.StageCold).Name != "" {
		t.Error("a cultivar's cold is gone through on the nursery route, which the crop's is not")
	}
	if got := StagesOf("cyclamen", "", Own{Cultivar: map[string]schema.Stage{schema.StageForcing: {ShortestDays: 20, LikelyDays: 30, LongestDays: 40}}}); len(got) != 1 {
		t.Errorf("a stage that the crop does not have: %+v", got)
	}
}

func TestAGateThatACultivarTakesAwayIsGoneAndAnotherStageKeepsIts(t *testing.T) {
	own := Own{Cultivar: map[string]schema.Stage{schema.StageLiner: {ShortestDays: 50, LikelyDays: 60, LongestDays: 70, Gates: []schema.Gate{}}}}
	if gates := named(StagesOf("azalea", "", own), schema.StageLiner).Gates; len(gates) != 0 {
		t.Errorf("%+v", gates)
	}
	if gates := named(StagesOf("azalea", "", own), schema.StageBudSet).Gates; len(gates) != 1 {
		t.Errorf("%+v", gates)
	}
}

func TestALengthOutOfOrderIsPassedOver(t *testing.T) {
	bad := map[string]schema.Stage{schema.StageCold: {ShortestDays: 60, LikelyDays: 42, LongestDays: 42}}
	want := StagesOf("azalea", "", Own{})
	if got := StagesOf("azalea", "", Own{Cultivar: bad}); !reflect.DeepEqual(got, want) {
		t.Errorf("%+v", got)
	}
}

// What a lot took is counted where its own note ended the stage, once: not again for each lot that was split off later.
func TestWhatALotTookIsCountedForTheLotWhoseNoteEndedTheStage(t *testing.T) {
	mother := Part{PotMM: 60, StuckOn: at("2026-01-05"), PottedOn: at("2026-03-02"), Until: at("2026-06-08")}
	own := Part{PotMM: 130, PottedOn: at("2026-06-08"), Events: []Event{{What: "clipped", On: day("2026-08-03"), Last: true}, {What: "into_cooler", On: day("2026-12-10")}},
		Regulators: []Regulator{{On: day("2026-09-21")}}}
	l := Lot{Family: []Part{own, mother}, Stages: StagesOf("azalea", "florist", Own{})}
	got := map[string]int{}
	for _, took := range l.Took() {
		got[took.Stage] = took.Days
	}
	want := map[string]int{schema.StageGrowOut: 49, schema.StageBudSet: 80, schema.StageFinishedPot: 56}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
	// The mother's rooting is hers.
	hers := Lot{Family: []Part{mother}, Stages: l.Stages}.Took()
	if len(hers) != 1 || hers[0].Stage != schema.StageRoot || hers[0].Days != 56 || hers[0].Ended != day("2026-03-02") {
		t.Errorf("%+v", hers)
	}
}

func TestStepsOutOfOrderTeachNothing(t *testing.T) {
	part := Part{PotMM: 130, Events: []Event{{What: "clipped", On: day("2026-08-03"), Last: true}, {What: "into_cooler", On: day("2026-09-01")}}, Regulators: []Regulator{{On: day("2026-09-21")}}}
	for _, took := range (Lot{Family: []Part{part}, Stages: StagesOf("azalea", "florist", Own{})}).Took() {
		if took.Stage == schema.StageBudSet {
			t.Errorf("%+v", took)
		}
	}
}

func TestAPotSizesValuesCountBetweenTheCultivarsAndTheCropsValueByValue(t *testing.T) {
	lines := []schema.SizedStage{
		{Stage: schema.StageFinishedPot, PotMM: 130, ShortestDays: new(70), LikelyDays: new(90), LongestDays: new(110), PotsM2C: new(4900)},
		{Stage: schema.StageFinishedPot, PotMM: 165, ShortestDays: new(170), LikelyDays: new(190), LongestDays: new(210)},
		{Stage: schema.StageBudSet, PotMM: 130, ShortestDays: new(1), LikelyDays: new(2), LongestDays: new(3), Gates: []schema.Gate{}},
		{Stage: schema.StageGrowOut, PotMM: 130, Gates: []schema.Gate{{Line: "head_mm", AtLeast: 180, ShareBP: 8000}}},
		{Stage: schema.StageCold, PotMM: 130, ShareBP: new(9800)},
		// Written by a faulty build: no order, and a length in part.
		{Stage: schema.StageLiner, PotMM: 130, ShortestDays: new(60), LikelyDays: new(50), LongestDays: new(70)},
		{Stage: schema.StageRoot, PotMM: 130, LikelyDays: new(50)},
	}
	own := Own{
		Cultivar: map[string]schema.Stage{schema.StageBudSet: {ShortestDays: 66, LikelyDays: 77, LongestDays: 88}},
		Size:     Sized(lines, 130),
		Crop:     map[string]schema.Stage{schema.StageFinishedPot: {ShortestDays: 80, LikelyDays: 160, LongestDays: 240, Hands: true, PotMM: new(125)}},
	}
	stages := StagesOf("azalea", "florist", own)
	expectStages(t, stages, map[string]stands{
		schema.StageFinishedPot: {90, schema.FromSize, schema.StandingOwn},
		schema.StageBudSet:      {77, schema.FromCultivar, schema.StandingOwn},
		schema.StageGrowOut:     {42, schema.FromStart, schema.StandingPractice},
		schema.StageCold:        {42, schema.FromStart, schema.StandingPublished},
		schema.StageLiner:       {84, schema.FromStart, schema.StandingPractice},
		schema.StageRoot:        {49, schema.FromStart, schema.StandingMemory},
	})
	// The rest of a stage stays the crop's; a gate that the size takes away is gone for the cultivar too, which leaves gates out.
	if finished := named(stages, schema.StageFinishedPot); !finished.Hands || *finished.PotMM != 125 {
		t.Errorf("without the crop's hands and pot: %+v", finished)
	}
	if gates := named(stages, schema.StageBudSet).Gates; len(gates) != 0 {
		t.Errorf("the pot size asks for nothing: %+v", gates)
	}
	if gates := named(stages, schema.StageGrowOut).Gates; len(gates) != 1 || gates[0].AtLeast != 180 {
		t.Errorf("the pot size asks for heads of 180 mm: %+v", gates)
	}
	for size, want := range map[int]int{165: 190, 140: 160, 0: 160} {
		own.Size = Sized(lines, size)
		if s := named(StagesOf("azalea", "florist", own), schema.StageFinishedPot); s.LikelyDays != want {
			t.Errorf("pots of %d mm take %d days, want %d", size, s.LikelyDays, want)
		}
	}
	// A crop that does not go through a stage does so in no pot.
	if got := StagesOf("cyclamen", "", Own{Size: Sized(lines, 130)}); len(got) != 0 {
		t.Errorf("%+v", got)
	}
}

func TestCostsAndSharesOfAPotSizeReplaceTheCropsOneByOne(t *testing.T) {
	sized := Sized([]schema.SizedStage{
		{Stage: schema.StageCold, PotMM: 130, PotsM2C: new(4900), ShareBP: new(9900)}, {Stage: schema.StageForcing, PotMM: 130, LabourS: new(0)},
		{Stage: schema.StageRoot, PotMM: 130, ShareBP: new(8000)},
	}, 130)
	costs := CostsOf([]schema.StageCost{{Stage: schema.StageCold, LabourS: new(20), MaterialC: new(15), PotsM2C: new(1600)}, {Stage: schema.StageBudSet, LabourS: new(7)}}, sized)
	if c := costs[schema.StageCold]; *c.LabourS != 20 || *c.MaterialC != 15 || *c.PotsM2C != 4900 {
		t.Errorf("cold: %+v", c)
	}
	if c := costs[schema.StageForcing]; *c.LabourS != 0 || c.MaterialC != nil {
		t.Errorf("a cost of 0 is one, one that nobody wrote is none: %+v", c)
	}
	if c := costs[schema.StageBudSet]; *c.LabourS != 7 {
		t.Errorf("bud set: %+v", c)
	}
	shares := SharesOf([]schema.StageYield{{Stage: schema.StageCold, ShareBP: new(9500)}, {Stage: schema.StageLiner, PlantsEach: new(3)}}, sized, new(9300))
	if want := map[string]int{schema.StageCold: 9900, schema.StageRoot: 9300}; !reflect.DeepEqual(shares, want) {
		t.Errorf("%v, want %v: the cultivar's rooting counts before the pot size's", shares, want)
	}
}
