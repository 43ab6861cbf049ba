package sim

import (
	"encoding/json"
	"sort"
	"strings"

	"bedwalk/schema"
)

type object = map[string]any

// Naive makes the record of a key in the plainest way: quadratic, over untyped objects, and sharing no line with
// package fold, so that one misunderstanding cannot hide in both. It is for whole entries of kinds that exist; nil
// means no record.
func Naive(key string, given []schema.Stamped) object {
	once := map[string]schema.Stamped{}
	for _, s := range given {
		if old, ok := once[s.Entry.ID]; !ok || naiveLess(s, old) {
			once[s.Entry.ID] = s
		}
	}
	var all []schema.Stamped
	for _, s := range once {
		all = append(all, s)
	}
	sort.Slice(all, func(i, j int) bool { return naiveLess(all[i], all[j]) })
	n := naive{all: all, body: map[string]object{}}
	for _, s := range all {
		body := object{}
		_ = json.Unmarshal(s.Entry.Body, &body)
		n.body[s.Entry.ID] = body
	}
	kind, id, _ := strings.Cut(key, ":")
	record := object{"key": key}
	switch kind {
	case "pot":
		return n.pot(record, id)
	case "walk":
		return n.walk(record, id)
	case "stock":
		return n.stock(record, id)
	case "fact", "trace":
		return n.fact(record, kind, id)
	}
	return n.register(record, kind, id)
}

func naiveLess(a, b schema.Stamped) bool {
	rank := func(s schema.Stamped) []any {
		e := s.Entry
		if s.Stamp.Quality == "pending" {
			// A phone that was paired again may still hold notes of the device it was before.
			return []any{1, 0, "", e.Incarnation, int(e.Seq), e.Device, e.ID}
		}
		return []any{0, int(s.Stamp.At), e.Device, e.Incarnation, int(e.Seq), e.Device, e.ID}
	}
	x, y := rank(a), rank(b)
	for i := range x {
		switch p := x[i].(type) {
		case int:
			if q, _ := y[i].(int); p != q {
				return p < q
			}
		case string:
			if q, _ := y[i].(string); p != q {
				return p < q
			}
		}
	}
	return false
}

type naive struct {
	all  []schema.Stamped
	body map[string]object
}

func by(s schema.Stamped) object {
	return object{"entry": s.Entry.ID, "person": s.Entry.Person, "device": s.Entry.Device, "stamp": object{
		"at": s.Stamp.At, "quality": s.Stamp.Quality, "from": s.Stamp.From, "to": s.Stamp.To}}
}

// voided is the last void of an entry that names all of its records and is not undone, in the form that a record has it.
func (n naive) voided(id string, records ...string) object {
	var last object
	for _, v := range n.all {
		if v.Entry.Kind != "void" || n.body[v.Entry.ID]["names"] != id || !hasAll(n.body[v.Entry.ID]["records"], records) {
			continue
		}
		undone := false
		for _, u := range n.all {
			if u.Entry.Kind == "unvoid" && n.body[u.Entry.ID]["names"] == v.Entry.ID && hasAll(n.body[u.Entry.ID]["records"], records) {
				undone = true
			}
		}
		if !undone {
			last = object{"by": by(v), "why": n.body[v.Entry.ID]["why"]}
			put(last, "words", n.body[v.Entry.ID]["words"])
		}
	}
	return last
}

func hasAll(list any, wanted []string) bool {
	written, _ := json.Marshal(list)
	for _, w := range wanted {
		if !strings.Contains(string(written), `"`+w+`"`) {
			return false
		}
	}
	return true
}

// put leaves out what is empty.
func put(into object, name string, value any) {
	switch v := value.(type) {
	case nil:
		return
	case string:
		if v == "" {
			return
		}
	case object:
		if v == nil {
			return
		}
	case []any:
		if len(v) == 0 {
			return
		}
	}
	into[name] = value
}

func (n naive) register(record object, kind, id string) object {
	fields, found := map[string][]schema.Stamped{}, false
	for _, s := range n.all {
		if s.Entry.Kind != kind || n.body[s.Entry.ID]["of"] != id {
			continue
		}
		found = true
		for name := range n.body[s.Entry.ID] {
			if name != "of" && name != "saw" && n.voided(s.Entry.ID, kind+":"+id) == nil {
				fields[name] = append(fields[name], s)
			}
		}
	}
	if !found {
		return nil
	}
	made := object{}
	for name, writes := range fields {
		field, ids, shown := object{}, []string{}, map[string]bool{}
		var others []any
		for i := len(writes) - 1; i >= 0; i-- {
			w := writes[i]
			if n.seenByAnother(w, writes) {
				continue
			}
			ids = append(ids, w.Entry.ID)
			value := n.body[w.Entry.ID][name]
			words, _ := json.Marshal(value)
			if len(shown) == 0 {
				field["value"], field["by"] = value, by(w)
			} else if !shown[string(words)] {
				others = append(others, object{"value": value, "by": by(w)})
			}
			shown[string(words)] = true
		}
		sort.Strings(ids)
		field["live"] = ids
		put(field, "others", others)
		made[name] = field
	}
	record["register"] = object{"of": id, "fields": made}
	lot, bed := value(made, "lot"), value(made, "bed")
	switch kind {
	case "lot":
		record["lot"] = id
	case "bed":
		record["bed"] = id
	case "span", "matter":
		put(record, "lot", lot)
		put(record, "bed", bed)
	case "booking", "task":
		put(record, "lot", lot)
	case "round":
		put(record, "bed", bed)
	}
	return record
}

