package bed

import (
	"cmp"
	"slices"

	"bedwalk/schema"
	"bedwalk/sync/stats"
)

// The lines of a grower's rule, as GradeCost names them, in the order in which they are listed.
const (
	LineHeadMin   = "head_min_mm"
	LineHeadMax   = "head_max_mm"
	LineRound     = "round_min_bp"
	LineBuds      = "buds_min"
	LineBudded    = "budded_min_bp"
	LineCover     = "root_cover_min"
	LineLife      = "root_life_min"
	LineChlorosis = "chlorosis_max"
)

// line is one line of a rule put to one pot: whether the pot meets it, and whether what it asks was looked at.
type line struct {
	name          string
	meets, looked bool
}

// GradeOut is the grade-out of one lot alone: on has its pots on the bed, pot size, bookings, ship week and the rules it is judged
// by, pots what was seen of it (whatever lot they name). It is nil when there is no rule for the pot size, or nothing stands
// there. Score gives the same for every lot of a bed.
func GradeOut(on schema.LotOnBed, pots []schema.PotSeen) *schema.GradeOut {
	return gradeOut(lotOf(on, pots))
}

func lotOf(on schema.LotOnBed, pots []schema.PotSeen) *lotPots {
	l := &lotPots{lot: on.Lot, judged: on.Judged, potMM: on.PotMM, pots: pots}
	l.stand(on)
	return l
}

// rules are the grades for the lot's pot size, best first.
func (l *lotPots) rules() []schema.Grade { return l.judged.GradesFor(l.potMM) }

// gradeOut says what the lot's pots on the bed will grade to by the grower's own rules for its pot size; nil when there is no
// rule for that size, or nothing stands there. A pot gets the first grade whose every line it meets.
//
// A line that was not looked at is unknown, never failed and never met. The forecast counts a pot only when every line that any
// of the rules asks was looked at: if pots that fail early counted and pots that could not be judged to the end did not, it
// would be too low. It holds as far as the pots left out (Undecided) are like the others, which they need not be: a pale pot
// whose degree nobody noted is one of them. The promise therefore counts them as in no grade. Costs shows, line by line, how
// many were looked at. Before the rules may judge (see GradedFrom) there are no grades and no costs.
func gradeOut(l *lotPots) *schema.GradeOut {
	rules := l.rules()
	if len(rules) == 0 || l.potsOnBed < 1 {
		return nil
	}
	out := &schema.GradeOut{
		PotsOnBed: l.potsOnBed, Costs: []schema.GradeCost{}, Lacks: []schema.GradeLack{}, Grades: []schema.GradeShare{},
		Promise: promiseOf([]*lotPots{l}, rules, l.bookings),
	}
	for _, one := range linesOf(rules[0], schema.Observation{}) {
		out.Costs = append(out.Costs, schema.GradeCost{Line: one.name})
	}
	seen := make([]int, len(rules)+1)
	for _, p := range l.pots {
		for i, one := range linesOf(rules[0], p.Now) {
			if one.looked {
				out.Costs[i].N++
				if !one.meets {
					out.Costs[i].Fail++
				}
			}
		}
		grade, decided := gradeOf(rules, p.Now)
		if !decided {
			out.Undecided++
			continue
		}
		out.N++
		seen[grade]++
	}
	if out.Promise.Hold == HoldEarly {
		out.Costs = []schema.GradeCost{}
		return out
	}
	out.Lacks = lacksOf(rules, l.pots)
	for i, x := range seen {
		name := ""
		if i < len(rules) {
			name = rules[i].Name
		}
		out.Grades = append(out.Grades, gradeShare(name, x, out.N, l.potsOnBed))
	}
	return out
}

// lacksOf counts, line by line, the pots on which something that any of the rules asks was not looked at.
func lacksOf(rules []schema.Grade, pots []schema.PotSeen) []schema.GradeLack {
	var lacks []schema.GradeLack
	add := func(line string) { lacks = append(lacks, schema.GradeLack{Line: line, Pots: 1}) }
	for _, p := range pots {
		counted := map[string]bool{}
		for _, g := range rules {
			for _, one := range linesOf(g, p.Now) {
				if one.looked || counted[one.name] {
					continue
				}
				counted[one.name] = true
				if one.name == LineChlorosis && p.Now.Chlorosis != nil {
					add(LackSeverity)
				} else {
					add(one.name)
				}
			}
		}
	}
	return sumLacks(lacks)
}

