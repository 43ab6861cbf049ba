package supply

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"bedwalk/schema"
)

// Take is a taking of cuttings: so many, of so many stock plants.
type Take struct{ Cuttings, Plants int }

// CuttingsAhead is how many cuttings a stock plant gives, and how many a number of plants would. Low and High hold them with the level asked
// for. Nothing is known of how takes differ after a single one, nor after takes that all gave the same to the cutting: HasInterval is false.
type CuttingsAhead struct {
	PerPlant, Expected, Low, High float64
	HasInterval                   bool
}

// Cuttings is the ratio of cuttings to plants over all takes, through the origin, with a variance in proportion to the plants (Cochran 1977,
// Sampling Techniques, ch. 6), and what a further take of plants would give. It is false where no take was of any plants.
func Cuttings(takes []Take, plants int, level float64) (ahead CuttingsAhead, known bool) {
	cuttings, of, n := 0, 0, 0
	for _, t := range takes {
		if t.Plants > 0 {
			cuttings, of, n = cuttings+t.Cuttings, of+t.Plants, n+1
		}
	}
	if n == 0 {
		return ahead, false
	}
	p, r := float64(plants), float64(cuttings)/float64(of)
	ahead = CuttingsAhead{PerPlant: r, Expected: r * p}
	if n == 1 {
		return ahead, true
	}
	var squares float64
	for _, t := range takes {
		if t.Plants > 0 {
			off := float64(t.Cuttings) - r*float64(t.Plants)
			squares += off * off / float64(t.Plants)
		}
	}
	if squares < 1e-9 {
		return ahead, true
	}
	df := float64(n - 1)
	half := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}.Quantile((1+level)/2) * math.Sqrt(squares/df) * math.Sqrt(p+p*p/float64(of))
	ahead.Low, ahead.High, ahead.HasInterval = max(0, ahead.Expected-half), ahead.Expected+half, true
	return ahead, true
}

// PlantsOf counts a lot's ledger in plants, each of them in a pot (see schema.LotPlants). What a move carries between beds of the lot is neither
// From nor On.
func PlantsOf(stock *schema.Stock, each int) schema.LotPlants {
	sum := schema.LotPlants{Each: each}
	if stock == nil {
		return sum
	}
	moved := map[string]int{}
	for _, line := range stock.Lines {
		switch plants := line.Change * each; {
		case line.Voided != nil || line.Counted != nil:
		case isMove[line.Reason]:
			moved[line.By.Entry] += plants
		case plants > 0:
			sum.In += plants
		default:
			sum.Out -= plants
		}
	}
	for _, plants := range moved {
		sum.From, sum.On = sum.From+max(0, plants), sum.On+max(0, -plants)
	}
	sum.Here = stock.Pots * each
	sum.Recounted = sum.Here - (sum.In + sum.From - sum.Out - sum.On)
	return sum
}

// isMove are the reasons of the lines that a move writes.
var isMove = map[string]bool{"moved": true, "step_up": true, "split": true, "merged": true}

// Astray are the moves among a lot's lines that do not add up in plants, each with what appeared (above 0) or vanished: of counts the ledgers
// of all lots, by the plants in a pot of each. A struck-out line is none.
func Astray(lot string, stocks map[string]*schema.Stock, each func(lot string) int) (astray []schema.AstrayMove) {
	place := map[string]int{}
	for _, line := range stocks[lot].Lines {
		if _, known := place[line.By.Entry]; !known && isMove[line.Reason] && line.Voided == nil {
			place[line.By.Entry] = len(astray)
			astray = append(astray, schema.AstrayMove{Entry: line.By.Entry, Stamp: line.By.Stamp})
		}
	}
	if len(astray) == 0 {
		return nil
	}
	for id, stock := range stocks {
		for _, line := range stock.Lines {
			if i, ours := place[line.By.Entry]; ours && line.Voided == nil {
				astray[i].Plants += line.Change * each(id)
			}
		}
	}
	kept := astray[:0]
	for _, move := range astray {
		if move.Plants != 0 {
			kept = append(kept, move)
		}
	}
	return kept
}
