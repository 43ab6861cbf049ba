package sheet

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"bedwalk/schema"
	"bedwalk/sync/bed"
	"bedwalk/sync/calendar"
	"bedwalk/sync/unit"
)

// assumedPots is how many pots a grade-out is for when nobody said how many there are.
const assumedPots = 1000

// DefaultGrades are the two grades that a sheet is graded by unless its owner gives others: what growers of florist's azaleas
// expect of a finished pot of that size (mm; the nearest of 110, 140, 165, 180 and 200). Common practice, no source: every
// buyer has limits of their own.
func DefaultGrades(potMM int) []schema.Grade {
	norms := []struct{ pot, head, buds, smallerHead, fewerBuds int }{
		{110, 150, 15, 120, 8}, {140, 200, 25, 150, 15}, {165, 250, 40, 200, 25}, {180, 330, 60, 250, 40}, {200, 380, 80, 330, 50},
	}
	n := slices.MinFunc(norms, func(a, b struct{ pot, head, buds, smallerHead, fewerBuds int }) int {
		return abs(a.pot-potMM) - abs(b.pot-potMM)
	})
	grade := func(name string, head, buds, cover, chlorosis int) schema.Grade {
		return schema.Grade{
			Name: name, HeadMinMM: &head, RoundMinBP: new(8500), BudsMin: &buds, CoverMin: &cover, LifeMin: new(3), ChlorosisMax: &chlorosis,
		}
	}
	return []schema.Grade{grade("florist", n.head, n.buds, 3, 1), grade("nursery", n.smallerHead, n.fewerBuds, 2, 2)}
}

func abs(n int) int { return max(n, -n) }

// gradeLines are the lines of a grade by the names that ParseGrade reads, with what they need of a sheet and the field that
// they fill. Sizes are read in a unit, roundness in per cent, the rest as whole numbers.
var gradeLines = []struct {
	names []string
	line  string
	needs []string
	field func(*schema.Grade) **int
}{
	{[]string{"head", "head_min"}, bed.LineHeadMin, []string{colHead}, func(g *schema.Grade) **int { return &g.HeadMinMM }},
	{[]string{"head_max"}, bed.LineHeadMax, []string{colHead}, func(g *schema.Grade) **int { return &g.HeadMaxMM }},
	{[]string{"round"}, bed.LineRound, []string{colHeadA, colHeadB}, func(g *schema.Grade) **int { return &g.RoundMinBP }},
	{[]string{"buds"}, bed.LineBuds, []string{colBuds}, func(g *schema.Grade) **int { return &g.BudsMin }},
	{[]string{"root_cover", "cover"}, bed.LineCover, []string{colCover}, func(g *schema.Grade) **int { return &g.CoverMin }},
	{[]string{"root_life", "life"}, bed.LineLife, []string{colLife}, func(g *schema.Grade) **int { return &g.LifeMin }},
	{[]string{"chlorosis"}, bed.LineChlorosis, []string{colChlorosis}, func(g *schema.Grade) **int { return &g.ChlorosisMax }},
}

const gradeForm = `write it like "florist: head 25 cm, round 85, buds 40, cover 3, life 3, chlorosis 1"`

// ParseGrade reads a grade as people write it: its name, a colon, and its lines with commas between. A line is a name and a
// number: head and head_max (with mm, cm or in behind; units where none is), round (per cent), buds, cover, life, chlorosis. All
// are the least that is allowed, but head_max and chlorosis the most. The error says what is wrong and how to write it.
func ParseGrade(text string, units unit.Unit) (schema.Grade, error) {
	name, rest, found := strings.Cut(text, ":")
	g := schema.Grade{Name: strings.TrimSpace(name)}
	if most := *gradeLimits["name"].MaxLength; !found || g.Name == "" || int64(utf8.RuneCountInString(g.Name)) > most {
		return g, fmt.Errorf("the grade %q has no name of at most %d letters before a colon: %s", text, most, gradeForm)
	}
	for _, part := range partsOf(rest) {
		words := strings.Fields(strings.ToLower(strings.NewReplacer(">=", " ", "<=", " ", "%", " ").Replace(part)))
		if len(words) < 2 || len(words) > 3 {
			return g, fmt.Errorf("grade %s: %q is not a name and a number: %s", g.Name, strings.TrimSpace(part), gradeForm)
		}
		if err := setLine(&g, words[0], words[1], strings.Join(words[2:], ""), units); err != nil {
			return g, fmt.Errorf("grade %s: %w", g.Name, err)
		}
	}
	return g, nil
}

// partsOf splits the lines of a grade at their commas; a comma before a digit is a decimal comma.
func partsOf(text string) (parts []string) {
	for _, part := range strings.Split(text, ",") {
		if n := len(parts); n > 0 && part != "" && '0' <= part[0] && part[0] <= '9' {
			parts[n-1] += "," + part
			continue
		}
		parts = append(parts, part)
	}
	return parts
}

func setLine(g *schema.Grade, name, value, of string, units unit.Unit) error {
	for _, one := range gradeLines {
		if !slices.Contains(one.names, name) {
			continue
		}
		into := one.field(g)
		if *into != nil {
			return fmt.Errorf("%s is given twice: keep one", name)
		}
		n, err := lineValue(one.line, value, of, units)
		if err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		*into = &n
		return nil
	}
	return fmt.Errorf("%q is not known: use head, head_max, round, buds, cover, life or chlorosis", name)
}

