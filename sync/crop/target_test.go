package crop

import (
	"math"
	"testing"

	"bedwalk/schema"
)

func row(day, low, high, pot int) schema.HeadTarget {
	r := schema.HeadTarget{Day: day, LowMM: low, HighMM: high}
	if pot > 0 {
		r.PotMM = &pot
	}
	return r
}

// Between the rows by hand: a third of the way from 100 to 160 is 120, from 130 to 220 is 160.
func TestATargetBandIsStraightBetweenItsRowsAndHasNoDaysBeyondThem(t *testing.T) {
	band := Target{row(14, 100, 130, 0), row(44, 160, 220, 0), row(90, 150, 240, 0)}
	for _, c := range []struct {
		day       int
		low, high float64
		known     bool
	}{
		{13, 0, 0, false}, {14, 100, 130, true}, {24, 120, 160, true}, {44, 160, 220, true}, {67, 155, 230, true}, {90, 150, 240, true}, {91, 0, 0, false},
	} {
		low, high, known := band.On(c.day)
		if math.Abs(low-c.low) > 1e-9 || math.Abs(high-c.high) > 1e-9 || known != c.known {
			t.Errorf("day %d: %v to %v, %v", c.day, low, high, known)
		}
	}
}

func TestATargetBandOfOneRowHasOneDay(t *testing.T) {
	for day, want := range map[int]bool{29: false, 30: true, 31: false} {
		if _, _, known := (Target{row(30, 100, 130, 0)}).On(day); known != want {
			t.Errorf("day %d: %v", day, known)
		}
	}
	if _, _, known := (Target{}).On(0); known {
		t.Error("a band of no rows has a day")
	}
}

// 2028 has a February 29: ten days after February 24 is March 5, and in 2027 March 6.
func TestDaysOfATargetBandAreCountedOverALeapDay(t *testing.T) {
	band := Target{row(0, 100, 130, 0), row(20, 200, 230, 0)}
	for since, on := range map[string]string{"2028-02-24": "2028-03-05", "2027-02-24": "2027-03-06"} {
		if low, _, _ := band.On(int(day(on) - day(since))); low != 150 {
			t.Errorf("%s: %v", on, low)
		}
	}
}

func TestALotHasTheTargetBandOfItsPotSizeOrElseTheOneForAll(t *testing.T) {
	rows := []schema.HeadTarget{row(14, 100, 130, 165), row(14, 80, 110, 0), row(14, 60, 90, 140), row(44, 160, 220, 165)}
	for pot, want := range map[int][3]int{165: {100, 2, 165}, 140: {60, 1, 140}, 110: {80, 1, 0}, 0: {80, 1, 0}} {
		band, size := TargetFor(rows, pot)
		if len(band) != want[1] || band[0].LowMM != want[0] || size != want[2] {
			t.Errorf("%d mm: %+v for %d", pot, band, size)
		}
	}
	if band, _ := TargetFor(rows[:1], 140); len(band) > 0 {
		t.Errorf("%+v", band)
	}
}

func TestAMeanLiesInABandOnlyWithItsWholeInterval(t *testing.T) {
	for _, c := range []struct {
		mm, least, most float64
		where           string
		by              float64
	}{
		{120, 110, 125, InsideBand, 0}, {115, 100, 130, InsideBand, 0},
		{92, 85, 99.9, BelowBand, 8}, {92, 85, 100, UnsureBand, 0},
		{137, 130.1, 144, AboveBand, 7}, {137, 130, 144, UnsureBand, 0},
		{115, 99, 120, UnsureBand, 0}, {115, 90, 140, UnsureBand, 0},
	} {
		if where, by := LiesIn(100, 130, c.mm, c.least, c.most); where != c.where || by != c.by {
			t.Errorf("%+v: %s by %v", c, where, by)
		}
	}
}
