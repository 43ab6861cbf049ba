package view_test

import (
	"testing"

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
