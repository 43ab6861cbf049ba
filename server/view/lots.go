package view

import (
	"cmp"
	"context"
	"encoding/json"
	"maps"
	"slices"

	"bedwalk/schema"
	"bedwalk/server/access"
	"bedwalk/server/journal"
	"bedwalk/sync/bed"
)

// historyShown bounds the history of one page.
const historyShown = 500

// Lots is every lot in short, in the order of their tags.
func (d *Views) Lots(ctx context.Context) (all []schema.LotBrief, err error) {
	all = []schema.LotBrief{}
	err = d.fresh(ctx, func(snap *journal.Snapshot) error {
		for _, id := range slices.Sorted(maps.Keys(d.n.lots)) {
			brief, err := d.lotBrief(snap, id)
			if err != nil {
				return err
			}
			all = append(all, brief)
		}
		return nil
	})
	slices.SortStableFunc(all, func(a, b schema.LotBrief) int { return cmp.Compare(a.Tag, b.Tag) })
	return all, err
}

// Lot is one lot's merged record.
func (d *Views) Lot(ctx context.Context, id string) (v schema.LotView, err error) {
	devices, err := d.gate.Devices(ctx)
	if err != nil {
		return v, err
	}
	own, err := d.journal.OwnDevice(ctx)
	if err != nil {
		return v, err
	}
	v = schema.LotView{
		Spans: []schema.SpanView{}, BedOf: map[string]string{}, Scores: []schema.LotPoint{}, Children: []schema.LotBrief{}, Bookings: []schema.BookingView{},
		MadeAt: d.journal.NowMS(),
	}
	err = d.fresh(ctx, func(snap *journal.Snapshot) error {
		l, ok := d.n.lots[id]
		if !ok {
			return ErrNoSuch
		}
		v.People = d.n.people
		v.Bookings, v.ShippedFree = d.n.served(id)
		for _, step := range []func() error{
			func() (err error) { v.Lot, err = d.lotBrief(snap, id); return err },
			func() (err error) { v.Record, _, err = snap.Record("lot:" + id); return err },
			func() (err error) { v.Stock, err = stockOf(snap, id); return err },
			func() (err error) { v.Scores, err = d.lotPoints(snap, id); return err },
			func() (err error) {
				v.Facts, err = facts(func(f func(schema.Record) error) error { return snap.OfLot(id, f) })
				return err
			},
			func() (err error) { v.History, err = d.history(snap, id, devices, own); return err },
			func() error { return d.family(snap, id, valueOr(l.Parent, ""), &v) },
			func() (err error) { v.Promise, err = d.promise(snap, id); return err },
		} {
			if err := step(); err != nil {
				return err
			}
		}
		for _, bed := range slices.Sorted(maps.Keys(d.n.spans)) {
			for _, s := range d.n.spans[bed] {
				if valueOr(s.Lot, "") == id {
					v.Spans = append(v.Spans, d.n.spanView(s))
					v.BedOf[s.id] = bed
				}
			}
		}
		return nil
	})
	return v, err
}

func stockOf(snap *journal.Snapshot, id string) (schema.Record, error) {
	r, found, err := snap.Record("stock:" + id)
	if !found {
		r = schema.Record{Key: "stock:" + id, Lot: id, Stock: &schema.Stock{BySpan: map[string]int{}, Lines: []schema.StockLine{}}}
	}
	return r, err
}

func (d *Views) family(snap *journal.Snapshot, id, parent string, v *schema.LotView) error {
	if _, ok := d.n.lots[parent]; ok {
		brief, err := d.lotBrief(snap, parent)
		if err != nil {
			return err
		}
		v.Parent = &brief
	}
	for _, child := range slices.Sorted(maps.Keys(d.n.lots)) {
		if valueOr(d.n.lots[child].Parent, "") != id {
			continue
		}
		brief, err := d.lotBrief(snap, child)
		if err != nil {
			return err
		}
		v.Children = append(v.Children, brief)
	}
	return nil
}

// lotPoints are a lot's scores, walk by walk over all its beds, oldest first.
func (d *Views) lotPoints(snap *journal.Snapshot, id string) ([]schema.LotPoint, error) {
	beds := map[string]bool{}
	d.n.addBedsOf(id, beds)
	points := []schema.LotPoint{}
	for _, bed := range slices.Sorted(maps.Keys(beds)) {
		state, err := d.bedOf(snap, bed)
		if err != nil {
			return nil, err
		}
		for _, w := range state.walks {
			score := w.score
			if w == state.shown {
				score = *state.latest
			}
			for _, l := range score.Lots {
				if l.Lot == id && l.Seen > 0 {
					points = append(points, schema.LotPoint{Walk: w.id, Bed: bed, At: w.at, PersonName: d.n.people[w.person], Score: l})
				}
			}
		}
	}
	slices.SortStableFunc(points, func(a, b schema.LotPoint) int { return cmp.Compare(a.At, b.At) })
	return points, nil
}

func (d *Views) lotBrief(snap *journal.Snapshot, id string) (schema.LotBrief, error) {
	l := d.n.lots[id]
	brief := schema.LotBrief{
		ID: id, Tag: valueOr(l.Tag, ""), Crop: valueOr(l.Crop, ""), Cultivar: valueOr(l.Cultivar, ""), PotMM: valueOr(l.PotMM, 0),
		StruckOn: valueOr(l.StruckOn, ""), PottedOn: valueOr(l.PottedOn, ""), ShipWeek: valueOr(l.ShipWeek, ""), Beds: []string{}, Disagree: l.disagree,
	}
	if s := d.n.stock[id]; s != nil {
		brief.Pots = s.Pots
	}
	for _, bed := range slices.Sorted(maps.Keys(d.n.spans)) {
		if slices.ContainsFunc(d.n.spans[bed], func(s span) bool { return valueOr(s.Lot, "") == id && !valueOr(s.Ended, false) }) {
			brief.Beds = append(brief.Beds, bed)
		}
	}
	points, err := d.lotPoints(snap, id)
	if err != nil || len(points) == 0 {
		return brief, err
	}
	brief.Uniformity, brief.LimitingTrait = weaker(points[len(points)-1].Score)
	return brief, nil
}

// weaker is the uniformity of a lot's less uniform trait, and which one that is.
func weaker(l schema.LotScore) (least schema.Estimate, trait string) {
	for _, t := range l.Traits {
		if t.Uniformity.Known && t.N >= bed.Fewest && (trait == "" || t.Uniformity.Value < least.Value) {
			least, trait = t.Uniformity, t.Trait
		}
	}
	return least, trait
}

func (d *Views) history(snap *journal.Snapshot, id string, devices []access.Device, own string) ([]schema.HistoryLine, error) {
	entries, err := snap.History(id, historyShown)
	if err != nil {
		return nil, err
	}
	names := map[string]string{own: "server"}
	for _, device := range devices {
		names[device.ID] = device.Name
	}
	lines := make([]schema.HistoryLine, len(entries))
	for i, e := range entries {
		lines[i] = schema.HistoryLine{
			Entry: e.Entry.ID, Kind: e.Entry.Kind, At: e.Stamp, PersonName: d.n.people[e.Entry.Person],
			DeviceName: names[e.Entry.Device], Body: json.RawMessage(e.Entry.Body),
		}
	}
	return lines, nil
}
