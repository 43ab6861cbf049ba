package bed

import (
	"bedwalk/schema"
	"bedwalk/sync/stats"
)

// scoreLot returns all measures of one of so many lots. Shares count only pots on which the thing was looked at.
func scoreLot(l *lotPots, lots int) schema.LotScore {
	s := schema.LotScore{
		Lot: l.lot, Seen: len(l.pots), PotsOnBed: l.potsOnBed,
		Traits:    []schema.TraitScore{lotTrait(Head, l), lotTrait(Buds, l)},
		RootCover: make([]int, 6), RootLife: make([]int, 5),
		Slips: slipsOf(l, lots),
	}
	for _, p := range l.pots {
		if c := p.Now.RootCover; c != nil && *c >= 0 && *c <= 5 {
			s.RootCover[*c]++
		}
		if v := p.Now.RootLife; v != nil && *v >= 1 && *v <= 5 {
			s.RootLife[*v-1]++
		}
		if p.Now.SoftFlush != nil && *p.Now.SoftFlush {
			s.SoftFlush++
		}
	}
	c := countsOf(l)
	s.Rot = ShareOf(c[rot].x, c[rot].n, l.potsOnBed)
	s.ThinRoots = ShareOf(c[thin].x, c[thin].n, l.potsOnBed)
	s.Chlorosis = ShareOf(c[chlorosis].x, c[chlorosis].n, l.potsOnBed)
	s.LowerBrown = ShareOf(c[lowerBrown].x, c[lowerBrown].n, l.potsOnBed)
	s.Disease = ShareOf(c[disease].x, c[disease].n, l.potsOnBed)
	s.Severity, s.SeverityN = severityOf(l)
	return s
}

func lotTrait(name string, l *lotPots) schema.TraitScore {
	trait := traitIndex(name)
	x, tolerance := l.values[trait].x, toleranceOf(l.judged, trait)
	end := bedEnd(l.potsOnBed, len(x))
	u := stats.UniformityOf(x, tolerance, end, level)
	return schema.TraitScore{
		Trait: name, N: len(x), Tolerance: tolerance,
		Mean: estimate(stats.MeanInterval(x, end, level)), SD: u.Spread.SD.X,
		CV: schema.Estimate{
			Value: u.Spread.Corrected.X, Interval: interval(u.Spread.Interval), N: len(x), Known: u.Spread.Corrected.Known,
		},
		Uniformity: estimate(u.Expected),
		Counted: schema.Share{
			X: u.Counted.Count, N: u.Counted.N, Value: u.Counted.Value.X, Interval: interval(u.Counted.Interval),
			Known: u.Counted.Value.Known,
		},
		Disagree: u.Differ,
	}
}

// The flags that a bed or lot has a share of.
const (
	rot = iota
	thin
	chlorosis
	lowerBrown
	disease
	flags
)

// flagged says of each flag whether the pot shows it, and whether that was looked at.
func flagged(o schema.Observation) (shows, looked [flags]bool) {
	looked[rot], shows[rot] = rotten(o)
	if o.RootCover != nil {
		looked[thin], shows[thin] = true, *o.RootCover <= ThinCover
	}
	if o.Chlorosis != nil {
		looked[chlorosis], shows[chlorosis] = true, chlorotic(o)
	}
	if o.LowerBrown != nil {
		looked[lowerBrown], shows[lowerBrown] = true, *o.LowerBrown
	}
	if o.Disease != nil {
		looked[disease], shows[disease] = true, *o.Disease
	}
	return shows, looked
}

// Shows says whether a pot shows what the code of a finding names (CodeRot, CodeChlorosis, CodeDisease), and whether that was looked at.
func Shows(code string, o schema.Observation) (shows, looked bool) {
	all, at := flagged(o)
	switch code {
	case CodeRot:
		return all[rot], at[rot]
	case CodeChlorosis:
		return all[chlorosis], at[chlorosis]
	case CodeDisease:
		return all[disease], at[disease]
	}
	return false, false
}

// rotten distinguishes rot from age: a root that is soft under the scratch is rotten whatever its colour; one that is firm and white
// is alive, be it old and brown (root life 1 or 2); without a scratch the life score decides.
func rotten(o schema.Observation) (looked, shows bool) {
	if o.Scratch != nil {
		switch *o.Scratch {
		case "soft":
			return true, true
		case "firm_white":
			return true, false
		}
	}
	return o.RootLife != nil, o.RootLife != nil && *o.RootLife <= DeadLife
}

