package bed

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"bedwalk/schema"
)

// found scores a bed, checks that a finding is there, and gives it.
func found(t *testing.T, in schema.BedInput, code string) schema.Finding {
	t.Helper()
	s := Score(in)
	f, ok := find(s, code)
	if !ok {
		t.Fatalf("no finding %q among %v", code, s.Findings)
	}
	if f.Numbers["n"] < 1 {
		t.Errorf("%s rests on no pot: %v", code, f)
	}
	return f
}

func TestAGradientNamesTheEndTowardWhichHeadsShrink(t *testing.T) {
	for _, c := range []struct {
		end   string
		shape func(schema.Place) float64
	}{
		{"far", func(p schema.Place) float64 { return 1.1 - 0.2*float64(p.Row)/100 }},
		{"entry", func(p schema.Place) float64 { return 0.9 + 0.2*float64(p.Row)/100 }},
	} {
		f := found(t, walked(testBed(testLot("a", 1, 100)), 3, 40, heads(seeded(1), 300, 0.05, c.shape)), CodeGradient)
		if f.End != c.end || f.Trait != Head || !f.Attention {
			t.Errorf("have %+v, want %s", f, c.end)
		}
		// The bed is 20 m long and heads differ by a fifth from end to end: 5 % every 5 m.
		near(t, "per 5 m", f.Numbers["per_5m"], 0.05, 0.02)
		near(t, "over the bed", f.Numbers["total"], 4*f.Numbers["per_5m"], 1e-9)
	}
}

func TestTwoLotsOfDifferentSizeAreNoGradient(t *testing.T) {
	in := testBed(testLot("a", 1, 50), testLot("b", 51, 100))
	in = walked(in, 3, 40, heads(seeded(2), 300, 0.05, func(p schema.Place) float64 {
		if p.Row > 50 {
			return 0.7
		}
		return 1
	}))
	if f, ok := find(Score(in), CodeGradient); ok {
		t.Errorf("the lots' difference was taken for a gradient: %v", f)
	}
	f := found(t, in, CodeBetweenLots)
	if f.Numbers["share"] < 0.8 || f.Numbers["lots"] != 2 {
		t.Errorf("have %v", f.Numbers)
	}
}

func TestHeadsThatShrinkAcrossNameTheSide(t *testing.T) {
	in := walked(testBed(testLot("a", 1, 100)), 4, 48, heads(seeded(3), 300, 0.04, func(p schema.Place) float64 { return 1.15 - 0.3*float64(p.Across)/12 }))
	if f := found(t, in, CodeAcross); f.End != "far" {
		t.Errorf("have %+v", f)
	}
}

func TestSmallEdgePotsAreDistinguishedFromTheMiddle(t *testing.T) {
	in := testBed(testLot("a", 1, 100))
	in = walked(in, 5, 60, heads(seeded(4), 300, 0.04, func(p schema.Place) float64 {
		if atEdge(in, p.Across) {
			return 0.85
		}
		return 1
	}))
	f := found(t, in, CodeEdge)
	near(t, "difference", f.Numbers["difference"], -0.15, 0.04)
	if !f.Attention || f.Numbers["share"] > 0.2 {
		t.Errorf("have %+v", f)
	}
}

func TestAChlorosisPatchIsFoundWhereItStands(t *testing.T) {
	grow := func(sick func(schema.Place) bool) func(schema.Place) schema.Observation {
		return func(p schema.Place) schema.Observation {
			if sick(p) {
				return schema.Observation{Chlorosis: text("young"), Severity: whole(2)}
			}
			return schema.Observation{Chlorosis: text("none")}
		}
	}
	in := walked(testBed(testLot("a", 1, 100)), 6, 40, grow(func(p schema.Place) bool { return p.Row >= 50 && p.Row <= 70 }))
	f := found(t, in, CodePatchChlorosis)
	if f.Numbers["from_m"] < 9.5 || f.Numbers["to_m"] > 14.5 || f.Numbers["together"] < 5 {
		t.Errorf("the patch stands from 9.8 to 14 m: %v", f.Numbers)
	}
	if f := found(t, in, CodeChlorosis); !f.Attention || f.Numbers["x"] < 5 {
		t.Errorf("have %+v", f)
	}
	scattered := walked(testBed(testLot("a", 1, 100)), 6, 40, grow(func(p schema.Place) bool { return p.Row%5 == 0 }))
	if f, ok := find(Score(scattered), CodePatchChlorosis); ok {
		t.Errorf("scattered pots were taken for a patch: %v", f)
	}
}

