package fold

import (
	"encoding/json"
	"reflect"
	"slices"

	"bedwalk/schema"
	"bedwalk/sync/journal"
)

// write is what one entry says about one field.
type write struct {
	by    *schema.Stamped
	saw   []string
	value json.RawMessage
}

// foldRegister keeps, for each field, every write that no other write of the field has seen. A write that is struck
// out counts as never written: what it had replaced comes back.
func foldRegister(record *schema.Record, kind, id string, set []*schema.Stamped) {
	all := voidsIn(set)
	written := map[string][]write{}
	for _, s := range set {
		if s.Entry.Kind != kind {
			continue
		}
		of, saw, values, ok := ReadWrites(s.Entry.Body)
		if !ok || of != id {
			continue
		}
		record.Register = &schema.Register{Of: id, Fields: map[string]schema.Field{}}
		if all.of(s) != nil {
			continue
		}
		for name, value := range values {
			written[name] = append(written[name], write{s, saw, value})
		}
	}
	if record.Register == nil {
		return
	}
	for name, writes := range written {
		record.Register.Fields[name] = field(writes)
	}
	place(record, kind, id)
}

// ReadWrites reads the body of a register entry: the register it writes, the entries that it saw, and a value for each
// field that it sets. False means that the body is no such thing.
func ReadWrites(body json.RawMessage) (of string, saw []string, values map[string]json.RawMessage, ok bool) {
	values = map[string]json.RawMessage{}
	ok = journal.Members(body, func(name, value []byte) error {
		good := true
		switch string(name) {
		case "of":
			of, good = journal.Text(value)
		case "saw":
			good = readInto(value, reflect.ValueOf(&saw).Elem())
		default:
			values[string(name)] = value
		}
		if !good {
			return errUnreadable
		}
		return nil
	}) == nil
	return of, saw, values, ok
}

// field settles writes, which stand in merge order.
func field(writes []write) schema.Field {
	live := liveOf(writes)
	shown := live[len(live)-1]
	f := schema.Field{Value: shown.value, By: author(shown.by)}
	values := map[string]bool{string(shown.value): true}
	for _, w := range slices.Backward(live) {
		f.Live = append(f.Live, w.by.Entry.ID)
		// Two people who wrote the same value separately do not disagree.
		if !values[string(w.value)] {
			values[string(w.value)] = true
			f.Others = append(f.Others, schema.Other{Value: w.value, By: author(w.by)})
		}
	}
	slices.Sort(f.Live)
	return f
}

func liveOf(writes []write) []write {
	if len(writes) == 1 {
		return writes
	}
	seen := map[string]bool{}
	for _, w := range writes {
		for _, id := range w.saw {
			seen[id] = seen[id] || id != w.by.Entry.ID
		}
	}
	var live []write
	for _, w := range writes {
		if !seen[w.by.Entry.ID] {
			live = append(live, w)
		}
	}
	if live == nil {
		// Only a faulty phone could make writes that all saw each other; the highest is as good as any.
		live = writes[len(writes)-1:]
	}
	return live
}

// place returns the lot and bed that a register's record belongs to.
func place(record *schema.Record, kind, id string) {
	fields := record.Register.Fields
	shown := func(name string) string {
		text, _ := journal.Text(fields[name].Value)
		return text
	}
	switch kind {
	case "lot":
		record.Lot = id
	case "bed":
		record.Bed = id
	case "span", "matter":
		record.Lot, record.Bed = shown("lot"), shown("bed")
	case "booking", "task":
		record.Lot = shown("lot")
	case "round":
		record.Bed = shown("bed")
	}
}
