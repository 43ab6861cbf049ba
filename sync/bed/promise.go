package bed

import (
	"math"
	"slices"
	"strings"
	"time"

	"bedwalk/schema"
	"bedwalk/sync/calendar"
	"bedwalk/sync/loss"
	"bedwalk/sync/stats"
)

// PromiseRisk is the share of random walks, at most, in which a promise to the full is more than the pots that are there.
const PromiseRisk = 0.05

// Why nothing is promised, as schema.Promise.Hold names it.
const (
	HoldEarly    = "early"
	HoldFew      = "few"
	HoldLedger   = "ledger"
	HoldShipped  = "shipped"
	HoldUnwalked = "unwalked"
	// Nobody has counted a stretch of it: what a full stretch would hold is not a number to promise from.
	HoldUncounted = "uncounted"
	// HoldList is of a list of beds or walks, which promises nothing: it rests on the plan of the lots too, and is on the bed's and the lot's page.
	HoldList = "list"
)

// LackSeverity is the lack of pots whose pale leaves were noted without saying how much.
const LackSeverity = "severity"

// Walked is a lot on one bed as one walk saw it.
type Walked struct {
	On   schema.LotOnBed
	Pots []schema.PotSeen
}

// LotPromise is what may be promised of one lot over all its beds together, with the lot's open bookings, whatever On.Bookings
// say; nil when no grade is set for its pot size. Parts are the last whole walk of each bed; with none, or none that may be
// judged, Hold says why.
func LotPromise(lot string, parts []Walked, judged schema.Judged, potMM int, bookings []schema.BookedPots) *schema.Promise {
	var lots []*lotPots
	for _, p := range parts {
		lots = append(lots, lotOf(p.On, p.Pots))
	}
	whole := &lotPots{lot: lot, judged: judged, potMM: potMM, bookings: bookings}
	rules := whole.rules()
	if len(rules) == 0 {
		return nil
	}
	p := promiseOf(lots, rules, bookings)
	p.Lots = []string{lot}
	if len(lots) == 0 {
		p.Hold, p.Least = HoldUnwalked, judged.PromiseMin
	}
	return &p
}

// Together promises the lots of a bed that have the same grades jointly: their sum, whichever of the lots it is taken from. It is
// mostly more than what the lots could be promised alone, added up. That every lot keeps what it could be promised alone is
// another claim, and a weaker one: some lot falls short in 9 to 14 % of walks (two to four lots, see
// TestCoverageOfPromisesAddedUp). Lots that may not be judged yet are left out. Nothing where fewer than two lots are left.
func Together(in []Walked) []schema.Promise {
	var lots []*lotPots
	for _, w := range in {
		lots = append(lots, lotOf(w.On, w.Pots))
	}
	return together(lots)
}

func together(lots []*lotPots) []schema.Promise {
	var order []string
	groups := map[string][]*lotPots{}
	for _, l := range lots {
		rules := l.rules()
		if len(rules) == 0 || l.hold() != "" || l.potsOnBed < 1 {
			continue
		}
		var names []string
		for _, r := range rules {
			names = append(names, r.Name)
		}
		key := strings.Join(names, "\x00")
		if groups[key] == nil {
			order = append(order, key)
		}
		groups[key] = append(groups[key], l)
	}
	var all []schema.Promise
	for _, key := range order {
		group := groups[key]
		if len(group) < 2 {
			continue
		}
		var bookings []schema.BookedPots
		for _, l := range group {
			bookings = append(bookings, l.bookings...)
		}
		all = append(all, promiseOf(group, group[0].rules(), bookings))
	}
	return all
}

// promiseOf joins lots, or stretches of one lot, whose rules have the names of these; of several lots each counts as losing what the worst of them may.
//
// Sure is stats.LeastInStrata of the pots that stood there at the walk, less those that have gone since, each of which is taken
// for one in grade, since the best are shipped first. A pot that could not be graded is taken for one in no grade. Each line is
// a limit by itself: whoever promises several grades to the full is wrong more often than PromiseRisk.
func promiseOf(lots []*lotPots, rules []schema.Grade, bookings []schema.BookedPots) schema.Promise {
	p := schema.Promise{Lines: []schema.PromiseLine{}, Lots: []string{}}
	var strata [][]stats.Stratum
	var lacks []schema.GradeLack
	keeps := loss.Share{Mean: 1}
	for _, l := range lots {
		p.GradedFrom = max(p.GradedFrom, l.gradedFrom())
		p.Least = max(p.Least, l.judged.PromiseMin)
		if why := l.hold(); why != "" {
			p.Hold = why
			continue
		}
		if !slices.Contains(p.Lots, l.lot) {
			p.Lots = append(p.Lots, l.lot)
		}
		keeps = worseOf(keeps, l.keeps())
		p.LossBasis = l.lossBasis()
		in, whole := l.inGrades()
		p.Seen, p.Whole = p.Seen+len(l.pots), p.Whole+whole
		lacks = append(lacks, lacksOf(l.rules(), l.pots)...)
		p.PotsOnBed, p.Left = p.PotsOnBed+l.potsOnBed, p.Left+l.left
		var of []stats.Stratum
		for _, x := range in {
			of = append(of, stats.Stratum{X: x, N: len(l.pots), Bed: l.stood()})
		}
		strata = append(strata, of)
	}
	p.Lacks, p.Shrink, p.KeptLimits = sumLacks(lacks), 1-keeps.Mean, keptLimits(keeps)
	if len(p.Lots) > 1 {
		p.LossBasis = ""
	}
	if len(strata) == 0 {
		return p
	}
	if p.Hold = ""; p.Whole < p.Least {
		p.Hold = HoldFew
		return p
	}
	booked := bookedBy(rules, bookings)
	var kept []int
	for g := range rules {
		line := schema.PromiseLine{Grade: rules[g].Name, Booked: booked[g]}
		var of []stats.Stratum
		for _, s := range strata {
			of = append(of, s[g])
			line.InGrade += s[g].X
		}
		least, _ := stats.LeastInStrata(of, PromiseRisk)
		at := inGrade{strata: of, least: least, left: p.Left, here: p.PotsOnBed}
		line.Sure, line.Kept = at.sure(), at.atShipping(keeps)
		kept = append(kept, line.Kept)
		p.Lines = append(p.Lines, line)
	}
	safe, over := Promised(kept, booked)
	for g := range p.Lines {
		p.Lines[g].Safe, p.Lines[g].Over = safe[g], over[g]
	}
	return p
}

