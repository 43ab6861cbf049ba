package bed_test

import (
	"fmt"
	"slices"

	"bedwalk/schema"
	"bedwalk/sync/bed"
)

func whole(n int) *int { return &n }

// aBed is 6 m long with two lots, of which ten heads of one and five of the other were measured.
func aBed() schema.BedInput {
	lot := func(name string, from, to, potsOnBed int) schema.LotOnBed {
		return schema.LotOnBed{Lot: name, FromRow: from, ToRow: to, PotsOnBed: potsOnBed, PotMM: 150, Judged: schema.DefaultJudged()}
	}
	in := schema.BedInput{
		Bed: "b7", Rows: 30, Across: 8, LengthMM: 6000, EntryEnd: "door", FarEnd: "fan", Aisles: "both",
		Lots: []schema.LotOnBed{lot("a", 1, 20, 160), lot("b", 21, 30, 80)},
	}
	for i, mm := range []int{300, 310, 290, 320, 300, 280, 330, 300, 270, 300, 208, 212, 205, 215, 210} {
		name := "a"
		if i >= 10 {
			name = "b"
		}
		in.Pots = append(in.Pots, schema.PotSeen{ID: fmt.Sprintf("pot %02d", i), Now: schema.Observation{
			Lot: name, HeadAMM: whole(mm), Place: &schema.Place{Row: 2*i + 1, Across: 1 + i%8},
		}})
	}
	return in
}

func percent(e schema.Estimate) string {
	return fmt.Sprintf("%.0f %% (%.0f to %.0f), n %d", 100*e.Value, 100*e.Interval.Low, 100*e.Interval.High, e.N)
}

func ExampleScore() {
	s := bed.Score(aBed())
	fmt.Println("uniformity", percent(s.Uniformity), "held back by", s.LimitingTrait)
	fmt.Printf("%.0f %% of the spread in head size is between the lots\n", 100*s.BetweenLots.Value)
	fmt.Println(s.Stop.Verdict, s.Stop.More)
	// Output:
	// uniformity 94 % (80 to 99), n 15 held back by head
	// 95 % of the spread in head size is between the lots
	// enough 0
}

func ExampleMeasure() {
	s := bed.Measure(aBed())
	for _, l := range s.Lots {
		head := l.Traits[0]
		fmt.Printf("%s: %.0f mm (%.0f to %.0f), %d of %d within a tenth\n", l.Lot, head.Mean.Value, head.Mean.Interval.Low, head.Mean.Interval.High, head.Counted.X, head.Counted.N)
	}
	// Output:
	// a: 300 mm (290 to 310), 10 of 10 within a tenth
	// b: 210 mm (206 to 214), 5 of 5 within a tenth
}

func ExampleHowMany() {
	in := aBed()
	last := bed.Measure(in)
	fmt.Println("first walk:", bed.HowMany(in, nil), "next walk:", bed.HowMany(in, &last))
	// Output: first walk: 31 next walk: 13
}

func ExampleMakePlan() {
	for _, p := range bed.MakePlan(aBed(), 42, 6).Places {
		fmt.Printf("row %d, %d across\n", p.Row, p.Across)
	}
	// Output:
	// row 2, 1 across
	// row 2, 2 across
	// row 15, 5 across
	// row 21, 1 across
	// row 30, 7 across
	// row 24, 4 across
}

func ExampleSlipOf() {
	if s, found := bed.SlipOf(aBed(), "a", bed.Head, 31); found {
		fmt.Printf("%.0f mm? perhaps %.0f mm\n", s.Value, s.Likely)
	}
	// Output: 31 mm? perhaps 310 mm
}

func ExampleGradeOut() {
	judged := schema.DefaultJudged()
	judged.Grades = []schema.Grade{{Name: "florist", PotMM: 150, HeadMinMM: whole(290)}, {Name: "nursery", PotMM: 150, HeadMinMM: whole(200)}}
	on := schema.LotOnBed{Lot: "a", PotsOnBed: 160, PotMM: 150, Judged: judged}
	out := bed.GradeOut(on, aBed().Pots[:10])
	for _, g := range out.Grades {
		fmt.Printf("%q: %d seen, %.0f (%d to %d) of %d expected\n", g.Name, g.Seen, g.Expected, g.Low, g.High, out.PotsOnBed)
	}
	fmt.Printf("%s fails %d of %d; safe to promise %d\n", out.Costs[0].Line, out.Costs[0].Fail, out.Costs[0].N, out.Promise.Lines[0].Safe)
	// Output:
	// "florist": 8 seen, 124 (89 to 150) of 160 expected
	// "nursery": 2 seen, 36 (10 to 71) of 160 expected
	// "": 0 seen, 7 (0 to 26) of 160 expected
	// head_min_mm fails 2 of 10; safe to promise 78
}

func ExamplePromised() {
	// 485 pots are sure to be florist at shipping, 776 florist or nursery; 200 florist and 350 nursery are booked.
	safe, over := bed.Promised([]int{485, 776}, []int{200, 350})
	fmt.Println(safe, over)
	// Output: [226 226] [0 0]
}

func ExampleJudgedFrom() {
	j := bed.JudgedFrom(schema.Profile{HeadToleranceBP: whole(800)}, schema.DefaultJudged())
	fmt.Println(j.HeadToleranceBP, j.BudToleranceBP)
	// Output: 800 2000
}

func ExampleClosedUntil() {
	sprayed := schema.Application{Beds: []string{"b7"}, EndedAt: 1_000, EntryHours: 12}
	fmt.Println(bed.ClosedUntil(slices.Values([]schema.Application{sprayed}), "b7"), bed.ClosedUntil(slices.Values([]schema.Application{}), "b7"))
	// Output: 43201000 0
}

func ExampleAgree() {
	pots := func(scale float64) []schema.PotSeen {
		all := aBed().Pots[:10]
		for i := range all {
			all[i].Now.HeadAMM = whole(int(float64(*all[i].Now.HeadAMM)*scale + 0.5))
		}
		return all
	}
	a := bed.Agree("ann", "bo", bed.PairUp(pots(1), pots(1.04)))
	fmt.Printf("bo reads %+.1f %% (%+.1f to %+.1f) against ann on %d pots\n", 100*a.Bias.Value, 100*a.Bias.Interval.Low, 100*a.Bias.Interval.High, a.N)
	// Output: bo reads +4.0 % (+4.0 to +4.0) against ann on 10 pots
}

func ExampleDrifts() {
	day := int64(24 * 60 * 60 * 1000)
	var all []bed.Reading
	for week := range int64(6) {
		for i, who := range []string{"ann", "bo"} {
			mm := 300 + float64(week) + 12*float64(i)
			all = append(all, bed.Reading{Person: who, Lot: "a", Bed: "b7", At: 7 * week * day, Heads: bed.LogMeanOf([]float64{mm - 4, mm, mm + 4})})
		}
	}
	for _, d := range bed.Drifts(all) {
		fmt.Printf("%s %+.1f %% over %d walks, attention %t\n", d.Person, 100*d.Bias.Value, d.Walks, d.Attention)
	}
	// Output:
	// ann -3.8 % over 6 walks, attention true
	// bo +4.0 % over 6 walks, attention true
}

func ExampleRand() {
	r := bed.NewRand(2463534242)
	fmt.Println(r.Next(), r.Below(6))
	// Output: 746858951 2
}
