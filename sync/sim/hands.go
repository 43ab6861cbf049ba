package sim

import (
	"bytes"
	"encoding/json"
	"slices"
	"strconv"
	"strings"

	"bedwalk/schema"
	"bedwalk/sync/fold"
)

// nursery is what there is to write about: few things, so that people meet over them.
type nursery struct {
	site, house  string
	beds, lots   []string
	spans        []stretch
	rows, across int
}

type stretch struct{ id, lot, bed string }

// found is what the owner's phone writes first of all. Others may write about a bed before they, or the server, have
// heard of it.
func (w *world) found(p *phone) {
	n := &w.nursery
	n.site, n.house, n.rows, n.across = w.id(), w.id(), 40, 12
	p.save(draft{kind: "site", body: object{"of": n.site, "name": "Quillfen", "time_zone": "Europe/Berlin"}})
	p.save(draft{kind: "house", body: object{"of": n.house, "name": "North", "length_mm": 60000, "width_mm": 9000}})
	for i := range 2 {
		bed := w.id()
		n.beds = append(n.beds, bed)
		p.save(draft{kind: "bed", bed: bed, body: object{"of": bed, "house": n.house, "name": "N" + strconv.Itoa(i+1), "length_mm": 20000, "width_mm": 1800, "rows": n.rows, "across": n.across}})
	}
	for i := range 3 {
		lot := w.id()
		n.lots = append(n.lots, lot)
		p.save(draft{kind: "lot", lot: lot, body: object{"of": lot, "tag": "Q" + strconv.Itoa(i+1), "crop": "azalea", "cultivar": "Mere", "pot_mm": 130}})
		s := stretch{w.id(), lot, n.beds[i%2]}
		n.spans = append(n.spans, s)
		p.save(draft{kind: "span", lot: lot, bed: s.bed, body: object{"of": s.id, "lot": lot, "bed": s.bed, "from_row": 1 + 12*i, "to_row": 12 + 12*i}})
		p.save(draft{kind: "count", lot: lot, body: object{"lot": lot, "span": s.id, "change": 400 + 100*i, "reason": "potted"}})
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
		p.save(w.stock(p))
	case roll < 86:
		p.save(w.writeField(p))
	case roll < 91:
		p.save(draft{kind: "note", bed: w.pick(w.nursery.beds), body: object{"words": "Tür offen <b> & 🌸 " + w.id()}})
	case roll < 94:
		p.save(draft{kind: "event", lot: w.nursery.lots[0], body: object{"lot": w.nursery.lots[0], "what": "pinched", "on": "2026-03-30"}})
	case roll < 97:
		w.count(Newer)
		p.save(draft{kind: "leaf_count", lot: w.nursery.lots[1], v: schema.Version + 1, body: object{"leaves": w.IntN(90), "deep": object{"z": []any{1, nil}, "a": true}}})
	default:
		w.count(Poison)
		p.save(w.poison(p))
	}
}

func (w *world) pick(from []string) string { return from[w.IntN(len(from))] }

// walkOf is the walk that a phone is on, a fresh one now and then.
func (w *world) walkOf(p *phone) (walk, bed string) {
	if p.walk == "" || w.chance(8) {
		p.walk, p.walkBed = w.id(), w.pick(w.nursery.beds)
		p.save(draft{kind: "walk", bed: p.walkBed, body: object{"walk": p.walk, "bed": p.walkBed, "seed": w.IntN(1 << 30), "planned": 20}})
	}
	if w.chance(6) {
		p.save(draft{kind: "walk_end", bed: p.walkBed, body: object{"walk": p.walk, "bed": p.walkBed, "why": "enough"}})
	}
	return p.walk, p.walkBed
}

func (w *world) observe(p *phone) draft {
	walk, bed := w.walkOf(p)
	lot := w.pick(w.nursery.lots)
	body := object{
		"walk": walk, "bed": bed, "lot": lot, "head_a_mm": 200 + w.IntN(120), "head_b_mm": 200 + w.IntN(120), "buds": w.IntN(60),
		"root_cover": w.IntN(6), "root_life": 1 + w.IntN(5), "planned": true, "place": object{"row": 1 + w.IntN(40), "across": 1 + w.IntN(12)},
	}
	d := draft{kind: "observation", lot: lot, bed: bed, body: body}
	if w.chance(8) {
		w.count(Newer)
		d.v, body["leaf_mm"] = schema.Version+1, 31
	}
	return d
}

// some is a random entry that a phone shows, of one of some kinds.
func (w *world) some(p *phone, kinds ...string) (row, bool) {
	ids := p.disk.ids(func(r row) bool { return r.state == "" && slices.Contains(kinds, r.entry.Kind) })
	if len(ids) == 0 {
		return row{}, false
	}
	return p.disk.rows[w.pick(ids)], true
}

