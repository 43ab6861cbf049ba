package journal

import (
	"database/sql"
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

func (b *batch) touch(key string, stamped schema.Stamped) error {
	if err := b.preload([]string{key}); err != nil {
		return err
	}
	t := b.keys[key]
	t.entries = append(t.entries, stamped)
	t.fresh, t.wrote = false, true
	return nil
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
	if len(keys) == 0 {
		return nil
	}
	slices.Sort(keys)
	sum, err := b.sumWithout(keys)
	if err != nil {
		return err
	}
	for _, key := range keys {
		t := b.keys[key]
		if t.settle(key); !t.exists {
			continue
		}
		hash, err := b.keep(key, t.record)
		if err != nil {
			return err
		}
		sum = sum.Add(hash)
	}
	return setMeta(b.tx, metaRecordsSum, sum.String())
}

func (b *batch) keep(key string, record schema.Record) (hash journal.Sum, err error) {
	raw, err := journal.Of(record)
	if err != nil {
		return hash, err
	}
	hash = fold.HashOf(raw)
	lot, err := b.thing(record.Lot)
	if err != nil {
		return hash, err
	}
	bed, err := b.thing(record.Bed)
	if err != nil {
		return hash, err
	}
	_, err = b.hot.record.Exec(key, lot, bed, b.head, hash[:], raw)
	return hash, err
}

// sumWithout is the sum over all records, less those of some keys.
func (b *batch) sumWithout(keys []string) (sum journal.Sum, err error) {
	if sum, err = recordsSum(b.tx); err != nil {
		return sum, err
	}
	wanted, err := list(keys)
	if err != nil {
		return sum, err
	}
	rows, err := b.tx.Query("select r.hash from json_each(?) j join records r on r.key = j.value", wanted)
	if err != nil {
		return sum, err
	}
	defer rows.Close()
	for rows.Next() {
		var hash []byte
		if err := rows.Scan(&hash); err != nil {
			return sum, err
		}
		sum = sum.Sub(journal.Sum(hash))
	}
	return sum, rows.Err()
}

func recordsSum(tx *sql.Tx) (sum journal.Sum, err error) {
	text, err := meta(tx, metaRecordsSum)
	if err != nil || text == "" {
		return sum, err
	}
	return journal.ParseSum(text)
}
