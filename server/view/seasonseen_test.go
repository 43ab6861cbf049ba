package view

import (
	"fmt"
	"math"
	"testing"

	"bedwalk/schema"
)

// Six lots, two in each of three seasons, each 10 of 20 in grade on its last walk, where shares were expected whose logits are 1, 0 and -1: a lot's
// distance varies by 0.1 + 2/10.5, a season's by half of that, and (1 + 0 + 1) over 2 degrees of freedom less that half is 0.8548. By hand.
func TestSeasonsThatDifferAreSeen(t *testing.T) {
	v, n := &Views{said: map[saidOf]saidThen{}}, emptyNursery(0)
	n.judged = map[string]schema.Judged{"azalea": {SharingSDMilli: 200}}
	n.ownSeason = map[string]bool{"azalea": true}
	var lots []schema.RightLot
	for i, logit := range []float64{1, 1, 0, 0, -1, -1} {
		lot := schema.RightLot{
			Lot: fmt.Sprint(i), Crop: "Azalea", Cultivar: fmt.Sprint("c", i/2), LeftOn: "2001-10-01", Walk: &schema.RightWalk{On: "2001-09-10", In: []int{10, 15}, Seen: 20},
		}
		lots = append(lots, lot)
		m := 1 / (1 + math.Exp(-logit))
		then := saidThen{best: shareOf{m, 0.1 * math.Pow(m*(1-m), 2)}}
		// Of 12 weeks before nothing is known, 8 weeks before counts, 4 weeks before had the walk itself.
		v.said[saidOf{lot.Lot, lot.LeftOn, 8}] = then
		v.said[saidOf{lot.Lot, lot.LeftOn, 4}] = saidThen{best: shareOf{0.5, 0.001}}
	}
	all := v.seasonsSeen(n, lots)
	if len(all) != 1 || all[0].SD != 925 || all[0].N != 6 || all[0].Groups != 3 || all[0].Now != 200 || !all[0].IsOwn || all[0].Start != 350 {
		t.Fatalf("%+v", all)
	}
	if got := v.seasonsSeen(n, lots[:5]); len(got) != 0 {
		t.Errorf("from five lots: %+v", got)
	}
	for i := range lots {
		lots[i].Walk.On = "2001-08-01"
	}
	if got := v.seasonsSeen(n, lots); len(got) != 0 {
		t.Errorf("from walks that the plan knew: %+v", got)
	}
}
