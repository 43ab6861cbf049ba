package view_test

import (
	"testing"
	"time"

	"bedwalk/schema"
	"bedwalk/server/testphone"
)

// measure walks the small nursery's bed on a day: six heads around a mean, mm.
func (y *years) measure(n testphone.Nursery, on string, mean int) {
	y.to(on)
	n.Walk = testphone.ID("walk on " + on)
	y.phone.StartWalk(n)
	for i, off := range []int{-4, -2, 0, 0, 2, 4} {
		y.phone.See(n, i+1, 2, mean+off, 0)
	}
	y.send()
}

func (y *years) growth(lot string) schema.LotGrowth {
	y.Helper()
	v, err := y.desk.Lot(y.Context(), lot)
	if err != nil {
		y.Fatal(err)
	}
	return *v.Growth
}

func TestALotsGrowthBeginsWithItsLastPinchAndIsALineUntilACurveCanBeBelieved(t *testing.T) {
	y := newYears(t)
	n := y.phone.Plant()
	y.phone.Note("profile", "", "", schema.Profile{Writes: schema.Writes{Of: n.Profile}, Crop: new("azalea"), Grades: &[]schema.Grade{
		{Name: "florist", PotMM: 130, HeadMinMM: new(500), HeadMaxMM: new(690)},
	}})
	y.send()
	y.measure(n, "2026-04-20", 300)
	if g := y.growth(n.Lot); g.Since != "" || len(g.Walks) != 0 || g.Fit != "" {
		t.Errorf("nobody noted a pinch: %+v", g)
	}
	y.phone.Note("event", n.Lot, "", schema.Event{Lot: n.Lot, What: "pinched", On: "2026-05-01"})
	// NIST StRD Rat42, its heights taken as tenths: 9, 14, 21, 28, 42, 57, 63, 70 and 79 days after the pinch.
	pinch := time.Date(2026, 5, 1, 0, 0, 0, 0, time.UTC)
	days, mm := []int{9, 14, 21, 28, 42, 57, 63, 70, 79}, []int{89, 108, 186, 223, 394, 561, 617, 646, 671}
	for i, d := range days {
		y.measure(n, pinch.AddDate(0, 0, d).Format(time.DateOnly), mm[i])
		g := y.growth(n.Lot)
		if len(g.Walks) != i+1 || g.Since != "2026-05-01" {
			t.Fatalf("after walk %d: %+v", i+1, g)
		}
		if first := i + 1 - g.LineOf; g.Fit == "line" && g.Track[0].On != pinch.AddDate(0, 0, days[first]).Format(time.DateOnly) {
			t.Errorf("after walk %d a line of %d walks is drawn from %s on", i+1, g.LineOf, g.Track[0].On)
		}
		if i < 2 && g.Fit != "" || i == 3 && (g.Fit != "line" || g.LineOf != 4 || g.Why != "points") {
			t.Errorf("after walk %d: %q of %d, %q", i+1, g.Fit, g.LineOf, g.Why)
		}
	}
	g := y.growth(n.Lot)
	if g.Fit != "curves" || g.Why != "" || g.Grade != "florist" {
		t.Fatalf("%+v", g)
	}
	// By hand from NIST's certified logistic 500 is reached after 51 days; Gompertz lies within days of it.
	if low := g.Low; low == nil || low.MM != 500 || low.Likely < "2026-06-18" || low.Likely > "2026-06-25" || low.Early > low.Likely || low.Late < low.Likely {
		t.Errorf("500 mm: %+v", low)
	}
	// The last walk saw 671 mm; 690 mm lies within what the two curves cannot tell apart.
	if high := g.High; high == nil || high.Early == "" || high.Early > high.Likely {
		t.Errorf("690 mm: %+v", high)
	}
	for _, p := range g.Track {
		if !(p.Low <= p.MM && p.MM <= p.High) {
			t.Errorf("%+v", p)
		}
	}
	y.phone.Note("application", n.Lot, "", schema.Application{Lot: n.Lot, Beds: []string{n.Bed}, Purpose: "growth_regulator", Active: "daminozide", EndedAt: y.now.UnixMilli() - 1})
	y.send()
	if g := y.growth(n.Lot); g.Regulator != "2026-07-19" {
		t.Errorf("regulator on %q", g.Regulator)
	}
}

