package bed

import (
	"math"
	"testing"

	"bedwalk/schema"
	"bedwalk/sync/stats"

	"pgregory.net/rapid"
)

func drawnBed(t *rapid.T) schema.BedInput {
	in := testBed(testLot("a", 1, 60), testLot("b", 61, 100))
	in.Lots[1].Judged.HeadToleranceBP = rapid.IntRange(500, 2000).Draw(t, "second lot's tolerance")
	n := rapid.IntRange(2, 40).Draw(t, "pots")
	return walked(in, rapid.Uint32().Draw(t, "seed"), n, func(schema.Place) schema.Observation {
		o := schema.Observation{HeadAMM: whole(rapid.IntRange(150, 450).Draw(t, "head"))}
		if rapid.Bool().Draw(t, "buds counted") {
			o.Buds = whole(rapid.IntRange(0, 60).Draw(t, "buds"))
		}
		if rapid.Bool().Draw(t, "roots seen") {
			o.RootLife = whole(rapid.IntRange(1, 5).Draw(t, "life"))
		}
		if rapid.Bool().Draw(t, "leaves seen") {
			o.Chlorosis = text(rapid.SampledFrom([]string{"none", "young", "old"}).Draw(t, "leaves"))
		}
		return o
	})
}

func TestUniformityNeverRisesWhenTwoPotsOfALotMoveApart(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := drawnBed(t)
		before := Measure(in)
		lot := rapid.SampledFrom([]string{"a", "b"}).Draw(t, "lot")
		var at []int
		for i, p := range in.Pots {
			if p.Now.Lot == lot {
				at = append(at, i)
			}
		}
		if len(at) < 2 {
			return
		}
		i, j := rapid.SampledFrom(at).Draw(t, "one"), rapid.SampledFrom(at).Draw(t, "other")
		if i == j {
			return
		}
		if *in.Pots[i].Now.HeadAMM > *in.Pots[j].Now.HeadAMM {
			i, j = j, i
		}
		by := rapid.IntRange(1, 140).Draw(t, "by")
		in.Pots[i].Now.HeadAMM = whole(*in.Pots[i].Now.HeadAMM - by)
		in.Pots[j].Now.HeadAMM = whole(*in.Pots[j].Now.HeadAMM + by)
		after := Measure(in)
		for k := range before.Lots {
			if b, a := before.Lots[k].Traits[0].Uniformity, after.Lots[k].Traits[0].Uniformity; a.Value > b.Value+1e-12 {
				t.Fatalf("lot %s rose from %v to %v", before.Lots[k].Lot, b, a)
			}
		}
		if b, a := before.Traits[0].Uniformity, after.Traits[0].Uniformity; a.Value > b.Value+1e-12 {
			t.Fatalf("the bed rose from %v to %v", b, a)
		}
	})
}

func TestOrderAndDevicesChangeNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := drawnBed(t)
		want := bytesOf(t, Score(in))
		untouched := bytesOf(t, in)
		other := in
		other.Pots = rapid.Permutation(in.Pots).Draw(t, "order")
		for i := range other.Pots {
			other.Pots[i].Person = rapid.SampledFrom([]string{"x", "y", "z"}).Draw(t, "scout")
		}
		if have := bytesOf(t, Score(other)); have != want {
			t.Fatalf("in another order\n%s\nwant\n%s", have, want)
		}
		if bytesOf(t, in) != untouched {
			t.Fatal("scoring changed its input")
		}
	})
}

func TestUnitsChangeNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := drawnBed(t)
		before := Measure(in)
		// Tolerances are relative: a bed measured on a scale ten times finer is as even as before. Ten, since of a value in other
		// digits two others may have been swapped.
		for i := range in.Pots {
			in.Pots[i].Now.HeadAMM = whole(10 * *in.Pots[i].Now.HeadAMM)
		}
		after := Measure(in)
		if a, b := after.Traits[0].Uniformity, before.Traits[0].Uniformity; math.Abs(a.Value-b.Value) > 1e-9 || a.Known != b.Known {
			t.Fatalf("uniformity went from %v to %v", b, a)
		}
		if a, b := after.Traits[0].Counted, before.Traits[0].Counted; a.X != b.X {
			t.Fatalf("counted share went from %v to %v", b, a)
		}
		if len(before.Lots[0].Slips) != len(after.Lots[0].Slips) {
			t.Fatal("slips differ")
		}
	})
}

func TestAMixedBedOfTwoEvenCultivarsScoresAsEven(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := testBed(testLot("a", 1, 60), testLot("b", 61, 100))
		small := rapid.IntRange(100, 200).Draw(t, "small")
		in = walked(in, rapid.Uint32().Draw(t, "seed"), rapid.IntRange(12, 60).Draw(t, "pots"), func(p schema.Place) schema.Observation {
			mm := small
			if p.Row > 60 {
				mm *= 3
			}
			// Within 4 % of the lot's own size: no pot is far from its lot's mean.
			return schema.Observation{HeadAMM: whole(mm + mm*rapid.IntRange(-4, 4).Draw(t, "percent")/100)}
		})
		s := Measure(in)
		if s.Uniformity.Value < 0.95 || s.Traits[0].Counted.Value != 1 {
			t.Fatalf("uniformity %v, counted %v", s.Uniformity, s.Traits[0].Counted)
		}
		if s.BetweenLots.Value < 0.9 {
			t.Fatalf("only %v of the spread between lots of %d and %d mm", s.BetweenLots.Value, small, 3*small)
		}
	})
}

