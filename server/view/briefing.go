package view

import (
	"context"
	"maps"
	"slices"

	"bedwalk/schema"
)

// FieldBriefing is what phones in the field receive: every bed's findings from its last whole walk, and how the person reads.
func (v *Views) FieldBriefing(ctx context.Context, person string) (briefing schema.FieldBriefing, err error) {
	briefing = schema.FieldBriefing{Beds: []schema.BedBriefing{}, MadeAt: v.journal.NowMS()}
	err = v.whole(ctx, func(m *moment) error {
		for _, id := range slices.Sorted(maps.Keys(m.n.beds)) {
			state, err := m.bed(id)
			if err != nil {
				return err
			}
			if state.latest == nil {
				continue
			}
			briefing.Beds = append(briefing.Beds, schema.BedBriefing{
				Bed: id, Walk: state.shown.ID, At: state.shown.At, Findings: state.latest.Findings, UnderWay: m.underWay(state),
			})
		}
		drifts, err := m.driftsNow()
		if err != nil {
			return err
		}
		if at := slices.IndexFunc(drifts, func(one schema.Drift) bool { return one.Person == person && one.Bias.Known }); at >= 0 {
			briefing.Drift = &drifts[at]
		}
		return nil
	})
	return briefing, err
}
