package sheet

import (
	"fmt"
	"strings"

	"bedwalk/schema"
	"bedwalk/sync/bed"
)

// gradeOut writes what the lot's pots on the bed will grade to, what costs most of them the first grade, and what may be promised.
func (t *table) gradeOut(l schema.LotScore) {
	g := l.GradeOut
	if g == nil {
		return
	}
	if g.Promise.Hold == bed.HoldEarly {
		t.line("  Grade-out of lot %s: too early to grade; sizes and buds above are what is known by now", named(l.Lot))
		return
	}
	if g.N == 0 {
		t.line("  Grade-out of lot %s: not known, no pot was looked at for every line of the grades", named(l.Lot))
		return
	}
	var grades []string
	for _, one := range g.Grades {
		name := one.Name
		if name == "" {
			name = "no grade"
		}
		grades = append(grades, fmt.Sprintf("%s %.0f (%d to %d)", name, one.Expected, one.Low, one.High))
	}
	t.line("  Grade-out of lot %s, of %d pots by %d seen whole: %s", named(l.Lot), g.PotsOnBed, g.N, strings.Join(grades, ", "))
	if g.Undecided > 0 {
		var lacks []string
		for _, one := range g.Lacks {
			lacks = append(lacks, fmt.Sprintf("%s on %d", lackName(one.Line), one.Pots))
		}
		t.line("    Undecided, left out above and in no grade for a promise: %d; looking at %s would decide them", g.Undecided, strings.Join(lacks, ", "))
	}
	var costs []string
	for _, c := range g.Costs {
		if c.Fail > 0 {
			costs = append(costs, fmt.Sprintf("%s %d of %d", lineName(c.Line), c.Fail, c.N))
		}
	}
	if len(costs) > 0 {
		t.line("    Short of %s: %s", g.Grades[0].Name, strings.Join(costs, ", "))
	}
	t.promise("    Safe to promise of this lot alone", g.Promise)
}

// promise writes each grade's line, or why there is none.
func (t *table) promise(what string, p schema.Promise) {
	switch p.Hold {
	case "":
		var says []string
		for i, one := range p.Lines {
			name := one.Grade
			if i > 0 {
				name += " or better"
			}
			says = append(says, fmt.Sprintf("%s %d", name, one.Safe))
		}
		t.line("%s, after a loss of %s: %s", what, lossOf(p), strings.Join(says, ", "))
	case bed.HoldFew:
		t.line("%s: nothing yet, %d pots seen whole and at least %d are needed", what, p.Whole, p.Least)
	case bed.HoldLedger:
		t.line("%s: nothing, fewer pots on the bed than were seen; give --pots-on-bed", what)
	}
}

func lackName(line string) string {
	if line == bed.LackSeverity {
		return "how pale the leaves are"
	}
	return lineName(line)
}

// rules writes what was graded by, and what of it is not the sheet's owner's.
func (t *table) rules(r Report) {
	t.line("")
	for _, g := range r.Grades {
		var lines []string
		for _, one := range gradeLines {
			if limit := *one.field(&g); limit != nil {
				lines = append(lines, one.names[0]+" "+t.limit(one.line, *limit))
			}
		}
		t.line("Grade %s: %s", g.Name, strings.Join(lines, ", "))
	}
	if !r.OwnGrades {
		t.line("These grades are common practice without a source; give your own with --grade.")
	}
	if len(r.NotAsked) > 0 {
		var names []string
		for _, line := range r.NotAsked {
			names = append(names, lineName(line))
		}
		t.line("Not asked, since no column says: %s", strings.Join(names, ", "))
	}
	if r.PotsAssumed > 0 {
		t.line("Nobody said how many pots are on the bed: grade-outs are for %d a lot; give --pots-on-bed.", r.PotsAssumed)
	}
}

func (t *table) limit(line string, limit int) string {
	switch line {
	case bed.LineHeadMin, bed.LineHeadMax:
		return t.size(float64(limit)) + " " + string(t.shown)
	case bed.LineRound:
		return fmt.Sprintf("%d %%", limit/100)
	}
	return fmt.Sprint(limit)
}

func lineName(line string) string {
	for _, one := range gradeLines {
		if one.line == line {
			return one.names[0]
		}
	}
	return line
}

// lossOf is the loss before shipping with its interval, which is left out where the loss counts as sure.
func lossOf(p schema.Promise) string {
	if p.KeptLimits == nil {
		return fmt.Sprintf("%.0f %%", 100*p.Shrink)
	}
	return fmt.Sprintf("%.0f %% (%.0f to %.0f)", 100*p.Shrink, 100*(1-p.KeptLimits.High), 100*(1-p.KeptLimits.Low))
}
