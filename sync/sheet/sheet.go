// Package sheet scores beds from a spreadsheet of measurements that anyone may have, without a phone and without a server:
// CSV in, documented JSON or a readable table out. It reads and writes nothing but what it is handed.
//
// It is not the import of beds and lots into a nursery. The central type is Report. Columns that it knows are lot, bed, row,
// across, head (or head_a and head_b; with _mm, _cm or _in behind), buds, root_cover, root_life, chlorosis and disease; all others
// are ignored and named. A cell that cannot be read refuses the file, with every such cell named by line and column, because half
// a file scored in silence is worse than none.
package sheet

import (
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"

	"bedwalk/schema"
	"bedwalk/sync/bed"
	"bedwalk/sync/unit"
)

// Options give what a sheet does not contain.
type Options struct {
	// Units is the unit of head columns whose name gives none, and the unit that the table shows: mm (also when left out), cm
	// or in. For head_mm columns it overrides the name, so that a sheet made from a template can hold centimetres.
	Units unit.Unit
	// LengthMM is the beds' length; without it gradients and patches are not tested, since they need metres.
	LengthMM int
	// Rows and Across are the beds' size in pots; without them the largest row and place across in the file stand in.
	Rows, Across int
	// Aisles is "near", "far" or "both" ("near" when left out).
	Aisles string
	// Judged is what the beds are judged by; schema.DefaultJudged when nil. Its grades are not read.
	Judged *schema.Judged
	// Grades are the grower's own, best first, sizes in millimetres, whatever their pot size (see ParseGrade); DefaultGrades
	// of PotMM when there are none. PotMM is 165 when left out.
	Grades []schema.Grade
	PotMM  int
	// PotsOnBed is the number of pots on each bed, shared out over its lots as their pots were seen; PotsOfLot gives single lots
	// by name, and takes precedence. Where neither is known, intervals are for a bed without end, and the grade-out is of 1,000 pots.
	PotsOnBed int
	PotsOfLot map[string]int
	// WeeksToShip is how many weeks after the walk the lots ship. Before Judged.GradedFromWeeks of them nothing is graded; when it
	// is nil, that is unknown and everything is graded.
	WeeksToShip *int
}

// Report is every bed of a sheet. Its JSON is stable; BedScore is described at schema.BedScore, and lots are named as in the
// sheet. Heads are in millimetres whatever the sheet's unit.
type Report struct {
	Beds []Bed `json:"beds"`
	// Ignored are the columns that were not read; Lines the lines that hold a pot.
	Ignored []string `json:"ignored"`
	Lines   int      `json:"lines"`
	// Grades are what every lot's grade_out was graded by (sizes in mm). OwnGrades is false for DefaultGrades; NotAsked are the
	// lines of these that no column answers. PotsAssumed is 1000 when a grade_out is for so many pots for want of better.
	Grades      []schema.Grade `json:"grades"`
	OwnGrades   bool           `json:"own_grades"`
	NotAsked    []string       `json:"not_asked"`
	PotsAssumed int            `json:"pots_assumed"`

	shown unit.Unit
}

// Bed is one bed of a sheet, in the order of first appearance. Name is "" when the sheet has no bed column. Size is the
// bed's size in pots as given or as seen.
type Bed struct {
	Name   string          `json:"name"`
	Rows   int             `json:"rows"`
	Across int             `json:"across"`
	Score  schema.BedScore `json:"score"`
}

// fine is how many parts of a millimetre heads are scored in: scores take whole numbers, and a sheet may hold more digits
// than a phone. Uniformity is relative, so the scale changes none of it; means are turned back.
const fine = 1000

