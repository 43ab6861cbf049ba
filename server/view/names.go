package view

import (
	"context"

	"bedwalk/schema"
	"bedwalk/server/journal"
)

// Names are what beds are called. They wait for no view.
func (v *Views) Names(ctx context.Context) (names schema.NamesView, err error) {
	names.Beds = []schema.BedName{}
	houses := map[string]string{}
	err = v.journal.Read(ctx, func(snap *journal.Snapshot) error {
		err := snap.OfKind("house", func(r schema.Record) error {
			houses[r.Register.Of] = valueOr(shown[schema.House](r).Name, "")
			return nil
		})
		if err != nil {
			return err
		}
		return snap.OfKind("bed", func(r schema.Record) error {
			if isStruckOut(r) {
				return nil
			}
			b := shown[schema.Bed](r)
			names.Beds = append(names.Beds, schema.BedName{ID: r.Register.Of, Name: valueOr(b.Name, ""), House: houses[valueOr(b.House, "")]})
			return nil
		})
	})
	return names, err
}