// Four sick pots in ten rows, none of them next to another: the stretch that they span is named. It was once without
// an end, which no JSON can say, so that the page of the beds was not shown at all.
func TestSickPotsThatStandCloseButNotSideBySideHaveAStretchToo(t *testing.T) {
	in := testBed(testLot("a", 1, 100))
	for row := 1; row <= 100; row++ {
		o := schema.Observation{Lot: "a", Bed: in.Bed, Place: &schema.Place{Row: row, Across: 6}, Chlorosis: text("none")}
		if row == 20 || row == 23 || row == 26 || row == 29 {
			o.Chlorosis, o.Severity = text("young"), whole(2)
		}
		in.Pots = append(in.Pots, schema.PotSeen{ID: fmt.Sprint(row), Person: "x", Now: o})
	}
	s := Score(in)
	f, ok := find(s, CodePatchChlorosis)
	if !ok {
		t.Fatal("the patch was not found")
	}
	row := float64(in.LengthMM) / 1000 / float64(in.Rows)
	near(t, "from", f.Numbers["from_m"], 19*row, 1e-9)
	near(t, "to", f.Numbers["to_m"], 29*row, 1e-9)
	if f.Numbers["together"] != 4 {
		t.Errorf("have %v", f.Numbers)
	}
	if _, err := json.Marshal(s); err != nil {
		t.Error(err)
	}
}

// sickWhere returns 40 checked pots of a bed, sick where the function says so.
func sickWhere(seed uint32, sick func(schema.Place) bool) schema.BedInput {
	return walked(testBed(testLot("a", 1, 100)), seed, 40, func(p schema.Place) schema.Observation {
		leaves := "none"
		if sick(p) {
			leaves = "young"
		}
		return schema.Observation{Chlorosis: &leaves}
	})
}

func TestAPatchIsSeenAtAnEndWithAStrayPotFarOffAndTwice(t *testing.T) {
	for name, sick := range map[string]func(schema.Place) bool{
		"at the far end":         func(p schema.Place) bool { return p.Row > 82 },
		"with a stray pot":       func(p schema.Place) bool { return p.Row > 10 && p.Row < 28 || p.Row > 96 && p.Across > 6 },
		"twice":                  func(p schema.Place) bool { return p.Row < 16 || p.Row > 84 },
		"in the middle":          func(p schema.Place) bool { return p.Row > 40 && p.Row < 60 },
		"on one side, a quarter": func(p schema.Place) bool { return p.Row > 40 && p.Row < 65 && p.Across > 6 },
	} {
		seen := 0
		for seed := range uint32(20) {
			if _, ok := find(Score(sickWhere(seed+1, sick)), CodePatchChlorosis); ok {
				seen++
			}
		}
		if seen < 16 {
			t.Errorf("a patch %s was seen on %d walks of 20", name, seen)
		}
	}
}

// The chance of a false alarm is at most the test's own, however many pots are chlorotic here and there.
func TestPotsThatAreChloroticHereAndThereAreSeldomTakenForAPatch(t *testing.T) {
	const beds = 400
	for _, share := range []float64{0.15, 0.3} {
		alarms := 0
		for seed := range uint32(beds) {
			r := seeded(5000 + uint64(seed))
			in := sickWhere(seed+1, func(schema.Place) bool { return r.Float64() < share })
			rng := rand.New(rand.NewPCG(uint64(seed), 1))
			alarms += len(flagPatches(in, lotsOf(in), rng))
		}
		t.Logf("%.0f %% chlorotic: %d alarms on %d beds", 100*share, alarms, beds)
		if alarms > mostOf(beds, patchP) {
			t.Errorf("%.0f %% chlorotic: %d alarms on %d beds", 100*share, alarms, beds)
		}
	}
}

func TestRotAndDiseaseInOneLotNameItAndTheirPatch(t *testing.T) {
	in := testBed(testLot("a", 1, 60), testLot("b", 61, 100))
	in = walked(in, 7, 48, func(p schema.Place) schema.Observation {
		sick := p.Row > 80
		o := schema.Observation{RootLife: whole(4), Disease: &sick}
		if sick {
			o.RootLife, o.Scratch = whole(1), text("soft")
		}
		return o
	})
	for _, code := range []string{CodeRot, CodeDisease, CodePatchRot, CodePatchDisease} {
		if f := found(t, in, code); f.Lot != "b" || !f.Attention {
			t.Errorf("%s: have %+v", code, f)
		}
	}
}

