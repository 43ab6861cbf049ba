package view

import (
	"cmp"
	"maps"
	"slices"

	"bedwalk/schema"
	"bedwalk/sync/bed"
)

// bedState is what is remembered of one bed as of asOf: its walks as numbers, and the last whole one in full. It is never
// changed once it is made; the next state shares the walks that have stayed the same.
type bedState struct {
	// The state holds at every head from from on, up to the next at which touched names the bed or one of its lots.
	from, asOf int64
	// parts are what was written of each walk's opening and end, by walk.
	parts map[string]part
	// kept are the bed's walks that have pots, by id, blind re-scores and struck-out ones too. walks are the others, of which
	// some pot counts, oldest first.
	kept  map[string]*walk
	walks []*walk
	// lots are those that any of it rests on.
	lots []string
	// latest is the score that the bed is shown by: of the last whole walk, or of the last one while none was whole. shown
	// is the walk of latest, nil when nobody has walked.
	latest *schema.BedScore
	shown  *walk
	// own is the score of shown alone, without what earlier walks found; nil in a state that was stored.
	own *schema.BedScore
	// readings are the head sizes of every lot on every walk; a state that has the same shares them with the one before.
	readings *[]bed.Reading
}

// stale are the beds whose state does not hold at this moment.
func (m *moment) stale() (ids []string) {
	for _, id := range slices.Sorted(maps.Keys(m.n.beds)) {
		if _, ok := m.current(id); !ok {
			ids = append(ids, id)
		}
	}
	return ids
}

func (v *Views) keptOf(id string) *keptBed {
	v.keeping.Lock()
	defer v.keeping.Unlock()
	k := v.beds[id]
	if k == nil {
		k = &keptBed{}
		v.beds[id] = k
	}
	return k
}

func (v *Views) stateOf(k *keptBed) *bedState {
	v.keeping.Lock()
	defer v.keeping.Unlock()
	return k.state
}

// current is the remembered state of a bed, where it holds at this moment.
func (m *moment) current(id string) (*bedState, bool) {
	s := m.stateOf(m.keptOf(id))
	return s, s != nil && s.from <= m.n.head && s.asOf >= m.n.touched.last(id, s.lots)
}

// bed is a bed's state at this moment, computed from what has changed since it was last computed.
func (m *moment) bed(id string) (*bedState, error) {
	if s, ok := m.current(id); ok {
		return s, nil
	}
	k := m.keptOf(id)
	k.making.Lock()
	defer k.making.Unlock()
	if s, ok := m.current(id); ok {
		return s, nil
	}
	old := m.stateOf(k)
	later := old != nil && old.asOf > m.n.head
	if later || old != nil && m.n.touched.moved[id] > old.asOf {
		old = nil
	}
	s, err := m.stateAfter(id, old)
	if err != nil || later {
		return s, err
	}
	m.keeping.Lock()
	k.state = s
	m.keeping.Unlock()
	return s, nil
}

// stateAfter computes a bed's state from an earlier one and what has changed since, or from all its records.
func (m *moment) stateAfter(id string, old *bedState) (*bedState, error) {
	s := &bedState{asOf: m.n.head, parts: map[string]part{}, kept: map[string]*walk{}}
	if old != nil {
		s.parts, s.kept = maps.Clone(old.parts), maps.Clone(old.kept)
	}
	read := map[string][]potRecord{}
	if old == nil || m.n.touched.walks[id] > old.asOf {
		var err error
		if read, err = m.readChanged(id, s, old); err != nil {
			return nil, err
		}
	}
	s.order()
	ground := m.n.groundOf(id)
	s.lots = ground.lotsWith(s.kept)
	s.from = m.n.touched.last(id, s.lots)
	again := old == nil || m.n.touched.context(id, s.lots) > old.asOf
	if err := m.measure(id, s, ground, read, again); err != nil {
		return nil, err
	}
	if old != nil && s.shown == old.shown && slices.Equal(s.walks, old.walks) {
		s.latest, s.own, s.readings = old.latest, old.own, old.readings
		return s, nil
	}
	if err := m.judge(id, s, old, ground, read); err != nil {
		return nil, err
	}
	s.readings = readingsOf(id, s.walks)
	if old != nil && slices.Equal(*s.readings, *old.readings) {
		s.readings = old.readings
	}
	return s, nil
}