// sumLacks adds up what was counted in parts, line by line, and puts the line that most pots lack first.
func sumLacks(parts []schema.GradeLack) []schema.GradeLack {
	pots := map[string]int{}
	for _, part := range parts {
		pots[part.Line] += part.Pots
	}
	all := []schema.GradeLack{}
	for line, count := range pots {
		all = append(all, schema.GradeLack{Line: line, Pots: count})
	}
	slices.SortFunc(all, func(a, b schema.GradeLack) int {
		return cmp.Or(cmp.Compare(b.Pots, a.Pots), cmp.Compare(a.Line, b.Line))
	})
	return all
}

// gradeShare predicts one grade: the beta-binomial predictive distribution with Jeffreys' prior (stats.PredictJeffreys) of
// the pots in it among all that stand, its mean and 90 % interval. When the ledger has fewer pots than were seen, all that
// stand are predicted from nothing, as if none of them had been seen.
func gradeShare(name string, x, n, potsOnBed int) schema.GradeShare {
	g := schema.GradeShare{Name: name, Seen: x}
	p, err := stats.PredictJeffreys(x, n, potsOnBed)
	if err != nil {
		p, err = stats.Predict(0, 0, potsOnBed, float64(x)+0.5, float64(n-x)+0.5)
	}
	if err == nil {
		i := p.Interval(level)
		g.Expected, g.Low, g.High = p.Mean(), int(i.Low), int(i.High)
	}
	return g
}

// gradeOf is the index of the first rule that the pot meets, len(rules) when it meets none; false when a line of any rule was
// not looked at.
func gradeOf(rules []schema.Grade, o schema.Observation) (grade int, decided bool) {
	grade = len(rules)
	for i := len(rules) - 1; i >= 0; i-- {
		meets := true
		for _, one := range linesOf(rules[i], o) {
			if !one.looked {
				return 0, false
			}
			meets = meets && one.meets
		}
		if meets {
			grade = i
		}
	}
	return grade, true
}

// linesOf puts the lines that a rule has to one pot. Roundness is the smaller diameter over the larger and needs both; the
// budded share is budded tips over all tips and needs the bare ones counted; a pot without any tip meets no budded share.
func linesOf(g schema.Grade, o schema.Observation) []line {
	var lines []line
	ask := func(limit *int, name string, looked bool, meets func(limit int) bool) {
		if limit != nil {
			lines = append(lines, line{name: name, looked: looked, meets: looked && meets(*limit)})
		}
	}
	head, measured := HeadMM(o)
	ask(g.HeadMinMM, LineHeadMin, measured, func(mm int) bool { return head >= float64(mm) })
	ask(g.HeadMaxMM, LineHeadMax, measured, func(mm int) bool { return head <= float64(mm) })
	ask(g.RoundMinBP, LineRound, o.HeadAMM != nil && o.HeadBMM != nil, func(bp int) bool {
		a, b := *o.HeadAMM, *o.HeadBMM
		return 10000*min(a, b) >= bp*max(a, b)
	})
	ask(g.BudsMin, LineBuds, o.Buds != nil, func(least int) bool { return *o.Buds >= least })
	ask(g.BuddedMinBP, LineBudded, o.Buds != nil && o.TipsBare != nil, func(bp int) bool {
		tips := *o.Buds + *o.TipsBare
		return tips > 0 && 10000**o.Buds >= bp*tips
	})
	ask(g.CoverMin, LineCover, o.RootCover != nil, func(least int) bool { return *o.RootCover >= least })
	ask(g.LifeMin, LineLife, o.RootLife != nil, func(least int) bool { return *o.RootLife >= least })
	class, known := severityClass(o)
	ask(g.ChlorosisMax, LineChlorosis, known, func(most int) bool { return class <= most })
	return lines
}
