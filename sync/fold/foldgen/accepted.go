package foldgen

import (
	"fmt"
	"math/rand/v2"
	"strings"

	"bedwalk/schema"
	"bedwalk/sync/journal"
)

// Accepted makes n entries that schema.Check finds nothing wrong with, of every kind, in a world of few names. Their
// bodies also have members that no build knows, of any name and value that canonical bytes allow, as deep and as many
// as fit. Stamps are real, one after the other. The error is one of canonical bytes and means a fault in this package.
func Accepted(r *rand.Rand, n int) ([]schema.Stamped, error) {
	w := &world{r: r}
	kinds := schema.Kinds()
	out := make([]schema.Stamped, 0, n)
	for i := range n {
		seq := int64(i + 1)
		e := schema.Entry{
			ID: w.id("entry", 1<<30), Device: "d1", Incarnation: 1, Seq: seq, V: 1, Kind: kinds[r.IntN(len(kinds))].Name,
			Person: w.id("person", 2), Wall: seq, Session: "s1",
		}
		b := w.accepted(&e)
		w.addUnknown(b, 2)
		var err error
		if e.Body, err = journal.Of(b); err != nil {
			return nil, err
		}
		w.targets = append(w.targets, target{id: e.ID, kind: e.Kind, records: recordsOf(e.Kind, e.ID, b)})
		out = append(out, schema.Stamped{Entry: e, Stamp: schema.Stamp{At: seq, Quality: schema.Exact, From: seq, To: seq}, Position: seq})
	}
	return out, nil
}

// recordsOf does as much of fold.Keys as it takes to void an entry.
func recordsOf(kind, id string, b body) []string {
	switch kind {
	case "observation":
		return []string{"pot:" + id}
	case "count", "recount":
		return []string{"stock:" + b["lot"].(string)}
	case "trace":
		return []string{"trace:" + id}
	}
	if of, ok := b["of"]; ok {
		return []string{kind + ":" + of.(string)}
	}
	return []string{"fact:" + id}
}

// id is one of few ids of a class, in the form that the schema asks for.
func (w *world) id(class string, of int) string {
	return fmt.Sprintf("%02x%030x", len(class), uint64(class[0])<<32|uint64(w.r.IntN(of)))
}

// accepted returns a body with the fields that its kind needs, and sets the envelope's lot and bed to match.
func (w *world) accepted(e *schema.Entry) body {
	lot, bed, walk := w.id("lot", 2), w.id("bed", 2), w.id("walk", 2)
	observation := func() body {
		e.Lot, e.Bed = lot, bed
		return body{"walk": walk, "bed": bed, "lot": lot, "words": w.words(), "place": w.addUnknown(body{"row": 1, "across": 2}, 4)}
	}
	switch e.Kind {
	case "bed":
		e.Bed = bed
		return w.register(bed, body{"name": "B"})
	case "lot":
		e.Lot = lot
		return w.register(lot, body{"crop": "azalea", "pot_mm": nil})
	case "span":
		e.Lot, e.Bed = lot, bed
		return w.register(w.id("span", 2), body{"lot": lot, "bed": bed, "from_row": 1})
	case "profile":
		return w.register(w.id("profile", 2), body{"grades": []any{w.addUnknown(body{"name": "A", "pot_mm": 130}, 4)}})
	case "site", "house", "person", "booking", "round", "task", "matter", "cultivar":
		return w.register(w.id(e.Kind, 2), body{})
	case "walk":
		e.Bed = bed
		return body{"walk": walk, "bed": bed, "seed": 4294967295, "planned": 9, "places": []any{w.addUnknown(body{"row": 1, "across": 1}, 4)}}
	case "walk_end":
		e.Bed = bed
		return body{"walk": walk, "bed": bed, "why": "enough"}
	case "observation":
		return observation()
	case "correction":
		t := w.some("observation")
		pot := strings.TrimPrefix(t.records[0], "pot:")
		if len(pot) != 32 {
			pot = w.id("pot", 2)
		}
		return body{"pot": pot, "replaces": pot, "now": w.addUnknown(observation(), 3)}
	case "void", "unvoid":
		t := w.some()
		if len(t.id) != 32 {
			t = target{id: w.id("nobody", 3), records: []string{"pot:" + w.id("nobody", 3)}}
		}
		b := body{"names": t.id, "records": t.records, "words": w.words()}
		if e.Kind == "void" {
			b["why"] = "mistake"
		}
		return b
	}
	e.Lot, e.Bed = lot, bed
	return w.acceptedFact(e.Kind, lot, bed, walk)
}

