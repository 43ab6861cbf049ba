package sheet_test

import (
	"errors"
	"strings"
	"testing"

	"bedwalk/schema"
	"bedwalk/sync/sheet"
	"bedwalk/sync/stats"
	"bedwalk/sync/unit"
)

const twoLots = "lot,head_mm,buds\nA,300,50\nA,260,45\nA,255,30\nA,210,41\nB,190,22\nB,180,60\n"

func grade(t *testing.T, text string, units unit.Unit) schema.Grade {
	t.Helper()
	g, err := sheet.ParseGrade(text, units)
	if err != nil {
		t.Fatal(err)
	}
	return g
}

func TestASheetIsGradedByItsOwnersGrades(t *testing.T) {
	r := scored(t, twoLots, sheet.Options{
		Grades: []schema.Grade{grade(t, "first: head 25 cm, buds 40", "mm"), grade(t, "second: head 200", "mm")}, PotsOfLot: map[string]int{"A": 400, "B": 100},
	})
	a, b := r.Beds[0].Score.Lots[0].GradeOut, r.Beds[0].Score.Lots[1].GradeOut
	if a.N != 4 || a.Grades[0].Seen != 2 || a.Grades[1].Seen != 2 || a.Grades[2].Seen != 0 || a.PotsOnBed != 400 || b.Grades[2].Seen != 2 || b.PotsOnBed != 100 {
		t.Fatalf("lot A %+v, lot B %+v", a, b)
	}
	// The same by the statistics alone: 2 of 4 in a bed of 400, Jeffreys.
	p, err := stats.PredictJeffreys(2, 4, 400)
	if err != nil || a.Grades[0].Expected != p.Mean() || float64(a.Grades[0].Low) != p.Interval(stats.DefaultLevel).Low {
		t.Errorf("first grade %+v, %v", a.Grades[0], err)
	}
	if a.Costs[0].Line != "head_min_mm" || a.Costs[0].Fail != 1 || a.Costs[1].Line != "buds_min" || a.Costs[1].Fail != 1 {
		t.Errorf("costs %+v", a.Costs)
	}
	if !r.OwnGrades || r.PotsAssumed != 0 || len(r.Grades) != 2 || *r.Grades[0].HeadMinMM != 250 {
		t.Errorf("%+v", r)
	}
}

func TestWithoutGradesCommonPracticeIsAskedAsFarAsTheSheetSays(t *testing.T) {
	r := scored(t, twoLots, sheet.Options{})
	if r.OwnGrades || r.PotsAssumed != 1000 || strings.Join(r.NotAsked, " ") != "round_min_bp root_cover_min root_life_min chlorosis_max" {
		t.Fatalf("%+v", r)
	}
	a := r.Beds[0].Score.Lots[0].GradeOut
	if a.PotsOnBed != 1000 || a.Grades[0].Name != "florist" || a.Grades[0].Seen != 2 || a.Grades[1].Seen != 2 {
		t.Errorf("%+v", a)
	}
	// The assumed number is for the forecast alone: no interval is narrowed by it.
	if l := r.Beds[0].Score.Lots[0]; l.PotsOnBed != 0 || r.Beds[0].Score.PotsOnBed != 0 {
		t.Errorf("%d pots are said to stand", l.PotsOnBed)
	}
	if small := sheet.DefaultGrades(110); *small[0].HeadMinMM >= *sheet.DefaultGrades(200)[0].HeadMinMM {
		t.Error("a small pot is asked for as large a head as a big one")
	}
}

func TestPotsOnTheBedAreSharedOutAsTheyWereSeen(t *testing.T) {
	r := scored(t, twoLots, sheet.Options{PotsOnBed: 601})
	if a, b := r.Beds[0].Score.Lots[0].PotsOnBed, r.Beds[0].Score.Lots[1].PotsOnBed; a != 401 || b != 200 {
		t.Errorf("A %d, B %d", a, b)
	}
	r = scored(t, twoLots, sheet.Options{PotsOnBed: 600, PotsOfLot: map[string]int{"A": 450}})
	if a, b := r.Beds[0].Score.Lots[0].PotsOnBed, r.Beds[0].Score.Lots[1].PotsOnBed; a != 450 || b != 150 {
		t.Errorf("A %d, B %d", a, b)
	}
	if _, err := sheet.Score(strings.NewReader(twoLots), sheet.Options{PotsOfLot: map[string]int{"C": 4}}); err == nil || !strings.Contains(err.Error(), "A, B") {
		t.Errorf("a lot that is not there: %v", err)
	}
}

