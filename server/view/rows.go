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

// potsAtOnce is how many pots of an export are read in one transaction.
const potsAtOnce = 2000

// Observations visits every pot that a filter chooses, struck-out ones too, in the order of their ids. Page is called before each
// part is read. Pots are read part by part and visited between the reads, so an export may take as long as its reader does;
// each pot is as it was when its part was read.
func (v *Views) Observations(ctx context.Context, only Filter, page func() error, each func(PotRow) error) error {
	var n *nursery
	if err := v.at(ctx, func(m *moment) error {
		n = m.n
		return nil
	}); err != nil {
		return err
	}
	for after := ""; ; {
		if err := page(); err != nil {
			return err
		}
		var pots []schema.Record
		take := func(r schema.Record) error {
			if r.Pot != nil {
				pots = append(pots, r)
			}
			return nil
		}
		last := only.Bed != "" || only.Lot != ""
		if err := v.journal.Read(ctx, func(snap *journal.Snapshot) error {
			switch {
			case only.Bed != "":
				return snap.OfBed(only.Bed, take)
			case only.Lot != "":
				return snap.OfLot(only.Lot, take)
			}
			return snap.PotsAfter(after, potsAtOnce, take)
		}); err != nil {
			return err
		}
		for _, r := range pots {
			row := n.row(r)
			if !only.takes(row) {
				continue
			}
			if err := each(row); err != nil {
				return err
			}
		}
		if last || len(pots) == 0 {
			return nil
		}
		after = pots[len(pots)-1].Key
	}
}

func (n *nursery) row(r schema.Record) PotRow {
	b, l := n.beds[r.Pot.Now.Bed], n.lots[r.Pot.Now.Lot]
	return PotRow{
		ID: nameOf(r.Key), House: n.houseNames[valueOr(b.House, "")], Bed: valueOr(b.Name, ""), LotTag: valueOr(l.Tag, ""), Crop: valueOr(l.Crop, ""),
		Cultivar: valueOr(l.Cultivar, ""), Scout: n.people[r.Pot.First.Person], Seen: time.UnixMilli(r.Pot.First.Stamp.At).In(n.location()), Pot: *r.Pot,
	}
}

// takes is true for a row that the filter chooses.
func (f Filter) takes(r PotRow) bool {
	day := r.Seen.Format(time.DateOnly)
	return (f.Lot == "" || r.Pot.Now.Lot == f.Lot) && (f.Bed == "" || r.Pot.Now.Bed == f.Bed) && (f.From == "" || day >= f.From) && (f.To == "" || day <= f.To)
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
