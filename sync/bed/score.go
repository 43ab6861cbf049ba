package bed

import (
	"math"
	"slices"

	"bedwalk/schema"
	"bedwalk/sync/stats"

	"gonum.org/v1/gonum/stat/distuv"
)

// Score is every measure of one bed from the pots of one walk: what Measure gives, with the findings of where and what, and
// each lot's grade-out. It is pure: the same input gives the same bytes, permutation tests included (they are seeded from the
// bed and its pots).
func Score(in schema.BedInput) schema.BedScore {
	s, lots := measure(in)
	for i, l := range lots {
		s.Lots[i].GradeOut = gradeOut(l)
	}
	s.Together = together(lots)
	s.Findings = findings(in, lots, s)
	s.PatchM = patchSeen(in, lots)
	return s
}

// WithPromises is a score of a bed whose bookings or losses to come have changed since it was made: the same but for what may be promised. in is what
// Score would be given.
func WithPromises(s schema.BedScore, in schema.BedInput) schema.BedScore {
	lots := lotsOf(in)
	s.Lots = slices.Clone(s.Lots)
	for _, l := range lots {
		i := slices.IndexFunc(s.Lots, func(one schema.LotScore) bool { return one.Lot == l.lot })
		if i >= 0 && s.Lots[i].GradeOut != nil {
			out := *s.Lots[i].GradeOut
			out.Promise = promiseOf([]*lotPots{l}, l.rules(), l.bookings)
			s.Lots[i].GradeOut = &out
		}
	}
	s.Together = together(lots)
	return s
}

// Measure is the part of Score that a phone computes offline and that a trend over many walks needs: traits, lots, shares,
// slips, the share between lots, the edge, the stretch left out and the stop rule. It names no findings and no grades.
func Measure(in schema.BedInput) schema.BedScore {
	s, _ := measure(in)
	return s
}

func measure(in schema.BedInput) (schema.BedScore, []*lotPots) {
	lots := lotsOf(in)
	s := schema.BedScore{
		Seen: len(in.Pots), PotsOnBed: sumPotsOnBed(lots), Lots: make([]schema.LotScore, len(lots)), Findings: []schema.Finding{},
	}
	for i, l := range lots {
		s.Lots[i] = scoreLot(l, len(lots))
	}
	pools := [2]pool{poolOf(lots, 0, nil), poolOf(lots, 1, nil)}
	s.Traits = []schema.TraitScore{
		bedTrait(Head, lots, s.Lots, pools[0], s.PotsOnBed), bedTrait(Buds, lots, s.Lots, pools[1], s.PotsOnBed),
	}
	if held := headline(s.Traits); held >= 0 {
		s.Uniformity, s.LimitingTrait = s.Traits[held].Uniformity, s.Traits[held].Trait
		s.WithoutSlips = withoutSlips(lots, s.Lots, held)
	}
	s.BetweenLots = betweenLots(lots)
	scoreBedShares(&s, lots)
	s.Edge, s.EdgeBed = edgeOf(in)
	s.Unwalked = unwalkedOf(in)
	// A walk on which nothing was measured is not a walk with few pots.
	measured := max(s.Traits[0].N, s.Traits[1].N)
	s.TooFewPots = measured < Fewest && (measured > 0 || s.Seen < Fewest)
	s.Stop = stopOf(in, lots, s, pools)
	return s, lots
}

// headline returns the index of the weaker trait: the lower expected uniformity among the traits checked on Fewest pots,
// or among all while none was. Head size goes first where both are equal; -1 when nothing is known.
func headline(traits []schema.TraitScore) int {
	enough := false
	for _, t := range traits {
		enough = enough || (t.Uniformity.Known && t.N >= Fewest)
	}
	held := -1
	for i, t := range traits {
		if !t.Uniformity.Known || (enough && t.N < Fewest) {
			continue
		}
		if held < 0 || t.Uniformity.Value < traits[held].Uniformity.Value {
			held = i
		}
	}
	return held
}

