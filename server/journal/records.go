package journal

import (
	"encoding/json"
	"errors"
	"slices"
	"strings"

	"bedwalk/schema"
	"bedwalk/sync/fold"
	"bedwalk/sync/journal"
)

// touched is one record whose entries this batch adds to.
type touched struct {
	entries []schema.Stamped
	record  schema.Record
	exists  bool
	// shares counts the entries by device and their bytes, and values those of a register by field; nil until somebody asks.
	shares map[string]share
	values *values
	// broken is set where the entries cannot be folded.
	broken error
	// fresh is true while record is the fold of entries.
	fresh bool
	wrote bool
	// before is how many of the entries were there before this batch.
	before int
}

// preload fetches the entries that the site already has of all keys of a batch at once: one question in place of
// hundreds.
func (b *batch) preload(keys []string) error {
	var missing []string
	for _, key := range keys {
		if _, ok := b.keys[key]; ok {
			continue
		}
		b.keys[key] = &touched{}
		missing = append(missing, key)
	}
	if len(missing) == 0 {
		return nil
	}
	parts, err := b.tx.Parts(missing)
	if err != nil {
		return err
	}
	for _, part := range parts {
		b.work++
		stamped := schema.Stamped{Position: part.Position, Stamp: part.Stamp}
		if stamped.Entry, err = journal.Parse(part.Bytes); err != nil {
			// Damaged at the site, which verify tells; the other entries of the record are not to wait for it.
			continue
		}
		keys, byID := part.Keys, part.Keys == nil
		if byID {
			keys = keysAt(stamped.Entry, b.store.builds())
		}
		for _, key := range keys {
			if t, ok := b.keys[key]; ok && (!byID || NameOf(key) == stamped.Entry.ID) {
				t.entries = append(t.entries, stamped)
			}
		}
	}
	return nil
}

// NameOf is what a record's key has behind its kind: the id of what it is of, or of the note that it is named for.
func NameOf(key string) string {
	_, id, _ := strings.Cut(key, ":")
	return id
}

func (b *batch) touch(key string, stamped schema.Stamped) {
	t := b.keys[key]
	if !t.wrote {
		// They are folded once more for the sums of records.
		t.before = len(t.entries)
		b.work += t.before
	}
	t.entries = append(t.entries, stamped)
	t.fresh, t.wrote = false, true
	if t.shares != nil {
		t.counts(stamped.Entry)
	}
	if t.values != nil {
		t.values.add(stamped.Entry)
	}
}

// record is what a key's entries add up to by now, those of this batch included. A record that this batch does not write
// is read as it was folded last: a bed of thousands of notes must not be folded for each pot that stands on it.
func (b *batch) record(key string) (schema.Record, bool, error) {
	if t, ok := b.keys[key]; ok {
		b.settle(t, key)
		return t.record, t.exists, nil
	}
	if kept, ok := b.looked[key]; ok {
		return kept.record, kept.exists, nil
	}
	b.work++
	raw, err := b.tx.Text(key)
	switch {
	case err != nil:
		return schema.Record{}, false, err
	case raw == nil:
		// A record of one entry, which is as soon folded as read; or one that could not be written, or none.
		return b.foldedNow(key)
	}
	kept := touched{exists: true}
	if err := json.Unmarshal(raw, &kept.record); err != nil {
		return b.foldedNow(key)
	}
	b.looked[key] = kept
	return kept.record, true, nil
}

func (b *batch) foldedNow(key string) (schema.Record, bool, error) {
	if err := b.preload([]string{key}); err != nil {
		return schema.Record{}, false, err
	}
	return b.record(key)
}

func (b *batch) settle(t *touched, key string) {
	if !t.fresh {
		b.work += len(t.entries)
		t.record, t.exists, t.broken = fold.Try(key, t.entries)
		t.fresh = true
	}
}

// errUnwritable says that a record of the batch has no canonical bytes.
var errUnwritable = errors.New("a record of the batch cannot be written")

// spoils gives the fault of an entry with which one of its records could no longer be written, nil when there is none.
// It only looks in a careful batch; before that, and of a record that nobody can write already, an entry is not to
// blame.
func (b *batch) spoils(a arrival, st schema.Stamp) ([]schema.Fault, error) {
	if !b.careful {
		return nil, nil
	}
	if err := b.preload(a.keys); err != nil {
		return nil, err
	}
	for _, key := range a.keys {
		before := b.keys[key].entries
		after := append(slices.Clip(before), schema.Stamped{Entry: a.entry, Stamp: st, Position: b.head + 1})
		if err := fold.Check(key, after); err != nil && fold.Check(key, before) == nil {
			return []schema.Fault{{Field: "entry", Code: schema.CodeUnwritable, Value: string(journal.CodeOf(err))}}, nil
		}
	}
	return nil, nil
}

// fold writes every record that this batch touched, and lets go what waited for one of them.
func (b *batch) fold() error {
	for {
		released, err := b.release()
		if err != nil {
			return err
		}
		if !released {
			break
		}
	}
	var keys []string
	for key, t := range b.keys {
		if t.wrote {
			keys = append(keys, key)
		}
	}
	slices.Sort(keys)
	for _, key := range keys {
		if err := b.saveRecord(key, b.keys[key]); err != nil {
			return err
		}
	}
	return nil
}

// saveRecord writes a record, where the entries make one. One that was damaged before a careful batch is kept no longer: its
// entries are, and a later one may make it good again.
func (b *batch) saveRecord(key string, t *touched) error {
	b.settle(t, key)
	broken := t.broken
	var text, raw []byte
	if t.exists {
		var unwritable error
		if text, unwritable = fold.Text(t.record); !t.lone(key) {
			raw, broken = text, unwritable
		}
	}
	if err := b.sumRecord(key, t, text); err != nil {
		return err
	}
	b.regards(key, t)
	switch {
	case broken != nil && !b.careful:
		return errUnwritable
	case broken != nil:
		return b.tx.DropRecord(key)
	case !t.exists:
		return nil
	}
	lot, err := b.tx.Register(t.record.Lot)
	if err != nil {
		return err
	}
	bed, err := b.tx.Register(t.record.Bed)
	if err != nil {
		return err
	}
	return b.tx.PutRecord(NewRecord{Key: key, Lot: lot, Bed: bed, Changed: b.head, Text: raw})
}

// lone is true for a record of the one entry that it is named for: whoever reads it finds that entry by the name, and
// folds it again.
func (t *touched) lone(key string) bool {
	return len(t.entries) == 1 && named(key, t.entries[0].Entry.ID)
}