func (w *world) acceptedFact(kind, lot, bed, walk string) body {
	switch kind {
	case "count":
		return body{"lot": lot, "change": 1_000_000, "reason": "other", "words": w.words()}
	case "recount":
		return body{"lot": lot, "counted": 1_000_000, "basis": body{"d1.1": w.r.IntN(50)}}
	case "move":
		return body{"why": "moved", "legs": []any{
			w.addUnknown(body{"lot": lot, "change": -1_000_000}, 4), w.addUnknown(body{"lot": lot, "span": w.id("span", 2), "change": 1_000_000}, 4)}}
	case "skip":
		return body{"walk": walk, "bed": bed, "place": w.addUnknown(body{"row": 1, "across": 2}, 3), "why": "wet"}
	case "event":
		return body{"lot": lot, "what": "potted", "on": "2026-03-14"}
	case "application":
		return body{"beds": []any{bed}, "purpose": "other", "active": "a", "ended_at": 9007199254740991, "entry_hours": 12}
	case "reading":
		return body{"ph_c": 450}
	case "rooting":
		return body{"lot": lot, "struck": 2, "rooted": 1, "on": "2026-03-14"}
	case "trace":
		return body{"house": w.id("house", 2), "source": strings.Repeat("0b", 32), "parts": []any{
			w.addUnknown(body{"at": 1, "every_s": 900, "dc": []any{35, -400}}, 4), w.addUnknown(body{"at": 9007199254740991, "every_s": 1, "dc": []any{0}}, 4)}}
	case "photo":
		return body{"hash": strings.Repeat("0a", 32), "bytes": 1, "wide_px": 1, "high_px": 1, "type": "image/png"}
	}
	return body{"words": "w" + w.words()}
}

func (w *world) register(of string, b body) body {
	b["of"] = of
	if t := w.some(); len(t.id) == 32 && w.chance(30) {
		b["saw"] = []any{t.id}
	}
	return b
}

// addUnknown adds members that no build knows to an object at some depth of its entry.
func (w *world) addUnknown(b body, depth int) body {
	if w.chance(30) {
		return b
	}
	for range 1 + w.r.IntN(3) {
		b[w.unknownName()] = w.value(depth + 1)
	}
	if w.chance(10) {
		for i := range 40 {
			b[fmt.Sprint("many ", i)] = i
		}
	}
	return b
}

func (w *world) unknownName() string {
	return w.pick("__proto__", "constructor", "toString", "hasOwnProperty", "then", "later", "", "é", "\ue000", "🌸", "a\u0000b", "<&\u2028", "0", "10", "9",
		strings.Repeat("long", 50))
}

// value returns any value; depth is the nesting depth of its outermost object or list.
func (w *world) value(depth int) any {
	if depth <= journal.MaxDepth {
		switch w.r.IntN(8) {
		case 0, 1:
			return body{w.unknownName(): w.value(depth + 1), w.unknownName(): w.value(depth + 1)}
		case 2:
			return []any{w.value(depth + 1), w.value(depth + 1)}
		case 3:
			return w.deepest(depth)
		}
	}
	return []any{nil, true, int64(9007199254740991), int64(-9007199254740991), 0, "", w.words(), strings.Repeat("雪", w.r.IntN(300))}[w.r.IntN(8)]
}

// deepest nests as deep as an entry may.
func (w *world) deepest(depth int) any {
	var inner any = []any{}
	for ; depth < journal.MaxDepth; depth++ {
		if w.chance(50) {
			inner = []any{inner}
		} else {
			inner = body{w.unknownName(): inner}
		}
	}
	return inner
}