func TestAGradeIsReadAsPeopleWriteIt(t *testing.T) {
	g := grade(t, " Florist : head >= 10in, head_max 33cm, round 85 %, buds 40,cover 3, life 3, chlorosis <= 1", "mm")
	if g.Name != "Florist" || *g.HeadMinMM != 254 || *g.HeadMaxMM != 330 || *g.RoundMinBP != 8500 || *g.BudsMin != 40 || *g.CoverMin != 3 || *g.LifeMin != 3 || *g.ChlorosisMax != 1 {
		t.Errorf("%+v", g)
	}
	if g := grade(t, "a: head 25,5", "cm"); *g.HeadMinMM != 255 {
		t.Errorf("a decimal comma: %+v", g)
	}
	for text, says := range map[string]string{
		"head 25":              "no name",
		"a: buds":              "not a name and a number",
		"a: girth 3":           "head, head_max, round",
		"a: buds many":         "whole number",
		"a: buds 40, buds 50":  "keep one",
		"a: cover 7":           "give 0 to 5",
		"a: life 0":            "give 1 to 5",
		"a: chlorosis 5":       "give 0 to 4",
		"a: buds 2001":         "give 0 to 2000",
		"a: head 0":            "give 1 to 2000",
		"a: head_max 201 cm":   "give 1 to 2000",
		"a: round 0":           "give 1 to 100",
		"a: head 3 ells":       "mm, cm or in",
		"a: round 120":         "give 1 to 100",
		"a: head x":            "number",
		"a: buds 40 cm":        "leave it out",
		"a: head 1, life zero": "life",
	} {
		if _, err := sheet.ParseGrade(text, "mm"); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %v", text, err)
		}
	}
}

func TestAGradesNameIsAsLongAsAPhoneMayMakeIt(t *testing.T) {
	// 40 characters and 80 bytes.
	if g := grade(t, strings.Repeat("ñ", 40)+": buds 40", "mm"); len(schema.CheckMessage(&schema.Grade{Name: g.Name, PotMM: 150})) > 0 {
		t.Errorf("the schema refuses %q", g.Name)
	}
	if _, err := sheet.ParseGrade(strings.Repeat("ñ", 41)+": buds 40", "mm"); err == nil || !strings.Contains(err.Error(), "at most 40 letters") {
		t.Errorf("41 letters: %v", err)
	}
}

func TestAnOwnGradeThatTheSheetCannotAnswerIsRefused(t *testing.T) {
	_, err := sheet.Score(strings.NewReader(twoLots), sheet.Options{Grades: []schema.Grade{grade(t, "first: cover 3, round 85", "mm")}})
	var refused *sheet.FileError
	if !errors.As(err, &refused) || len(refused.Problems) != 2 || refused.Problems[1].Column != "root_cover" || !strings.Contains(err.Error(), "first asks for root_cover") {
		t.Errorf("have %v", err)
	}
}

func TestASheetIsNotGradedBeforeItsTime(t *testing.T) {
	weeks := 9
	r := scored(t, twoLots, sheet.Options{WeeksToShip: &weeks})
	g := r.Beds[0].Score.Lots[0].GradeOut
	if g.Promise.Hold != "early" || len(g.Grades) != 0 || len(g.Promise.Lines) != 0 || len(r.Beds[0].Score.Together) != 0 {
		t.Errorf("nine weeks before shipping: %+v", g)
	}
	var out strings.Builder
	if err := r.WriteTable(&out); err != nil || !strings.Contains(out.String(), "too early to grade") {
		t.Errorf("%v, %s", err, out.String())
	}
	weeks = 8
	if g = scored(t, twoLots, sheet.Options{WeeksToShip: &weeks}).Beds[0].Score.Lots[0].GradeOut; g.Promise.Hold != "few" || len(g.Grades) != 3 {
		t.Errorf("eight weeks before: %+v", g)
	}
}