// pool is a trait's spread within the lots of a bed.
type pool struct {
	// cv is pooled by degrees of freedom: it is shown as the bed's spread, and the next walk is planned by it.
	cv stats.Pooled
	// tolerance is the smallest of the lots'.
	tolerance  float64
	uniformity stats.Estimate
	// strata are the lots with values.
	strata []stats.LotValues
}

// poolOf leaves out the values that leave lists, by lot and index among its values.
func poolOf(lots []*lotPots, trait int, leave func(lot, value int) bool) pool {
	var p pool
	var plain [][]float64
	weights, _ := strataWeights(lots, trait)
	for i, l := range lots {
		x := l.values[trait].x
		if leave != nil {
			var kept []float64
			for j, v := range x {
				if !leave(i, j) {
					kept = append(kept, v)
				}
			}
			x = kept
		}
		if len(x) == 0 {
			continue
		}
		own := toleranceOf(l.judged, trait)
		if own > 0 && (p.tolerance == 0 || own < p.tolerance) {
			p.tolerance = own
		}
		plain = append(plain, x)
		p.strata = append(p.strata, stats.LotValues{X: x, Tolerance: own, Weight: weights[i]})
	}
	p.cv = stats.PoolWithin(plain, level)
	p.uniformity = stats.JoinedUniformity(p.strata, level)
	return p
}

func toleranceOf(j schema.Judged, trait int) float64 {
	if trait == 0 {
		return fraction(j.HeadToleranceBP)
	}
	return fraction(j.BudToleranceBP)
}

// bedTrait judges a trait of the bed within its lots: uniformity the lots' shares weighted by their pots on the bed (stats.JoinedUniformity),
// CV pooled by degrees of freedom, SD the square root of
// the mean square within, the counted share of pots within their own lot's tolerance.
func bedTrait(name string, lots []*lotPots, scores []schema.LotScore, p pool, potsOnBed int) schema.TraitScore {
	t := schema.TraitScore{Trait: name, Tolerance: p.tolerance}
	trait, filled, inside, counted := traitIndex(name), 0, 0, 0
	for i, l := range lots {
		one := scores[i].Traits[trait]
		if len(l.values[trait].x) > 0 {
			filled++
			t.Mean, t.SD = one.Mean, one.SD
		}
		t.N += one.N
		inside += one.Counted.X
		counted += one.Counted.N
	}
	if filled > 1 {
		t.Mean, t.SD = stratifiedMean(lots, trait), pooledSD(lots, trait)
	}
	t.CV = schema.Estimate{Value: p.cv.Corrected.X, Interval: interval(p.cv.Interval), N: t.N, Known: p.cv.Corrected.Known}
	t.Uniformity = estimate(p.uniformity)
	t.Counted = ShareOf(inside, counted, potsOnBed)
	t.Disagree = anyDisagrees(scores, trait)
	t.Thin = thinLots(lots, trait, filled)
	return t
}

// anyDisagrees is true when the sizes of some lot are not distributed as the expected share assumes.
func anyDisagrees(scores []schema.LotScore, trait int) bool {
	for _, s := range scores {
		if s.Traits[trait].Disagree {
			return true
		}
	}
	return false
}

// thinLots are the lots of a mixed bed with one to four pots measured: the interval knows little of their spread, and nothing
// when there is one.
func thinLots(lots []*lotPots, trait, filled int) []string {
	var thin []string
	for _, l := range lots {
		if n := len(l.values[trait].x); filled > 1 && n > 0 && n < Fewest {
			thin = append(thin, l.lot)
		}
	}
	return thin
}

func traitIndex(name string) int {
	if name == Buds {
		return 1
	}
	return 0
}

