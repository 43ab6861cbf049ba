package journal

import (
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
	// fresh is true while record is the fold of entries.
	fresh bool
	wrote bool
}

// preload fetches the entries that the file already has of all keys of a batch at once: one question in place of
// hundreds.
func (b *batch) preload(keys []string) error {
	var missing []string
	var ids []string
	for _, key := range keys {
		if _, ok := b.keys[key]; ok {
			continue
		}
		b.keys[key] = &touched{}
		missing = append(missing, key)
		_, id, _ := strings.Cut(key, ":")
		ids = append(ids, id)
	}
	if len(missing) == 0 {
		return nil
	}
	wanted, err := list(missing)
	if err != nil {
		return err
	}
	named, err := list(ids)
	if err != nil {
		return err
	}
	rows, err := b.tx.Query(`
		select k.key, e.position, e.at, e.quality, e.at_from, e.at_to, e.bytes
			from json_each(?) j join entry_keys k on k.key = j.value join entries e on e.position = k.position
		union all
		select '', e.position, e.at, e.quality, e.at_from, e.at_to, e.bytes
			from json_each(?) j join entries e on e.id = unhex(j.value)`, wanted, named)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		var key string
		var stamped schema.Stamped
		var raw []byte
		st := &stamped.Stamp
		if err := rows.Scan(&key, &stamped.Position, &st.At, &st.Quality, &st.From, &st.To, &raw); err != nil {
			return err
		}
		if stamped.Entry, err = journal.Parse(raw); err != nil {
			return err
		}
		if key != "" {
			b.keys[key].entries = append(b.keys[key].entries, stamped)
			continue
		}
		for _, key := range fold.Keys(stamped.Entry) {
			if t, ok := b.keys[key]; ok && nameOf(key) == stamped.Entry.ID {
				t.entries = append(t.entries, stamped)
			}
		}
	}
	return rows.Err()
}

func nameOf(key string) string {
	_, id, _ := strings.Cut(key, ":")
	return id
}

func (b *batch) touch(key string, stamped schema.Stamped) {
	t := b.keys[key]
	t.entries = append(t.entries, stamped)
	t.fresh, t.wrote = false, true
}

// record is what a key's entries add up to by now, those of this batch included.
func (b *batch) record(key string) (schema.Record, bool, error) {
	if err := b.preload([]string{key}); err != nil {
		return schema.Record{}, false, err
	}
	t := b.keys[key]
	t.settle(key)
	return t.record, t.exists, nil
}

func (t *touched) settle(key string) {
	if !t.fresh {
		t.record, t.exists = fold.Fold(key, t.entries)
		t.fresh = true
	}
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
		t := b.keys[key]
		if t.settle(key); !t.exists {
			continue
		}
		if err := b.keep(key, t); err != nil {
			return err
		}
	}
	return nil
}

func (b *batch) keep(key string, t *touched) (err error) {
	var raw []byte
	if !t.lone(key) {
		if raw, err = journal.Of(t.record); err != nil {
			return err
		}
	}
	lot, err := b.thing(t.record.Lot)
	if err != nil {
		return err
	}
	bed, err := b.thing(t.record.Bed)
	if err != nil {
		return err
	}
	_, err = b.hot.record.Exec(key, lot, bed, b.head, raw)
	return err
}

// lone is true for a record of the one entry that it is named for: whoever reads it finds that entry by the name, and
// folds it again.
func (t *touched) lone(key string) bool {
	return len(t.entries) == 1 && named(key, t.entries[0].Entry.ID)
}