func TestAPatchOfSmallHeadsIsFoundBesideNoGradient(t *testing.T) {
	in := walked(testBed(testLot("a", 1, 100)), 8, 60, heads(seeded(6), 300, 0.03, func(p schema.Place) float64 {
		if p.Row > 35 && p.Row < 65 {
			return 0.85
		}
		return 1
	}))
	if f := found(t, in, CodePatch); f.Trait != Head || f.Numbers["i"] < 0.1 {
		t.Errorf("have %+v", f)
	}
}

func TestTwoGroupsOfHeadsAreReportedWithTheirMeans(t *testing.T) {
	r := seeded(7)
	in := walked(testBed(testLot("a", 1, 100)), 9, 30, func(schema.Place) schema.Observation {
		mean := 300.0
		if r.IntN(3) == 0 {
			mean = 200
		}
		return schema.Observation{HeadAMM: whole(int(mean * (1 + 0.03*r.NormFloat64())))}
	})
	f := found(t, in, CodeTwoGroups)
	near(t, "low", f.Numbers["low"], 200, 6)
	near(t, "high", f.Numbers["high"], 300, 6)
	if f.Numbers["low_n"]+f.Numbers["high_n"] != 30 || f.Lot != "a" {
		t.Errorf("have %+v", f)
	}
	flat := walked(testBed(testLot("a", 1, 100)), 9, 30, func(schema.Place) schema.Observation {
		return schema.Observation{HeadAMM: whole(200 + r.IntN(100))}
	})
	if f, ok := find(Score(flat), CodeTwoGroups); ok {
		t.Errorf("sizes spread evenly were taken for two groups: %v", f)
	}
}

func TestClumpedBudsAndAnExpectedShareThatIsNotCountedAreReported(t *testing.T) {
	// Half without buds and half with fifty: no normal spread is like that.
	i := 0
	in := walked(testBed(testLot("a", 1, 100)), 10, 20, func(schema.Place) schema.Observation {
		i++
		return schema.Observation{Buds: whole(50 * (i % 2))}
	})
	if f := found(t, in, CodeClumped); f.Lot != "a" || f.Numbers["index"] < 10 {
		t.Errorf("have %+v", f)
	}
	// Two tight groups just inside the tolerance: a normal spread would put a third outside.
	j := 0
	in = walked(testBed(testLot("a", 1, 100)), 10, 40, func(schema.Place) schema.Observation {
		j++
		return schema.Observation{HeadAMM: whole(300 - 27 + 54*(j%2))}
	})
	if f := found(t, in, CodeDisagree); f.Numbers["counted"] != 1 || f.Numbers["expected"] > 0.8 {
		t.Errorf("have %+v", f)
	}
}

func TestWhatHoldsTheBedBackSlipsAndTheEdgeHabitAreReported(t *testing.T) {
	r := seeded(8)
	in := testBed(testLot("a", 1, 100))
	for row := 1; row <= 12; row++ {
		in.Pots = append(in.Pots, schema.PotSeen{ID: string(rune('a' + row)), Now: schema.Observation{
			Lot: "a", Place: &schema.Place{Row: row, Across: 1},
			HeadAMM: whole(300 + r.IntN(20)), Buds: whole(10 + r.IntN(40)),
		}})
	}
	in.Pots[4].Now.HeadAMM = whole(31)
	if f := found(t, in, CodeEdgeBias); f.Numbers["seen"] != 1 || math.Abs(f.Numbers["bed"]-1.0/6) > 1e-12 {
		t.Errorf("have %+v", f)
	}
	if f := found(t, in, CodeSlips); f.Numbers["x"] != 1 {
		t.Errorf("have %+v", f)
	}
	in.Pots[4].Now.HeadAMM = whole(310)
	if f := found(t, in, CodeHoldsBack); f.Trait != Buds || f.Numbers["uniformity"] >= f.Numbers["other"] {
		t.Errorf("have %+v", f)
	}
}