// stratifiedMean is the mean of a mixed bed, each lot's mean weighted by its pots on the bed (by its pots seen where a lot's
// number on the bed is not known), with the t interval of a stratified mean (Cochran 1977, eq. 5.12) on sum(n_h - 1) degrees of
// freedom. The interval is unknown when a lot has one value only.
func stratifiedMean(lots []*lotPots, trait int) schema.Estimate {
	weights, total := strataWeights(lots, trait)
	var mean, variance float64
	n, df, spreadKnown := 0, 0, true
	for i, l := range lots {
		x := l.values[trait].x
		if len(x) == 0 {
			continue
		}
		s := stats.Summarize(x)
		w := weights[i] / total
		mean += float64(w * s.Mean.X)
		n += s.N
		df += s.N - 1
		if !s.SD.Known {
			spreadKnown = false
			continue
		}
		seen := 1.0
		if end := bedEnd(l.potsOnBed, s.N); end > 0 {
			seen = 1 - float64(s.N)/float64(end)
		}
		variance += float64(float64(w*w)*float64(s.SD.X*s.SD.X)) * seen / float64(s.N)
	}
	e := schema.Estimate{Value: mean, N: n, Known: n > 0}
	if spreadKnown && df > 0 {
		half := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(df)}.Quantile((1+level)/2) * math.Sqrt(variance)
		e.Interval = schema.Interval{Low: mean - half, High: mean + half, Known: true}
	}
	return e
}

func strataWeights(lots []*lotPots, trait int) (weights []float64, total float64) {
	countKnown := true
	for _, l := range lots {
		if len(l.values[trait].x) > 0 && l.potsOnBed <= 0 {
			countKnown = false
		}
	}
	weights = make([]float64, len(lots))
	for i, l := range lots {
		n := len(l.values[trait].x)
		switch {
		case n == 0:
		case countKnown:
			weights[i] = float64(l.potsOnBed)
		default:
			weights[i] = float64(n)
		}
		total += weights[i]
	}
	return weights, total
}

func pooledSD(lots []*lotPots, trait int) float64 {
	squares, df := 0.0, 0
	for _, l := range lots {
		s := stats.Summarize(l.values[trait].x)
		if s.SD.Known {
			squares += float64(float64(s.N-1) * float64(s.SD.X*s.SD.X))
			df += s.N - 1
		}
	}
	if df == 0 {
		return 0
	}
	return math.Sqrt(squares / float64(df))
}

// betweenLots is the share of the spread in head size that lies between the lots, by one-way random-effects variance
// components (ANOVA, unequal lots; see stats.VarianceComponents), a negative component shown as 0. Known with two lots and
// values in them; its interval is cut to 0..1.
func betweenLots(lots []*lotPots) schema.Estimate {
	var heads [][]float64
	for _, l := range lots {
		heads = append(heads, l.values[0].x)
	}
	c := stats.VarianceComponents(heads, level)
	e := schema.Estimate{Value: c.ShareBetween.X, N: c.N, Known: c.ShareBetween.Known}
	if e.Known && c.ICCInterval.Known {
		low, high := math.Max(0, c.ICCInterval.Low), math.Max(0, math.Min(1, c.ICCInterval.High))
		e.Interval = schema.Interval{Low: low, High: high, Known: true}
	}
	return e
}

// withoutSlips is the headline's uniformity without the values that look mistyped, so that a reader sees how much they
// matter; unknown when there are none.
func withoutSlips(lots []*lotPots, scores []schema.LotScore, trait int) schema.Estimate {
	type pot struct{ lot, value int }
	left := map[pot]bool{}
	for i, l := range lots {
		odd := map[string]bool{}
		for _, slip := range scores[i].Slips {
			if traitIndex(slip.Trait) == trait {
				odd[slip.Pot] = true
			}
		}
		for j, at := range l.values[trait].pots {
			if len(odd) > 0 && odd[l.pots[at].ID] {
				left[pot{i, j}] = true
			}
		}
	}
	if len(left) == 0 {
		return schema.Estimate{}
	}
	return estimate(poolOf(lots, trait, func(lot, value int) bool { return left[pot{lot, value}] }).uniformity)
}
