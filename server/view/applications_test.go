package view_test

import (
	"testing"
	"time"

	"bedwalk/schema"
	"bedwalk/server/testphone"
)

func TestTheApplicationLogHasTheNewestFirstWithItsIntervalAndLeavesOutWhatWasStruckOut(t *testing.T) {
	o := newOffice(t)
	p := testphone.New("1111111111111111")
	n := p.Plant()
	put := func(active string, endedAt int64, hours int) string {
		return p.Note("application", "", n.Bed, schema.Application{
			Beds: []string{n.Bed}, Purpose: "fungicide", Active: active, RegNo: "12-345", Amount: "3 gal", EndedAt: endedAt, EntryHours: hours,
		})
	}
	// entry-interval-latest-wins of the plan's cases: the bed opens when the last label interval ends, not when the newest began.
	put("first", 1_000_000_000_000, 24)
	put("second", 1_000_000_050_000, 12)
	wrong := put("third", 1_000_000_060_000, 48)
	p.Note("void", "", n.Bed, schema.Void{Names: wrong, Records: []string{"fact:" + wrong}, Why: "other"})
	o.push(p)
	log, err := o.desk.Applications(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if len(log.Lines) != 2 || log.Older != 0 {
		t.Fatalf("%+v", log)
	}
	newest, older := log.Lines[0], log.Lines[1]
	if newest.Active != "second" || newest.PersonName != "Wren" || newest.RegNo != "12-345" || newest.Amount != "3 gal" || newest.Beds[0] != n.Bed {
		t.Errorf("%+v", newest)
	}
	if older.Until != 1_000_000_000_000+24*3_600_000 || newest.Until != 1_000_000_050_000+12*3_600_000 || older.Until < newest.Until {
		t.Errorf("until %d and %d", older.Until, newest.Until)
	}
}

// The regulator's day of a lot follows from the lots that the note names; a note without any is about every lot of its beds, and says so.
func TestTheRegulatorsDayIsOfTheLotsThatWereLeftMarked(t *testing.T) {
	o := newOffice(t)
	p := testphone.New("1111111111111111")
	n := p.Plant()
	other, span := testphone.ID("other"), testphone.ID("other span")
	p.Note("lot", other, "", schema.Lot{Writes: schema.Writes{Of: other}, Tag: new("T-2"), Crop: new("azalea"), PotMM: new(130), PottedOn: new("2001-05-01")})
	p.Note("span", other, n.Bed, schema.Span{Writes: schema.Writes{Of: span}, Lot: &other, Bed: &n.Bed, FromRow: new(6), ToRow: new(10)})
	at := func(day int) int64 { return time.Date(2001, 8, day, 12, 0, 0, 0, newYork).UnixMilli() }
	put := func(day int, lots ...string) {
		p.Note("application", "", n.Bed, schema.Application{
			Beds: []string{n.Bed}, Lots: lots, Purpose: "growth_regulator", Active: "daminozide", StartedAt: at(day) - 3_600_000, EndedAt: at(day),
		})
	}
	put(1, n.Lot)
	put(9)
	o.push(p)
	regulator := func(id string) schema.PlanStep {
		v, err := o.desk.Lot(t.Context(), id)
		if err != nil {
			t.Fatal(err)
		}
		for _, step := range v.Plan.Steps {
			if step.Step == "regulator" {
				return step
			}
		}
		t.Fatalf("%s has no such step", id)
		return schema.PlanStep{}
	}
	if own := regulator(n.Lot); own.On != "2001-08-01" || own.ByBed {
		t.Errorf("%+v", own)
	}
	if left := regulator(other); left.On != "2001-08-09" || !left.ByBed {
		t.Errorf("%+v", left)
	}
	log, err := o.desk.Applications(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if named := log.Lines[1].PutOn; len(named) != 1 || named[0].Tag != "T-1" || len(log.Lines[0].PutOn) != 0 || log.Lines[1].StartedAt == 0 {
		t.Errorf("%+v", log.Lines)
	}
}
