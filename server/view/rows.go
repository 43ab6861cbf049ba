package view

import (
	"context"
	"time"

	"bedwalk/schema"
	"bedwalk/server/journal"
)

// Filter chooses observations for the export; an empty field asks for all. From and To are days of the nursery's own
// time zone ("2026-03-14"), both included.
type Filter struct{ Bed, Lot, From, To string }

// PotRow is one pot with the names that a reader of a table wants.
type PotRow struct {
	ID, House, Bed, LotTag, Crop, Cultivar, Scout string
	// Seen is in the nursery's own time zone.
	Seen time.Time
	Pot  schema.Pot
}

// Observations visits every pot that a filter chooses, struck-out ones too, in the order of their ids.
func (v *Views) Observations(ctx context.Context, only Filter, each func(PotRow) error) error {
	var n *nursery
	if err := v.at(ctx, func(m *moment) error {
		n = m.n
		return nil
	}); err != nil {
		return err
	}
	zone, houses := n.location(), map[string]string{}
	for _, h := range n.houses {
		houses[h.id] = valueOr(h.Name, "")
	}
	// The names may be of a moment earlier than the pots, which harms nobody; holding the desk for a long export would.
	return v.journal.Read(ctx, func(snap *journal.Snapshot) error {
		visit := func(r schema.Record) error {
			if r.Pot == nil {
				return nil
			}
			seen := time.UnixMilli(r.Pot.First.Stamp.At).In(zone)
			day := seen.Format(time.DateOnly)
			if only.Lot != "" && r.Pot.Now.Lot != only.Lot || only.Bed != "" && r.Pot.Now.Bed != only.Bed ||
				only.From != "" && day < only.From || only.To != "" && day > only.To {
				return nil
			}
			b, l := n.beds[r.Pot.Now.Bed], n.lots[r.Pot.Now.Lot]
			return each(PotRow{
				ID: nameOf(r.Key), House: houses[valueOr(b.House, "")], Bed: valueOr(b.Name, ""), LotTag: valueOr(l.Tag, ""), Crop: valueOr(l.Crop, ""),
				Cultivar: valueOr(l.Cultivar, ""), Scout: n.people[r.Pot.First.Person], Seen: seen, Pot: *r.Pot,
			})
		}
		switch {
		case only.Bed != "":
			return snap.OfBed(only.Bed, visit)
		case only.Lot != "":
			return snap.OfLot(only.Lot, visit)
		}
		return snap.OfKind("pot", visit)
	})
}

// People are all who write notes and have not left, with name and role set.
func (v *Views) People(ctx context.Context) (all []schema.Person, err error) {
	err = v.journal.Read(ctx, func(snap *journal.Snapshot) error {
		return snap.OfKind("person", func(r schema.Record) error {
			p := shown[schema.Person](r)
			if name, role := valueOr(p.Name, ""), valueOr(p.Role, ""); !valueOr(p.Left, false) {
				all = append(all, schema.Person{Writes: schema.Writes{Of: r.Register.Of}, Name: &name, Role: &role})
			}
			return nil
		})
	})
	return all, err
}
