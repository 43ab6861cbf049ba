package bed

import (
	"slices"

	"bedwalk/schema"
)

// A finding stays open until a whole walk has checked the same thing on at least half as many pots as the walk that found it (and on
// Fewest at least). A walk on which no roots were checked says nothing about rot. Common practice, no source.
const answeredBy = 2

// asked is what each finding that outlives its walk was looked for in: the number of pots of the bed, or of the lot that it names,
// that a score rests on. Findings about the walk itself, and about shapes that need no step, end with it.
func asked(s schema.BedScore, f schema.Finding) int {
	rot, chlorosis, disease, traits := s.Rot.N, s.Chlorosis.N, s.Disease.N, s.Traits
	if f.Lot != "" {
		at := slices.IndexFunc(s.Lots, func(l schema.LotScore) bool { return l.Lot == f.Lot })
		if at < 0 {
			return 0
		}
		l := s.Lots[at]
		rot, chlorosis, disease, traits = l.Rot.N, l.Chlorosis.N, l.Disease.N, l.Traits
	}
	switch f.Code {
	case CodeRot, CodePatchRot:
		return rot
	case CodeChlorosis, CodePatchChlorosis:
		return chlorosis
	case CodeDisease, CodePatchDisease:
		return disease
	case CodeGradient, CodeAcross, CodeEdge, CodeTwoGroups, CodeFlagGradient, CodeFlagAcross, CodeFlagEdge:
		for _, t := range traits {
			if t.Trait == f.Trait {
				return t.N
			}
		}
		// Of a flag: where it shows.
		switch f.Trait {
		case FlagRot:
			return rot
		case FlagChlorosis:
			return chlorosis
		case FlagDisease:
			return disease
		}
	}
	return 0
}

func answered(earlier schema.BedScore, later []schema.BedScore, f schema.Finding) bool {
	n := asked(earlier, f)
	return n == 0 || slices.ContainsFunc(later, func(s schema.BedScore) bool {
		return asked(s, f) >= max(min(Fewest, n), (n+answeredBy-1)/answeredBy)
	})
}

// gone is true when a finding names a lot that the newest of these walks no longer had on its bed.
func gone(lot string, later []schema.BedScore) bool {
	return lot != "" && len(later) > 0 && !slices.ContainsFunc(later[0].Lots, func(l schema.LotScore) bool { return l.Lot == lot })
}

// Answered is true when later walks have looked at everything that an earlier one looked at, in each of its lots.
func Answered(earlier schema.BedScore, later []schema.BedScore) bool {
	names := []string{""}
	for _, l := range earlier.Lots {
		names = append(names, l.Lot)
	}
	for _, lot := range names {
		for _, f := range []schema.Finding{
			{Code: CodeRot}, {Code: CodeChlorosis}, {Code: CodeDisease}, {Code: CodeGradient, Trait: Head}, {Code: CodeGradient, Trait: Buds},
		} {
			f.Lot = lot
			if !gone(lot, later) && !answered(earlier, later, f) {
				return false
			}
		}
	}
	return true
}

// StillOpen are the findings of an earlier whole walk that need a step and that no later whole walk has answered, dated by when
// that walk was (ms). One that names a lot is answered by pots of that lot alone, and ends when the lot has left the bed. What
// later already holds is for the caller to have taken in: newer walks first.
func StillOpen(earlier schema.BedScore, later []schema.BedScore, at int64) []schema.Finding {
	var open []schema.Finding
	for _, f := range earlier.Findings {
		if !f.Attention || gone(f.Lot, later) || answered(earlier, later, f) {
			continue
		}
		f.SeenAt = at
		open = append(open, f)
	}
	return open
}

// SortFindings sorts findings in the order of Codes.
func SortFindings(all []schema.Finding) {
	slices.SortStableFunc(all, func(a, b schema.Finding) int {
		return slices.Index(Codes, a.Code) - slices.Index(Codes, b.Code)
	})
}
