package sim

import (
	"encoding/json"
	"maps"
	"slices"
	"strconv"
	"strings"

	"bedwalk/schema"
)

// nursery is what there is to write about: few things, so that writes collide.
type nursery struct {
	site, house  string
	beds, lots   []string
	spans        []stretch
	rows, across int
	// shipped is a lot of last season, "" on a day without one.
	shipped string
	// south is a second house on a day of own houses, "" on any other; given is the note that last gave a person houses.
	south string
	given map[string]string
}

type stretch struct{ id, lot, bed string }

// found is what the owner's phone writes first. Others may write about a bed before they, or the server, have its record.
func (w *world) found(p *phone) {
	n := &w.nursery
	n.site, n.house, n.rows, n.across = w.id(), w.id(), 40, 12
	p.save(note{Kind: "site", Body: object{"of": n.site, "name": "Quillfen", "time_zone": "Europe/Berlin"}})
	p.save(note{Kind: "house", Body: object{"of": n.house, "name": "North", "length_mm": 60000, "width_mm": 9000}})
	for i := range 2 {
		bed := w.id()
		n.beds = append(n.beds, bed)
		p.save(note{Kind: "bed", Bed: bed, Body: object{"of": bed, "house": n.house, "name": "N" + strconv.Itoa(i+1), "length_mm": 20000, "width_mm": 1800, "rows": n.rows, "across": n.across}})
	}
	for i := range 3 {
		lot := w.id()
		n.lots = append(n.lots, lot)
		p.save(note{Kind: "lot", Lot: lot, Body: object{"of": lot, "tag": "Q" + strconv.Itoa(i+1), "crop": "azalea", "cultivar": "Mere", "pot_mm": 130}})
		s := stretch{w.id(), lot, n.beds[i%2]}
		n.spans = append(n.spans, s)
		p.save(note{Kind: "span", Lot: lot, Bed: s.bed, Body: object{"of": s.id, "lot": lot, "bed": s.bed, "from_row": 1 + 12*i, "to_row": 12 + 12*i}})
		p.save(note{Kind: "count", Lot: lot, Body: object{"lot": lot, "span": s.id, "change": 400 + 100*i, "reason": "potted"}})
	}
}

// act is one thing that somebody does on a phone.
func (w *world) act(p *phone) {
	switch roll := w.IntN(100); {
	case roll < 38:
		p.save(w.observe(p))
	case roll < 46:
		w.correct(p)
	case roll < 53:
		w.strike(p)
	case roll < 57:
		w.unstrike(p)
	case roll < 72:
		p.save(w.stock())
	case roll < 86:
		p.save(w.writeField(p))
	case roll < 91:
		p.save(note{Kind: "note", Bed: w.pick(w.nursery.beds), Body: object{"words": "Tür offen <b> & 🌸 " + w.id()}})
	case roll < 94:
		p.save(note{Kind: "event", Lot: w.nursery.lots[0], Body: object{"lot": w.nursery.lots[0], "what": "pinched", "on": "2026-03-30"}})
	case roll < 97:
		w.count(Newer)
		p.save(note{Kind: "leaf_count", Lot: w.nursery.lots[1], V: schema.Version + 1, Body: object{"leaves": w.IntN(90), "deep": object{"z": []any{1, nil}, "a": true}}})
	default:
		w.count(Poison)
		p.save(w.poison(p))
	}
}

func (w *world) pick(from []string) string { return from[w.IntN(len(from))] }

// walkOf returns the walk that a phone is on, sometimes a new one.
func (w *world) walkOf(p *phone) (walk, bed string) {
	if p.walk == "" || w.chance(8) {
		p.walk, p.walkBed = w.id(), w.pick(w.nursery.beds)
		p.save(note{Kind: "walk", Bed: p.walkBed, Body: object{"walk": p.walk, "bed": p.walkBed, "seed": w.IntN(1 << 30), "planned": 20}})
	}
	if w.chance(6) {
		p.save(note{Kind: "walk_end", Bed: p.walkBed, Body: object{"walk": p.walk, "bed": p.walkBed, "why": "enough"}})
	}
	return p.walk, p.walkBed
}

func (w *world) observe(p *phone) note {
	walk, bed := w.walkOf(p)
	lot := w.pick(w.nursery.lots)
	body := object{
		"walk": walk, "bed": bed, "lot": lot, "head_a_mm": 200 + w.IntN(120), "head_b_mm": 200 + w.IntN(120), "buds": w.IntN(60),
		"root_cover": w.IntN(6), "root_life": 1 + w.IntN(5), "planned": true, "place": object{"row": 1 + w.IntN(40), "across": 1 + w.IntN(12)},
	}
	n := note{Kind: "observation", Lot: lot, Bed: bed, Body: body}
	if w.chance(8) {
		w.count(Newer)
		n.V, body["leaf_mm"] = schema.Version+1, 31
	}
	return n
}

