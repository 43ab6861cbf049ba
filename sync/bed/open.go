package bed

import (
	"slices"

	"bedwalk/schema"
)

// A finding stands until a whole walk has looked at the same thing on at least half as many pots as the walk that found it (and on
// Fewest at least). A walk that pulled no root out of its pot says nothing about rot. Common practice, no source.
const answeredBy = 2

// asked is what each finding that outlives its walk was looked for in: the number of pots that a score rests on. Findings about
// the walk itself, and about shapes that need no step, end with it.
func asked(s schema.BedScore, code, trait string) int {
	switch code {
	case CodeRot, CodePatchRot:
		return s.Rot.N
	case CodeChlorosis, CodePatchChlorosis:
		return s.Chlorosis.N
	case CodeDisease, CodePatchDisease:
		return s.Disease.N
	case CodeGradient, CodeAcross, CodeEdge, CodeTwoGroups, CodeFlagGradient, CodeFlagAcross, CodeFlagEdge:
		for _, t := range s.Traits {
			if t.Trait == trait {
				return t.N
			}
		}
		// Of a flag: where it shows.
		switch trait {
		case FlagRot:
			return s.Rot.N
		case FlagChlorosis:
			return s.Chlorosis.N
		case FlagDisease:
			return s.Disease.N
		}
	}
	return 0
}

func answered(earlier schema.BedScore, later []schema.BedScore, code, trait string) bool {
	n := asked(earlier, code, trait)
	return n == 0 || slices.ContainsFunc(later, func(s schema.BedScore) bool {
		return asked(s, code, trait) >= max(min(Fewest, n), (n+answeredBy-1)/answeredBy)
	})
}

// Answered is true when later walks have looked at everything that an earlier one looked at.
func Answered(earlier schema.BedScore, later []schema.BedScore) bool {
	for _, code := range []string{CodeRot, CodeChlorosis, CodeDisease} {
		if !answered(earlier, later, code, "") {
			return false
		}
	}
	return answered(earlier, later, CodeGradient, Head) && answered(earlier, later, CodeGradient, Buds)
}

// StillOpen are the findings of an earlier whole walk that need a step and that no later whole walk has answered, dated by when
// that walk was (ms). One that names a lot ends when the lot has left the bed. What later already holds is for the caller to have
// taken in: newer walks first.
func StillOpen(earlier schema.BedScore, later []schema.BedScore, at int64) []schema.Finding {
	var open []schema.Finding
	for _, f := range earlier.Findings {
		if !f.Attention || answered(earlier, later, f.Code, f.Trait) {
			continue
		}
		if f.Lot != "" && len(later) > 0 && !slices.ContainsFunc(later[0].Lots, func(l schema.LotScore) bool { return l.Lot == f.Lot }) {
			continue
		}
		f.SeenAt = at
		open = append(open, f)
	}
	return open
}

// SortFindings puts findings into the order of Codes.
func SortFindings(all []schema.Finding) {
	slices.SortStableFunc(all, func(a, b schema.Finding) int {
		return slices.Index(Codes, a.Code) - slices.Index(Codes, b.Code)
	})
}
