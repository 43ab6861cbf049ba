package journal

import (
	"encoding/json"
	"math"

	"bedwalk/schema"
	"bedwalk/sync/fold"
)

// HeadAt is the head that the journal had at an earlier moment (ms since 1970): the position of the last note that had arrived before
// it, 0 where none had. When a note arrived counts, not the time that it was made: what still lay on a phone was known to nobody else.
// Notes lie in the order in which they arrived, whatever the server's clock said; one that waited in quarantine lies where it was merged,
// so its own arrival says nothing.
func (s *Snapshot) HeadAt(at int64) (position int64, err error) {
	return s.snap.LastIn(1, math.MaxInt64, at)
}

// AsOf is the journal as it was at an earlier head: its records are folded from the notes that had arrived by then, and nothing that came
// later has a part in them. It serves Record, OfKind, Numbered and EntriesOf. Lists by lot and bed, of what has changed, and the stored
// scores know the newest head alone: a correction may have moved a record since.
func (s *Snapshot) AsOf(head int64) *Snapshot {
	return &Snapshot{s.snap, min(head, s.Head)}
}

// MovedPots are the numbers of the pots that a correction moved from one walk to another: nearly always none.
func (s *Snapshot) MovedPots() (numbers []int64, err error) {
	pots := map[string]int64{}
	if err := s.records(Which{Kinds: []string{"pot"}, Several: true}, func(n int64, r schema.Record) error {
		pots[r.Key] = n
		return nil
	}); err != nil {
		return nil, err
	}
	for key, n := range pots {
		entries, err := s.EntriesOf(key)
		if err != nil {
			return nil, err
		}
		walks := map[string]bool{}
		for _, e := range entries {
			var body struct {
				Walk string                `json:"walk"`
				Now  struct{ Walk string } `json:"now"`
			}
			if json.Unmarshal(e.Entry.Body, &body) == nil {
				walks[body.Walk], walks[body.Now.Walk] = true, true
			}
		}
		if delete(walks, ""); len(walks) > 1 {
			numbers = append(numbers, n)
		}
	}
	return numbers, nil
}

// past makes a record as it was at the snapshot's head; false where it was not there yet.
func (s *Snapshot) past(key string) (schema.Record, bool, error) {
	entries, err := s.EntriesOf(key)
	if err != nil || len(entries) == 0 {
		return schema.Record{}, false, err
	}
	record, ok, err := fold.Try(key, entries)
	return record, ok && err == nil, nil
}
