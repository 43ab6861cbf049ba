package sim

import "math/rand/v2"

// A day of own houses is one of so many.
const (
	houseDays = 8
	houseDay  = 5
)

// ownHouses lets some days begin in a nursery of two houses, of which the owner gave each scout's phone some a month ago: the notes of the others
// are let go, and of a lot that moved out of it. During the day other houses are given, lots move between them, phones open and close houses, and one may be emptied, whose first
// pull then leaves the others out. On some of these days no backup has the notes, or they are not old enough; then nothing may go.
func (w *world) ownHouses() {
	if w.opts.Seed%houseDays != houseDay || w.over {
		return
	}
	// Its own chance: other days stay as they are.
	roll := rand.New(rand.NewPCG(w.opts.Seed, 0x686f75736573))
	w.count(OwnHouses)
	n, desk := &w.nursery, w.phones[0]
	// Where phones contradict the server's clock it takes no notes, and none would be a month old.
	for _, p := range w.phones {
		p.skew = 0
	}
	w.clockRight()
	south, bed, s := w.id(), w.id(), stretch{w.id(), w.id(), ""}
	s.bed = bed
	desk.save(note{Kind: "house", Body: object{"of": south, "name": "South"}},
		note{Kind: "bed", Bed: bed, Body: object{"of": bed, "house": south, "name": "S1", "length_mm": 20000, "width_mm": 1800, "rows": n.rows, "across": n.across}},
		note{Kind: "lot", Lot: s.lot, Body: object{"of": s.lot, "tag": "Q8", "crop": "azalea", "cultivar": "Sedge"}},
		note{Kind: "span", Lot: s.lot, Bed: bed, Body: object{"of": s.id, "lot": s.lot, "bed": bed, "from_row": 1, "to_row": 30}},
		note{Kind: "count", Lot: s.lot, Body: object{"lot": s.lot, "span": s.id, "change": 300, "reason": "potted"}})
	w.goOn(w.now+settling, func() bool { return false })
	for _, p := range w.phones {
		for _, at := range []stretch{s, n.spans[0]} {
			walk := w.id()
			p.save(note{Kind: "walk", Bed: at.bed, Body: object{"walk": walk, "bed": at.bed, "seed": 1, "planned": 5}})
			for i := range 5 {
				p.save(note{Kind: "observation", Lot: at.lot, Bed: at.bed, Body: object{"walk": walk, "bed": at.bed, "lot": at.lot, "buds": 10 + i, "planned": true}})
			}
			p.save(note{Kind: "event", Lot: at.lot, Body: object{"lot": at.lot, "what": "pinched", "on": "2026-03-01"}})
		}
	}
	n.south, n.beds, n.lots, n.spans = south, append(n.beds, bed), append(n.lots, s.lot), append(n.spans, s)
	n.given = map[string]string{}
	for _, p := range w.scouts() {
		w.gives(p, n.house)
	}
	w.goOn(w.now+settling, func() bool { return false })
	if roll.IntN(2) == 0 {
		w.movesOut(n.spans[2], s)
	}
	isBackedUp := roll.IntN(4) > 0
	if isBackedUp {
		w.backUp()
	}
	passes := int64(month)
	if roll.IntN(5) == 0 {
		passes = 20 * day
	}
	w.rests(passes)
	w.goOn(w.now+settling, func() bool { return false })
	// Without a backup a restore could lose what a phone that is emptied sent.
	if roll.IntN(2) == 0 && isBackedUp {
		w.mishap(roll.Int64N(settling), func() { w.count(PhoneCleared); w.clear(w.phones[2]) })
	}
	if roll.IntN(2) == 0 {
		// A part of the second house's lot comes into the first, whose phones have let it go.
		w.mishap(settling+roll.Int64N(morning/4), func() { n.spans = append(n.spans, w.moves(s, n.beds[0], false)) })
	}
	w.mishap(settling+roll.Int64N(morning/4), func() { w.changesHouses(roll) })
}

// movesOut has a lot walked alone in the first house, and then moved beside another in the second.
func (w *world) movesOut(from, beside stretch) {
	n := &w.nursery
	for _, p := range w.phones {
		walk := w.id()
		p.save(note{Kind: "walk", Bed: from.bed, Body: object{"walk": walk, "bed": from.bed, "seed": 1, "planned": 5}})
		for i := range 5 {
			p.save(note{Kind: "observation", Lot: from.lot, Bed: from.bed, Body: object{"walk": walk, "bed": from.bed, "lot": from.lot, "buds": 20 + i, "planned": true}})
		}
	}
	n.spans = append(n.spans, w.moves(from, beside.bed, true))
	w.goOn(w.now+settling, func() bool { return false })
}

// moves puts a lot on a bed; ends says that it has left where it stood.
func (w *world) moves(from stretch, bed string, ends bool) stretch {
	to := stretch{w.id(), from.lot, bed}
	w.phones[0].save(note{Kind: "span", Lot: to.lot, Bed: to.bed, Body: object{"of": to.id, "lot": to.lot, "bed": to.bed, "from_row": 31, "to_row": 40}})
	if ends {
		w.phones[0].save(note{Kind: "span", Lot: from.lot, Bed: from.bed, Body: object{"of": from.id, "ended": true}})
	}
	return to
}

func (w *world) scouts() (all []*phone) {
	for _, p := range w.phones {
		if p.role == "scout" {
			all = append(all, p)
		}
	}
	return all
}

// gives writes down which houses a scout walks, having seen what was written before, where anything was.
func (w *world) gives(p *phone, houses ...string) {
	id, body := w.id(), object{"of": p.person, "houses": houses}
	if before := w.nursery.given[p.person]; before != "" {
		body["saw"] = []string{before}
	}
	w.nursery.given[p.person] = id
	w.phones[0].save(note{ID: id, Kind: "person", Body: body})
}

// changesHouses changes what a phone carries, in one of four ways, again and again.
func (w *world) changesHouses(roll *rand.Rand) {
	n, scouts := &w.nursery, w.scouts()
	p := scouts[roll.IntN(len(scouts))]
	switch roll.IntN(5) {
	case 0:
		w.gives(p, [][]string{{n.house}, {n.south}, {}, {n.house, n.south}}[roll.IntN(4)]...)
	case 1:
		// The lot moves into a bed of the other house, or a part of it.
		of := n.spans[roll.IntN(len(n.spans))]
		n.spans = append(n.spans, w.moves(of, n.beds[roll.IntN(len(n.beds))], roll.IntN(2) == 0))
	default:
		if !p.dead && p.now.Writer != nil {
			p.acts(Command{Do: "house", House: []string{n.house, n.south}[roll.IntN(2)], Shut: roll.IntN(3) == 0})
		}
	}
	w.mishap(5*minute+roll.Int64N(10*minute), func() { w.changesHouses(roll) })
}
