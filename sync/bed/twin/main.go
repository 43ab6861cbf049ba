// Command twin makes random beds from a seed and prints, one JSON object a line, each bed with what the Go side reckons of
// it. twins.test.ts reckons the same beds in TypeScript and compares: the two share no code, so what both get wrong they
// would have to get wrong twice.
//
//	go run ./sync/bed/twin -seed 1 -beds 200
package main

import (
	"encoding/json"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"

	"bedwalk/schema"
	"bedwalk/sync/bed"
)

// Case is one bed with the Go side's answers.
type Case struct {
	Input   schema.BedInput `json:"input"`
	Seed    uint32          `json:"seed"`
	N       int             `json:"n"`
	Lot     string          `json:"lot"`
	Value   float64         `json:"value"`
	Score   schema.BedScore `json:"score"`
	Plan    schema.Plan     `json:"plan"`
	HowMany int             `json:"how_many"`
	Again   int             `json:"again"`
	Slip    *schema.Slip    `json:"slip"`

	Records schema.BedRecords  `json:"records"`
	Pots    []schema.PotRecord `json:"pots"`
	Newest  bool               `json:"newest"`
	Put     schema.BedInput    `json:"put"`
	Walks   []schema.PastWalk  `json:"walks"`
	Every   []int              `json:"every"`
	Due     schema.Due         `json:"due"`
}

func main() {
	seed := flag.Uint64("seed", 1, "seed of the random beds")
	beds := flag.Int("beds", 200, "number of beds")
	flag.Parse()
	r := rand.New(rand.NewPCG(*seed, 0))
	out := json.NewEncoder(os.Stdout)
	for range *beds {
		if err := out.Encode(reckon(randomBed(r), r)); err != nil {
			fmt.Fprintln(os.Stderr, "twin:", err)
			os.Exit(1)
		}
	}
}

func reckon(in schema.BedInput, r *rand.Rand) Case {
	c := Case{Input: in, Seed: r.Uint32(), N: 1 + r.IntN(80), Lot: "a", Value: float64(20 + r.IntN(600))}
	c.Score = bed.Measure(in)
	c.Plan = bed.MakePlan(in, c.Seed, c.N)
	c.HowMany = bed.HowMany(in, nil)
	c.Again = bed.HowMany(in, &c.Score)
	if s, found := bed.SlipOf(in, c.Lot, bed.Head, c.Value); found {
		c.Slip = &s
	}
	c.Records, c.Pots, c.Newest = randomRecords(r, in), randomPots(r, in), r.IntN(2) == 0
	c.Put = bed.Input(c.Records, c.Pots, c.Newest)
	c.Walks, c.Every = randomWalks(r), []int{}
	for range r.IntN(3) {
		c.Every = append(c.Every, 1+r.IntN(12))
	}
	c.Due = bed.Due(c.Walks, c.Every)
	return c
}

// randomRecords are spans with every hole that records have: no rows, no count, ended, twice the same lot, lots unknown.
func randomRecords(r *rand.Rand, in schema.BedInput) schema.BedRecords {
	records := schema.BedRecords{ID: in.Bed, Spans: []schema.SpanRecord{}, Lots: map[string]schema.LotFact{}}
	if r.IntN(5) > 0 {
		records.Bed = schema.Bed{Rows: &in.Rows, Across: &in.Across, LengthMM: &in.LengthMM, EntryEnd: &in.EntryEnd, Aisles: &in.Aisles}
	}
	for range r.IntN(5) {
		lot, ended := string(rune('a'+r.IntN(5))), r.IntN(3) == 0
		span := schema.SpanRecord{Span: schema.Span{Lot: &lot, Ended: &ended}}
		if n := r.IntN(50); n > 0 {
			span.Bookings = []schema.BookedPots{{Grade: "florist", Pots: n}}
		}
		if r.IntN(4) > 0 {
			from, to := 1+r.IntN(in.Rows), 1+r.IntN(in.Rows)
			span.Span.FromRow, span.Span.ToRow = &from, &to
		}
		if counted := r.IntN(300) - 20; r.IntN(3) > 0 {
			span.Counted = &counted
		}
		records.Spans = append(records.Spans, span)
		if r.IntN(6) > 0 {
			records.Lots[lot] = schema.LotFact{PotMM: 100 + r.IntN(60), Judged: judged(r)}
		}
	}
	return records
}

func randomPots(r *rand.Rand, in schema.BedInput) []schema.PotRecord {
	pots := []schema.PotRecord{}
	for i := range r.IntN(12) {
		p := schema.PotRecord{ID: fmt.Sprintf("%04x", i), Pot: schema.Pot{
			Now: pot(r, in), First: schema.Authorship{Person: "ana"}, By: schema.Authorship{Person: "ilse"}, Versions: 1 + r.IntN(2),
		}}
		if r.IntN(5) == 0 {
			p.Voided = &schema.Voided{Why: "mistake"}
		}
		pots = append(pots, p)
	}
	return pots
}

