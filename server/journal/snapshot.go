package journal

import (
	"context"
	"encoding/json"
	"math"

	"bedwalk/schema"
	"bedwalk/sync/fold"
	"bedwalk/sync/journal"
)

// Snapshot reads records and entries as of one moment, so that nothing shown mixes two heads.
type Snapshot struct {
	snap Snap
	// Head is the position of the last note that has a part in what it reads.
	Head int64
}

// newest reads all that a transaction sees, its own writes too.
func newest(snap Snap) *Snapshot { return &Snapshot{snap, math.MaxInt64} }

// Read runs f on a snapshot.
func (s *Store) Read(ctx context.Context, f func(*Snapshot) error) error {
	return s.site.Read(ctx, func(snap Snap) error {
		head, err := snap.Head()
		if err != nil {
			return err
		}
		return f(&Snapshot{snap, head})
	})
}

// Record is one record by its key.
func (s *Snapshot) Record(key string) (record schema.Record, found bool, err error) {
	if key == "" {
		return record, false, nil
	}
	err = s.records(Which{Key: key}, func(_ int64, r schema.Record) error {
		record, found = r, true
		return nil
	})
	return record, found, err
}

// All visits every record, in the order of the keys.
func (s *Snapshot) All(visit func(schema.Record) error) error {
	return s.records(Which{}, unnumbered(visit))
}

// OfKind visits every record of a kind ("bed", "lot", "pot", ...), in the order of the keys.
func (s *Snapshot) OfKind(kind string, visit func(schema.Record) error) error {
	return s.records(Which{Kinds: []string{kind}}, unnumbered(visit))
}

// OfBed visits every record of a bed, in the order in which they first came.
func (s *Snapshot) OfBed(bed string, visit func(schema.Record) error) error {
	if bed == "" {
		return nil
	}
	return s.records(Which{Bed: bed}, unnumbered(visit))
}

// OfLot visits every record of a lot, in the order in which they first came.
func (s *Snapshot) OfLot(lot string, visit func(schema.Record) error) error {
	if lot == "" {
		return nil
	}
	return s.records(Which{Lot: lot}, unnumbered(visit))
}

// PotsAfter visits the next pots in the order of their keys, from the one after a key on ("" begins), at most limit.
func (s *Snapshot) PotsAfter(key string, limit int, visit func(schema.Record) error) error {
	return s.records(Which{Kinds: []string{"pot"}, After: key, Limit: limit}, unnumbered(visit))
}

// FactsOfBed visits the facts of a bed, in the order in which they first came.
func (s *Snapshot) FactsOfBed(bed string, visit func(schema.Record) error) error {
	if bed == "" {
		return nil
	}
	return s.records(Which{Kinds: []string{"fact"}, Bed: bed}, unnumbered(visit))
}

// FactsOfLot visits the facts of a lot, in the order in which they first came.
func (s *Snapshot) FactsOfLot(lot string, visit func(schema.Record) error) error {
	if lot == "" {
		return nil
	}
	return s.records(Which{Kinds: []string{"fact"}, Lot: lot}, unnumbered(visit))
}

// WalkedSince visits the pots and walks of a bed that changed after some head (0: all), each with its number. A record
// keeps its number while it is there, and numbers rise in the order in which the records first came.
func (s *Snapshot) WalkedSince(bed string, head int64, visit func(int64, schema.Record) error) error {
	if bed == "" {
		return nil
	}
	return s.records(Which{Kinds: []string{"pot", "walk"}, Bed: bed, Since: head}, visit)
}

// Numbered visits the records that have these numbers, in the order of the numbers. One that is not there is left out.
func (s *Snapshot) Numbered(numbers []int64, visit func(int64, schema.Record) error) error {
	if len(numbers) == 0 {
		return nil
	}
	return s.records(Which{Numbers: numbers}, visit)
}

// EntriesOf are the entries that have a part in a record, in the order of their positions; one that can no longer be read
// is left out.
func (s *Snapshot) EntriesOf(key string) ([]schema.Stamped, error) {
	lines, err := s.snap.EntriesOf(key)
	return upToPosition(stampedOf(lines), s.Head), err
}

// Changed is a record that has changed, and where it belongs now. Several is true where it may be folded from more than one entry.
type Changed struct {
	Key, Lot, Bed string
	Several       bool
}

// ChangedSince visits every record that changed after some head.
func (s *Snapshot) ChangedSince(head int64, visit func(Changed)) error {
	for c, err := range s.snap.Changed(head) {
		if err != nil {
			return err
		}
		visit(c)
	}
	return nil
}

// Entry is one merged entry by its id.
func (s *Snapshot) Entry(id string) (schema.Stamped, bool, error) {
	line, found, err := s.snap.Note(id)
	all := stampedOf([]Line{line})
	if err != nil || !found || len(all) == 0 {
		return schema.Stamped{}, false, err
	}
	return all[0], true, nil
}

// stampedOf are the entries of lines. One that can no longer be read is left out, which verify tells.
func stampedOf(lines []Line) []schema.Stamped {
	all := make([]schema.Stamped, 0, len(lines))
	for _, one := range lines {
		if entry, err := journal.Parse(one.Bytes); err == nil {
			all = append(all, schema.Stamped{Entry: entry, Stamp: one.Stamp, Position: one.Position})
		}
	}
	return all
}

func unnumbered(visit func(schema.Record) error) func(int64, schema.Record) error {
	return func(_ int64, r schema.Record) error { return visit(r) }
}

func (s *Snapshot) records(which Which, visit func(int64, schema.Record) error) error {
	for one, err := range s.snap.Records(which) {
		if err != nil {
			return err
		}
		record, ok, err := s.read(one)
		if err != nil {
			return err
		}
		if !ok {
			continue
		}
		if err := visit(one.N, record); err != nil {
			return err
		}
	}
	return nil
}

// read is false for a record that can no longer be read or folded. The others are not to go unread for it; verify tells of it.
func (s *Snapshot) read(one Stored) (record schema.Record, ok bool, err error) {
	switch {
	case one.Text == nil && one.Position > s.Head:
		return record, false, nil
	case one.Text != nil && one.Changed > s.Head:
		return s.past(one.Key)
	case one.Text != nil:
		ok = json.Unmarshal(one.Text, &record) == nil
		return record, ok, nil
	}
	entry, err := journal.Parse(one.Bytes)
	if err != nil {
		return record, false, nil
	}
	record, ok, err = fold.Try(one.Key, []schema.Stamped{{Entry: entry, Position: one.Position, Stamp: one.Stamp}})
	return record, ok && err == nil, nil
}