// readChanged puts what changed since the old state into the new one, and returns the pots of the walks that it touches. Those
// walks are made again, and still to be judged.
func (m *moment) readChanged(id string, s, old *bedState) (map[string][]potRecord, error) {
	since := int64(0)
	if old != nil {
		since = old.asOf
	}
	touched := map[string]bool{}
	changed := map[string][]potRecord{}
	var numbers []int64
	if err := m.snap.WalkedSince(id, since, func(n int64, r schema.Record) error {
		switch {
		case r.Pot != nil:
			changed[r.Pot.Now.Walk] = append(changed[r.Pot.Now.Walk], potRecord{n, r})
			touched[r.Pot.Now.Walk] = true
			numbers = append(numbers, n)
		case r.Walk != nil:
			s.parts[nameOf(r.Key)] = partOf(*r.Walk)
			touched[nameOf(r.Key)] = true
		}
		return nil
	}); err != nil {
		return nil, err
	}
	if old != nil {
		// A correction may have moved a pot from one walk to another.
		for _, w := range old.kept {
			touched[w.ID] = touched[w.ID] || slices.ContainsFunc(numbers, func(n int64) bool {
				_, has := slices.BinarySearch(w.Pots, n)
				return has
			})
		}
	}
	read := map[string][]potRecord{}
	for walkID := range touched {
		pots := changed[walkID]
		if before := s.kept[walkID]; before != nil {
			wanted := slices.Clone(before.Pots)
			for _, p := range pots {
				wanted = append(wanted, p.n)
			}
			var err error
			if pots, err = m.potsOf(id, walkID, wanted); err != nil {
				return nil, err
			}
		}
		if len(pots) == 0 {
			delete(s.kept, walkID)
			continue
		}
		read[walkID] = pots
		s.kept[walkID] = walkOf(walkID, pots, s.parts)
	}
	return read, nil
}

// potsOf reads the pots of a walk by the numbers of their records.
func (m *moment) potsOf(id, walkID string, numbers []int64) (pots []potRecord, err error) {
	err = m.snap.Numbered(numbers, func(n int64, r schema.Record) error {
		if r.Pot != nil && r.Bed == id && r.Pot.Now.Walk == walkID {
			pots = append(pots, potRecord{n, r})
		}
		return nil
	})
	return pots, err
}

// order lists the walks that count, oldest first, and finds the one that the bed is shown by.
func (s *bedState) order() {
	s.walks = nil
	for _, w := range s.kept {
		if !w.Hidden && len(w.Lots) > 0 {
			s.walks = append(s.walks, w)
		}
	}
	slices.SortFunc(s.walks, func(a, b *walk) int { return cmp.Or(cmp.Compare(a.At, b.At), cmp.Compare(a.ID, b.ID)) })
}

// replace puts a walk in the place of the one at i.
func (s *bedState) replace(i int, w *walk) {
	s.walks[i], s.kept[w.ID] = w, w
}

// measure judges the walks that are new, and where again is true those whose context has changed.
func (m *moment) measure(id string, s *bedState, ground ground, read map[string][]potRecord, again bool) error {
	last := shownOf(s.walks)
	for i, w := range s.walks {
		newest := i >= last
		if !again && w.Context != nil && w.Newest == newest {
			continue
		}
		context, err := m.n.contextOf(id, w, ground, newest)
		if err != nil {
			return err
		}
		if w.Context != nil && slices.Equal(w.Context, context) {
			if w.Newest != newest {
				same := *w
				same.Newest = newest
				s.replace(i, &same)
			}
			continue
		}
		in, err := m.input(id, w, ground, newest, read)
		if err != nil {
			return err
		}
		score := bed.Measure(in)
		judged := *w
		judged.Newest, judged.Context, judged.Score, judged.Scored, judged.Findings = newest, context, briefOf(score), false, nil
		judged.Unfinished = bed.Unfinished(s.parts[w.ID].walkPart(), score.Seen, score.Stop)
		s.replace(i, &judged)
	}
	if last >= 0 {
		s.shown = s.walks[last]
	}
	return nil
}

// judge finds what the bed shows: the score of its last whole walk with what is open from earlier ones.
func (m *moment) judge(id string, s, old *bedState, ground ground, read map[string][]potRecord) error {
	if s.shown == nil {
		return nil
	}
	last := slices.Index(s.walks, s.shown)
	full := func(i int) (schema.BedScore, error) {
		in, err := m.input(id, s.walks[i], ground, s.walks[i].Newest, read)
		if err != nil {
			return schema.BedScore{}, err
		}
		score := bed.Score(in)
		scored := *s.walks[i]
		scored.Scored, scored.Findings = true, score.Findings
		s.replace(i, &scored)
		return score, nil
	}
	if old != nil && old.own != nil && old.shown == s.shown {
		s.own = old.own
	} else {
		score, err := full(last)
		if err != nil {
			return err
		}
		s.own, s.shown = &score, s.walks[last]
	}
	return s.standsNow(last, func(i int) (schema.BedScore, error) {
		if s.walks[i].Scored {
			return s.walks[i].Score.bedScore(s.walks[i].Findings), nil
		}
		return full(i)
	})
}

// input gathers what a walk is judged from; its pots are read unless they have been.
func (m *moment) input(id string, w *walk, ground ground, newest bool, read map[string][]potRecord) (schema.BedInput, error) {
	pots, ok := read[w.ID]
	if !ok {
		var err error
		if pots, err = m.potsOf(id, w.ID, w.Pots); err != nil {
			return schema.BedInput{}, err
		}
	}
	in := bed.Input(ground.with(m.n, w.Lots), records(pots), newest)
	m.n.addChanges(&in, id, w.At)
	return in, nil
}

func readingsOf(id string, walks []*walk) *[]bed.Reading {
	var all []bed.Reading
	for _, w := range walks {
		for _, lot := range slices.Sorted(maps.Keys(w.Heads)) {
			all = append(all, bed.Reading{Person: w.Person, Lot: lot, Bed: id, At: w.At, Heads: w.Heads[lot].LogMean})
		}
	}
	return &all
}