func value(fields object, name string) string { return text(fields[name], "value") }

func text(of any, name string) string {
	o, _ := of.(object)
	t, _ := o[name].(string)
	return t
}

func (n naive) seenByAnother(w schema.Stamped, writes []schema.Stamped) bool {
	for _, other := range writes {
		if other.Entry.ID != w.Entry.ID && hasAll(n.body[other.Entry.ID]["saw"], []string{w.Entry.ID}) {
			return true
		}
	}
	return false
}

// known keeps of a noted pot or a walk what this version knows, as its struct writes it.
func known[T any](body any) any {
	var into T
	written, _ := json.Marshal(body)
	_ = json.Unmarshal(written, &into)
	written, _ = json.Marshal(into)
	var out any
	_ = json.Unmarshal(written, &out)
	return out
}

func (n naive) pot(record object, id string) object {
	var versions []schema.Stamped
	now := map[string]any{}
	var first, last object
	for _, s := range n.all {
		switch {
		case s.Entry.Kind == "observation" && s.Entry.ID == id:
			now[s.Entry.ID] = known[schema.Observation](n.body[s.Entry.ID])
			first = by(s)
		case s.Entry.Kind == "correction" && n.body[s.Entry.ID]["pot"] == id:
			now[s.Entry.ID] = known[schema.Observation](n.body[s.Entry.ID]["now"])
		default:
			continue
		}
		versions = append(versions, s)
	}
	if versions == nil {
		return nil
	}
	if first == nil {
		first = by(versions[0])
	}
	pot := object{"first": first, "versions": len(versions)}
	var others []any
	for i := len(versions) - 1; i >= 0; i-- {
		v, replaced := versions[i], false
		for _, other := range versions {
			b := n.body[other.Entry.ID]
			if other.Entry.ID != v.Entry.ID && (b["replaces"] == v.Entry.ID || hasAll(b["settles"], []string{v.Entry.ID})) {
				replaced = true
			}
		}
		if replaced {
			continue
		}
		if pot["now"] == nil {
			pot["now"], pot["by"] = now[v.Entry.ID], by(v)
		} else {
			others = append(others, object{"now": now[v.Entry.ID], "by": by(v)})
		}
	}
	put(pot, "others", others)
	for _, v := range versions {
		if struck := n.voided(v.Entry.ID, "pot:"+id); struck != nil && (last == nil || n.later(struck, last)) {
			last = struck
		}
	}
	put(pot, "voided", last)
	record["pot"] = pot
	shown, _ := pot["now"].(object)
	put(record, "lot", shown["lot"])
	put(record, "bed", shown["bed"])
	return record
}

func (n naive) later(a, b object) bool {
	place := func(o object) int {
		for i, s := range n.all {
			if text(o["by"], "entry") == s.Entry.ID {
				return i
			}
		}
		return -1
	}
	return place(a) > place(b)
}

func (n naive) walk(record object, id string) object {
	part, struck := object{}, object(nil)
	found := false
	for _, s := range n.all {
		if body := n.body[s.Entry.ID]; body["walk"] == id && s.Entry.Kind == "walk" {
			if part["open"] == nil {
				part["open"], part["by"] = known[schema.Walk](body), by(s)
				record["bed"] = body["bed"]
			}
			if v := n.voided(s.Entry.ID, "walk:"+id); v != nil && (struck == nil || n.later(v, struck)) {
				struck = v
			}
			found = true
		}
	}
	for _, s := range n.all {
		if body := n.body[s.Entry.ID]; body["walk"] == id && s.Entry.Kind == "walk_end" {
			if part["open"] == nil {
				record["bed"] = body["bed"]
			}
			if n.voided(s.Entry.ID, "walk:"+id) == nil {
				part["end"], part["end_by"] = known[schema.WalkEnd](body), by(s)
			}
			found = true
		}
	}
	if !found {
		return nil
	}
	put(part, "voided", struck)
	record["walk"] = part
	return record
}

func (n naive) fact(record object, prefix, id string) object {
	for _, s := range n.all {
		if s.Entry.ID == id && (s.Entry.Kind == "trace") == (prefix == "trace") {
			put(record, "lot", s.Entry.Lot)
			put(record, "bed", s.Entry.Bed)
			fact := object{"kind": s.Entry.Kind, "body": n.body[id], "by": by(s)}
			put(fact, "voided", n.voided(id, prefix+":"+id))
			record["fact"] = fact
			return record
		}
	}
	return nil
}
