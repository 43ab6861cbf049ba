package view_test

import (
	"cmp"
	"math"
	"slices"
	"testing"

	"bedwalk/schema"
	"bedwalk/server/view"
	"bedwalk/sync/bed"
	"bedwalk/sync/calendar"
)

// What an owner sees of a nursery is what its own pages say, added up here by another road: from the view of all beds, and lot by lot.
func TestANurseryInShortIsWhatItsOwnPagesSay(t *testing.T) {
	v, err := grown()
	if err != nil {
		t.Fatal(err)
	}
	ctx := t.Context()
	brief, err := v.Brief(ctx)
	if err != nil {
		t.Fatal(err)
	}
	beds, err := v.Beds(ctx, "")
	if err != nil {
		t.Fatal(err)
	}
	var newest int64
	stand, recent := 0, 0
	scores := map[string][]float64{}
	whole, best := map[string]int{}, map[string]int{}
	for _, house := range beds.Houses {
		for _, b := range house.Beds {
			if len(b.Spans) == 0 {
				continue
			}
			stand++
			newest = max(newest, b.LastWalkAt)
			if b.LastWalkAt >= beds.MadeAt-14*86_400_000 {
				recent++
			}
			crops := map[string]bool{}
			of := map[string]string{}
			for _, s := range b.Spans {
				crops[bed.CropKey(s.Crop)], of[s.Lot] = true, bed.CropKey(s.Crop)
			}
			key := ""
			if len(crops) == 1 {
				key = bed.CropKey(b.Spans[0].Crop)
			}
			if b.Score != nil && b.Score.Uniformity.Known && !b.Score.TooFewPots {
				scores[key] = append(scores[key], b.Score.Uniformity.Value)
			}
			for _, lot := range lotsOfScore(b.Score) {
				if crop, stands := of[lot.Lot]; stands && lot.GradeOut != nil && lot.GradeOut.Promise.Hold != "early" {
					whole[crop] += lot.GradeOut.N
					best[crop] += lot.GradeOut.Grades[0].Seen
				}
			}
		}
	}
	if brief.Beds != stand || brief.Recent != recent || brief.WalkedAt != newest || brief.Name != beds.Site || stand == 0 || recent == 0 {
		t.Errorf("%d beds, %d recent, walked at %d, %q; want %d, %d, %d, %q", brief.Beds, brief.Recent, brief.WalkedAt, brief.Name, stand, recent, newest, beds.Site)
	}
	all := 0
	for _, crop := range brief.Crops {
		key := bed.CropKey(crop.Crop)
		values := scores[key]
		slices.Sort(values)
		all += crop.Scored
		if len(values) == 0 || crop.Scored != len(values) {
			t.Errorf("%q: %d scored, want %d", crop.Crop, crop.Scored, len(values))
			continue
		}
		middle := (values[(len(values)-1)/2] + values[len(values)/2]) / 2
		if crop.Lowest != values[0] || crop.Highest != values[len(values)-1] || math.Abs(crop.Median-middle) > 1e-12 || crop.Least.Uniformity.Value != values[0] {
			t.Errorf("%q: %+v of %v", crop.Crop, crop, values)
		}
		if crop.Whole != whole[key] || crop.Best != best[key] || crop.Best > crop.Graded || crop.Graded > crop.Whole {
			t.Errorf("%q: %+v, want %d of %d in the best grade", crop.Crop, crop, best[key], whole[key])
		}
	}
	if all == 0 || !slices.ContainsFunc(brief.Crops, func(c schema.CropBrief) bool { return c.Best > 0 }) {
		t.Errorf("nothing to compare in %+v", brief.Crops)
	}

	type week struct{ week, crop string }
	booked, shipped := map[week]int{}, map[week]int{}
	page, err := v.Lots(ctx, view.LotsAsk{})
	if err != nil || page.Next != "" {
		t.Fatalf("%q, %v", page.Next, err)
	}
	for _, one := range page.Lots {
		lot, err := v.Lot(ctx, one.ID)
		if err != nil {
			t.Fatal(err)
		}
		for _, b := range lot.Bookings {
			if !b.Cancelled {
				at := week{cmp.Or(b.ShipWeek, one.ShipWeek), bed.CropKey(one.Crop)}
				booked[at] += b.Pots
				shipped[at] += b.Shipped
			}
		}
	}
	supply, err := v.Supply(ctx)
	if err != nil {
		t.Fatal(err)
	}
	missing := map[week]int{}
	for _, w := range supply.Weeks {
		at := week{w.Week, w.Crop}
		missing[at] += w.Missing
		for _, b := range w.Bookings {
			if b.Lot == "" {
				booked[at] += b.Open
			}
		}
	}
	now := calendar.Of(today).Week().String()
	for _, w := range brief.Weeks {
		at := week{w.Week, bed.CropKey(w.Crop)}
		short := missing[at]
		if w.Over {
			short = w.Booked - w.Shipped
		}
		// Of bookings that name no lot the view of ship weeks has only what is open.
		if w.Booked-w.Shipped < booked[at]-shipped[at] || w.Booked < booked[at] || w.Short != short || w.Over != (w.Week < now) {
			t.Errorf("%+v; want %d booked, %d shipped, %d short", w, booked[at], shipped[at], short)
		}
		delete(booked, at)
	}
	for at, pots := range booked {
		if w, err := calendar.ParseWeek(at.week); err == nil && pots > 0 && w.Monday() >= calendar.Of(today)-8*7 && w.Monday() <= calendar.Of(today)+12*7 {
			t.Errorf("%d pots booked for %s are in no week", pots, at)
		}
	}
	if len(brief.Weeks) == 0 {
		t.Error("no week has a booking")
	}
}

func lotsOfScore(score *schema.BedScore) []schema.LotScore {
	if score == nil {
		return nil
	}
	return score.Lots
}