func lineValue(line, value, of string, units unit.Unit) (int, error) {
	if line == bed.LineHeadMin || line == bed.LineHeadMax {
		// "25cm" is one word.
		for _, u := range []unit.Unit{unit.Millimetre, unit.Centimetre, unit.Inch} {
			if bare, ok := strings.CutSuffix(value, string(u)); ok && of == "" {
				value, of = bare, string(u)
			}
		}
		if of == "" {
			of = string(units)
		}
		if _, known := finePer[unit.Unit(of)]; !known {
			return 0, fmt.Errorf("%q is not a unit of length: use mm, cm or in", of)
		}
		d, err := unit.Parse(value)
		if err != nil {
			return 0, fmt.Errorf("%s: %w", quoted(value), err)
		}
		ten := int64(1)
		for range d.Places {
			ten *= 10
		}
		return inLimits(line, int(unit.RoundHalfUp(d.Digits*finePer[unit.Unit(of)], ten*fine)), 1)
	}
	if of != "" {
		return 0, fmt.Errorf("%q after the number is not known: leave it out", of)
	}
	n, err := strconv.Atoi(value)
	if err != nil {
		return 0, fmt.Errorf("%s is not a whole number: give one", quoted(value))
	}
	if line == bed.LineRound {
		return inLimits(line, n, bpPerCent)
	}
	return inLimits(line, n, 1)
}

// bpPerCent is how many basis points, in which shares are kept, one per cent has.
const bpPerCent = 100

// inLimits converts a typed number to its stored unit (per of these in one typed unit). The limits shown are in the typed unit.
func inLimits(line string, n, per int) (int, error) {
	limit := gradeLimits[line]
	least, most := (int(*limit.Min)+per-1)/per, int(*limit.Max)/per
	if n < least || n > most {
		return 0, fmt.Errorf("%d is out of range: give %d to %d", n, least, most)
	}
	return n * per, nil
}

// rulesFor are the grades that a sheet with these columns is graded by. Lines of the default grades that no column answers are
// left out and named; a grower's own grade that asks for what is not there is refused, because without that line it would be
// another grade.
func rulesFor(o Options, heads map[string]head) (rules []schema.Grade, leftOut []string, problems []Problem) {
	leftOut = []string{}
	has := func(columns []string) bool {
		return !slices.ContainsFunc(columns, func(c string) bool {
			_, there := heads[c]
			_, one := heads[colHeadA]
			_, other := heads[colHeadB]
			return !there && !(c == colHead && (one || other))
		})
	}
	rules, own := slices.Clone(o.Grades), len(o.Grades) > 0
	if !own {
		rules = DefaultGrades(o.PotMM)
	}
	for i := range rules {
		for _, one := range gradeLines {
			field := one.field(&rules[i])
			if *field == nil || has(one.needs) {
				continue
			}
			if own {
				problems = append(problems, Problem{1, one.needs[0], fmt.Sprintf(
					"grade %s asks for %s, and there is no column %s: add it, or leave that line out of the grade", rules[i].Name, one.names[0], strings.Join(one.needs, " and "),
				)})
				continue
			}
			*field = nil
			if !slices.Contains(leftOut, one.line) {
				leftOut = append(leftOut, one.line)
			}
		}
	}
	return rules, leftOut, problems
}

// gradeOuts fills in the grade-out of every lot, and what lots can be promised together, for the pots on the bed or, where those are not
// given, for assumedPots.
func gradeOuts(score *schema.BedScore, in schema.BedInput, rules []schema.Grade, weeksToShip *int) {
	fineRules := make([]schema.Grade, len(rules))
	for i, g := range rules {
		g.PotMM = 0
		for _, size := range []**int{&g.HeadMinMM, &g.HeadMaxMM} {
			if *size != nil {
				*size = new(fine * **size)
			}
		}
		fineRules[i] = g
	}
	pots := potsByLot(in)
	var all []bed.Walked
	for i, on := range in.Lots {
		on.PotMM, on.Judged.Grades = 0, fineRules
		if on.PotsOnBed == 0 {
			on.PotsOnBed = assumedPots
		}
		if weeksToShip != nil {
			// A sheet has no dates: its pots get the time 0, from which the weeks are counted.
			on.ShipWeek = (calendar.Day(0) + calendar.Day(7**weeksToShip)).Week().String()
		}
		all = append(all, bed.Walked{On: on, Pots: pots[on.Lot]})
		if score.Lots[i].GradeOut = bed.GradeOut(on, pots[on.Lot]); score.Lots[i].GradeOut != nil {
			score.Lots[i].GradeOut.Promise.GradedFrom = ""
		}
	}
	score.Together = bed.Together(all)
	for i := range score.Together {
		score.Together[i].GradedFrom = ""
	}
}

// potsByLot parts a bed's pots by lot, in their order. A sheet may hold 200,000: room for just as many as there are.
func potsByLot(in schema.BedInput) map[string][]schema.PotSeen {
	if len(in.Lots) == 1 {
		return map[string][]schema.PotSeen{in.Lots[0].Lot: in.Pots}
	}
	seen, pots := map[string]int{}, map[string][]schema.PotSeen{}
	for _, p := range in.Pots {
		seen[p.Now.Lot]++
	}
	for lot, n := range seen {
		pots[lot] = make([]schema.PotSeen, 0, n)
	}
	for _, p := range in.Pots {
		pots[p.Now.Lot] = append(pots[p.Now.Lot], p)
	}
	return pots
}