// Score reads a sheet and scores each bed in it. Errors are *FileError (cells, columns or the file's form; each with line,
// column and remedy), or the reader's own.
func Score(r io.Reader, o Options) (Report, error) {
	o = o.filled()
	s, err := read(r, o)
	if err != nil {
		return Report{}, err
	}
	out := Report{
		Ignored: s.ignored, Lines: s.lines, Beds: []Bed{}, shown: o.Units,
		Grades: s.rules, OwnGrades: len(o.Grades) > 0, NotAsked: s.notAsked,
	}
	if err := s.knows(o.PotsOfLot); err != nil {
		return Report{}, err
	}
	for _, name := range s.order {
		in := s.beds[name]
		in.LengthMM, in.Aisles = o.LengthMM, o.Aisles
		in.Rows, in.Across = max(in.Rows, o.Rows), max(in.Across, o.Across)
		for i := range in.Lots {
			in.Lots[i].ToRow, in.Lots[i].Judged = in.Rows, *o.Judged
			in.Lots[i].Judged.Grades = nil
		}
		setPots(in, o)
		score := bed.Score(in)
		toMM(&score)
		gradeOuts(&score, in, s.rules, o.WeeksToShip)
		if slices.ContainsFunc(in.Lots, func(l schema.LotOnBed) bool { return l.PotsOnBed == 0 }) {
			out.PotsAssumed = assumedPots
		}
		out.Beds = append(out.Beds, Bed{Name: name, Rows: in.Rows, Across: in.Across, Score: score})
	}
	return out, nil
}

func (o Options) filled() Options {
	if o.Units == "" {
		o.Units = unit.Millimetre
	}
	if o.Aisles == "" {
		o.Aisles = "near"
	}
	if o.PotMM == 0 {
		o.PotMM = 165
	}
	if o.Judged == nil {
		j := schema.DefaultJudged()
		o.Judged = &j
	}
	return o
}

// knows fails when a number of pots was given for a lot that is not in the sheet: a mistyped name must be noticed.
func (s sheet) knows(potsOfLot map[string]int) error {
	for _, name := range slices.Sorted(maps.Keys(potsOfLot)) {
		var all []string
		for _, bedName := range s.order {
			for _, l := range s.beds[bedName].Lots {
				all = append(all, named(l.Lot))
			}
		}
		if !slices.Contains(all, named(name)) {
			return fmt.Errorf("a number of pots is given for lot %s, which is not in the sheet: its lots are %s", name, strings.Join(all, ", "))
		}
	}
	return nil
}

// setPots sets how many pots of each lot are on the bed: the number given for the lot, else its share of the bed's by pots seen.
func setPots(in schema.BedInput, o Options) {
	left, seen := o.PotsOnBed, map[string]int{}
	for _, p := range in.Pots {
		seen[p.Now.Lot]++
	}
	open := 0
	for i, l := range in.Lots {
		if n, given := o.PotsOfLot[l.Lot]; given {
			in.Lots[i].PotsOnBed = n
			left -= n
			continue
		}
		open += seen[l.Lot]
	}
	// Rounded so that the shares add up to what is left.
	for i, l := range in.Lots {
		if _, given := o.PotsOfLot[l.Lot]; given || open == 0 || left <= 0 {
			continue
		}
		share := (left*seen[l.Lot] + open/2) / open
		in.Lots[i].PotsOnBed = share
		left, open = left-share, open-seen[l.Lot]
	}
}

// toMM turns the head sizes of a score back into millimetres.
func toMM(s *schema.BedScore) {
	traits(s.Traits)
	for i := range s.Lots {
		traits(s.Lots[i].Traits)
		for j, slip := range s.Lots[i].Slips {
			if slip.Trait == bed.Head {
				s.Lots[i].Slips[j].Value, s.Lots[i].Slips[j].Likely = slip.Value/fine, slip.Likely/fine
			}
		}
	}
	for _, f := range s.Findings {
		if f.Code == bed.CodeTwoGroups && f.Trait == bed.Head {
			f.Numbers["low"] /= fine
			f.Numbers["high"] /= fine
		}
	}
}

func traits(all []schema.TraitScore) {
	for i := range all {
		if t := &all[i]; t.Trait == bed.Head {
			t.SD /= fine
			t.Mean.Value /= fine
			t.Mean.Interval.Low /= fine
			t.Mean.Interval.High /= fine
		}
	}
}
