package journal

import (
	"slices"
	"strings"

	"bedwalk/schema"
	"bedwalk/sync/fold"
)

// What one device may add to one record before a supervisor is asked. Every record is folded from all its entries, so a
// device that wrote without end into one of them would make each later note of everybody dear. Of each device, so that
// nobody's notes are quarantined for what another wrote; both lie far beyond a nursery's use: a lot has some hundred
// counts and moves in its life, and a phone sees its own earlier value of a field and so replaces it.
const (
	MaxShare     = 500
	MaxUnsettled = 16
	// MaxShareBytes bounds their bodies. 500 notes as screens write them have about 200,000 bytes.
	MaxShareBytes = 1 << 20
)

// workAtOnce is how much one transaction of a push takes on: entries read and folded, and keys written. A batch that
// costs more is committed in parts, and others write between them. A part may cost twice what it costs to begin it, or
// records of many entries would be read again for each note. The 500 pots of a full batch cost about 1,500.
const workAtOnce = 5000

// shareFaults is what is wrong with one more entry of its device in the records that it has a part in. They were
// fetched for the whole batch.
func (b *batch) shareFaults(e schema.Entry, keys []string) ([]schema.Fault, error) {
	for _, key := range keys {
		if err := b.preload([]string{key}); err != nil {
			return nil, err
		}
		t := b.keys[key]
		own := t.share(e.Device)
		if own.notes >= MaxShare || own.bytes >= MaxShareBytes {
			return []schema.Fault{full(own)}, nil
		}
		if own.notes < MaxUnsettled || !strings.HasPrefix(key, e.Kind+":") {
			continue
		}
		if field := t.unsettled(e); field != "" {
			most := int64(MaxUnsettled)
			return []schema.Fault{{Field: "body." + field, Code: schema.CodeUnsettled, Value: MaxUnsettled, Max: &most}}, nil
		}
	}
	return nil, nil
}

// full is the fault of an entry of a device whose share of a record is used up, by notes or by bytes.
func full(own share) schema.Fault {
	f, most := schema.Fault{Field: "entry", Code: schema.CodeRecordFull, Value: own.notes, Unit: schema.UnitNotes}, int64(MaxShare)
	if own.notes < MaxShare {
		f.Value, f.Unit, most = own.bytes, schema.UnitBytes, MaxShareBytes
	}
	f.Max = &most
	return f
}

// share is how many of a record's entries one device wrote, under whichever incarnation, and the bytes of their bodies.
type share struct{ notes, bytes int }

func (t *touched) share(device string) share {
	if t.shares == nil {
		t.shares = map[string]share{}
		for i := range t.entries {
			t.counts(t.entries[i].Entry)
		}
	}
	return t.shares[device]
}

func (t *touched) counts(e schema.Entry) {
	one := t.shares[e.Device]
	t.shares[e.Device] = share{one.notes + 1, one.bytes + len(e.Body)}
}

// unsettled names a field of a register that this entry writes and of which its device has left too many values beside
// each other, none of them seen by this entry; "" when there is none.
func (t *touched) unsettled(e schema.Entry) string {
	if t.values == nil {
		t.values = &values{seen: map[string]map[string]bool{}, live: map[string]map[string]string{}}
		for i := range t.entries {
			t.values.add(t.entries[i].Entry)
		}
	}
	_, saw, fields, _ := fold.ReadWrites(e.Body)
	for field := range fields {
		left := 0
		for id, device := range t.values.live[field] {
			if device == e.Device && !slices.Contains(saw, id) {
				left++
			}
		}
		if left >= MaxUnsettled {
			return field
		}
	}
	return ""
}

// values are the writes of a register by field: those that another write of the field has seen, and those that none has,
// with their device. The fold says the same, but for each note from the beginning.
type values struct {
	seen map[string]map[string]bool
	live map[string]map[string]string
}

func (v *values) add(e schema.Entry) {
	if e.Kind == "void" || e.Kind == "unvoid" {
		return
	}
	_, saw, fields, _ := fold.ReadWrites(e.Body)
	for field := range fields {
		if v.seen[field] == nil {
			v.seen[field], v.live[field] = map[string]bool{}, map[string]string{}
		}
		for _, id := range saw {
			v.seen[field][id] = true
			delete(v.live[field], id)
		}
		if !v.seen[field][e.ID] {
			v.live[field][e.ID] = e.Device
		}
	}
}

// affordable is how many of some entries, at least one, a transaction can take on: as many as name records of no more
// entries together than it may read.
func (in *intake) affordable(fresh []arrival) (n int, err error) {
	seen, load, most := map[string]bool{}, 0, workAtOnce
	for i, a := range fresh {
		for _, key := range a.keys {
			if seen[key] || named(key, a.entry.ID) {
				continue
			}
			seen[key] = true
			entries, err := in.tx.CountParts(key, workAtOnce)
			if err != nil {
				return 0, err
			}
			load += entries
		}
		if i == 0 {
			most = max(most, 2*load)
		}
		if load > most {
			return i, nil
		}
	}
	return len(fresh), nil
}
