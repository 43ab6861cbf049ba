package view

import (
	"context"
	"maps"
	"slices"

	"bedwalk/schema"
	"bedwalk/server/journal"
)

// FieldBriefing is what phones in the field receive: every bed's findings from its last whole walk, and how the person reads.
func (d *Views) FieldBriefing(ctx context.Context, person string) (v schema.FieldBriefing, err error) {
	v = schema.FieldBriefing{Beds: []schema.BedBriefing{}, MadeAt: d.journal.NowMS()}
	err = d.fresh(ctx, func(snap *journal.Snapshot) error {
		for _, id := range slices.Sorted(maps.Keys(d.n.beds)) {
			state, err := d.bedOf(snap, id)
			if err != nil {
				return err
			}
			if state.latest == nil {
				continue
			}
			v.Beds = append(v.Beds, schema.BedBriefing{
				Bed: id, Walk: state.shown.id, At: state.shown.at, Findings: state.latest.Findings, UnderWay: d.underWay(state),
			})
		}
		drifts, err := d.driftsAt(snap)
		if err != nil {
			return err
		}
		if at := slices.IndexFunc(drifts, func(one schema.Drift) bool { return one.Person == person && one.Bias.Known }); at >= 0 {
			v.Drift = &drifts[at]
		}
		return nil
	})
	return v, err
}
