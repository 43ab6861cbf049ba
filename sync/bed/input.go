package bed

import (
	"maps"
	"slices"

	"bedwalk/schema"
)

// Input collects what a bed is scored from and a walk of it is planned from. Pots that were struck out are left out. The
// newest walk is judged on what stands on the bed today and on the lots that it saw; an earlier one on the lots that it
// saw alone, because the others may not have been there. A lot that has left the bed is judged by its own crop's profile.
func Input(records schema.BedRecords, pots []schema.PotRecord, newest bool) schema.BedInput {
	b := records.Bed
	in := schema.BedInput{
		Bed: records.ID, Rows: valueOr(b.Rows, 1), Across: valueOr(b.Across, 1), LengthMM: valueOr(b.LengthMM, 0),
		EntryEnd: valueOr(b.EntryEnd, ""), FarEnd: valueOr(b.FarEnd, ""), Aisles: valueOr(b.Aisles, "near"),
		Lots: []schema.LotOnBed{}, Pots: Seen(pots),
	}
	unplaced := map[string]bool{}
	for _, p := range in.Pots {
		unplaced[p.Now.Lot] = true
	}
	saw := maps.Clone(unplaced)
	for _, s := range records.Spans {
		lot := valueOr(s.Span.Lot, "")
		onlyIfSeen := !newest || valueOr(s.Span.Ended, false)
		if onlyIfSeen && !saw[lot] {
			continue
		}
		delete(unplaced, lot)
		in.Lots = append(in.Lots, onSpan(s, factOf(records, lot), in))
	}
	for _, lot := range slices.Sorted(maps.Keys(unplaced)) {
		fact := factOf(records, lot)
		in.Lots = append(in.Lots, schema.LotOnBed{
			Lot: lot, FromRow: 1, ToRow: in.Rows, PotMM: fact.PotMM, ShipWeek: fact.ShipWeek, Shipped: fact.Shipped, Judged: fact.Judged,
		})
	}
	return in
}

// factOf returns what a lot is judged by; a lot whose record has not arrived yet is judged by Bedwalk's defaults.
func factOf(records schema.BedRecords, lot string) schema.LotFact {
	if fact, ok := records.Lots[lot]; ok {
		return fact
	}
	return schema.LotFact{Judged: schema.DefaultJudged()}
}

func onSpan(s schema.SpanRecord, fact schema.LotFact, in schema.BedInput) schema.LotOnBed {
	on := schema.LotOnBed{
		Lot: valueOr(s.Span.Lot, ""), FromRow: valueOr(s.Span.FromRow, 1), ToRow: valueOr(s.Span.ToRow, in.Rows),
		PotMM: fact.PotMM, ShipWeek: fact.ShipWeek, Shipped: fact.Shipped, Judged: fact.Judged,
		Bookings: s.Bookings,
	}
	switch {
	case s.Counted != nil:
		// A ledger below zero shows that notes are still to come, not that there are fewer than no pots.
		on.PotsOnBed = max(0, *s.Counted)
	case !valueOr(s.Span.Ended, false):
		on.PotsOnBed, on.Uncounted = max(0, on.ToRow-on.FromRow+1)*in.Across, true
	}
	return on
}

// Seen returns the pots that count: not struck out, as corrected, each by the person who first noted it.
func Seen(pots []schema.PotRecord) []schema.PotSeen {
	all := []schema.PotSeen{}
	for _, p := range pots {
		if p.Voided == nil {
			// A corrected pot was checked twice: it is not offered as a slip again.
			all = append(all, schema.PotSeen{ID: p.ID, Person: p.First.Person, At: p.First.Stamp.At, Now: p.Now, Checked: p.Versions > 1})
		}
	}
	return all
}

func valueOr[T any](p *T, otherwise T) T {
	if p == nil {
		return otherwise
	}
	return *p
}
