package view

import (
	"cmp"
	"context"
	"maps"
	"slices"

	"bedwalk/schema"
	"bedwalk/server/journal"
	"bedwalk/sync/bed"
)

// factsShown bounds the notes, readings and photos of one page; older ones stay in the export.
const factsShown = 300

// Bed is one bed in full, from one of its walks: the one that the bed is shown by (see shownOf) when walkID is "".
func (d *Views) Bed(ctx context.Context, id, walkID string) (v schema.BedView, err error) {
	v = schema.BedView{Pots: []schema.PotView{}, Facts: []schema.Record{}, Walks: []schema.TrendPoint{}, MadeAt: d.journal.NowMS()}
	err = d.fresh(ctx, func(snap *journal.Snapshot) error {
		if _, ok := d.n.beds[id]; !ok {
			return ErrNoSuch
		}
		if v.Bed, err = d.brief(snap, id); err != nil {
			return err
		}
		v.Walks, v.People = v.Bed.Trend, d.n.people
		for _, h := range d.n.houses {
			if h.id == v.Bed.House {
				v.HouseName = valueOr(h.Name, "")
			}
		}
		if err := d.showWalk(snap, id, walkID, &v); err != nil {
			return err
		}
		v.Facts, err = facts(func(visit func(schema.Record) error) error { return d.visitBed(snap, id, visit) })
		return err
	})
	return v, err
}

// visitBed visits the records of a bed, and the applications that close it. An application is filed under the first of its
// beds alone, but nobody who looks at another one may miss it.
func (d *Views) visitBed(snap *journal.Snapshot, id string, visit func(schema.Record) error) error {
	if err := snap.OfBed(id, visit); err != nil {
		return err
	}
	for _, key := range slices.Sorted(maps.Keys(d.n.applications)) {
		if !slices.Contains(d.n.applications[key].Beds, id) {
			continue
		}
		r, found, err := snap.Record(key)
		if err != nil {
			return err
		}
		if found && r.Bed != id {
			if err := visit(r); err != nil {
				return err
			}
		}
	}
	return nil
}

func (d *Views) showWalk(snap *journal.Snapshot, id, walkID string, v *schema.BedView) error {
	state, err := d.bedOf(snap, id)
	if err != nil {
		return err
	}
	if walkID == "" && len(state.walks) == 0 {
		return nil
	}
	w := state.shown
	if walkID != "" {
		at := slices.IndexFunc(state.walks, func(w *walk) bool { return w.id == walkID })
		if at < 0 {
			return ErrNoSuch
		}
		w = state.walks[at]
	}
	v.Walk = w.id
	if w != state.shown {
		score, err := remembered(state.scored, state.scored, w.input, bed.Score)
		if err != nil {
			return err
		}
		if !w.whole {
			score.Findings = withoutUnwalked(score.Findings)
		}
		v.Bed.Score = &score
	}
	for _, r := range w.pots {
		v.Pots = append(v.Pots, schema.PotView{ID: nameOf(r.Key), Now: r.Pot.Now, By: r.Pot.By, Others: len(r.Pot.Others), Voided: r.Pot.Voided})
	}
	return nil
}

// facts are the newest facts among some records, newest first.
func facts(each func(func(schema.Record) error) error) ([]schema.Record, error) {
	all := []schema.Record{}
	err := each(func(r schema.Record) error {
		if r.Fact != nil {
			all = append(all, r)
		}
		return nil
	})
	slices.SortStableFunc(all, func(a, b schema.Record) int { return cmp.Compare(b.Fact.By.Stamp.At, a.Fact.By.Stamp.At) })
	return all[:min(len(all), factsShown)], err
}
