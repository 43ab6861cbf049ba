// Package foldgen makes random sets of entries in a small world, where names collide often: corrections of corrections,
// separate writes, voids of entries not yet written, moves, recounts, pending notes, bodies of later versions and
// bodies that nobody can read. It serves the tests of package fold, of its twin and of the simulator; no device runs it.
//
// Its functions are Entries and Whole: the same random source gives the same entries.
package foldgen

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"

	"bedwalk/schema"
	"bedwalk/sync/journal"
)

type body = map[string]any

// world is what the entries made so far can be referred to by.
type world struct {
	r *rand.Rand
	// spoils is how many bodies in a hundred are unreadable.
	spoils  int
	made    int64
	targets []target
	seqs    map[string]int64
}

// target is an entry that a later one may correct, see or void.
type target struct {
	id, kind, of string
	records      []string
}

// Entries makes n entries with stamps, in a random order. The error is one of canonical bytes and means a fault in
// this package.
func Entries(r *rand.Rand, n int) ([]schema.Stamped, error) { return entries(r, n, 4) }

// Whole makes entries as Entries does, but no body is unreadable.
func Whole(r *rand.Rand, n int) ([]schema.Stamped, error) { return entries(r, n, 0) }

func entries(r *rand.Rand, n, spoils int) ([]schema.Stamped, error) {
	w := &world{r: r, spoils: spoils, seqs: map[string]int64{}}
	out := make([]schema.Stamped, 0, n)
	for range n {
		s, err := w.entry()
		if err != nil {
			return nil, err
		}
		out = append(out, s)
	}
	r.Shuffle(len(out), func(i, j int) { out[i], out[j] = out[j], out[i] })
	return out, nil
}

func (w *world) pick(words ...string) string { return words[w.r.IntN(len(words))] }

func (w *world) chance(percent int) bool { return w.r.IntN(100) < percent }

// name returns one of a few names of a class, so that entries collide.
func (w *world) name(class string, of int) string { return fmt.Sprintf("%s%d", class, w.r.IntN(of)) }

func (w *world) entry() (schema.Stamped, error) {
	id := fmt.Sprintf("%016x%016x", w.r.Uint64(), w.r.Uint64())
	kind, b := w.kind(id)
	if w.chance(w.spoils) {
		w.spoil(b)
	}
	raw, err := journal.Of(b)
	if err != nil {
		return schema.Stamped{}, err
	}
	e := schema.Entry{
		ID: id, Device: w.name("d", 3), Incarnation: 1 + w.r.IntN(2), V: 1, Kind: kind, Person: w.name("person", 2),
		Wall: int64(w.r.IntN(100)), Session: "s", Body: raw,
	}
	if w.chance(70) {
		e.Lot = w.name("lot", 2)
	}
	if w.chance(50) {
		e.Bed = w.name("bed", 2)
	}
	writer := fmt.Sprintf("%s.%d", e.Device, e.Incarnation)
	w.seqs[writer]++
	e.Seq = w.seqs[writer]
	st := w.stamp()
	w.made++
	position := w.made
	if st.Quality == schema.Pending {
		position = 0
	}
	return schema.Stamped{Entry: e, Stamp: st, Position: position}, nil
}

func (w *world) stamp() schema.Stamp {
	at := int64(w.r.IntN(40))
	switch w.r.IntN(10) {
	case 0:
		return schema.Stamp{At: at, Quality: schema.Pending, From: at, To: at}
	case 1, 2:
		return schema.Stamp{At: at, Quality: schema.Bracketed, From: at - int64(w.r.IntN(10)), To: at}
	}
	return schema.Stamp{At: at, Quality: schema.Exact, From: at, To: at}
}

func (w *world) kind(id string) (string, body) {
	switch w.r.IntN(12) {
	case 0, 1:
		return w.remember(id, "observation", "pot:"+id, w.observation())
	case 2:
		return w.correction(id)
	case 3, 4:
		return w.write(id)
	case 5:
		return w.void(id)
	case 6:
		return w.unvoid(id)
	case 7:
		lot := w.name("lot", 2)
		return w.remember(id, "count", "stock:"+lot, w.span(body{"lot": lot, "change": w.r.IntN(200) - 80, "reason": w.pick("potted", "culled"), "words": w.words()}))
	case 8:
		return w.recount(id)
	case 9:
		return w.move(id)
	case 10:
		return w.walk(id)
	}
	kind := w.pick("note", "reading", "event", "photo", "trace", "holiday")
	record := "fact:" + id
	if kind == "trace" {
		record = "trace:" + id
	}
	return w.remember(id, kind, record, body{"words": w.words(), "lot": w.name("lot", 2), "deep": []any{body{"b": 1, "a": nil}, true}})
}

func (w *world) remember(id, kind, record string, b body) (string, body) {
	w.targets = append(w.targets, target{id: id, kind: kind, records: []string{record}})
	return kind, b
}

func (w *world) words() string {
	return w.pick("", "dry edge", "é 雪 🌸", "a<b & \"c\"\n\u2028", "\u0000\u007f")
}

