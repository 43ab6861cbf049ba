package sheet

import (
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"
	"text/tabwriter"

	"bedwalk/schema"
	"bedwalk/sync/bed"
	"bedwalk/sync/unit"
)

// WriteTable writes the report for people: each bed's uniformity with what holds it back, a line for each trait of each lot,
// shares, grade-out, slips, findings by code and number, and whether the walk saw enough. Intervals are 90 %. The error is the writer's.
func (r Report) WriteTable(w io.Writer) error {
	t := &table{out: tabwriter.NewWriter(w, 0, 0, 2, ' ', 0), shown: r.shown}
	if t.shown == "" {
		t.shown = unit.Millimetre
	}
	for i, b := range r.Beds {
		if i > 0 {
			t.line("")
		}
		t.bed(b)
	}
	t.rules(r)
	if len(r.Ignored) > 0 {
		t.line("")
		t.line("Columns not read: %s", strings.Join(r.Ignored, ", "))
	}
	if t.err != nil {
		return t.err
	}
	return t.out.Flush()
}

type table struct {
	out   *tabwriter.Writer
	shown unit.Unit
	err   error
}

func (t *table) line(format string, a ...any) {
	if t.err == nil {
		_, t.err = fmt.Fprintf(t.out, format+"\n", a...)
	}
}

func (t *table) bed(b Bed) {
	s := b.Score
	t.line("Bed %s: %d pots seen", named(b.Name), s.Seen)
	switch {
	case !s.Uniformity.Known:
		t.line("  Uniformity: not known, no lot has two pots measured")
	case s.TooFewPots:
		t.line("  Uniformity: too few pots to say (%d)", s.Uniformity.N)
	default:
		t.line("  Uniformity %s, held back by %s", percent(s.Uniformity.Value, s.Uniformity.Interval), s.LimitingTrait)
	}
	if s.WithoutSlips.Known {
		t.line("  Without what looks like slips: %s", percent(s.WithoutSlips.Value, s.WithoutSlips.Interval))
	}
	t.line("  lot\ttrait\tpots\tmean\tSD\tCV\tuniformity\tcounted")
	for _, l := range s.Lots {
		for _, trait := range l.Traits {
			if trait.N > 0 {
				t.trait(l.Lot, trait)
			}
		}
	}
	if s.BetweenLots.Known {
		t.line("  Spread in head size between lots: %.0f %%", 100*s.BetweenLots.Value)
	}
	for _, share := range []struct {
		name string
		schema.Share
	}{{"Root rot", s.Rot}, {"Thin roots", s.ThinRoots}, {"Chlorosis", s.Chlorosis}, {"Disease suspected", s.Disease}} {
		if share.N > 0 {
			t.line("  %s: %d of %d, %s", share.name, share.X, share.N, percent(share.Value, share.Interval))
		}
	}
	for _, l := range s.Lots {
		t.gradeOut(l)
	}
	for _, p := range s.Together {
		t.promise(fmt.Sprintf("  Safe to promise of %d lots together", len(p.Lots)), p)
	}
	for _, l := range s.Lots {
		for _, slip := range l.Slips {
			t.slip(slip)
		}
	}
	for _, f := range s.Findings {
		t.line("  Finding: %s", finding(f))
	}
	if s.PatchM > 0 {
		t.line("  Too few pots to show patches of rot, chlorosis or disease smaller than %.1f m.", s.PatchM)
	}
	t.line("  %s", enough(s))
}

func (t *table) trait(lot string, s schema.TraitScore) {
	mean, sd, of := fmt.Sprintf("%.1f", s.Mean.Value), fmt.Sprintf("%.1f", s.SD), ""
	between := func(x float64) string { return fmt.Sprintf("%.1f", x) }
	if s.Trait == bed.Head {
		of = " " + string(t.shown)
		between = t.size
		mean, sd = t.size(s.Mean.Value), t.size(s.SD)
	}
	if s.Mean.Interval.Known {
		mean += fmt.Sprintf(" (%s to %s)", between(s.Mean.Interval.Low), between(s.Mean.Interval.High))
	}
	cv, uniformity := "-", "-"
	if s.CV.Known {
		cv = fmt.Sprintf("%.1f %%", 100*s.CV.Value)
		if s.CV.Interval.Known {
			cv += fmt.Sprintf(" (%.1f to %.1f)", 100*s.CV.Interval.Low, 100*s.CV.Interval.High)
		}
	}
	if s.Uniformity.Known {
		uniformity = percent(s.Uniformity.Value, s.Uniformity.Interval)
	}
	t.line("  %s\t%s\t%d\t%s%s\t%s\t%s\t%s\t%d of %d", named(lot), s.Trait, s.N, mean, of, sd, cv, uniformity, s.Counted.X, s.Counted.N)
}

// size shows millimetres in the table's unit, to a tenth of a millimetre or the hundredth of a larger unit.
func (t *table) size(mm float64) string {
	value, err := unit.FromKept(mm, t.shown)
	if err != nil {
		value = mm
	}
	if t.shown == unit.Millimetre {
		return fmt.Sprintf("%.1f", value)
	}
	return fmt.Sprintf("%.2f", value)
}

func (t *table) slip(s schema.Slip) {
	show := func(x float64) string { return fmt.Sprintf("%g", x) }
	if s.Trait == bed.Head {
		show = func(x float64) string { return t.size(x) + " " + string(t.shown) }
	}
	says := fmt.Sprintf("  Look again: %s, %s %s", s.Pot, s.Trait, show(s.Value))
	if s.Likely != 0 {
		says += fmt.Sprintf(", perhaps %s", show(s.Likely))
	}
	t.line("%s", says)
}

func percent(value float64, i schema.Interval) string {
	if !i.Known {
		return fmt.Sprintf("%.0f %%", 100*value)
	}
	return fmt.Sprintf("%.0f %% (%.0f to %.0f)", 100*value, 100*i.Low, 100*i.High)
}

func named(name string) string {
	if name == "" {
		return "(no name)"
	}
	return name
}

// finding writes a code with what it is about and its numbers in the order of their names.
func finding(f schema.Finding) string {
	says := []string{f.Code}
	for _, about := range []string{f.Trait, f.Lot, f.End} {
		if about != "" {
			says = append(says, about)
		}
	}
	for _, name := range slices.Sorted(maps.Keys(f.Numbers)) {
		says = append(says, fmt.Sprintf("%s %.4g", name, f.Numbers[name]))
	}
	return strings.Join(says, ", ")
}

func enough(s schema.BedScore) string {
	switch s.Stop.Verdict {
	case "enough":
		if u := s.Unwalked; u != nil {
			return fmt.Sprintf("Enough pots for the rows that were walked; rows %d to %d were not.", u.FromRow, u.ToRow)
		}
		return "Enough pots were seen."
	case "maximum":
		return "The most pots were seen, and the interval is wider than wanted."
	}
	return fmt.Sprintf("About %d pots more.", s.Stop.More)
}
