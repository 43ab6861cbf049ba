package stats

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// Plan is a single sampling plan: look at N pots, take the lot when at most Accept are bad.
type Plan struct {
	Letter string `json:"letter,omitempty"`
	N      int    `json:"n"`
	Accept int    `json:"accept"`
	Reject int    `json:"reject"`
	All    bool   `json:"all"` // N reaches the lot: look at every pot
}

// InspectionLevel is one of the three general inspection levels of MIL-STD-105E; II is the usual one.
type InspectionLevel int

// The general inspection levels.
const (
	LevelI InspectionLevel = iota + 1
	LevelII
	LevelIII
)

// lotTops are the largest lots of the rows of table I; a lot above the last one falls into one more row.
var lotTops = []int{8, 15, 25, 50, 90, 150, 280, 500, 1200, 3200, 10000, 35000, 150000, 500000}

// The letters of table I by row. Level II was read in a public transcription; I and III are recalled from memory.
var lotLetters = map[InspectionLevel]string{
	LevelI:   "AABCCDEFGHJKLMN",
	LevelII:  "ABCDEFGHJKLMNPQ",
	LevelIII: "BCDEFGHJKLMNPQR",
}

// acceptanceLevels are the AQLs (per cent) of the columns kept here.
var acceptanceLevels = []float64{1, 1.5, 2.5, 4, 6.5, 10}

const planLetters = "ABCDEFGHJKLMNPQR"

// letterSizes and acceptNumbers restate table II-A, single sampling, normal inspection (MIL-STD-105E 1989, public domain), with
// its arrows followed. Along a diagonal the acceptance number is the same, so a plan is found by where its diagonal lies.
var (
	letterSizes   = []int{2, 3, 5, 8, 13, 20, 32, 50, 80, 125, 200, 315, 500, 800, 1250, 2000}
	acceptNumbers = []int{1, 2, 3, 5, 7, 10, 14, 21}
	// zeroLetter is, for each AQL, the place among the letters of the plan that accepts none.
	zeroLetter = []int{4, 3, 2, 1, 0, -1}
)

// AcceptancePlan finds the plan for a lot of pots (2 or more) and an AQL in per cent (1, 1.5, 2.5, 4, 6.5 or 10).
func AcceptancePlan(lot int, aql float64, level InspectionLevel) (Plan, error) {
	column := slices.Index(acceptanceLevels, aql)
	letters, ok := lotLetters[level]
	if lot < 2 || column < 0 || !ok {
		return Plan{}, fmt.Errorf("%w: the tables hold lots from 2, AQL 1, 1.5, 2.5, 4, 6.5 or 10 and levels I to III (got %d, %g, %d)", ErrInput, lot, aql, level)
	}
	row, _ := slices.BinarySearch(lotTops, lot) // a lot equal to a row's top is found there, and belongs there
	p := tablePlan(slices.Index([]byte(planLetters), letters[row]), column)
	p.Letter = letters[row : row+1]
	p.All = p.N >= lot
	return p, nil
}

// tablePlan follows the arrows: up to two letters beyond the plan accepting none there is none of its own, and beyond the one
// accepting 21 the arrow points back to it.
func tablePlan(letter, column int) Plan {
	zero := zeroLetter[column]
	away := letter - zero
	accept := 0
	switch {
	case away <= 0 && zero >= 0:
		letter = zero
	case away == 1 && zero >= 0:
		letter = zero // the arrow above the first plan that accepts one points up
	case away <= 3:
		letter, accept = zero+3, 1
	default:
		k := min(away-3, len(acceptNumbers)-1)
		letter, accept = zero+3+k, acceptNumbers[k]
	}
	return Plan{N: letterSizes[letter], Accept: accept, Reject: accept + 1}
}

// PassBinomial is the chance that a plan takes a lot with share p bad when the lot is large: P(bad <= Accept), binomial.
func (p Plan) PassBinomial(share float64) Maybe {
	if p.N < 1 || !(share >= 0 && share <= 1) {
		return Maybe{}
	}
	if share == 0 || share == 1 {
		return Sure(boolTo(share == 0 || p.Accept >= p.N))
	}
	return Sure(distuv.Binomial{N: float64(p.N), P: share}.CDF(float64(p.Accept)))
}

// PassPoisson is the same with Poisson counts of flaws, mean n share.
func (p Plan) PassPoisson(share float64) Maybe {
	if p.N < 1 || !(share >= 0) {
		return Maybe{}
	}
	if share == 0 {
		return Sure(1)
	}
	return Sure(distuv.Poisson{Lambda: float64(p.N) * share}.CDF(float64(p.Accept)))
}

// PassLot is the chance of taking one lot of the given size with share bad, drawn without return; the number bad is rounded to
// whole pots. Unknown when the plan is larger than the lot.
func (p Plan) PassLot(share float64, lot int) Maybe {
	if p.N < 1 || p.N > lot || !(share >= 0 && share <= 1) {
		return Maybe{}
	}
	return Sure(HypergeometricUpTo(p.Accept, lot, int(math.RoundToEven(share*float64(lot))), p.N))
}

// OutgoingQuality is the average share bad after bad lots were looked through in full: share Pa (lot-n)/lot.
func (p Plan) OutgoingQuality(share float64, lot int) Maybe {
	pa := p.PassBinomial(share)
	if !pa.Known || p.N > lot {
		return Maybe{}
	}
	return Sure(share * pa.X * float64(lot-p.N) / float64(lot))
}

// ShareAtPass is the share bad at which the plan takes a lot with chance pa: the Beta(c+1, n-c) quantile of 1-pa. Unknown for
// pa outside (0, 1) or a plan that takes everything.
func (p Plan) ShareAtPass(pa float64) Maybe {
	if !goodLevel(pa) || p.Accept >= p.N || p.Accept < 0 {
		return Maybe{}
	}
	return Sure(distuv.Beta{Alpha: float64(p.Accept + 1), Beta: float64(p.N - p.Accept)}.Quantile(1 - pa))
}

// FindPlan is the smallest plan that takes lots with share good at least with chance passGood and lots with share bad at most
// with chance passBad (binomial). It needs 0 < good < bad < 1 and passGood > passBad.
func FindPlan(good, passGood, bad, passBad float64) (Plan, error) {
	if !(good > 0 && good < bad && bad < 1 && passBad > 0 && passBad < passGood && passGood < 1) {
		return Plan{}, badPlan("need 0 < good < bad < 1 and 0 < chance at bad < chance at good < 1")
	}
	n := 1
	for c := 0; n < searchLimit; c++ {
		n = max(n, c+1)
		for n < searchLimit && (Plan{N: n, Accept: c}).PassBinomial(bad).X > passBad {
			n++
		}
		if p := (Plan{N: n, Accept: c, Reject: c + 1}); p.PassBinomial(good).X >= passGood {
			return p, nil
		}
	}
	return Plan{}, badPlan("more than %d pots would be needed", searchLimit)
}

// PassByMeasure is the chance that a lot with share bad is taken by a plan on one measured trait with one limit and unknown
// SD: take when (mean - limit)/s >= k for n pots; P(T_(n-1)(z sqrt n) >= k sqrt n), z the normal quantile of 1-share (Owen
// 1968). Unknown for n < 2.
func PassByMeasure(n int, k, share float64) Maybe {
	if n < 2 || !goodLevel(share) {
		return Maybe{}
	}
	root := math.Sqrt(float64(n))
	return Sure(1 - noncentralT(k*root, float64(n-1), stdNormal.Quantile(1-share)*root))
}

func boolTo(b bool) float64 {
	if b {
		return 1
	}
	return 0
}
