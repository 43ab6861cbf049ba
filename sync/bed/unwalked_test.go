package bed

import (
	"testing"

	"bedwalk/schema"
)

// Fisher's table of the largest of n shares of a whole: where it is above one half the first term is the whole chance, so
// the table's 5 % must come out. Fisher 1929, Proc. R. Soc. A 125, table 1, for 5 shares: 0.68377; value from memory, and
// the same as 1-10^(-1/2), which solves 5(1-g)^4 = 0.05.
func TestTheChanceOfALongStretchIsFishers(t *testing.T) {
	near(t, "four points leave five shares", chanceOfStretch(0.68377, 4), 0.05, 1e-5)
}

func TestAWalkCutShortNamesTheRowsThatNobodyLookedAt(t *testing.T) {
	in := walked(testBed(testLot("a", 1, 100)), 7, 32, heads(seeded(1), 300, 0.05, even))
	in.Pots = in.Pots[:13]
	f := found(t, in, CodeUnwalked)
	last := 0
	for _, p := range in.Pots {
		last = max(last, p.Now.Place.Row)
	}
	if f.Numbers["from_row"] != float64(last+1) || f.Numbers["to_row"] != 100 || !f.Attention {
		t.Errorf("have %+v after row %d", f, last)
	}
}

// A plan spreads its pots, so a walk that was walked to its end reports no such stretch, whatever the seed and the number.
func TestAWholeWalkLeavesNothingOut(t *testing.T) {
	for n := 8; n <= 60; n += 4 {
		for seed := range uint32(100) {
			in := walked(testBed(testLot("a", 1, 60), testLot("b", 71, 100)), seed, n, heads(seeded(1), 300, 0.05, even))
			if u := unwalkedOf(in); u != nil {
				t.Errorf("%d pots of seed %d left out %+v", n, seed, *u)
			}
		}
	}
}

func TestRowsOutsideTheBedCountForNothing(t *testing.T) {
	in := testBed(testLot("a", 1, 100))
	for i := range 20 {
		in.Pots = append(in.Pots, schema.PotSeen{ID: string(rune('a' + i)), Now: schema.Observation{Place: &schema.Place{Row: 101 + i, Across: 1}}})
	}
	if u := unwalkedOf(in); u != nil {
		t.Errorf("have %+v", *u)
	}
}
