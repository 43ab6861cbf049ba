package view_test

import (
	"fmt"
	"path/filepath"
	"testing"
	"time"

	"bedwalk/schema"
	"bedwalk/server/access"
	"bedwalk/server/db"
	"bedwalk/server/journal"
	"bedwalk/server/store/lite"
	"bedwalk/server/testphone"
	"bedwalk/server/view"
)

// years is an office whose clock the test sets, with one phone.
type years struct {
	*office
	now   time.Time
	phone *testphone.Phone
	sent  int
	days  int
}

func newYears(t *testing.T) *years {
	d, err := db.Open(t.Context(), db.Options{Path: filepath.Join(testphone.Ready(t), db.File)})
	if err != nil {
		t.Fatal(err)
	}
	y := &years{phone: testphone.New("1111111111111111")}
	y.to("2026-01-05")
	now := func() time.Time { return y.now }
	store, err := journal.Open(t.Context(), journal.Options{Site: lite.Journal(d), Dir: d.Dir(), Now: now})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { store.Close(); d.Close() })
	y.office = &office{T: t, store: store, desk: view.New(store, access.New(access.Options{Store: lite.Access(d), Dir: d.Dir(), Now: now}))}
	return y
}

// to is eleven in the morning of a day in New York. The phone is opened again.
func (y *years) to(day string) {
	at, err := time.Parse(time.RFC3339, day+"T15:00:00Z")
	if err != nil {
		panic(err)
	}
	y.now = at
	y.days++
	y.phone.Wall, y.phone.Session = at.UnixMilli()-2000, fmt.Sprint("day", y.days)
}

func (y *years) send() {
	y.Helper()
	answer, err := y.store.Push(y.Context(), y.phone.All(y.sent+1), journal.Sender{Device: y.phone.Device})
	if err != nil {
		y.Fatal(err)
	}
	for i, given := range answer.Given {
		if given.State != "merged" {
			y.Fatalf("entry %d is %s: %+v", i+1, given.State, given.Faults)
		}
	}
	y.sent = len(y.phone.Raw)
}

func (y *years) right() schema.RightView {
	y.Helper()
	for range 100 {
		v, err := y.desk.Right(y.Context())
		if err != nil {
			y.Fatal(err)
		}
		if v.Waiting == 0 {
			return v
		}
	}
	y.Fatal("what earlier days said is never all computed")
	return schema.RightView{}
}

// shown is what the plan's pages show of a lot today.
func (y *years) shown(lot string) (s schema.RightSaid) {
	y.Helper()
	plan, err := y.desk.Plan(y.Context())
	if err != nil {
		y.Fatal(err)
	}
	weeks, err := y.desk.Supply(y.Context())
	if err != nil {
		y.Fatal(err)
	}
	for _, one := range plan.Lots {
		if one.Lot == lot {
			last := one.Plan.Steps[len(one.Plan.Steps)-1]
			s = schema.RightSaid{Ready50: last.Day50, Ready95: one.Plan.Ready95, ShipWeek: one.ShipWeek, Chance: one.Plan.Chance}
		}
	}
	for _, week := range weeks.Weeks {
		for _, one := range week.Lots {
			if one.Lot == lot {
				s.Basis, s.Sure = one.Basis, &one.Sure[len(one.Sure)-1]
			}
		}
	}
	return s
}

func saidShort(s schema.RightSaid) string {
	chance, sure := -1.0, 0
	if s.Chance != nil {
		chance = *s.Chance
	}
	if s.Sure != nil {
		sure = *s.Sure
	}
	return fmt.Sprintf("%s %s %s %.9f %s %d", s.Ready50, s.Ready95, s.ShipWeek, chance, s.Basis, sure)
}

