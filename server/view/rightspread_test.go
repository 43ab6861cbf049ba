package view_test

import (
	"math"
	"testing"
	"time"

	"bedwalk/schema"
	"bedwalk/server/testphone"
)

// Lots of three half-years that took 40, 75 and 140 days of 63, 75 and 88: the springs differ by the spread of ln of these, less what one lot varies; and
// what is written for it is what the plan assumes.
func TestSpringsThatDifferAreSeen(t *testing.T) {
	o := newOffice(t)
	p := testphone.New("1111111111111111")
	n := p.Plant()
	for i, days := range []int{40, 40, 75, 75, 140, 140} {
		id := testphone.ID(string(rune('a' + i)))
		p.Note("lot", id, "", schema.Lot{Writes: schema.Writes{Of: id}, Tag: new(string(rune('a' + i))), Crop: new("Azalea"), Cultivar: new("Star"), PotMM: new(165)})
		began := time.Date(1999+i/2, 1, 8, 12, 0, 0, 0, newYork)
		put := schema.Application{Lot: id, Beds: []string{n.Bed}, Purpose: "growth_regulator", Active: "invented", EndedAt: began.UnixMilli()}
		p.Note("application", id, "", put)
		p.Note("event", id, "", schema.Event{Lot: id, What: "into_cooler", On: began.AddDate(0, 0, days).Format(time.DateOnly)})
	}
	o.push(p)
	pace := o.right().Pace
	if pace == nil || pace.N != 6 || pace.Groups != 3 || pace.Now != 500 || pace.IsOwn || pace.Stage != schema.StageBudSet {
		t.Fatalf("%+v", pace)
	}
	// ln of 40, 75 and 140 over 75 lie 0.7847 in squares about their mean; a group of two has half the mean square of a lot, 0.0238/2.
	if want := math.Sqrt(0.7847/2 - 0.0119); math.Abs(float64(pace.SD)/10_000-want) > 0.02 {
		t.Errorf("%d, want %.4f", pace.SD, want)
	}
	p.Note("site", "", "", schema.Site{Writes: schema.Writes{Of: n.Site}, PaceBP: new(1200)})
	o.push(p)
	if pace = o.right().Pace; pace == nil || pace.Now != 1200 || !pace.IsOwn || pace.Start != 500 {
		t.Errorf("%+v", pace)
	}
}

func (o *office) right() schema.RightView {
	o.Helper()
	v, err := o.desk.Right(o.Context())
	if err != nil {
		o.Fatal(err)
	}
	return v
}