func TestAnEvenBedIsSeldomTroubledByFindings(t *testing.T) {
	const beds = 300
	counts := map[string]int{}
	for seed := range uint64(beds) {
		r := seeded(100 + seed)
		in := walked(testBed(testLot("a", 1, 100)), uint32(seed)+1, 30, func(schema.Place) schema.Observation {
			leaves := "none"
			if r.IntN(6) == 0 {
				leaves = "young"
			}
			return schema.Observation{
				HeadAMM: whole(int(300 * (1 + 0.08*r.NormFloat64()))), Buds: whole(int(30 * (1 + 0.15*r.NormFloat64()))), Chlorosis: &leaves,
			}
		})
		for _, f := range Score(in).Findings {
			counts[f.Code]++
		}
	}
	// What asks for a step, at 1 in 100; what is only reported, of two traits, at 1 in 100 each.
	most := map[string]int{CodePatchChlorosis: mostOf(beds, patchP)}
	for _, code := range []string{CodeGradient, CodeAcross, CodeTwoGroups, CodeEdgeBias, CodeFlagGradient, CodeFlagAcross, CodeFlagEdge} {
		most[code] = mostOf(beds, 0.01)
	}
	for _, code := range []string{CodeEdge, CodePatch, CodeClumped, CodeDisagree} {
		most[code] = mostOf(beds, 0.02)
	}
	for code, limit := range most {
		if counts[code] > limit {
			t.Errorf("%s was said of %d even beds of %d", code, counts[code], beds)
		}
	}
}

func TestFindingsComeInTheOrderOfTheirCodesAndFewPotsGiveNone(t *testing.T) {
	in := walked(testBed(testLot("a", 1, 100)), 3, 40, heads(seeded(1), 300, 0.05, func(p schema.Place) float64 { return 1.1 - 0.2*float64(p.Row)/100 }))
	in.Pots[0].Now.Disease = new(bool)
	*in.Pots[0].Now.Disease = true
	last := -1
	for _, f := range Score(in).Findings {
		at := slices.Index(Codes, f.Code)
		if at < last || at < 0 {
			t.Errorf("%s comes out of order", f.Code)
		}
		last = at
		for name, number := range f.Numbers {
			if math.IsNaN(number) || math.IsInf(number, 0) {
				t.Errorf("%s: %s is no number", f.Code, name)
			}
		}
	}
	few := in
	few.Pots = nil
	for i := 1; i < 41; i += 5 {
		few.Pots = append(few.Pots, in.Pots[min(i, 39)])
	}
	if s := Score(few); len(s.Findings) != 0 {
		t.Errorf("eight pots gave %v", s.Findings)
	}
}

// Rot at one end and along one side: the side is named, whichever of the four it is.
func TestAFlagThatIsMoreFrequentAtASideNamesTheSide(t *testing.T) {
	for side, sick := range map[string]func(schema.Place) bool{
		"entry":     func(p schema.Place) bool { return p.Row <= 12 },
		"far":       func(p schema.Place) bool { return p.Row > 88 },
		"near_side": func(p schema.Place) bool { return p.Across == 1 },
		"far_side":  func(p schema.Place) bool { return p.Across == 12 },
	} {
		in := walked(testBed(testLot("a", 1, 100)), 4, 90, func(p schema.Place) schema.Observation {
			life := 4
			if sick(p) {
				life = 1
			}
			return schema.Observation{RootLife: &life}
		})
		f := found(t, in, CodeFlagEdge)
		if f.End != side || f.Trait != FlagRot || !f.Attention || f.Numbers["there"] < 0.9 || f.Numbers["other"] > 0.1 {
			t.Errorf("%s: have %+v", side, f)
		}
		trend := CodeFlagGradient
		if side == "near_side" || side == "far_side" {
			trend = CodeFlagAcross
		}
		want := map[string]string{"entry": "entry", "far": "far", "near_side": "near", "far_side": "far"}[side]
		if g := found(t, in, trend); g.End != want || g.Numbers["there"] <= g.Numbers["other"] {
			t.Errorf("%s: have %+v", side, g)
		}
	}
}

// A bed of 20 m: forty pots find a patch of 3.5 m, all twelve hundred any.
func TestWhatASparseWalkCannotSeeIsSaid(t *testing.T) {
	in := sickWhere(1, func(schema.Place) bool { return false })
	near(t, "forty pots", Score(in).PatchM, 3.5, 1e-9)
	few := in
	few.Pots = in.Pots[:6]
	near(t, "six pots", Score(few).PatchM, 20, 1e-9)
	all := in
	all.Pots = nil
	for row := 1; row <= 100; row++ {
		for across := 1; across <= 12; across++ {
			none := "none"
			all.Pots = append(all.Pots, schema.PotSeen{ID: fmt.Sprintf("%05d", len(all.Pots)), Now: schema.Observation{
				Lot: "a", Place: &schema.Place{Row: row, Across: across}, Chlorosis: &none,
			}})
		}
	}
	near(t, "every pot, which are not too few for anything", Score(all).PatchM, 0, 0)
	in.LengthMM = 0
	near(t, "no length", Score(in).PatchM, 0, 0)
}