func TestThePlanTakesEachPlaceOnceInsideItsBed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := testBed()
		in.Rows, in.Across = rapid.IntRange(1, 150).Draw(t, "rows"), rapid.IntRange(1, 15).Draw(t, "across")
		in.Aisles = rapid.SampledFrom([]string{"near", "far", "both"}).Draw(t, "aisles")
		cut := rapid.IntRange(1, in.Rows).Draw(t, "cut")
		for i, span := range [][2]int{{1, cut}, {cut + 1, in.Rows}} {
			if span[1] >= span[0] {
				l := testLot(string(rune('a'+i)), span[0], span[1])
				l.PotsOnBed = (span[1] - span[0] + 1) * in.Across
				in.Lots = append(in.Lots, l)
			}
		}
		seed, n := rapid.Uint32().Draw(t, "seed"), rapid.IntRange(1, 120).Draw(t, "n")
		plan := MakePlan(in, seed, n)
		if want := min(n, in.Rows*in.Across); plan.N != want || len(plan.Places) != want {
			t.Fatalf("%d places, want %d", len(plan.Places), want)
		}
		seen, perLot := map[schema.Place]bool{}, map[string]int{}
		for _, p := range plan.Places {
			if p.Row < 1 || p.Row > in.Rows || p.Across < 1 || p.Across > in.Across || seen[p] {
				t.Fatalf("place %v outside the bed or taken twice", p)
			}
			seen[p] = true
			perLot[lotAt(in, p.Row)]++
		}
		for _, l := range in.Lots {
			if perLot[l.Lot] < min(MinPotsPerLot, n/len(in.Lots), l.PotsOnBed) {
				t.Fatalf("lot %s has %d of %d", l.Lot, perLot[l.Lot], n)
			}
		}
		if bytesOf(t, MakePlan(in, seed, n)) != bytesOf(t, plan) {
			t.Fatal("the same seed gave another plan")
		}
	})
}

func TestEveryPotHasTheSameChanceAndEdgesTheirPart(t *testing.T) {
	in := testBed(testLot("a", 1, 60), testLot("b", 61, 100))
	const plans, n = 4000, 30
	edge, far, counts := 0, 0, map[schema.Place]int{}
	for seed := range uint32(plans) {
		for _, p := range MakePlan(in, seed+1, n).Places {
			counts[p]++
			if atEdge(in, p.Across) {
				edge++
			}
			if p.Row > 60 {
				far++
			}
		}
	}
	// 2 of 12 places across are edges, 40 of 100 rows the second lot's; the room is four standard errors of a binomial share.
	near(t, "share at the edge", float64(edge)/(plans*n), 2.0/12, 4*math.Sqrt(2.0/12*10/12/(plans*n)))
	near(t, "share of the second lot", float64(far)/(plans*n), 0.4, 4*math.Sqrt(0.24/(plans*n)))
	// Each of 1,200 places expects 100; Pearson's chi-square on 1,199 degrees of freedom is below 1,400 but once in 20,000.
	chi := 0.0
	for row := 1; row <= 100; row++ {
		for across := 1; across <= 12; across++ {
			d := float64(counts[schema.Place{Row: row, Across: across}]) - 100
			chi += d * d / 100
		}
	}
	if chi > 1400 {
		t.Errorf("places are not taken evenly: chi-square %g on 1199", chi)
	}
}

func TestThePlanWalksFromTheEntryEndToTheFarAndBackAcross(t *testing.T) {
	for seed := range uint32(50) {
		in := testBed(testLot("a", 1, 100))
		places := MakePlan(in, seed, 60).Places
		// 100 rows of 12 make nine slices of 11 or 12 rows.
		turns, before := 0, 0
		for i := 1; i < len(places); i++ {
			if back := places[i-1].Row - places[i].Row; back > 11 {
				t.Errorf("seed %d: step %d leads back by %d rows", seed, i, back)
			}
			if step := places[i].Across - places[i-1].Across; step != 0 && (places[i].Row-1)*9/100 == (places[i-1].Row-1)*9/100 {
				if before != 0 && step > 0 != (before > 0) {
					turns++
				}
				before = step
			}
		}
		if turns < 6 || turns > 8 {
			t.Errorf("seed %d: %d turns across in nine slices", seed, turns)
		}
		if places[0].Row > 12 || places[len(places)-1].Row < 89 {
			t.Errorf("seed %d: from row %d to row %d", seed, places[0].Row, places[len(places)-1].Row)
		}
	}
}

func TestHalvingFindsTheSameNumberAsCountingUp(t *testing.T) {
	for _, cv := range []float64{0.02, 0.04, 0.06, 0.1, 0.15, 0.25, 0.4, 0.8} {
		for _, tolerance := range []float64{0.05, 0.1, 0.2, 0.4} {
			for _, width := range []float64{0.05, 0.1, 0.2, 0.4} {
				for _, potsOnBed := range []int{0, 60, 600, 2500} {
					most := 500
					if potsOnBed > 0 {
						most = min(most, potsOnBed)
					}
					want := 3
					for want < most {
						if w := stats.UniformityWidth(cv, tolerance, want, potsOnBed, level); w.Known && w.X <= width {
							break
						}
						want++
					}
					if have := needWithin(cv, tolerance, width, potsOnBed, 3, most); have != want {
						t.Errorf("cv %g tolerance %g width %g of %d: have %d, want %d", cv, tolerance, width, potsOnBed, have, want)
					}
				}
			}
		}
	}
}
