package bed

import (
	"testing"

	"bedwalk/schema"
)

// ofHeads is a bed with one lot and these head sizes (mm).
func ofHeads(mm ...int) schema.BedInput {
	in := testBed(testLot("a", 1, 100))
	for i, v := range mm {
		in.Pots = append(in.Pots, schema.PotSeen{ID: string(rune('A' + i)), Now: schema.Observation{Lot: "a", HeadAMM: &v}})
	}
	return in
}

func TestOnlyAValueThatAKnownSlipExplainsAsksForAStep(t *testing.T) {
	for name, c := range map[string]struct {
		heads     []int
		likely    float64
		flagged   bool
		attention bool
	}{
		"a decimal mark":            {heads: []int{300, 310, 31, 295, 305, 320, 290, 312}, likely: 310, flagged: true, attention: true},
		"inches for centimetres":    {heads: []int{300, 310, 118, 295, 305, 320, 290, 312}, likely: 299.72, flagged: true, attention: true},
		"two digits changed places": {heads: []int{300, 310, 130, 295, 305, 320, 290, 312}, likely: 310, flagged: true, attention: true},
		"a runt":                    {heads: []int{300, 310, 182, 295, 305, 320, 290, 312, 304, 299}, flagged: true},
		"a small pot among few":     {heads: []int{300, 310, 250, 295, 305, 320, 290, 312}},
	} {
		t.Run(name, func(t *testing.T) {
			s := Score(ofHeads(c.heads...))
			f, ok := find(s, CodeSlips)
			if ok != c.flagged || f.Attention != c.attention {
				t.Fatalf("flagged %v, attention %v: %+v", ok, f.Attention, s.Lots[0].Slips)
			}
			if ok {
				near(t, "likely", s.Lots[0].Slips[0].Likely, c.likely, 1e-9)
			}
		})
	}
}

// Under five values there is no scale to count distances on.
func TestAmongTooFewValuesForAScaleASlipHasNoDistance(t *testing.T) {
	slips := Score(ofHeads(300, 310, 31, 305)).Lots[0].Slips
	if len(slips) != 1 || slips[0].Value != 31 || slips[0].Z != 0 || slips[0].Likely != 310 {
		t.Errorf("%+v", slips)
	}
}

func TestACensusDoesNotDisagreeForWantOfWidthAndNothingMeasuredIsNotFewPots(t *testing.T) {
	in := testBed(testLot("a", 1, 100))
	r := seeded(3)
	sick := false
	for row := 1; row <= in.Rows; row++ {
		for across := 1; across <= in.Across; across++ {
			mm := int(300 * (1 + 0.08*r.NormFloat64()))
			in.Pots = append(in.Pots, schema.PotSeen{ID: string(rune(1000 + len(in.Pots))), Now: schema.Observation{
				Lot: "a", Place: &schema.Place{Row: row, Across: across}, HeadAMM: &mm, Disease: &sick,
			}})
		}
	}
	if s := Measure(in); s.Traits[0].Disagree || s.Lots[0].Traits[0].Disagree || s.Traits[0].N != 1200 {
		t.Errorf("a census of normal heads disagrees: %+v", s.Traits[0])
	}
	for i := range in.Pots {
		in.Pots[i].Now.HeadAMM = nil
	}
	if s := Measure(in); s.TooFewPots {
		t.Error("1,200 pots are called few because none was measured")
	}
	in.Pots = in.Pots[:3]
	if !Measure(in).TooFewPots {
		t.Error("three pots are not called few")
	}
}

func TestBrowningThatWasOnlyTickedWhereSeenIsANumberAndNoShare(t *testing.T) {
	in := ofHeads(300, 310, 305, 298, 302)
	yes, no := true, false
	for i := range 3 {
		in.Pots[i].Now.LowerBrown = &yes
	}
	if s := Measure(in).LowerBrown; s.X != 3 || s.N != 0 || s.Known {
		t.Errorf("only ticked: have %+v", s)
	}
	in.Pots[3].Now.LowerBrown, in.Pots[4].Now.LowerBrown = &no, &no
	if s := Measure(in).LowerBrown; s.X != 3 || s.N != 5 || !s.Known {
		t.Errorf("asked of each: have %+v", s)
	}
}
