package view

import (
	"crypto/sha256"
	"encoding/json"
	"maps"
	"slices"

	"bedwalk/schema"
	"bedwalk/sync/bed"
)

// ground is what the records say about a bed apart from its pots: the same for all its walks.
type ground struct{ records schema.BedRecords }

func (n *nursery) groundOf(id string) ground {
	records := schema.BedRecords{ID: id, Bed: n.beds[id], Lots: map[string]schema.LotFact{}}
	for _, s := range n.spans[id] {
		lot := valueOr(s.Lot, "")
		one := schema.SpanRecord{Span: s.Span, Bookings: n.bookedOn(lot, n.potsOnBed(lot, s.id))}
		if counted, known := n.counted(lot, s.id); known {
			one.Counted = &counted
		}
		records.Spans = append(records.Spans, one)
		records.Lots[lot] = n.factOf(lot)
	}
	return ground{records}
}

// with is the bed's records with those of lots that were seen on it.
func (g ground) with(n *nursery, lots []string) schema.BedRecords {
	records := g.records
	records.Lots = maps.Clone(g.records.Lots)
	for _, lot := range lots {
		records.Lots[lot] = n.factOf(lot)
	}
	return records
}

// lotsWith are the lots that stand or stood on the bed, and those that its walks saw.
func (g ground) lotsWith(walks map[string]*walk) []string {
	lots := slices.Collect(maps.Keys(g.records.Lots))
	for _, w := range walks {
		lots = append(lots, w.Lots...)
	}
	slices.Sort(lots)
	return slices.Compact(lots)
}

func (n *nursery) factOf(id string) schema.LotFact {
	l := n.lots[id]
	return schema.LotFact{
		PotMM: valueOr(l.PotMM, 0), ShipWeek: valueOr(l.ShipWeek, ""), Shipped: valueOr(l.ShippedOn, "") != "", Judged: n.judgedOf(id),
	}
}

// contextOf is a hash of what a walk is judged by, its pots aside: of them only which lots they were matters to it.
func (n *nursery) contextOf(id string, w *walk, ground ground, newest bool) ([]byte, error) {
	lots := make([]schema.PotRecord, len(w.Lots))
	for i, lot := range w.Lots {
		lots[i].Now.Lot = lot
	}
	in := bed.Input(ground.with(n, w.Lots), lots, newest)
	n.addChanges(&in, id, w.At)
	in.Pots = nil
	raw, err := json.Marshal(in)
	if err != nil {
		return nil, err
	}
	hash := sha256.Sum256(raw)
	return hash[:16], nil
}

// spanViews are the stretches of a bed that lots stand on now.
func (n *nursery) spanViews(bed string) []schema.SpanView {
	all := []schema.SpanView{}
	for _, s := range n.spans[bed] {
		if !valueOr(s.Ended, false) {
			all = append(all, n.spanView(s))
		}
	}
	return all
}

func (n *nursery) spanView(s span) schema.SpanView {
	id := valueOr(s.Lot, "")
	l := n.lots[id]
	return schema.SpanView{
		Span: s.id, Lot: id, Tag: valueOr(l.Tag, ""), Crop: valueOr(l.Crop, ""), Cultivar: valueOr(l.Cultivar, ""), PotMM: valueOr(l.PotMM, 0),
		FromRow: valueOr(s.FromRow, 0), ToRow: valueOr(s.ToRow, 0), Pots: n.potsOnBed(id, s.id),
	}
}
