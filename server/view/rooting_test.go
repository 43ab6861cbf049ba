package view_test

import (
	"testing"

	"bedwalk/schema"
	"bedwalk/server/testphone"
)

// A lot's share is that of its newest day, never of trays counted twice; lots of the cultivar stand beside it, those of its year apart.
func TestWhatHasRootedIsOfTheNewestDayAndStandsBesideItsCultivar(t *testing.T) {
	o := newOffice(t)
	p := testphone.New("1111111111111111")
	n := p.Plant()
	lot := func(name, cultivar, struck string) string {
		id := testphone.ID(name)
		p.Note("lot", id, "", schema.Lot{
			Writes: schema.Writes{Of: id}, Tag: new(name), Crop: new("azalea"), Cultivar: &cultivar, PotMM: new(40), StruckOn: &struck,
		})
		return id
	}
	count := func(lot string, looked, rooted int, on string) string {
		return p.Note("rooting", lot, "", schema.Rooting{Lot: lot, Struck: looked, Rooted: rooted, On: on})
	}
	own, sister, older, stranger := lot("R-1", "Ruddy", "2001-06-01"), lot("R-2", "ruddy", "2001-06-10"), lot("R-3", "Ruddy", "2000-06-01"), lot("R-4", "Pale", "2001-06-01")
	p.Note("count", own, "", schema.Count{Lot: own, Change: 1000, Reason: "received"})
	count(own, 40, 4, "2001-07-01")
	count(own, 40, 33, "2001-08-01")
	count(own, 32, 27, "2001-08-01")
	wrong := count(own, 30, 0, "2001-08-01")
	p.Note("void", own, "", schema.Void{Names: wrong, Records: []string{"fact:" + wrong}, Why: "other"})
	count(sister, 50, 40, "2001-08-02")
	count(older, 50, 10, "2000-08-02")
	count(stranger, 50, 1, "2001-08-02")
	o.push(p)
	see := func(id string) *schema.LotRooting {
		v, err := o.desk.Lot(t.Context(), id)
		if err != nil {
			t.Fatal(err)
		}
		return v.Rooting
	}
	r := see(own)
	if r == nil || r.Share.X != 60 || r.Share.N != 72 || r.On != "2001-08-01" || len(r.Trays) != 3 {
		t.Fatalf("%+v", r)
	}
	// rooting-tray-to-lot of fixtures/checks/plan/rooting.json: 60 of 72, of 1,000.
	if r.Stuck != 1000 || r.Low != 755 || r.High != 893 || r.Expected < 829 || r.Expected > 829.2 {
		t.Errorf("%+v", r)
	}
	if r.Season.Lots != 2 || r.Season.Share.X != 100 || r.Season.Share.N != 122 || r.Year != 2001 {
		t.Errorf("season: %+v", r)
	}
	if r.Cultivar.Lots != 3 || r.Cultivar.Share.X != 110 || r.Cultivar.Share.N != 172 {
		t.Errorf("cultivar: %+v", r.Cultivar)
	}
	if not := see(n.Lot); not != nil {
		t.Errorf("nobody looked, and it says %+v", not)
	}
}
