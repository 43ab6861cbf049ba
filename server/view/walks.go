package view

import (
	"cmp"
	"crypto/sha256"
	"encoding/json"
	"maps"
	"slices"

	"bedwalk/schema"
	"bedwalk/server/journal"
	"bedwalk/sync/bed"
)

// bedState is what is remembered of one bed: its walks, each measured, and the last whole ones scored in full.
type bedState struct {
	stale bool
	// walks are oldest first; blind re-scores and struck-out walks are not among them.
	walks []*walk
	// measured and scored are results by the hash of their input.
	measured, scored map[[32]byte]schema.BedScore
	// latest is the score that the bed is shown by: of the last whole walk, or of the last one while none was whole. before is
	// of the whole walk before it. shown is the walk of latest, nil when nobody has walked.
	latest, before *schema.BedScore
	shown          *walk
}

type walk struct {
	id     string
	at     int64
	person string
	pots   []schema.Record // struck-out ones too
	// whole is bed.Whole; one that was ended need not be.
	whole, ended bool
	// planned pots, 0 when the opening has not come.
	planned int
	input   schema.BedInput
	score   schema.BedScore
}

// bedOf is a bed's state, computed anew when something about the bed has changed.
func (d *Views) bedOf(snap *journal.Snapshot, id string) (*bedState, error) {
	b := d.beds[id]
	if b != nil && !b.stale {
		return b, nil
	}
	if b == nil {
		b = &bedState{measured: map[[32]byte]schema.BedScore{}, scored: map[[32]byte]schema.BedScore{}}
	}
	walks, err := readWalks(snap, id)
	if err != nil {
		return nil, err
	}
	fresh := &bedState{walks: walks, measured: map[[32]byte]schema.BedScore{}, scored: map[[32]byte]schema.BedScore{}}
	shown := shownOf(walks)
	for i, w := range walks {
		w.input = d.n.input(id, w, i >= shown)
		if w.score, err = remembered(b.measured, fresh.measured, w.input, bed.Measure); err != nil {
			return nil, err
		}
	}
	if shown >= 0 {
		fresh.shown = walks[shown]
		scored := func(w *walk) (schema.BedScore, error) { return remembered(b.scored, fresh.scored, w.input, bed.Score) }
		if fresh.latest, fresh.before, err = standsNow(walks[:shown+1], scored); err != nil {
			return nil, err
		}
	}
	d.beds[id] = fresh
	return fresh, nil
}

// remembered is score(in), or what it gave when it was last asked the same.
func remembered(old, fresh map[[32]byte]schema.BedScore, in schema.BedInput, score func(schema.BedInput) schema.BedScore) (schema.BedScore, error) {
	raw, err := json.Marshal(in)
	if err != nil {
		return schema.BedScore{}, err
	}
	key := sha256.Sum256(raw)
	s, ok := old[key]
	if !ok {
		s = score(in)
	}
	fresh[key] = s
	return s, nil
}

// readWalks gathers a bed's pots by walk.
func readWalks(snap *journal.Snapshot, bedID string) ([]*walk, error) {
	byID := map[string]*walk{}
	opened := map[string]*schema.WalkPart{}
	if err := snap.OfBed(bedID, func(r schema.Record) error {
		switch {
		case r.Pot != nil:
			w, ok := byID[r.Pot.Now.Walk]
			if !ok {
				w = &walk{id: r.Pot.Now.Walk, at: r.Pot.First.Stamp.At, person: r.Pot.First.Person, whole: true}
				byID[w.id] = w
			}
			w.pots = append(w.pots, r)
		case r.Walk != nil:
			opened[nameOf(r.Key)] = r.Walk
		}
		return nil
	}); err != nil {
		return nil, err
	}
	for id, part := range opened {
		w, ok := byID[id]
		if !ok {
			continue
		}
		if part.Voided != nil || part.Open != nil && part.Open.Round != "" {
			delete(byID, id)
			continue
		}
		if part.By != nil {
			w.at, w.person = part.By.Stamp.At, part.By.Person
		}
		w.whole, w.ended = bed.Whole(*part, len(seen(w.pots))), part.End != nil
		if part.Open != nil {
			w.planned = part.Open.Planned
		}
	}
	walks := slices.Collect(maps.Values(byID))
	walks = slices.DeleteFunc(walks, func(w *walk) bool { return len(seen(w.pots)) == 0 })
	slices.SortFunc(walks, func(a, b *walk) int { return cmp.Or(cmp.Compare(a.at, b.at), cmp.Compare(a.id, b.id)) })
	return walks, nil
}

// potsOf are the records of pots under their ids.
func potsOf(records []schema.Record) []schema.PotRecord {
	all := make([]schema.PotRecord, len(records))
	for i, r := range records {
		all[i] = schema.PotRecord{ID: nameOf(r.Key), Pot: *r.Pot}
	}
	return all
}

func seen(records []schema.Record) []schema.PotSeen { return bed.Seen(potsOf(records)) }

// input gathers what a walk is judged from.
func (n *nursery) input(id string, w *walk, newest bool) schema.BedInput {
	in := bed.Input(n.recordsOf(id, w.pots), potsOf(w.pots), newest)
	n.addChanges(&in, id, w.at)
	return in
}

// recordsOf is what the records say about a bed and about the lots of pots that were seen on it.
func (n *nursery) recordsOf(id string, pots []schema.Record) schema.BedRecords {
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
	for _, r := range pots {
		records.Lots[r.Pot.Now.Lot] = n.factOf(r.Pot.Now.Lot)
	}
	return records
}

func (n *nursery) factOf(id string) schema.LotFact {
	l := n.lots[id]
	return schema.LotFact{
		PotMM: valueOr(l.PotMM, 0), ShipWeek: valueOr(l.ShipWeek, ""), Shipped: valueOr(l.ShippedOn, "") != "", Judged: n.judgedOf(id),
	}
}