func randomWalks(r *rand.Rand) []schema.PastWalk {
	verdicts := []string{"fine", "trouble", "open"}
	walks := []schema.PastWalk{}
	for days := 0; r.IntN(4) > 0; days += r.IntN(5) {
		walks = append(walks, schema.PastWalk{DaysAgo: days, Whole: r.IntN(2) == 0, Roots: verdicts[r.IntN(3)], Chlorosis: verdicts[r.IntN(3)]})
	}
	return walks
}

// randomBed ranges over the shapes that beds take and the holes that notes have: one to three lots, lots that left, ledgers
// that are late, pots without a place, traits not looked at, slips, equal sizes, and no pots at all.
func randomBed(r *rand.Rand) schema.BedInput {
	in := schema.BedInput{
		Bed: "bed", Rows: 1 + r.IntN(200), Across: 1 + r.IntN(14), LengthMM: 2000 + r.IntN(40000),
		EntryEnd: "door", FarEnd: "fan", Aisles: []string{"near", "far", "both", ""}[r.IntN(4)],
		Lots: []schema.LotOnBed{}, Pots: []schema.PotSeen{},
	}
	from := 1
	for i := range 1 + r.IntN(3) {
		to := from + r.IntN(max(1, in.Rows/2))
		lot := schema.LotOnBed{
			Lot: string(rune('a' + i)), FromRow: from, ToRow: to, PotsOnBed: (to - from + 1) * in.Across, PotMM: 150,
			Judged: judged(r),
		}
		if r.IntN(8) == 0 {
			lot.PotsOnBed = r.IntN(30)
		}
		in.Lots = append(in.Lots, lot)
		from = to + 1
	}
	if r.IntN(10) == 0 {
		in.Lots = append(in.Lots, in.Lots[0])
	}
	most := 70
	if r.IntN(4) == 0 {
		most = 8 // few pots take other paths
	}
	for i := range r.IntN(most) {
		in.Pots = append(in.Pots, schema.PotSeen{ID: fmt.Sprintf("%04x", r.IntN(1<<16)*100+i), At: int64(i), Now: pot(r, in), Checked: r.IntN(9) == 0})
	}
	return in
}

func judged(r *rand.Rand) schema.Judged {
	j := schema.DefaultJudged()
	if r.IntN(20) == 0 {
		return schema.Judged{} // nobody filled it in: nothing is known, and nothing breaks
	}
	if r.IntN(2) == 0 {
		j.HeadToleranceBP, j.BudToleranceBP = 500+r.IntN(1500), 1000+r.IntN(3000)
		j.ExpectedCVBP, j.WidthBP = 100+r.IntN(3000), 500+r.IntN(4000)
		j.MinPots = 3 + r.IntN(10)
		j.MaxPots = j.MinPots + r.IntN(80)
		j.TroubleOkBP = 100 + r.IntN(1000)
		j.TroubleBadBP = j.TroubleOkBP + r.IntN(3000)
	}
	return j
}

func pot(r *rand.Rand, in schema.BedInput) schema.Observation {
	o := schema.Observation{Lot: string(rune('a' + r.IntN(4)))}
	if r.IntN(6) > 0 {
		o.Lot = "a"
	}
	some := func(n int) *int { return &n }
	if r.IntN(8) > 0 {
		o.Place = &schema.Place{Row: 1 + r.IntN(in.Rows), Across: 1 + r.IntN(in.Across)}
	}
	if r.IntN(8) > 0 {
		head := 300 + int(30*r.NormFloat64())
		if r.IntN(30) == 0 {
			head = 30
		}
		o.HeadAMM = some(max(5, head))
		if r.IntN(3) > 0 {
			o.HeadBMM = some(max(5, head+int(10*r.NormFloat64())))
		}
	}
	if r.IntN(3) > 0 {
		o.Buds = some(max(0, 30+int(6*r.NormFloat64())))
	}
	if r.IntN(3) > 0 {
		o.RootCover, o.RootLife = some(r.IntN(6)), some(1+r.IntN(5))
		scratch := []string{"firm_white", "soft", "not_scratched"}[r.IntN(3)]
		if r.IntN(2) == 0 {
			o.Scratch = &scratch
		}
	}
	if r.IntN(3) > 0 {
		which := []string{"none", "none", "none", "young", "old", "whole"}[r.IntN(6)]
		o.Chlorosis = &which
		if r.IntN(2) == 0 {
			o.Severity = some(r.IntN(5))
		}
	}
	for _, flag := range []**bool{&o.SoftFlush, &o.LowerBrown, &o.Disease} {
		if r.IntN(2) == 0 {
			yes := r.IntN(5) == 0
			*flag = &yes
		}
	}
	return o
}