// 2028 has a February 29: March 5 is 10 days after the pinch, a third of the way from day 5 to day 20, where by hand the band is 200 to 260 mm.
func TestTheLastWalkOfALotIsHeldAgainstTheBandOfItsOwnPotSize(t *testing.T) {
	y := newYears(t)
	n := y.phone.Plant()
	row := func(day, low, high int, pot *int) schema.HeadTarget {
		return schema.HeadTarget{Day: day, LowMM: low, HighMM: high, PotMM: pot}
	}
	y.phone.Note("event", n.Lot, "", schema.Event{Lot: n.Lot, What: "pinched", On: "2028-02-24"})
	y.send()
	y.measure(n, "2028-03-05", 230)
	if g := y.growth(n.Lot); g.Target != nil {
		t.Errorf("nobody wrote a band: %+v", g.Target)
	}
	write := func(rows ...schema.HeadTarget) *schema.GrowthTarget {
		t.Helper()
		y.phone.Note("profile", "", "", schema.Profile{Writes: schema.Writes{Of: n.Profile}, Crop: new("azalea"), Targets: &rows})
		y.send()
		return y.growth(n.Lot).Target
	}
	g := write(row(0, 10, 20, nil), row(5, 190, 230, new(130)), row(20, 220, 320, new(130)))
	if g == nil || g.PotMM != 130 || len(g.Rows) != 2 || g.Rows[0].Day != 5 || g.Rows[1].High != 320 {
		t.Fatalf("%+v", g)
	}
	if last := g.Last; last == nil || last.On != "2028-03-05" || last.Day != 10 || last.Where != "inside" || last.Low != 200 || last.High != 260 {
		t.Errorf("%+v", last)
	}
	// Six heads around 230 mm, of a standard deviation of 2.8 mm.
	for _, c := range []struct {
		low, high int
		where     string
		by        float64
	}{
		{240, 260, "below", 10}, {200, 215, "above", 15}, {230, 260, "unsure", 0},
	} {
		if last := write(row(10, c.low, c.high, nil)).Last; last.Where != c.where || last.By != c.by {
			t.Errorf("%+v: %+v", c, last)
		}
	}
	if last := write(row(11, 200, 260, nil), row(20, 200, 260, nil)).Last; last.Where != "no_band" {
		t.Errorf("before the first day of the band: %+v", last)
	}
	if g := write(row(10, 200, 260, new(165))); g != nil {
		t.Errorf("the band of another pot size: %+v", g)
	}
}

func TestALotsOwnPageHasItsColdAsTheCoolerPageHas(t *testing.T) {
	o, v := cooledOffice(t, func(p *testphone.Phone, n testphone.Nursery, cooler string) {
		p.Note("event", n.Lot, "", schema.Event{Lot: n.Lot, What: "buds_ready", On: "2001-08-25"})
		p.Note("trace", "", "", hourly(cooler, "door", inNewYork(8, 20, 0), inNewYork(9, 8, 21), 45, [2]int64{inNewYork(8, 28, 0), inNewYork(8, 29, 7)}))
	})
	there := v.Coolers[0].Lots[0]
	one, err := o.desk.Lot(t.Context(), there.Lot)
	if err != nil {
		t.Fatal(err)
	}
	if one.Cold == nil || one.Cooler == nil || one.Cooler.Name != "Vault" || len(one.Cooler.Lots) != 1 {
		t.Fatalf("%+v, %+v", one.Cold, one.Cooler)
	}
	here := *one.Cold
	if here.Days != there.Days || *here.Counted != *there.Counted || *here.Flagged != *there.Flagged || len(here.Spots) != 1 ||
		here.Spots[0].InBand != there.Spots[0].InBand || here.Spots[0].Gap != there.Spots[0].Gap || here.MostOn != there.MostOn {
		t.Errorf("%+v, on the Cooler page %+v", here, there)
	}
	if here.Spots[0].Gap < 31 {
		t.Errorf("a gap of %v h", here.Spots[0].Gap)
	}
}

func TestALotThatWasInNoCoolerHasNoCold(t *testing.T) {
	o := newOffice(t)
	p := testphone.New("1111111111111111")
	n := p.Plant()
	o.push(p)
	one, err := o.desk.Lot(t.Context(), n.Lot)
	if err != nil || one.Cold != nil || one.Cooler != nil {
		t.Errorf("%+v, %+v, %v", one.Cold, one.Cooler, err)
	}
}
