package view_test

import (
	"context"
	"fmt"
	"slices"
	"testing"

	"bedwalk/schema"
	"bedwalk/server/testphone"
)

// Lots of one week stand as people count, T2 before T10: on the calendar of the plan and in their ship week.
func TestLotsOfAWeekStandAsPeopleCount(t *testing.T) {
	o := newOffice(t)
	p := testphone.New("1111111111111111")
	p.Plant()
	var want []string
	for i := range 12 {
		id, tag := testphone.ID(fmt.Sprint("counted ", i)), fmt.Sprint("T", i+1)
		p.Note("lot", id, "", schema.Lot{Writes: schema.Writes{Of: id}, Tag: &tag, Crop: new("Azalea"), PotMM: new(130), ShipWeek: new("2090-W20")})
		want = append(want, tag)
	}
	o.push(p)
	plan, err := o.desk.Plan(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	var calendar, week []string
	for _, l := range plan.Lots {
		if l.ShipWeek == "2090-W20" {
			calendar = append(calendar, l.Tag)
		}
	}
	supply, err := o.desk.Supply(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range supply.Weeks {
		for _, l := range w.Lots {
			if w.Week == "2090-W20" {
				week = append(week, l.Tag)
			}
		}
	}
	if !slices.Equal(calendar, want) || !slices.Equal(week, want) {
		t.Errorf("calendar %v, week %v", calendar, week)
	}
}