// chlorotic leaves out young leaves that the scout called soft new flush: these are naturally light. Old leaves or the whole
// plant turning pale are chlorosis beside a soft flush as well.
func chlorotic(o schema.Observation) bool {
	if o.Chlorosis == nil || *o.Chlorosis == "none" {
		return false
	}
	return *o.Chlorosis != "young" || o.SoftFlush == nil || !*o.SoftFlush
}

type count struct{ x, n int }

func countsOf(lots ...*lotPots) (c [flags]count) {
	for _, l := range lots {
		for _, p := range l.pots {
			shows, looked := flagged(p.Now)
			for f := range c {
				if looked[f] {
					c[f].n++
				}
				if shows[f] {
					c[f].x++
				}
			}
		}
	}
	if c[lowerBrown].x == c[lowerBrown].n {
		// Noted where it was seen and not asked about on every pot: that is a number of pots and not a share.
		c[lowerBrown].n = 0
	}
	return c
}

// severityClass is a pot's chlorosis class 0 to 4: 0 when it was checked and is not chlorotic, unknown when it is and no
// class was given.
func severityClass(o schema.Observation) (class int, known bool) {
	switch {
	case o.Chlorosis == nil:
		return 0, false
	case !chlorotic(o):
		return 0, true
	case o.Severity == nil || *o.Severity < 0 || *o.Severity > 4:
		return 0, false
	}
	return *o.Severity, true
}

// severityOf is McKinney's index (0 to 100) over the pots whose class is known, and their number.
func severityOf(lots ...*lotPots) (index float64, n int) {
	counts := make([]int, 5)
	for _, l := range lots {
		for _, p := range l.pots {
			if class, known := severityClass(p.Now); known {
				counts[class]++
			}
		}
	}
	s := stats.SeverityOf(counts)
	return s.Index.X, s.N
}

// scoreBedShares counts flags over all lots. The interval treats the bed as one, which holds when pots are looked at in
// proportion to the lots, as the plan asks.
func scoreBedShares(s *schema.BedScore, lots []*lotPots) {
	c := countsOf(lots...)
	s.Rot = ShareOf(c[rot].x, c[rot].n, s.PotsOnBed)
	s.ThinRoots = ShareOf(c[thin].x, c[thin].n, s.PotsOnBed)
	s.Chlorosis = ShareOf(c[chlorosis].x, c[chlorosis].n, s.PotsOnBed)
	s.LowerBrown = ShareOf(c[lowerBrown].x, c[lowerBrown].n, s.PotsOnBed)
	s.Disease = ShareOf(c[disease].x, c[disease].n, s.PotsOnBed)
	s.Severity, s.SeverityN = severityOf(lots...)
}

// edgeOf is the share of pots seen (of those whose place is known) that stand at an aisle, and the share of all pots that do.
// Looking at the aisle edge only is the usual habit and is biased (common practice, no source).
func edgeOf(in schema.BedInput) (seen schema.Share, bed float64) {
	if in.Across < 1 {
		return schema.Share{}, 0
	}
	columns := 0
	for across := 1; across <= in.Across; across++ {
		if atEdge(in, across) {
			columns++
		}
	}
	x, n := 0, 0
	for _, p := range in.Pots {
		if p.Now.Place == nil {
			continue
		}
		n++
		if atEdge(in, p.Now.Place.Across) {
			x++
		}
	}
	return ShareOf(x, n, 0), float64(columns) / float64(in.Across)
}

func atEdge(in schema.BedInput, across int) bool {
	return (in.Aisles != "far" && across == 1) || ((in.Aisles == "far" || in.Aisles == "both") && across == in.Across)
}

// ShareOf is a share of pots with its interval: x of the n that were looked at, of so many on the bed (0 where that is not known).
func ShareOf(x, n, potsOnBed int) schema.Share {
	s := stats.ShareOf(x, n, bedEnd(potsOnBed, n), level)
	return schema.Share{X: x, N: n, Value: s.Value.X, Interval: interval(s.Interval), Known: s.Value.Known}
}

func interval(i stats.Interval) schema.Interval {
	if !i.Known {
		return schema.Interval{}
	}
	return schema.Interval{Low: i.Low, High: i.High, Known: true}
}

func estimate(e stats.Estimate) schema.Estimate {
	return schema.Estimate{Value: e.Value.X, Interval: interval(e.Interval), N: e.N, Known: e.Value.Known}
}