func (w *world) observation() body {
	b := body{"walk": w.name("walk", 2), "bed": w.name("bed", 2), "lot": w.name("lot", 2), "planned": w.chance(50), "words": w.words()}
	for _, field := range []string{"head_a_mm", "head_b_mm", "height_mm", "buds", "tips_bare", "root_cover", "root_life", "severity", "bypass"} {
		if w.chance(50) {
			b[field] = w.r.IntN(400)
		}
	}
	for _, field := range []string{"soft_flush", "lower_brown", "disease"} {
		if w.chance(30) {
			b[field] = w.chance(50)
		}
	}
	if w.chance(60) {
		b["place"] = body{"row": w.r.IntN(9), "across": w.r.IntN(9), "shelf": 1}
	}
	if w.chance(30) {
		b["chlorosis"] = w.pick("none", "young")
		b["scratch"] = nil
	}
	return b
}

// some returns an earlier entry, or one that nobody ever wrote.
func (w *world) some(kinds ...string) target {
	for range 4 {
		if len(w.targets) == 0 {
			break
		}
		t := w.targets[w.r.IntN(len(w.targets))]
		for _, kind := range kinds {
			if t.kind == kind {
				return t
			}
		}
		if len(kinds) == 0 {
			return t
		}
	}
	return target{id: w.name("nobody", 3), records: []string{"pot:" + w.name("nobody", 3)}}
}

func (w *world) correction(id string) (string, body) {
	t := w.some("observation", "correction")
	b := body{"pot": t.records[0][len("pot:"):], "replaces": t.id, "now": w.observation()}
	if w.chance(20) {
		b["settles"] = []string{w.some("correction").id, id}
	}
	return w.remember(id, "correction", t.records[0], b)
}

func (w *world) write(id string) (string, body) {
	kind := w.pick("bed", "lot", "span", "booking", "round", "profile", "task", "matter", "cultivar")
	of := w.name(kind, 2)
	b := body{"of": of}
	for _, field := range []string{"name", "lot", "bed", "rows", "ended", "grades"} {
		if w.chance(40) {
			b[field] = []any{nil, w.name("lot", 3), w.r.IntN(3), w.chance(50), []any{body{"b": w.r.IntN(2), "a": "x"}}, ""}[w.r.IntN(6)]
		}
	}
	var saw []string
	for _, t := range w.targets {
		if t.kind == kind && t.of == of && w.chance(50) {
			saw = append(saw, t.id)
		}
	}
	if saw != nil {
		b["saw"] = saw
	}
	w.targets = append(w.targets, target{id, kind, of, []string{kind + ":" + of}})
	return kind, b
}

func (w *world) void(id string) (string, body) {
	t := w.some()
	records := append([]string{}, t.records...)
	if w.chance(15) || len(records) > 1 && w.chance(40) {
		records = records[:len(records)-1]
	}
	if w.chance(20) {
		records = append(records, "stock:lot0")
	}
	w.targets = append(w.targets, target{id: id, kind: "void", records: t.records})
	return "void", body{"names": t.id, "records": records, "why": w.pick("mistake", "twice"), "words": w.words()}
}

func (w *world) unvoid(id string) (string, body) {
	t := w.some("void")
	w.targets = append(w.targets, target{id: id, kind: "unvoid", records: t.records})
	return "unvoid", body{"names": t.id, "records": t.records, "words": w.words()}
}

func (w *world) span(b body) body {
	if w.chance(70) {
		b["span"] = w.name("span", 2)
	}
	return b
}

func (w *world) recount(id string) (string, body) {
	lot := w.name("lot", 2)
	basis := body{}
	for _, writer := range slices.Sorted(maps.Keys(w.seqs)) {
		if w.chance(60) {
			basis[writer] = w.r.Int64N(w.seqs[writer] + 1)
		}
	}
	return w.remember(id, "recount", "stock:"+lot, w.span(body{"lot": lot, "counted": w.r.IntN(500), "basis": basis}))
}

func (w *world) move(id string) (string, body) {
	legs := []any{}
	records := []string{}
	left := 0
	for range 1 + w.r.IntN(3) {
		change, lot := w.r.IntN(100)-50, w.name("lot", 2)
		left -= change
		legs = append(legs, w.span(body{"lot": lot, "change": change}))
		records = append(records, "stock:"+lot)
	}
	lot := w.name("lot", 2)
	legs = append(legs, w.span(body{"lot": lot, "change": left}))
	w.targets = append(w.targets, target{id: id, kind: "move", records: append(records, "stock:"+lot)})
	return "move", body{"legs": legs, "why": w.pick("moved", "split"), "words": w.words()}
}

func (w *world) walk(id string) (string, body) {
	walk := w.name("walk", 2)
	if w.chance(50) {
		return w.remember(id, "walk_end", "walk:"+walk, body{"walk": walk, "bed": w.name("bed", 2), "why": w.pick("enough", "stopped")})
	}
	b := body{"walk": walk, "bed": w.name("bed", 2), "seed": w.r.IntN(1000), "planned": w.r.IntN(60)}
	if w.chance(30) {
		b["places"] = []any{body{"row": 1, "across": 2}, nil, body{"row": 3}}
	}
	return w.remember(id, "walk", "walk:"+walk, b)
}

// spoil puts a value of another type, null, or a name in other letters in place of a member.
func (w *world) spoil(b body) {
	// A map's order does not follow the seed.
	names := slices.Sorted(maps.Keys(b))
	name := names[w.r.IntN(len(names))]
	switch w.r.IntN(4) {
	case 0:
		b[name] = nil
	case 1:
		b[name] = []any{7, "x", nil}
	case 2:
		b[name] = body{"row": "x"}
	case 3:
		b["B"+name] = b[name]
		delete(b, name)
	}
}
