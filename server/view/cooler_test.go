package view_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"bedwalk/schema"
	"bedwalk/server/testphone"
)

var newYork = func() *time.Location {
	zone, err := time.LoadLocation("America/New_York")
	if err != nil {
		panic(err)
	}
	return zone
}()

func inNewYork(month time.Month, day, hour int) int64 {
	return time.Date(2001, month, day, hour, 0, 0, 0, newYork).UnixMilli()
}

// hourly is a logger's file of one temperature an hour, without the hours from one to another.
func hourly(house, spot string, from, to int64, dc int, without [2]int64) schema.Trace {
	t := schema.Trace{House: house, Spot: spot, Source: strings.Repeat("ab", 32)}
	const hour = 3_600_000
	open := false
	for at := from; at < to; at += hour {
		if at >= without[0] && at < without[1] {
			open = false
			continue
		}
		if !open {
			t.Parts, open = append(t.Parts, schema.TracePart{At: at, EveryS: 3600}), true
		}
		part := &t.Parts[len(t.Parts)-1]
		part.DC = append(part.DC, dc)
	}
	return t
}

// cooledOffice has the small nursery's lot in a cooler since 20 August 2001, its own band from 2 to 6 degrees C. The office's clock stands on
// the evening of 8 September.
func cooledOffice(t *testing.T, more func(p *testphone.Phone, n testphone.Nursery, cooler string)) (*office, schema.CoolerView) {
	t.Helper()
	o := newOffice(t)
	p := testphone.New("1111111111111111")
	n := p.Plant()
	cooler := testphone.ID("cooler")
	p.Note("house", "", "", schema.House{
		Writes: schema.Writes{Of: cooler}, Name: new("Vault"), Use: new("cooler"), BandLowDC: new(20), BandHighDC: new(60),
	})
	p.Note("event", n.Lot, "", schema.Event{Lot: n.Lot, What: "into_cooler", On: "2001-08-20"})
	more(p, n, cooler)
	o.push(p)
	v, err := o.desk.Cooler(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	return o, v
}

// A logger with a gap of 31 hours: 465 hours and 48 minutes since midnight of 20 August, less what came before the buds were seen ready.
func TestTheHoursOfALotInTheCooler(t *testing.T) {
	gap := [2]int64{inNewYork(9, 1, 10), inNewYork(9, 2, 17)}
	_, v := cooledOffice(t, func(p *testphone.Phone, n testphone.Nursery, cooler string) {
		p.Note("event", n.Lot, "", schema.Event{Lot: n.Lot, What: "buds_ready", On: "2001-08-25"})
		p.Note("trace", "", "", hourly(cooler, "door", inNewYork(8, 20, 0), inNewYork(9, 8, 21), 45, gap))
		p.Note("trace", "", "", hourly(cooler, "fan", inNewYork(8, 20, 0), inNewYork(9, 8, 21), 65, [2]int64{}))
		p.Note("reading", "", "", schema.Reading{House: cooler, TempDC: new(50)})
		p.Note("reading", n.Lot, n.Bed, schema.Reading{Lot: n.Lot, Bed: n.Bed, TempDC: new(210)}) // of another house
	})
	if len(v.Coolers) != 1 || len(v.Coolers[0].Lots) != 1 || len(v.Astray) != 0 {
		t.Fatalf("%+v", v)
	}
	c, l := v.Coolers[0], v.Coolers[0].Lots[0]
	if !c.OwnBand || c.BandLowDC != 20 || c.BandHighDC != 60 || l.In != "2001-08-20" || l.Out != "" || l.Ready != "2001-08-25" || l.MostOn != "2001-10-15" {
		t.Errorf("%+v", c)
	}
	if l.Days != 19 || *l.Counted != 14 || *l.Flagged != 5 {
		t.Errorf("%d days, %d counted, %d flagged", l.Days, *l.Counted, *l.Flagged)
	}
	if len(c.Spots) != 3 || c.Spots[0].Spot != "door" || c.Spots[1].Spot != "fan" || !c.Spots[2].ByHand {
		t.Fatalf("%+v", c.Spots)
	}
	door, fan, hand := l.Spots[0], l.Spots[1], l.Spots[2]
	// From midnight of the 25th to nine in the evening of the 8th: 357 hours, of which 31 were not read; then nothing for 48 minutes.
	if door.InBand != 326 || door.LongestGap != 31 || door.GapFromMS != gap[0] || door.Gap < 31.8 || door.Gap > 31.9 || door.Above != 0 || *door.Mean != 4.5 || door.Readings != 326 {
		t.Errorf("door: %+v", door)
	}
	if fan.InBand != 0 || fan.Above != 357 || fan.HighDC != 65 || fan.Chill.UpTo72 != 357 {
		t.Errorf("fan: %+v", fan)
	}
	if hand.Readings != 1 || hand.Covered > 0.1 {
		t.Errorf("by hand: %+v", hand)
	}
	if gaps := c.Spots[0].Gaps; len(gaps) != 2 || gaps[0].FromMS != gap[0] || gaps[0].ToMS != gap[1] {
		t.Errorf("%+v", gaps)
	}
	missing := 0
	for _, h := range c.Spots[0].Hours {
		if h == nil {
			missing++
		}
	}
	if c.Spots[0].FromMS != inNewYork(8, 20, 0) || missing != 32 || c.Spots[0].Hours[0].LowDC != 45 {
		t.Errorf("%d hours without a reading of %d", missing, len(c.Spots[0].Hours))
	}
	if len(v.Files) != 2 || v.Files[0].Values+v.Files[1].Values != 477+477-31 {
		t.Errorf("%+v", v.Files)
	}
}

func TestNobodyLookedAtTheBuds(t *testing.T) {
	_, v := cooledOffice(t, func(p *testphone.Phone, n testphone.Nursery, cooler string) {
		p.Note("trace", "", "", hourly(cooler, "", inNewYork(8, 20, 0), inNewYork(9, 8, 21), 45, [2]int64{}))
	})
	l := v.Coolers[0].Lots[0]
	if l.Counted != nil || l.Flagged != nil || l.Days != 19 || l.Ready != "" || l.Spots[0].InBand != 477 {
		t.Errorf("%+v", l)
	}
}

func TestALotOfWhichNobodySaidWhichCooler(t *testing.T) {
	second := testphone.ID("second cooler")
	o, v := cooledOffice(t, func(p *testphone.Phone, n testphone.Nursery, cooler string) {
		p.Note("house", "", "", schema.House{Writes: schema.Writes{Of: second}, Name: new("Pit"), Use: new("cooler"), BandLowDC: new(90)})
	})
	if len(v.Astray) != 1 || len(v.Coolers) != 2 || len(v.Coolers[0].Lots)+len(v.Coolers[1].Lots) != 0 {
		t.Fatalf("%+v", v)
	}
	// Half a band is none: what the trade goes by counts.
	pit := v.Coolers[slices.IndexFunc(v.Coolers, func(c schema.Cooler) bool { return c.House == second })]
	if pit.OwnBand || pit.BandLowDC != 35 || pit.BandHighDC != 72 {
		t.Errorf("%+v", pit)
	}
	// Somebody says so, and later it came out.
	p := testphone.New("2222222222222222")
	lot := v.Astray[0].Lot
	p.Note("event", lot, "", schema.Event{Lot: lot, What: "into_cooler", On: "2001-08-20", House: second})
	p.Note("event", lot, "", schema.Event{Lot: lot, What: "out_of_cooler", On: "2001-09-05"})
	o.push(p)
	v, err := o.desk.Cooler(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	pit = v.Coolers[slices.IndexFunc(v.Coolers, func(c schema.Cooler) bool { return c.House == second })]
	if len(v.Astray) != 0 || len(pit.Lots) != 1 || pit.Lots[0].Out != "2001-09-05" || pit.Lots[0].Days != 16 {
		t.Errorf("%+v", v)
	}
}

// A file that was struck out is gone from the page, and so is a lot that has shipped.
func TestAFileThatWasStruckOutCountsNoMore(t *testing.T) {
	var named string
	o, v := cooledOffice(t, func(p *testphone.Phone, n testphone.Nursery, cooler string) {
		named = p.Note("trace", "", "", hourly(cooler, "", inNewYork(8, 20, 0), inNewYork(8, 22, 0), 45, [2]int64{}))
	})
	if len(v.Files) != 1 || len(v.Coolers[0].Spots) != 1 {
		t.Fatalf("%+v", v)
	}
	p := testphone.New("2222222222222222")
	p.Note("void", "", "", schema.Void{Names: named, Records: []string{"trace:" + named}, Why: "mistake"})
	p.Note("lot", v.Coolers[0].Lots[0].Lot, "", schema.Lot{Writes: schema.Writes{Of: v.Coolers[0].Lots[0].Lot}, ShippedOn: new("2001-09-08")})
	o.push(p)
	v, err := o.desk.Cooler(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if len(v.Files) != 0 || len(v.Coolers[0].Spots) != 0 || len(v.Coolers[0].Lots) != 0 {
		t.Errorf("%+v", v)
	}
}

// The demo has lots in the cooler whose buds were seen ready and lots of which nobody looked, and a logger that was off for 31 hours.
func TestTheCoolerOfTheDemo(t *testing.T) {
	d, truth := desk(t)
	v, err := d.Cooler(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if len(v.Coolers) != 1 || v.Coolers[0].House != truth.Cooler || len(v.Astray) != 0 || len(v.Files) != 2 || !v.Coolers[0].OwnBand {
		t.Fatalf("%d coolers, %d astray, %d files", len(v.Coolers), len(v.Astray), len(v.Files))
	}
	c := v.Coolers[0]
	if len(c.Spots) != 2 || c.Spots[0].ByHand || !c.Spots[1].ByHand || c.Spots[0].Clashes != 0 {
		t.Fatalf("%+v", c.Spots)
	}
	in, unseen, back := 0, 0, 0
	for _, l := range c.Lots {
		hours := l.Spots[0]
		if sum := hours.InBand + hours.Below + hours.Above; hours.Covered-sum > 1e-6 || sum-hours.Covered > 1e-6 {
			t.Errorf("%s: %+v", l.Tag, hours)
		}
		switch {
		case l.Out == "":
			in++
			if !slices.Contains(truth.CooledLots, l.Lot) {
				t.Errorf("%s is in the cooler", l.Tag)
			}
			if (l.Counted == nil) != slices.Contains(truth.UnseenLots, l.Lot) {
				t.Errorf("%s: %v days counted", l.Tag, l.Counted)
			}
			if len(l.Stage) != 3 || l.Latest50 == "" || hours.LongestGap < 3 || hours.InBand < 200 {
				t.Errorf("%s: %+v", l.Tag, l)
			}
		default:
			back++
			if hours.LongestGap != float64(truth.CoolerGapHours) || time.UnixMilli(hours.GapFromMS).Sub(truth.CoolerGapFrom).Abs() > time.Minute {
				t.Errorf("%s: a gap of %v hours", l.Tag, hours.LongestGap)
			}
		}
		if l.Counted == nil {
			unseen++
		}
	}
	if in != len(truth.CooledLots) || in == 0 || len(truth.UnseenLots) == 0 || len(truth.UnseenLots) == in || back == 0 {
		t.Errorf("%d in, %d of them unseen, %d back", in, unseen, back)
	}
}
