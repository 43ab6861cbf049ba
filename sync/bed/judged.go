package bed

import (
	"encoding/json"
	"fmt"

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
	if p.Grades != nil {
		base.Grades = *p.Grades
	}
	return base
}

// JudgedFromFields is JudgedFrom for a folded profile register: each field's shown value. A field that is not of the
// profile's type is an error naming it; an emptied one (null) counts as left out.
func JudgedFromFields(fields map[string]schema.Field, base schema.Judged) (schema.Judged, error) {
	values := make(map[string]json.RawMessage, len(fields))
	for name, f := range fields {
		values[name] = f.Value
	}
	raw, err := json.Marshal(values)
	if err != nil {
		return base, fmt.Errorf("profile fields are not JSON, write the profile again: %w", err)
	}
	var p schema.Profile
	if err := json.Unmarshal(raw, &p); err != nil {
		return base, fmt.Errorf("profile has a field of the wrong type, write that field again: %w", err)
	}
	return JudgedFrom(p, base), nil
}

// ClosedUntil is when the last label entry interval on a bed ends (ms since 1970): for each application that names the bed,
// its end plus its hours. 0 when none names it. It may lie in the past: the bed is closed while now is before it.
func ClosedUntil(apps []schema.Application, bed string) int64 {
	until := int64(0)
	for _, a := range apps {
		for _, b := range a.Beds {
			if b == bed {
				until = max(until, a.EndedAt+int64(a.EntryHours)*hourMS)
			}
		}
	}
	return until
}