// some is a random entry that a phone shows, of one of some kinds.
func (w *world) some(p *phone, kinds ...string) (row, storage, bool) {
	s := p.reads()
	ids := slices.DeleteFunc(slices.Sorted(maps.Keys(s.rows)), func(id string) bool {
		return s.rows[id].apart() || !s.rows[id].counts() || !slices.Contains(kinds, s.rows[id].entry.Kind)
	})
	if len(ids) == 0 {
		return row{}, s, false
	}
	return s.rows[w.pick(ids)], s, true
}

// shown returns a record as a phone has it.
func (s storage) shown(key string) (made schema.Record, ok bool) {
	text := s.records[key].Text
	return made, text != "" && json.Unmarshal([]byte(text), &made) == nil
}

func (w *world) correct(p *phone) {
	r, s, ok := w.some(p, "observation", "correction")
	if !ok {
		return
	}
	key := r.Keys[0]
	made, ok := s.shown(key)
	if !ok || made.Pot == nil {
		return
	}
	now := made.Pot.Now
	buds := w.IntN(60)
	now.Buds = &buds
	body := object{"pot": strings.TrimPrefix(key, "pot:"), "replaces": made.Pot.By.Entry, "now": now}
	var settles []string
	for _, other := range made.Pot.Others {
		settles = append(settles, other.By.Entry)
	}
	if settles != nil && w.chance(70) {
		body["settles"] = settles
	}
	p.save(note{Kind: "correction", Lot: now.Lot, Bed: now.Bed, Body: body})
}

func (w *world) strike(p *phone) {
	r, _, ok := w.some(p, "observation", "correction", "count", "recount", "move", "walk_end", "note", "event", "lot")
	if !ok {
		return
	}
	if r.Position > 0 && p.now.Cursor.Position-r.Position > 200 {
		w.count(LateVoid)
	}
	p.save(note{Kind: "void", Lot: r.entry.Lot, Bed: r.entry.Bed, Body: object{"names": r.entry.ID, "records": r.Keys, "why": "mistake"}})
}

func (w *world) unstrike(p *phone) {
	if r, _, ok := w.some(p, "void"); ok {
		p.save(note{Kind: "unvoid", Lot: r.entry.Lot, Bed: r.entry.Bed, Body: object{"names": namedBy(r), "records": r.Keys}})
	}
}

func namedBy(r row) string {
	var body schema.Void
	// A body that cannot be read names no record, and the server reports it.
	_ = json.Unmarshal(r.entry.Body, &body)
	return body.Names
}

func (w *world) stock() note {
	from := w.nursery.spans[w.IntN(len(w.nursery.spans))]
	switch w.IntN(5) {
	case 0:
		return note{Kind: "recount", Lot: from.lot, Basis: from.lot, Body: object{"lot": from.lot, "span": from.id, "counted": 300 + w.IntN(300)}}
	case 1:
		to := w.nursery.spans[w.IntN(len(w.nursery.spans))]
		if to == from {
			break
		}
		pots := 1 + w.IntN(50)
		return note{Kind: "move", Lot: from.lot, Body: object{"why": "moved", "legs": []any{
			object{"lot": from.lot, "span": from.id, "change": -pots}, object{"lot": to.lot, "span": to.id, "change": pots}}}}
	}
	return note{Kind: "count", Lot: from.lot, Body: object{"lot": from.lot, "span": from.id, "change": -1 - w.IntN(40), "reason": "culled"}}
}

// writeField writes fields of a lot or a bed, seeing what this phone shows.
func (w *world) writeField(p *phone) note {
	kind, of, fields := "lot", w.pick(w.nursery.lots), []string{"cultivar", "origin", "ship_week"}
	if w.chance(30) {
		kind, of, fields = "bed", w.pick(w.nursery.beds), []string{"name", "far_end"}
	}
	body := object{"of": of}
	seen := map[string]bool{}
	made, known := p.reads().shown(kind + ":" + of)
	for _, field := range fields[:1+w.IntN(len(fields))] {
		body[field] = []string{"Mere", "Fenmoor", "Quill", "Sedge"}[w.IntN(4)]
		if field == "ship_week" {
			body[field] = "2026-W5" + strconv.Itoa(w.IntN(3))
		}
		if w.chance(15) {
			body[field] = nil
		}
		if known && made.Register != nil {
			for _, id := range made.Register.Fields[field].Live {
				seen[id] = true
			}
		}
	}
	if len(seen) > 0 {
		body["saw"] = slices.Sorted(maps.Keys(seen))
	}
	n := note{Kind: kind, Body: body}
	if n.Lot = of; kind == "bed" {
		if n.Lot, n.Bed = "", of; p.role == "scout" {
			w.count(NotForRole)
			n.unfit = "it is not for a scout"
		}
	}
	return n
}

// poison is what no server may merge: past a limit, not canonical, not integers, bytes of a faulty app.
func (w *world) poison(p *phone) note {
	n := w.observe(p)
	n.unfit = "it is poison"
	switch w.IntN(4) {
	case 0:
		n.Body["head_a_mm"] = 4000
	case 1:
		n.Spoil = "space"
	case 2:
		n.Spoil = "fraction"
	case 3:
		n.Spoil = "nothing"
	}
	return n
}
