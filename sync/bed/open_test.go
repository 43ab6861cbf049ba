package bed

import (
	"fmt"
	"testing"

	"bedwalk/schema"
)

// rootsOf is a whole walk of a bed of two lots, with so many roots of each looked at, of which so many are rotten.
func rootsOf(seen, rotten map[string]int) schema.BedScore {
	in := testBed(testLot("a", 1, 50), testLot("b", 51, 100))
	for i, lot := range []string{"a", "b"} {
		for pot := range seen[lot] {
			life := 4
			if pot < rotten[lot] {
				life = 1
			}
			in.Pots = append(in.Pots, schema.PotSeen{ID: fmt.Sprintf("%s%02d", lot, pot), Now: schema.Observation{
				Lot: lot, Place: &schema.Place{Row: 1 + 50*i + 2*pot, Across: 1 + pot%12}, RootLife: &life,
			}})
		}
	}
	return Score(in)
}

// Rot was found in one of two lots. A walk that pulled the other lot's pots alone has not looked whether it is still there.
func TestAFindingOfOneLotIsAnsweredByPotsOfThatLotAlone(t *testing.T) {
	found := rootsOf(map[string]int{"a": 12, "b": 12}, map[string]int{"a": 5})
	for name, c := range map[string]struct {
		later map[string]int
		open  bool
	}{
		"both lots": {map[string]int{"a": 8, "b": 8}, false},
		// Of the twelve that were asked, six.
		"just half of the lot": {map[string]int{"a": 6}, false},
		"one less":             {map[string]int{"a": 5}, true},
		"the other lot":        {map[string]int{"b": 20}, true},
		"two of the lot":       {map[string]int{"a": 2, "b": 20}, true},
	} {
		later := []schema.BedScore{rootsOf(c.later, nil)}
		open := false
		for _, f := range StillOpen(found, later, 7) {
			open = open || f.Code == CodeRot && f.Lot == "a" && f.SeenAt == 7
		}
		if open != c.open {
			t.Errorf("%s looked at: open %v, wanted %v", name, open, c.open)
		}
		if c.open && Answered(found, later) {
			t.Errorf("%s looked at: all is taken for answered", name)
		}
	}
}
