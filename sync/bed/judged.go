package bed

import (
	"iter"

	"bedwalk/schema"
)

const hourMS = 60 * 60 * 1000

// JudgedFrom fills a profile's values into what a crop is judged by; a value that the profile leaves out stays base's.
func JudgedFrom(p schema.Profile, base schema.Judged) schema.Judged {
	set := func(to *int, from *int) {
		if from != nil {
			*to = *from
		}
	}
	set(&base.HeadToleranceBP, p.HeadToleranceBP)
	set(&base.BudToleranceBP, p.BudToleranceBP)
	set(&base.ExpectedCVBP, p.ExpectedCVBP)
	set(&base.WidthBP, p.WidthBP)
	set(&base.MinPots, p.MinPots)
	set(&base.MaxPots, p.MaxPots)
	set(&base.WalkEveryDays, p.WalkEveryDays)
	set(&base.TroubleOkBP, p.TroubleOkBP)
	set(&base.TroubleBadBP, p.TroubleBadBP)
	set(&base.RiskMissBP, p.RiskMissBP)
	set(&base.RiskFalseBP, p.RiskFalseBP)
	set(&base.ExpectedLossBP, p.ExpectedLossBP)
	set(&base.PromiseMin, p.PromiseMin)
	set(&base.GradedFromWeeks, p.GradedFromWeeks)
	set(&base.SharingSDMilli, p.SharingSDMilli)
	if p.Grades != nil {
		base.Grades = *p.Grades
	}
	return base
}

// ClosedUntil is when the last label entry interval on a bed ends (ms since 1970): for each application that names the bed,
// its end plus its hours. 0 when none names it. It may lie in the past: the bed is closed while now is before it.
func ClosedUntil(apps iter.Seq[schema.Application], bed string) int64 {
	until := int64(0)
	for a := range apps {
		for _, b := range a.Beds {
			if b == bed {
				until = max(until, a.EndedAt+int64(a.EntryHours)*hourMS)
			}
		}
	}
	return until
}
