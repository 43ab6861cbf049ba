package view

import (
	"context"
	"encoding/json"
	"fmt"
	"log/slog"
	"maps"
	"slices"
	"time"

	"bedwalk/schema"
	"bedwalk/server/journal"
	"bedwalk/sync/bed"
)

// The states of beds are stored beside the records, so that the first page after a start reads 400 rows in place of every
// pot of every walk. They hold up to a head that is stored with them: what changed after it is read as usual. Nothing else is
// computed from them, and they may be taken out at any time.

// shape counts the forms that stored states have had.
const shape = 3

// measures names what the stored states were made by: another name makes them void.
func (n *nursery) measures() string {
	zone := n.zone
	if zone == "" {
		// Weeks are then counted by this machine's own calendar.
		zone = time.Now().Format("MST -07:00")
	}
	return fmt.Sprintf("%d.%d %s", bed.Measures, shape, zone)
}

// storedBed is a bedState as it is stored.
type storedBed struct {
	Parts  map[string]part  `json:"parts,omitempty"`
	Walks  []*walk          `json:"walks,omitempty"`
	Lots   []string         `json:"lots,omitempty"`
	Shown  string           `json:"shown,omitempty"`
	Latest *schema.BedScore `json:"latest,omitempty"`
}

func (s *bedState) store() ([]byte, error) {
	kept := storedBed{Parts: s.parts, Lots: s.lots, Latest: s.latest}
	if s.shown != nil {
		kept.Shown = s.shown.ID
	}
	for _, id := range slices.Sorted(maps.Keys(s.kept)) {
		kept.Walks = append(kept.Walks, s.kept[id])
	}
	return json.Marshal(kept)
}

// stateOfStored is false for what cannot be read: the bed is computed from its records then.
func stateOfStored(id string, head int64, raw []byte) (*bedState, bool) {
	var stored storedBed
	if json.Unmarshal(raw, &stored) != nil {
		return nil, false
	}
	s := &bedState{
		from: head, asOf: head, parts: map[string]part{}, kept: map[string]*walk{}, lots: stored.Lots, latest: stored.Latest,
	}
	maps.Copy(s.parts, stored.Parts)
	for _, w := range stored.Walks {
		s.kept[w.ID] = w
	}
	s.order()
	if s.shown = s.kept[stored.Shown]; (s.shown == nil) != (stored.Shown == "") || (s.shown == nil) != (s.latest == nil) {
		return nil, false
	}
	s.readings = readingsOf(id, s.walks)
	return s, true
}

// loadScores reads the stored states, and the head up to which they hold; none where they were made by other measures.
func loadScores(snap *journal.Snapshot, measures string) (beds map[string]*keptBed, head int64, err error) {
	beds = map[string]*keptBed{}
	head, found, err := snap.ScoresAt(measures)
	if err != nil || !found || head > snap.Head {
		return beds, 0, err
	}
	return beds, head, snap.Scores(func(id string, raw []byte) error {
		if s, ok := stateOfStored(id, head, raw); ok {
			beds[id] = &keptBed{state: s, stored: s}
		}
		return nil
	})
}

// saveEvery is how often the states of beds are brought up to date and stored while notes come.
const saveEvery = 30 * time.Second

// planEvery is how often the plan is computed ahead while no note comes: a day may have begun.
const planEvery = 15 * time.Minute

// Keep computes every bed once, so that the first screen after a start need not wait for it, and stores what it has computed, then the
// plan of all lots and weeks, and a part of what the plan said on earlier days; and again whenever something has changed, or with a new
// day, until the context ends. A failure is logged and tried again.
func (v *Views) Keep(ctx context.Context, log *slog.Logger) {
	tick := time.NewTicker(saveEvery)
	defer tick.Stop()
	planned, waiting := "", 0
	for {
		if err := v.Save(ctx); err != nil && ctx.Err() == nil {
			log.Warn("the scores of the beds could not be stored", "error", err)
		}
		if now := fmt.Sprint(v.journal.Epoch(), v.journal.Head(), v.nowMS()/planEvery.Milliseconds()); now != planned {
			if _, err := v.Supply(ctx); err == nil {
				planned, waiting = now, 1
			} else if ctx.Err() == nil {
				log.Warn("the plan could not be computed ahead", "error", err)
			}
		}
		if waiting > 0 {
			if right, err := v.Right(ctx); err == nil {
				waiting = right.Waiting
			} else if ctx.Err() == nil {
				log.Warn("what the plan said on earlier days could not be computed", "error", err)
			}
		}
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
	}
}

// Save brings the states of all beds up to date and stores those that are not stored yet.
func (v *Views) Save(ctx context.Context) error {
	var measures string
	var head int64
	var found bool
	var unsaved map[string]*bedState
	if err := v.whole(ctx, func(m *moment) (err error) {
		measures = m.n.measures()
		if head, found, err = m.snap.ScoresAt(measures); err != nil || found && head == m.n.head {
			return err
		}
		head, unsaved = m.n.head, map[string]*bedState{}
		for id := range m.n.beds {
			state, err := m.bed(id)
			if err != nil {
				return err
			}
			if !found || !v.isStored(id, state) {
				unsaved[id] = state
			}
		}
		return nil
	}); err != nil || unsaved == nil {
		return err
	}
	if !found {
		if err := v.journal.ForgetScores(ctx); err != nil {
			return err
		}
	}
	if err := v.saveStates(ctx, unsaved); err != nil {
		return err
	}
	return v.journal.MarkScores(ctx, measures, head)
}

func (v *Views) isStored(id string, state *bedState) bool {
	k := v.keptOf(id)
	v.keeping.Lock()
	defer v.keeping.Unlock()
	return k.stored == state
}

// saveStates stores the states of beds, some beds a transaction.
func (v *Views) saveStates(ctx context.Context, unsaved map[string]*bedState) error {
	const atATime = 20
	for ids := range slices.Chunk(slices.Sorted(maps.Keys(unsaved)), atATime) {
		rows := map[string][]byte{}
		for _, id := range ids {
			raw, err := unsaved[id].store()
			if err != nil {
				return err
			}
			rows[id] = raw
		}
		if err := v.journal.SaveScores(ctx, rows); err != nil {
			return err
		}
		for _, id := range ids {
			k := v.keptOf(id)
			v.keeping.Lock()
			k.stored = unsaved[id]
			v.keeping.Unlock()
		}
	}
	return nil
}
