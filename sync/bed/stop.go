package bed

import (
	"math"

	"bedwalk/schema"
	"bedwalk/sync/stats"
)

// stopOf says whether the walk has seen enough. Enough is: the headline's uniformity interval is as narrow as wanted, and
// Wald's tests of chlorosis and of root trouble have made their calls; a thing that nobody has checked does not hold the
// walk up. It is never "enough" below the least number of pots, and never "more" from the greatest on. The finite bed narrows the
// interval by sqrt(1-n/N), as in the plan.
func stopOf(in schema.BedInput, lots []*lotPots, s schema.BedScore, pools [2]pool) schema.Stop {
	j := mainLot(in).Judged
	stop := schema.Stop{Chlorosis: callOpen, Roots: callOpen}
	more := 0
	if s.LimitingTrait != "" {
		more = moreForUniformity(pools[traitIndex(s.LimitingTrait)], j, bedEnd(s.PotsOnBed, s.Seen), s.Seen)
	} else if s.Traits[0].N+s.Traits[1].N > 0 || s.Chlorosis.N+s.Rot.N == 0 {
		more = max(1, HowMany(in, nil)-s.Seen)
	}
	for _, test := range []struct {
		share schema.Share
		word  *string
	}{{s.Chlorosis, &stop.Chlorosis}, {s.Rot, &stop.Roots}} {
		word, further := call(test.share, j)
		*test.word = word
		more = max(more, further)
	}
	switch {
	case s.Seen >= j.MaxPots || (s.PotsOnBed > 0 && s.Seen >= s.PotsOnBed):
		stop.Verdict = "maximum"
		if more == 0 {
			stop.Verdict = "enough"
		}
	case s.Seen < j.MinPots:
		stop.Verdict, stop.More = "minimum", max(more, j.MinPots-s.Seen)
	case more > 0:
		stop.Verdict, stop.More = "more", more
	default:
		stop.Verdict = "enough"
	}
	stop.More = min(stop.More, max(0, j.MaxPots-s.Seen))
	if s.PotsOnBed > 0 {
		stop.More = min(stop.More, max(0, s.PotsOnBed-s.Seen))
	}
	return stop
}

// The verdicts of the sequential tests.
const (
	callFine    = "fine"
	callTrouble = "trouble"
	callOpen    = "open"
)

// call returns the verdict of Wald's test on a share and about how many more pots it needs: none once it has decided, none
// while nobody checked, none where the profile's limits make no test.
func call(s schema.Share, j schema.Judged) (word string, more int) {
	// The tests share the walk's least number but not its most: the walk itself ends there.
	test, err := stats.NewSPRT(fraction(j.TroubleOkBP), fraction(j.TroubleBadBP), fraction(j.RiskFalseBP), fraction(j.RiskMissBP), j.MinPots, 0)
	if err != nil || s.N == 0 {
		return callOpen, 0
	}
	switch test.Decide(s.N, s.X) {
	case stats.CallLow:
		return callFine, 0
	case stats.CallHigh:
		return callTrouble, 0
	}
	// A share that runs between the lines for ever has no number of its own: one more pot, and the most pots end it.
	more, known := test.MorePots(s.N, s.X)
	if !known {
		more = 1
	}
	return callOpen, more
}

// moreForUniformity looks at least one pot ahead, so that a walk at its greatest number of pots knows whether it reached its aim.
func moreForUniformity(p pool, j schema.Judged, end, seen int) int {
	if !p.cv.CV.Known || p.cv.CV.X == 0 {
		return 0
	}
	now := p.measured()
	return halved(max(now, 3), now+max(1, j.MaxPots-seen), func(n int) bool {
		w := p.widthAt(n, end)
		return w.Known && w.X <= fraction(j.WidthBP)
	}) - now
}

// measured is the number of values in the lots whose spread is known.
func (p pool) measured() int {
	n := 0
	for _, s := range p.strata {
		if len(s.X) > 1 {
			n += len(s.X)
		}
	}
	return n
}

// widthAt is how wide the joined interval would be with n values, further ones coming from the lots in proportion to what stands,
// each lot as uneven as it looks now; the finite bed narrows it by sqrt(1-n/N). Of one lot it is stats.UniformityWidth.
func (p pool) widthAt(n, end int) stats.Maybe {
	now, total := p.measured(), 0.0
	for _, s := range p.strata {
		if len(s.X) > 1 {
			total += s.Weight
		}
	}
	var parts []stats.Estimate
	var weights []float64
	for _, s := range p.strata {
		cv := stats.SpreadOf(s.X, level).CV
		if len(s.X) < 2 || !cv.Known || cv.X == 0 {
			continue
		}
		at := len(s.X) + int(float64(n-now)*s.Weight/total)
		parts = append(parts, stats.UniformityAt(cv.X, s.Tolerance, at, level))
		weights = append(weights, s.Weight/total)
	}
	joined := stats.JoinByMOVER(parts, weights)
	if !joined.Interval.Known {
		return stats.Maybe{}
	}
	unseen := 1.0
	if end > 0 {
		unseen = math.Max(0, 1-float64(n)/float64(end))
	}
	return stats.Sure((joined.Interval.High - joined.Interval.Low) * math.Sqrt(unseen))
}

// halved is the first n from least to most that is good, most when none is; once good, n stays so.
func halved(least, most int, good func(n int) bool) int {
	for least < most {
		middle := (least + most) / 2
		if good(middle) {
			most = middle
		} else {
			least = middle + 1
		}
	}
	return least
}

// needWithin is stats.NeedForUniformity between two numbers of pots: the fewest, from least (3 in any case) to most, whose
// uniformity interval is no wider than width; most when none is. It halves the range, which the interval allows because from
// three pots on it only narrows; the bounds keep a phone from trying thousands of sizes after each pot.
func needWithin(cv, tolerance, width float64, end, least, most int) int {
	return halved(max(least, 3), most, func(n int) bool {
		w := stats.UniformityWidth(cv, tolerance, n, end, level)
		return w.Known && w.X <= width
	})
}

// HowMany is how many pots to plan a walk with: the number that brings the uniformity interval to the profile's wanted
// width, from the CV of the trait that held the bed back on its last walk, or from the profile's expected CV of head size on
// a first walk (nil) or after one with too few pots. One pot more for each lot beyond the first, since each lot's mean costs
// a degree of freedom. Never below the profile's least number nor above its most, nor above the pots on the bed.
func HowMany(in schema.BedInput, last *schema.BedScore) int {
	j := mainLot(in).Judged
	cv, tolerance := fraction(j.ExpectedCVBP), fraction(j.HeadToleranceBP)
	if last != nil {
		for _, t := range last.Traits {
			if t.Trait == last.LimitingTrait && t.CV.Known && t.CV.Value > 0 && t.N >= Fewest {
				cv, tolerance = t.CV.Value, t.Tolerance
			}
		}
	}
	lots := lotsOf(schema.BedInput{Lots: in.Lots})
	potsOnBed := sumPotsOnBed(lots)
	n := needWithin(cv, tolerance, fraction(j.WidthBP), potsOnBed, 3, max(3, j.MaxPots)) + max(0, len(lots)-1)
	n = min(max(n, j.MinPots), max(j.MaxPots, 1))
	if potsOnBed > 0 {
		n = min(n, potsOnBed)
	}
	return n
}
