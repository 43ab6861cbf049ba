// Package sheet scores beds from a spreadsheet of measurements that anyone may have, without a phone and without a server:
// CSV in, documented JSON or a readable table out. It reads and writes nothing but what it is handed.
//
// It is not the import of beds and lots into a nursery. The central type is Report. Columns that it knows are lot, bed, row,
// across, head (or head_a and head_b; with _mm, _cm or _in behind), buds, root_cover, root_life and chlorosis; all others are
// ignored and named. A cell that cannot be read refuses the file, with every such cell named by line and column, because half
// a file scored in silence is worse than none.
package sheet

import (
	"io"

	"bedwalk/schema"
	"bedwalk/sync/bed"
	"bedwalk/sync/unit"
)

// Options say what a sheet cannot.
type Options struct {
	// Units is the unit of head columns whose name gives none, and the unit that the table shows: mm (also when left out), cm
	// or in. For head_mm columns it wins over the name, so that a sheet made from a template can hold centimetres.
	Units unit.Unit
	// LengthMM is the beds' length; without it nothing is said of gradients and patches, which need metres.
	LengthMM int
	// Rows and Across are the beds' size in pots; without them the largest row and place across in the file stand in.
	Rows, Across int
	// Aisles is "near", "far" or "both" ("near" when left out).
	Aisles string
	// Judged is what the beds are judged by; schema.DefaultJudged when nil.
	Judged *schema.Judged
}

// Report is every bed of a sheet. Its JSON is stable; BedScore is described at schema.BedScore, and lots are named as in the
// sheet. Heads are in millimetres whatever the sheet's unit.
type Report struct {
	Beds []Bed `json:"beds"`
	// Ignored are the columns that were not read; Lines the lines that hold a pot.
	Ignored []string `json:"ignored"`
	Lines   int      `json:"lines"`

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
	out := Report{Ignored: s.ignored, Lines: s.lines, Beds: []Bed{}, shown: o.Units}
	for _, name := range s.order {
		in := s.beds[name]
		in.LengthMM, in.Aisles = o.LengthMM, o.Aisles
		in.Rows, in.Across = max(in.Rows, o.Rows), max(in.Across, o.Across)
		for i := range in.Lots {
			in.Lots[i].ToRow, in.Lots[i].Judged = in.Rows, *o.Judged
		}
		score := bed.Score(in)
		toMM(&score)
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
	if o.Judged == nil {
		j := schema.DefaultJudged()
		o.Judged = &j
	}
	return o
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
