package view_test

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"bedwalk/schema"
	"bedwalk/server/testphone"
)

func stage(short, likely, long int) *schema.Stage {
	return &schema.Stage{ShortestDays: short, LikelyDays: likely, LongestDays: long, Hands: true}
}

// lotsThatTook plants lots of one cultivar that went into the cooler so many days after their regulator.
func lotsThatTook(p *testphone.Phone, days ...int) { sprayed(p, false, days...) }

// sprayed is lotsThatTook, where the notes of the regulator name the bed alone or the lot.
func sprayed(p *testphone.Phone, byBed bool, days ...int) {
	regulator := time.Date(2001, 3, 5, 12, 0, 0, 0, newYork)
	for i, d := range days {
		id := testphone.ID(fmt.Sprint("taken ", i))
		p.Note("lot", id, "", schema.Lot{Writes: schema.Writes{Of: id}, Tag: new(fmt.Sprint("T", i)), Crop: new("Azalea"), Cultivar: new("White  Star"), PotMM: new(165)})
		began := regulator.AddDate(0, 0, i)
		put := schema.Application{Lot: id, Beds: []string{testphone.ID("bed")}, Purpose: "growth_regulator", Active: "daminozide", EndedAt: began.UnixMilli()}
		if byBed {
			put.Lot = ""
			span := testphone.ID(fmt.Sprint("span taken ", i))
			p.Note("span", id, testphone.ID("bed"), schema.Span{Writes: schema.Writes{Of: span}, Lot: &id, Bed: new(testphone.ID("bed")), FromRow: new(1), ToRow: new(2)})
		}
		p.Note("application", put.Lot, "", put)
		p.Note("event", id, "", schema.Event{Lot: id, What: "into_cooler", On: began.AddDate(0, 0, d).Format(time.DateOnly)})
	}
}

func tookBudSet(t *testing.T, o *office) *schema.StageTook {
	t.Helper()
	v, err := o.desk.Cultivars(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range v.Cultivars {
		for _, s := range c.Stages {
			if s.Stage == schema.StageBudSet {
				return &s
			}
		}
	}
	return nil
}

// The case stage-length-own-lots of fixtures/checks/plan/schedule.json, through notes: 61, 66, 64, 70 and 68 days beside 63/75/88.
func TestWhatTheLastFiveLotsTookIsOfferedBesideTheCropsLength(t *testing.T) {
	o := newOffice(t)
	p := testphone.New("1111111111111111")
	p.Plant()
	lotsThatTook(p, 140, 61, 66, 64, 70, 68)
	o.push(p)
	s := tookBudSet(t, o)
	if s == nil {
		t.Fatal("nothing is offered")
	}
	var days []int
	for _, l := range s.Lots {
		days = append(days, l.Days)
	}
	// In the order of the days they ended; the one of 61 days ended first of the six and is left out.
	if fmt.Sprint(days) != "[64 66 68 70 140]" || s.From != schema.FromStart || fmt.Sprint(s.Before) != "[63 75 88]" {
		t.Errorf("%+v", s)
	}
}

func TestTheCultivarsOwnLengthsDoNotCountTwice(t *testing.T) {
	o := newOffice(t)
	p := testphone.New("1111111111111111")
	p.Plant()
	lotsThatTook(p, 61, 66, 64, 70, 68)
	o.push(p)
	before := tookBudSet(t, o)
	if before == nil || fmt.Sprint(before.Use) != "[61 70 79]" || len(before.Lots) != 5 {
		t.Fatalf("%+v", before)
	}
	p.Note("cultivar", "", "", schema.Cultivar{Writes: schema.Writes{Of: testphone.ID("cultivar")}, OfCrop: new("azalea"), Name: new("white star"), Stages: schema.Stages{BudSet: stage(61, 70, 79)}})
	o.push(p)
	if after := tookBudSet(t, o); after == nil || !slices.Equal(after.Use, before.Use) {
		t.Errorf("taken over, the lots would be weighed a second time: %+v", after)
	}
	// The crop's own length is what they are weighed against.
	p.Note("profile", "", "", schema.Profile{Writes: schema.Writes{Of: testphone.ID("profile")}, Crop: new("azalea"), Stages: schema.Stages{BudSet: stage(50, 60, 70)}})
	o.push(p)
	if after := tookBudSet(t, o); after.From != schema.FromCrop || fmt.Sprint(after.Before) != "[50 60 70]" || slices.Equal(after.Use, before.Use) {
		t.Errorf("%+v", after)
	}
}

func TestOfTwoLotsNothingIsMade(t *testing.T) {
	o := newOffice(t)
	p := testphone.New("1111111111111111")
	p.Plant()
	lotsThatTook(p, 61, 66)
	o.push(p)
	if s := tookBudSet(t, o); s != nil {
		t.Errorf("%+v", s)
	}
}

func TestALotsPlanRestsOnItsCultivarsStage(t *testing.T) {
	o := newOffice(t)
	p := testphone.New("1111111111111111")
	p.Plant()
	lotsThatTook(p, 61)
	lot := testphone.ID("taken 0")
	cold := func() schema.PlanStep {
		v, err := o.desk.Lot(t.Context(), lot)
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range v.Plan.Steps {
			if s.Stage == schema.StageCold {
				return s
			}
		}
		t.Fatalf("no cold in %+v", v.Plan)
		return schema.PlanStep{}
	}
	o.push(p)
	if s := cold(); fmt.Sprint(s.Days) != "[42 42 42]" || s.From != schema.FromStart {
		t.Errorf("%+v", s)
	}
	p.Note("cultivar", "", "", schema.Cultivar{Writes: schema.Writes{Of: testphone.ID("cultivar")}, OfCrop: new("AZALEA"), Name: new("white star"), Stages: schema.Stages{Cold: stage(35, 36, 38)}})
	// A record without a name is nobody's.
	p.Note("cultivar", "", "", schema.Cultivar{Writes: schema.Writes{Of: testphone.ID("nameless")}, OfCrop: new("azalea"), Stages: schema.Stages{Cold: stage(1, 2, 3)}})
	o.push(p)
	if s := cold(); fmt.Sprint(s.Days) != "[35 36 38]" || s.From != schema.FromCultivar || s.Standing != schema.StandingOwn {
		t.Errorf("%+v", s)
	}
}

// A spray of a whole bed falls on lots of any age: how long these grew until then is no length of theirs.
func TestNothingIsMadeOfASprayThatNamesBedsAlone(t *testing.T) {
	o := newOffice(t)
	p := testphone.New("1111111111111111")
	p.Plant()
	sprayed(p, true, 61, 66, 64, 70, 68)
	o.push(p)
	if s := tookBudSet(t, o); s != nil {
		t.Errorf("offered: %+v", s)
	}
}
