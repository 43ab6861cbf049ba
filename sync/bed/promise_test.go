package bed

import (
	"testing"

	"bedwalk/schema"

	"pgregory.net/rapid"
)

// servable tries it: whether every booking can be given pots of its grade or a better one, of pots[g] that are of grade g.
// Bookings of the best grade take first, from their own grade; lesser ones then take whatever is left, in every possible way.
func servable(pots, booked []int) bool {
	for g, want := range booked {
		if want == 0 {
			continue
		}
		for from := 0; from <= g; from++ {
			if pots[from] == 0 {
				continue
			}
			nextPots, nextBooked := append([]int(nil), pots...), append([]int(nil), booked...)
			nextPots[from]--
			nextBooked[g]--
			if servable(nextPots, nextBooked) {
				return true
			}
		}
		return false
	}
	return true
}

// What can be promised on top is compared with trying it out pot by pot: one more than Safe can no longer be served.
func TestPromisesAreWhatAnAssignmentOfPotsAllows(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.IntRange(1, 3).Draw(t, "grades")
		var pots, sure, booked []int
		sum := 0
		for range k {
			n := rapid.IntRange(0, 4).Draw(t, "pots")
			sum += n
			pots, sure = append(pots, n), append(sure, sum)
			booked = append(booked, rapid.IntRange(0, 3).Draw(t, "booked"))
		}
		safe, over := Promised(sure, booked)
		fits := servable(pots, booked)
		for g := range pots {
			if fits != (over[g] == 0) && (fits || !anyAbove(over)) {
				t.Fatalf("pots %v, booked %v: over %v, servable %v", pots, booked, over, fits)
			}
			more := append([]int(nil), booked...)
			more[g] += safe[g]
			if fits && !servable(pots, more) {
				t.Fatalf("pots %v, booked %v: %d of grade %d cannot be served", pots, booked, safe[g], g)
			}
			more[g]++
			if servable(pots, more) {
				t.Fatalf("pots %v, booked %v: more than %d of grade %d can be served", pots, booked, safe[g], g)
			}
		}
	})
}

func anyAbove(over []int) bool {
	for _, n := range over {
		if n > 0 {
			return true
		}
	}
	return false
}

func twoLots(first, second int) schema.BedInput {
	judged := schema.DefaultJudged()
	judged.ExpectedLossBP = 0
	judged.Grades = []schema.Grade{{Name: "florist", PotMM: 150, HeadMinMM: new(290)}}
	in := schema.BedInput{Rows: 40, Across: 10}
	for i, lot := range []string{"a", "b"} {
		in.Lots = append(in.Lots, schema.LotOnBed{Lot: lot, FromRow: 1 + 20*i, ToRow: 20 + 20*i, PotsOnBed: 200, PotMM: 150, Judged: judged})
	}
	in.Pots = append(seenAs("a", 300, first), seenAs("b", 300, second)...)
	return in
}

func TestLotsOfAMixedBedArePromisedTogether(t *testing.T) {
	s := Score(twoLots(10, 10))
	if len(s.Together) != 1 {
		t.Fatalf("%+v", s.Together)
	}
	joint, alone := s.Together[0], s.Lots[0].GradeOut.Promise
	// 20 good pots of 20 among 400, exact fractions (Python): 346; 10 of 10 among 200: 150.
	if joint.Lines[0].Sure != 346 || alone.Lines[0].Sure != 150 || len(joint.Lots) != 2 || len(alone.Lots) != 1 {
		t.Errorf("together %+v, alone %+v", joint, alone)
	}
	// Five of each are too few for a lot alone and enough for both.
	s = Score(twoLots(5, 5))
	if s.Lots[0].GradeOut.Promise.Hold != HoldFew || s.Together[0].Hold != "" || s.Together[0].Whole != 10 {
		t.Errorf("%+v, %+v", s.Together, s.Lots[0].GradeOut.Promise)
	}
	other := twoLots(10, 10)
	other.Lots[1].Judged.Grades = []schema.Grade{{Name: "first", PotMM: 150, HeadMinMM: new(290)}}
	if s = Score(other); len(s.Together) != 0 {
		t.Errorf("lots of different grades were added up: %+v", s.Together)
	}
}

func TestALotIsPromisedOverAllItsBeds(t *testing.T) {
	in := twoLots(10, 0)
	half := in.Lots[0]
	half.Bookings = []schema.BookedPots{{Grade: "florist", Pots: 999}}
	bookings := []schema.BookedPots{{Grade: "florist", Pots: 46}}
	p := LotPromise("a", []Walked{{half, in.Pots}, {half, in.Pots}}, half.Judged, half.PotMM, bookings)
	if p == nil || p.Lines[0].Sure != 346 || p.Lines[0].Booked != 46 || p.Lines[0].Safe != 300 || p.PotsOnBed != 400 || len(p.Lots) != 1 {
		t.Errorf("%+v", p)
	}
	if p = LotPromise("a", nil, half.Judged, half.PotMM, bookings); p == nil || p.Hold != HoldUnwalked {
		t.Errorf("a lot that nobody walked: %+v", p)
	}
	if p = LotPromise("a", nil, half.Judged, 90, bookings); p != nil {
		t.Errorf("a pot size without grades: %+v", p)
	}
}

func TestAScoreWithOtherPromisesIsTheSameAsOneMadeAgain(t *testing.T) {
	in := twoLots(10, 8)
	before := Score(in)
	in.Lots[0].Kept = &schema.KeptShare{Mean: 0.8, Differ: 0.02, Basis: "own"}
	in.Lots[1].Bookings = []schema.BookedPots{{Grade: "florist", Pots: 30}}
	again := Score(in)
	if have := WithPromises(before, in); bytesOf(t, have) != bytesOf(t, again) {
		t.Errorf("%+v\nwant %+v", have, again)
	}
	if alone := again.Lots[0].GradeOut.Promise; alone.LossBasis != "own" || alone.Lines[0].Kept >= alone.Lines[0].Sure || again.Together[0].Lines[0].Booked != 30 {
		t.Errorf("%+v, together %+v", alone, again.Together[0])
	}
	if before.Lots[0].GradeOut.Promise.Lines[0].Kept != before.Lots[0].GradeOut.Promise.Lines[0].Sure {
		t.Errorf("the score before has changed: %+v", before.Lots[0].GradeOut.Promise)
	}
}