// Of each day that is over the page shows what the plan's pages showed on that day, whatever has been written since: steps dated before
// that day, other planned days and weeks, corrected pots, a struck-out product, other rules and stage lengths. Each of these would have
// changed what was shown, as the day after the last look shows.
func TestWhatThePlanSaidThenIsWhatItShowedThenWhateverIsWrittenLater(t *testing.T) {
	y := newYears(t)
	p := y.phone
	n := p.Plant()
	writes := func(of string) schema.Writes { return schema.Writes{Of: of} }
	grades := []schema.Grade{{Name: "florist", PotMM: 130, HeadMinMM: new(280)}, {Name: "nursery", PotMM: 130, HeadMinMM: new(200)}}
	p.Note("profile", "", "", schema.Profile{Writes: writes(n.Profile), Crop: new("azalea"), ExpectedLossBP: new(0), Grades: &grades})
	p.Note("lot", n.Lot, "", schema.Lot{Writes: writes(n.Lot), PottedOn: new("2026-01-05"), Route: new("nursery"), ShipWeek: new("2026-W34")})
	y.send()
	y.to("2026-03-20")
	p.Note("event", n.Lot, n.Bed, schema.Event{Lot: n.Lot, What: "pinched", Last: true, On: "2026-03-20"})
	y.send()

	showed := map[string]string{}
	look := func(day string) {
		y.to(day)
		showed[day] = saidShort(y.shown(n.Lot))
	}
	look("2026-05-07")
	y.to("2026-05-08")
	sprayed := p.Note("application", n.Lot, "", schema.Application{
		Lot: n.Lot, Beds: []string{n.Bed}, Purpose: "growth_regulator", Active: "invented", EndedAt: y.now.Add(-time.Hour).UnixMilli(),
	})
	y.send()
	look("2026-06-04")
	y.to("2026-07-01")
	var pots []string
	for i := range 12 {
		pots = append(pots, p.See(n, 1+i/5, 1+i%5, 300, 40))
	}
	p.Note("walk_end", "", n.Bed, schema.WalkEnd{Walk: n.Walk, Bed: n.Bed, Why: "planned"})
	y.send()
	look("2026-07-02")

	// Written on a phone that was out of range, with a clock that is right: before the last look, but nobody else knew it then.
	y.to("2026-07-01")
	stage := &schema.Stage{ShortestDays: 20, LikelyDays: 25, LongestDays: 30}
	better := []schema.Grade{{Name: "florist", PotMM: 130, HeadMinMM: new(310)}, {Name: "nursery", PotMM: 130, HeadMinMM: new(305)}}
	other := testphone.ID("another walk")
	p.Note("walk", "", n.Bed, schema.Walk{Walk: other, Bed: n.Bed, Seed: 8, Planned: 12})
	for i, pot := range pots[:6] {
		now := n.Pot(1+i/5, 1+i%5, 120, 5)
		if i < 3 {
			now.Walk = other
		}
		p.Note("correction", n.Lot, n.Bed, schema.Correction{Pot: pot, Replaces: pot, Now: now})
	}
	p.Note("count", n.Lot, n.Bed, schema.Count{Lot: n.Lot, Span: n.Span, Change: -20, Reason: "lost_root"})
	p.Note("void", n.Lot, "", schema.Void{Names: sprayed, Records: []string{"fact:" + sprayed}, Why: "other"})
	p.Note("event", n.Lot, n.Bed, schema.Event{Lot: n.Lot, What: "pinched", Last: true, On: "2026-05-01"})
	p.Note("profile", "", "", schema.Profile{Writes: writes(n.Profile), Stages: schema.Stages{BudSet: stage}, Grades: &better})
	p.Note("lot", n.Lot, "", schema.Lot{Writes: writes(n.Lot), ShipWeek: new("2026-W36"), PinRegulator: &schema.Pin{On: "2026-07-20"}})
	p.Note("site", "", "", schema.Site{Writes: writes(n.Site), ShipWeekday: new(4)})
	y.to("2026-07-03")
	y.send()
	if after := saidShort(y.shown(n.Lot)); after == showed["2026-07-02"] {
		t.Fatalf("what was written later changes nothing: %s", after)
	}

	y.to("2026-07-30")
	p.Note("count", n.Lot, n.Bed, schema.Count{Lot: n.Lot, Span: n.Span, Change: -25, Reason: "shipped"})
	p.Note("lot", n.Lot, "", schema.Lot{Writes: writes(n.Lot), ShippedOn: new("2026-07-30")})
	y.send()
	v := y.right()
	if len(v.Lots) != 1 || len(v.Lots[0].Said) != 3 || len(v.Scores) != 0 || v.Least != 10 {
		t.Fatalf("%+v", v)
	}
	for i, day := range []string{"2026-07-02", "2026-06-04", "2026-05-07"} {
		said := v.Lots[0].Said[i]
		if said.On != day || said.Weeks != 4*(i+1) || said.Problem != "" || saidShort(said) != showed[day] {
			t.Errorf("%s (%d weeks before, %q) said %s, but on %s the pages showed %s", said.On, said.Weeks, said.Problem, saidShort(said), day, showed[day])
		}
	}
	if four := v.Lots[0].Said[0]; four.Sure == nil || *four.Sure == 0 || four.Held == nil || *four.Held != (25 >= *four.Sure) || four.Shipped != 25 {
		t.Errorf("the pots that were sure are not set against those that left: %+v", four)
	}
	if four := v.Lots[0].Said[0]; four.InTime == nil || !*four.InTime || four.Inside == nil || len(four.Shares) != 2 {
		t.Errorf("%+v", four)
	}
	// What is written after the lot has left is about no day before, either.
	before := saidShort(v.Lots[0].Said[2])
	y.to("2026-08-20")
	p.Note("event", n.Lot, n.Bed, schema.Event{Lot: n.Lot, What: "pinched", Last: true, On: "2026-02-01"})
	y.send()
	// Nothing is remembered by views that have just begun.
	y.desk = view.New(y.store, access.New(access.Options{}))
	if after := saidShort(y.right().Lots[0].Said[2]); after != before {
		t.Errorf("a note of August about February changed what was said in May: %s, before %s", after, before)
	}
}

