package bed

import (
	"math"
	"sort"

	"bedwalk/schema"
	"bedwalk/sync/loss"
	"bedwalk/sync/stats"
)

// keeps is the share of the lot's pots that is left at shipping, in a good or a bad season: the one it was given, else what its crop is expected
// to keep.
func (l *lotPots) keeps() loss.Share {
	share := loss.Written(1 - fraction(l.judged.ExpectedLossBP))
	if l.kept != nil {
		share = loss.Share{Mean: l.kept.Mean, Differ: l.kept.Differ}
	}
	return share.InAnySeason(float64(l.judged.SharingSDMilli) / 1000)
}

// lossBasis is whose word that share rests on.
func (l *lotPots) lossBasis() string {
	if l.kept == nil {
		return loss.OfCrop
	}
	return l.kept.Basis
}

// worseOf is a share that two lots have at least: nobody knows from which of them the pots will come.
func worseOf(a, b loss.Share) loss.Share {
	return loss.Share{Mean: min(a.Mean, b.Mean), Differ: max(a.Differ, b.Differ)}
}

// keptLimits hold the share that is left with the level of all intervals; unknown where it counts as sure.
func keptLimits(share loss.Share) *schema.Interval {
	if share.IsSure() {
		return nil
	}
	low, high := share.Limits(level)
	return &schema.Interval{Low: low, High: high, Known: true}
}

// inGrade is what walks say of how many pots are in a grade: what each stratum showed, the limit of them together (stats.LeastInStrata), how many
// have left since, each taken for one in grade, and how many stand there now.
type inGrade struct {
	strata            []stats.Stratum
	least, left, here int
}

// sure is how many are in grade now, over at most PromiseRisk of walks.
func (g inGrade) sure() int { return max(0, min(g.least-g.left, g.here)) }

// atShipping is how many of them are left at shipping, over at most PromiseRisk of walks and of what lots lose: the greatest number for which the
// chance that the walk said too much and the chance that more is lost come to no more together. How sure the walk is of each number is the chance of
// what it showed, or of more, under that number: a confidence distribution, of which the limit is the 5 % point (Cox 1958, Annals of Mathematical
// Statistics 29:357; Schweder and Hjort 2002, Scandinavian Journal of Statistics 29:309). Where the loss counts as sure this is the limit less the loss.
func (g inGrade) atShipping(share loss.Share) int {
	sure := g.sure()
	if share.IsSure() {
		// A rounding error's room is given, no more: 969.9999999999 pots are 970, 999.96 are 999.
		return int(math.Floor(float64(sure)*share.Mean + 1e-9))
	}
	chance := g.fewer()
	shares := share.Spread(float64(sure))
	risk := func(pots int) (risk float64) {
		for _, s := range shares {
			// So many in grade now leave as many as asked, rounded down: to the nearest, a single pot would be promised that is lost in one case of ten.
			wanted, one := math.Ceil(float64(pots)/s-1e-9), 1.0
			// Where next to nothing is left the number wanted is greater than any that a whole number holds.
			if wanted <= float64(g.here) {
				one = chance(int(wanted))
			}
			risk += one / float64(len(shares))
		}
		return risk
	}
	low, high := 0, sure
	for low < high {
		if mid := (low + high + 1) / 2; risk(mid) <= PromiseRisk+1e-12 {
			low = mid
		} else {
			high = mid - 1
		}
	}
	return low
}

// fewer is the chance that fewer than a number of pots are in grade now, by what the walks showed. Of one stratum it is exact. Of several it is that
// of their sum, each by itself and as much wider as their limit lies lower than that of the sum: TestCoverageOfPromisesAddedUp and
// TestCoverageOfAPromiseOfAWholeBedAndAPart measure what comes of it.
func (g inGrade) fewer() func(pots int) float64 {
	var sampled []stats.Stratum
	seen, most := 0, 0
	for _, s := range g.strata {
		if s.N > 0 {
			sampled = append(sampled, s)
			seen, most = seen+s.X, most+s.Bed-s.N+s.X
		}
	}
	upTo, wider := upToOf(sampled), 1.0
	if len(sampled) > 1 {
		if one := seen + sort.Search(most-seen, func(beyond int) bool { return upTo(beyond) > PromiseRisk }); one < most && g.least < one {
			wider = float64(most-g.least) / float64(most-one)
		}
	}
	return func(pots int) float64 {
		marked := most - int(math.Floor(float64(most-(pots-1+g.left))/wider))
		switch {
		case pots > g.here || marked >= most:
			return 1
		case marked < seen:
			return 0
		}
		return upTo(marked - seen)
	}
}

// upToOf is the chance that at most so many pots are in grade beyond those that were seen to be, of all strata together.
func upToOf(sampled []stats.Stratum) func(beyond int) float64 {
	if len(sampled) == 1 || len(sampled) > mostSummed {
		var s stats.Stratum
		for _, one := range sampled {
			s = stats.Stratum{X: s.X + one.X, N: s.N + one.N, Bed: s.Bed + one.Bed}
		}
		known := map[int]float64{}
		return func(beyond int) float64 {
			p, ok := known[beyond]
			if !ok {
				p = stats.HypergeometricAtLeast(s.X, s.Bed, s.X+beyond, s.N)
				known[beyond] = p
			}
			return p
		}
	}
	beyond := 0
	for _, s := range sampled {
		beyond += s.Bed - s.N
	}
	step := 1 + beyond/mostSteps
	upTo := make([]float64, 1, 1+beyond/step)
	upTo[0] = 1
	for _, s := range sampled {
		upTo = sum(upTo, masses(s, step))
	}
	for i := 1; i < len(upTo); i++ {
		upTo[i] += upTo[i-1]
	}
	return func(beyond int) float64 { return upTo[min(beyond/step, len(upTo)-1)] }
}

// mostSteps is in how many steps the pots that nobody looked at are counted; more of them are rounded down.
const mostSteps = 2000

// mostSummed strata are added up by what each showed; more count as one walk over all of them, and their limit is lower by itself (stats.LeastInStrata).
const mostSummed = 6

// masses are the chances that so many steps of a stratum's pots are in grade beyond those that were seen to be.
func masses(s stats.Stratum, step int) []float64 {
	beyond := s.Bed - s.N
	all := make([]float64, beyond/step+1)
	before := 0.0
	for i := range all {
		upTo := 1.0
		if last := i*step + step - 1; last < beyond {
			upTo = stats.HypergeometricAtLeast(s.X, s.Bed, s.X+last, s.N)
		}
		if all[i], before = upTo-before, upTo; upTo > 1-1e-9 {
			return all[:i+1]
		}
	}
	return all
}

// sum is the distribution of the sum of two numbers, in place of the first, which has room for it.
func sum(a, b []float64) []float64 {
	n := len(a)
	a = a[:n+len(b)-1]
	for k := len(a) - 1; k >= 0; k-- {
		all := 0.0
		for j := max(0, k-n+1); j < min(len(b), k+1); j++ {
			all += a[k-j] * b[j]
		}
		a[k] = all
	}
	return a
}