// Promised sets what is sure to be there at shipping against what is booked, grade by grade, best first. Sure are pots in each grade or a better one,
// booked are pots of each very grade.
//
// A booking is served by pots of its grade or a better one. All can be served exactly when for each grade no more is booked of
// it and all better ones than is sure of these (Hall's condition, grades being nested). So Safe, what can be promised of a grade
// on top, is the least that is left over it and every lesser grade: a booking of a lesser grade takes from a better one only
// what pots of its own do not cover. Over is what is booked beyond what is sure.
func Promised(sure, booked []int) (safe, over []int) {
	safe, over = make([]int, len(sure)), make([]int, len(sure))
	left := make([]int, len(sure))
	all := 0
	for g := range sure {
		all += booked[g]
		left[g] = sure[g] - all
		over[g] = max(0, -left[g])
	}
	least := math.MaxInt
	for g := len(sure) - 1; g >= 0; g-- {
		least = min(least, left[g])
		safe[g] = max(0, least)
	}
	return safe, over
}

// bookedBy sums bookings by grade. One that names no grade, or none of these, is taken for the best: nothing that was promised
// may be forgotten.
func bookedBy(rules []schema.Grade, bookings []schema.BookedPots) []int {
	booked := make([]int, len(rules))
	for _, b := range bookings {
		at := max(0, slices.IndexFunc(rules, func(r schema.Grade) bool { return r.Name == b.Grade }))
		booked[at] += b.Pots
	}
	return booked
}

// inGrades is how many seen pots are in each grade or a better one, and how many were seen whole.
func (l *lotPots) inGrades() (in []int, whole int) {
	rules := l.rules()
	in = make([]int, len(rules))
	for _, p := range l.pots {
		grade, decided := gradeOf(rules, p.Now)
		if decided {
			whole++
			for g := grade; g < len(rules); g++ {
				in[g]++
			}
		}
	}
	return in, whole
}

// InGrades is what a walk saw of a lot on one bed by the grades of its pot size, best first: In[k] of the Seen pots are in one of the
// first k + 1, Whole could be graded; the others are in none. Stood is how many stood there at the walk, Left how many have gone since, OnBed how
// many stand there now. Hold says why the walk says nothing, as schema.Promise has it.
type InGrades struct {
	Grades                          []string
	In                              []int
	Seen, Whole, Stood, Left, OnBed int
	Hold                            string
}

// Graded is InGrades of a lot of a pot size by the rules it is judged by.
func Graded(w Walked, judged schema.Judged, potMM int) InGrades {
	l := lotOf(w.On, w.Pots)
	l.judged, l.potMM = judged, potMM
	g := InGrades{Seen: len(l.pots), Stood: l.stood(), Left: l.left, OnBed: l.potsOnBed, Hold: l.hold()}
	for _, rule := range l.rules() {
		g.Grades = append(g.Grades, rule.Name)
	}
	g.In, g.Whole = l.inGrades()
	return g
}

// stood is how many pots stood there when they were walked.
func (l *lotPots) stood() int { return l.potsOnBed + l.left - l.added }

// hold says why nothing of the lot may be promised, or "".
func (l *lotPots) hold() string {
	switch {
	case l.shipped:
		return HoldShipped
	case l.early():
		return HoldEarly
	case l.uncounted:
		return HoldUncounted
	case l.stood() < len(l.pots):
		return HoldLedger
	}
	return ""
}

// early is true when the pots were seen before the rules may judge them. A lot without a ship week is never early: nobody can
// say, and pots that still grow only make the promise lower.
func (l *lotPots) early() bool {
	from := l.gradedFrom()
	if from == "" || len(l.pots) == 0 {
		return false
	}
	last := int64(0)
	for _, p := range l.pots {
		last = max(last, p.At)
	}
	return time.UnixMilli(last).UTC().Format(time.DateOnly) < from
}

func (l *lotPots) gradedFrom() string { return GradedFrom(l.shipWeek, l.judged.GradedFromWeeks) }

// GradedFrom is the day from which a lot that ships in an ISO week can be graded: the Monday so many weeks before. "" when the
// week is none.
func GradedFrom(shipWeek string, weeks int) string {
	week, err := calendar.ParseWeek(shipWeek)
	if err != nil {
		return ""
	}
	return week.Add(-weeks).Monday().String()
}