// A lot that was written down in the last week has no earlier plan, and the page says so.
func TestALotThatNobodyHadWrittenDownSaidNothing(t *testing.T) {
	y := newYears(t)
	n := y.phone.Plant()
	y.phone.Note("lot", n.Lot, "", schema.Lot{Writes: schema.Writes{Of: n.Lot}, ShippedOn: new("2026-01-05")})
	y.send()
	said := y.right().Lots[0].Said
	for _, s := range said {
		if s.Problem != "not_written" || s.Inside != nil || s.InTime != nil || s.Held != nil {
			t.Errorf("%+v", s)
		}
	}
	if len(said) != 3 {
		t.Errorf("%d answers", len(said))
	}
}

// From ten lots on there are counts; each is checked by counting again, with the days as the page has them.
func TestTheScoresCountWhatTheListShows(t *testing.T) {
	y := newYears(t)
	n := y.phone.Plant()
	y.send()
	days := []string{"01", "06", "11", "15", "16", "17", "18", "19", "20", "23", "27", "30"}
	for i := range days {
		lot := testphone.ID(fmt.Sprint("lot ", i))
		y.phone.Note("lot", lot, "", schema.Lot{
			Writes: schema.Writes{Of: lot}, Tag: new(fmt.Sprint("S-", i)), Crop: new("azalea"), Cultivar: new([]string{"Mothwick", "Quillet"}[i%2]),
			PotMM: new(130), PottedOn: new("2026-01-02"), Route: new("nursery"), ShipWeek: new(fmt.Sprintf("2026-W%d", 13+i%4)),
		})
		y.phone.Note("application", lot, "", schema.Application{
			Lot: lot, Beds: []string{n.Bed}, Purpose: "growth_regulator", Active: "invented", EndedAt: y.now.Add(-time.Hour).UnixMilli(),
		})
	}
	y.send()
	y.to("2026-04-30")
	for i, day := range days {
		lot := testphone.ID(fmt.Sprint("lot ", i))
		on := "2026-03-" + day
		if i > 8 {
			on = "2026-04-" + day
		}
		y.phone.Note("lot", lot, "", schema.Lot{Writes: schema.Writes{Of: lot}, ShippedOn: &on})
	}
	y.send()
	v := y.right()
	if len(v.Lots) != 12 || len(v.Scores) != 3*4 {
		t.Fatalf("%d lots, %d scores", len(v.Lots), len(v.Scores))
	}
	for _, score := range v.Scores {
		inside, compared := 0, 0
		for _, lot := range v.Lots {
			for _, s := range lot.Said {
				if s.Weeks != score.Weeks || score.Cultivar != "" && score.Cultivar != lot.Cultivar || s.Inside == nil {
					continue
				}
				compared++
				// The Sunday of the ship week, by package time.
				sunday, _ := time.Parse("2006-01-02", "2026-03-29")
				var week int
				fmt.Sscanf(s.ShipWeek, "2026-W%d", &week)
				end := sunday.AddDate(0, 0, 7*(week-13)).Format(time.DateOnly)
				if lot.LeftOn >= s.Ready05 && lot.LeftOn <= max(s.Ready95, end) {
					inside++
				}
			}
		}
		if score.Inside.Count != inside || score.Inside.N != compared || compared == 0 || score.Inside.Low >= score.Inside.High || score.LateDays == nil {
			t.Errorf("%+v, counted again %d of %d", score, inside, compared)
		}
	}
	all, inTime := 0, 0
	for _, tenth := range v.Tenths {
		if tenth.Chance < tenth.From || tenth.Chance > tenth.From+0.1+1e-9 {
			t.Errorf("%+v", tenth)
		}
		if tenth.Weeks == 4 {
			all, inTime = all+tenth.InTime.N, inTime+tenth.InTime.Count
		}
	}
	if all == 0 || inTime == 0 || inTime == all {
		t.Errorf("%d of %d in time: nothing to show", inTime, all)
	}
}
