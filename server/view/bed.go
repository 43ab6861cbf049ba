package view

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"maps"
	"slices"

	"bedwalk/schema"
	"bedwalk/sync/bed"
)

// factsShown bounds the notes, readings and photos of one page; older ones stay in the export.
const factsShown = 300

// Bed is one bed in full, from one of its walks: the one that the bed is shown by (see shownOf) when walkID is "".
func (v *Views) Bed(ctx context.Context, id, walkID string) (one schema.BedView, err error) {
	one = schema.BedView{Pots: []schema.PotView{}, Along: []schema.AlongBed{}, Facts: []schema.Record{}, Walks: []schema.TrendPoint{}, MadeAt: v.journal.NowMS()}
	err = v.at(ctx, func(m *moment) error {
		if _, ok := m.n.beds[id]; !ok {
			return ErrNoSuch
		}
		state, err := m.bed(id)
		if err != nil {
			return err
		}
		one.Bed = m.brief(id, state)
		one.Walks, one.People = m.trend(state.walks), m.n.people
		one.HouseName = m.n.houseNames[one.Bed.House]
		if err := m.showWalk(ctx, id, walkID, state, &one); err != nil {
			return err
		}
		all, err := facts(func(visit func(schema.Record) error) error { return m.visitBed(id, visit) })
		one.Facts = newest(all, headPhotosOf(one.Pots))
		return err
	})
	return one, err
}

// visitBed visits the facts of a bed, and the applications that close it. An application is filed under the first of its
// beds alone, but nobody who looks at another one may miss it.
func (m *moment) visitBed(id string, visit func(schema.Record) error) error {
	if err := m.snap.FactsOfBed(id, visit); err != nil {
		return err
	}
	for _, key := range slices.Sorted(maps.Keys(m.n.applications)) {
		if !slices.Contains(m.n.applications[key].Beds, id) {
			continue
		}
		r, found, err := m.snap.Record(key)
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

func (m *moment) showWalk(ctx context.Context, id, walkID string, state *bedState, v *schema.BedView) error {
	if walkID == "" && len(state.walks) == 0 {
		return nil
	}
	w := state.shown
	if walkID != "" {
		at := slices.IndexFunc(state.walks, func(w *walk) bool { return w.ID == walkID })
		if at < 0 {
			return ErrNoSuch
		}
		w = state.walks[at]
	}
	v.Walk = w.ID
	v.Since, v.Until = seasonOnBed(state.walks, w)
	pots, err := m.potsOf(id, w.ID, w.Pots)
	if err != nil {
		return err
	}
	in, err := m.input(id, w, m.n.groundOf(id), w.Newest, map[string][]potRecord{w.ID: pots})
	if err != nil {
		return err
	}
	v.Along = bed.Along(in)
	if v.Leans, err = m.addLeans(ctx, &in); err != nil {
		return err
	}
	if err := m.addKept(&in); err != nil {
		return err
	}
	var score schema.BedScore
	if w == state.shown {
		if score, err = m.withPromises(id, state.latest, in); err != nil {
			return err
		}
	} else if score = bed.Score(in); !w.Whole {
		score.Findings = withoutUnwalked(score.Findings)
	}
	v.Bed.Score = &score
	for _, p := range pots {
		v.Pots = append(v.Pots, schema.PotView{ID: nameOf(p.Key), Now: p.Pot.Now, By: p.Pot.By, Others: len(p.Pot.Others), Voided: p.Pot.Voided})
	}
	return nil
}

// keptPromises is the score of with what may be promised by an input of this hash.
type keptPromises struct {
	of    *schema.BedScore
	by    [sha256.Size]byte
	score schema.BedScore
}

// withPromises is bed.WithPromises, kept until something that it goes by has changed: of a bed of five lots it takes seconds.
func (m *moment) withPromises(id string, of *schema.BedScore, in schema.BedInput) (schema.BedScore, error) {
	text, err := json.Marshal(in)
	if err != nil {
		return schema.BedScore{}, fmt.Errorf("what is promised of bed %s: %w", id, err)
	}
	by := sha256.Sum256(text)
	m.keeping.Lock()
	kept := m.beds[id]
	if kept != nil && kept.promised.of == of && kept.promised.by == by {
		defer m.keeping.Unlock()
		return kept.promised.score, nil
	}
	m.keeping.Unlock()
	score := bed.WithPromises(*of, in)
	if kept != nil {
		m.keeping.Lock()
		defer m.keeping.Unlock()
		kept.promised = keptPromises{of, by, score}
	}
	return score, nil
}

// seasonOnBed is when the first and the last of the walks were that saw a lot that one of them saw.
func seasonOnBed(walks []*walk, of *walk) (since, until int64) {
	since, until = of.At, of.At
	for _, w := range walks {
		if slices.ContainsFunc(w.Lots, func(lot string) bool { return slices.Contains(of.Lots, lot) }) {
			since, until = min(since, w.At), max(until, w.At)
		}
	}
	return since, until
}

// headPhotosOf tells the photos that one of the pots' heads was estimated from: the page counts the pots whose heads were only estimated.
func headPhotosOf(pots []schema.PotView) func(schema.Record) bool {
	shown := map[string]bool{}
	for _, p := range pots {
		shown[p.ID] = true
	}
	return func(r schema.Record) bool {
		var photo schema.Photo
		return r.Fact.Kind == "photo" && json.Unmarshal(r.Fact.Body, &photo) == nil && photo.Head != nil && shown[photo.Pot]
	}
}

// facts are the facts among some records, newest first.
func facts(each func(func(schema.Record) error) error) ([]schema.Record, error) {
	all := []schema.Record{}
	err := each(func(r schema.Record) error {
		if r.Fact != nil {
			all = append(all, r)
		}
		return nil
	})
	slices.SortStableFunc(all, func(a, b schema.Record) int { return cmp.Compare(b.Fact.By.Stamp.At, a.Fact.By.Stamp.At) })
	return all, err
}

// newest are the first facts, as many as a page shows, and those of the others that it cannot do without.
func newest(all []schema.Record, isNeeded func(schema.Record) bool) []schema.Record {
	at := min(len(all), factsShown)
	shown := slices.Clip(all[:at])
	for _, r := range all[at:] {
		if isNeeded(r) {
			shown = append(shown, r)
		}
	}
	return shown
}