func (w *world) correct(p *phone) {
	r, ok := w.some(p, "observation", "correction")
	if !ok {
		return
	}
	key := r.keys[0]
	record, ok := fold.Fold(key, p.disk.of(key))
	if !ok || record.Pot == nil {
		return
	}
	now := record.Pot.Now
	buds := w.IntN(60)
	now.Buds = &buds
	body := object{"pot": strings.TrimPrefix(key, "pot:"), "replaces": record.Pot.By.Entry, "now": now}
	var settles []string
	for _, other := range record.Pot.Others {
		settles = append(settles, other.By.Entry)
	}
	if settles != nil && w.chance(70) {
		body["settles"] = settles
	}
	p.save(draft{kind: "correction", lot: now.Lot, bed: now.Bed, body: body})
}

func (w *world) strike(p *phone) {
	if r, ok := w.some(p, "observation", "correction", "count", "recount", "move", "walk_end", "note", "event", "lot"); ok {
		p.save(draft{kind: "void", lot: r.entry.Lot, bed: r.entry.Bed, body: object{"names": r.entry.ID, "records": r.keys, "why": "mistake"}})
	}
}

func (w *world) unstrike(p *phone) {
	if r, ok := w.some(p, "void"); ok {
		p.save(draft{kind: "unvoid", lot: r.entry.Lot, bed: r.entry.Bed, body: object{"names": namedBy(r), "records": r.keys}})
	}
}

func namedBy(r row) string {
	var body schema.Void
	// A body that cannot be read names nothing, and the server says so.
	_ = json.Unmarshal(r.entry.Body, &body)
	return body.Names
}

func (w *world) stock(p *phone) draft {
	from := w.nursery.spans[w.IntN(len(w.nursery.spans))]
	switch w.IntN(5) {
	case 0:
		// The counter knows what this phone shows.
		basis := object{}
		for _, s := range p.disk.of("stock:" + from.lot) {
			name := nameOf(s.Entry)
			if known, _ := basis[name].(int64); s.Entry.Seq > known {
				basis[name] = s.Entry.Seq
			}
		}
		return draft{kind: "recount", lot: from.lot, body: object{"lot": from.lot, "span": from.id, "counted": 300 + w.IntN(300), "basis": basis}}
	case 1:
		to := w.nursery.spans[w.IntN(len(w.nursery.spans))]
		if to == from {
			break
		}
		pots := 1 + w.IntN(50)
		return draft{kind: "move", lot: from.lot, body: object{"why": "moved", "legs": []any{
			object{"lot": from.lot, "span": from.id, "change": -pots}, object{"lot": to.lot, "span": to.id, "change": pots}}}}
	}
	return draft{kind: "count", lot: from.lot, body: object{"lot": from.lot, "span": from.id, "change": -1 - w.IntN(40), "reason": "culled"}}
}

// writeField writes fields of a lot or a bed, seeing what this phone shows.
func (w *world) writeField(p *phone) draft {
	kind, of, fields := "lot", w.pick(w.nursery.lots), []string{"cultivar", "origin", "ship_week"}
	if w.chance(30) {
		kind, of, fields = "bed", w.pick(w.nursery.beds), []string{"name", "far_end"}
	}
	body := object{"of": of}
	seen := map[string]bool{}
	record, known := fold.Fold(kind+":"+of, p.disk.of(kind+":"+of))
	for _, field := range fields[:1+w.IntN(len(fields))] {
		body[field] = []string{"Mere", "Fenmoor", "Quill", "Sedge"}[w.IntN(4)]
		if field == "ship_week" {
			body[field] = "2026-W5" + strconv.Itoa(w.IntN(3))
		}
		if w.chance(15) {
			body[field] = nil
		}
		if known && record.Register != nil {
			for _, id := range record.Register.Fields[field].Live {
				seen[id] = true
			}
		}
	}
	var saw []string
	for id := range seen {
		saw = append(saw, id)
	}
	if slices.Sort(saw); saw != nil {
		body["saw"] = saw
	}
	d := draft{kind: kind, body: body}
	if d.lot = of; kind == "bed" {
		d.lot, d.bed = "", of
	}
	return d
}

// poison is what no server can merge: past a limit, not canonical, no integers, bytes of a faulty app.
func (w *world) poison(p *phone) draft {
	d := w.observe(p)
	switch w.IntN(4) {
	case 0:
		d.body["head_a_mm"] = 4000
	case 1:
		d.spoil = func(raw []byte) []byte { return bytes.Replace(raw, []byte(`"buds":`), []byte(`"buds": `), 1) }
	case 2:
		d.spoil = func(raw []byte) []byte {
			return bytes.Replace(raw, []byte(`"root_cover":`), []byte(`"root_cover":1.5,"r":`), 1)
		}
	case 3:
		d.spoil = func([]byte) []byte { return []byte(`{"id":7}`) }
	}
	return d
}
