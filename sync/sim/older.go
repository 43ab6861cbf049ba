package sim

import (
	"math/rand/v2"
	"slices"
	"strings"

	"bedwalk/schema"
)

// olderDays is of how many days two are days of older apps.
const olderDays = 13

// olderApps lets half of the phones of some days begin with an app that is a version behind: it makes no records of the latest kinds, which
// the owner's phone writes all day. At some time, with the app perhaps killed in the midst of it, each is updated.
func (w *world) olderApps() {
	if at := w.opts.Seed % olderDays; at != 0 && at != 11 {
		return
	}
	// Its own chance: other days stay as they are.
	w.older = rand.New(rand.NewPCG(w.opts.Seed, 0x6f6c646572))
	w.count(OlderApps)
}

// writesLater lets the owner write notes of the latest kinds, strike some of them out, and updates the other phones.
func (w *world) writesLater() {
	if w.older == nil || w.over {
		return
	}
	roll, desk := w.older, w.phones[0]
	// Where phones contradict the server's clock it takes no notes, and nobody would get one of a kind that they do not know.
	for _, p := range w.phones {
		p.skew = 0
	}
	w.clockRight()
	// Fields of a crop's profile that the apps of phones were built before, one of them before any: whoever does not know them keeps them and passes
	// them on, so that digests stay equal.
	desk.save(note{Kind: "profile", Body: object{"of": w.id(), "crop": "azalea",
		"targets":          []object{{"day": 14, "low_mm": 120, "high_mm": 160}},
		"sizes":            []object{{"stage": "cold", "pot_mm": 130, "shortest_days": 38, "likely_days": 40, "longest_days": 42}},
		"of_a_later_build": []object{{"stage": "cold", "parts": []int{3, 1, 2}}},
	}})
	var written []string
	var writes func()
	writes = func() {
		if len(written) > 0 && roll.IntN(4) == 0 {
			id := written[roll.IntN(len(written))]
			desk.save(note{Kind: "void", Body: object{"names": id, "records": []string{"trace:" + id}, "why": "mistake"}})
		} else {
			id := w.id()
			written = append(written, id)
			desk.save(note{ID: id, Kind: "trace", Body: object{"house": w.nursery.house, "spot": "door", "source": strings.Repeat("5a", 32),
				"parts": []object{{"at": w.now, "every_s": 900, "dc": []int{41, 38, -3}}}}})
		}
		w.mishap(roll.Int64N(6*minute), writes)
	}
	// Before the day begins everybody has the first one, and nothing pending: then records would be compared.
	writes()
	w.goOn(w.now+settling, func() bool { return false })
	for _, p := range w.phones {
		if p.older {
			w.mishap(morning/4+roll.Int64N(morning/2), func() { w.update(p, roll.IntN(2)*(1+roll.IntN(25))) })
		}
	}
}

// update starts a phone with the present app; kill is after how many steps it dies, 0 for not.
func (w *world) update(p *phone, kill int) {
	if !p.older {
		return
	}
	w.trace("%s is updated", p.name)
	p.older = false
	if kill == 0 || p.full {
		p.restart()
		return
	}
	p.run++
	p.dead = false
	p.startedAt, p.slept, p.asleep = w.now, 0, 0
	p.acts(Command{Do: "start", Seed: w.Uint32(), Kill: kill})
}

// checkReadLater checks, when the present app starts on a day of older ones, that nothing on its storage is left unread.
func (w *world) checkReadLater(p *phone, s storage) {
	if w.older == nil || p.older || p.full || p.dead {
		return
	}
	w.checked(ReadLater)
	for _, id := range sortedOf(s.rows) {
		r := s.rows[id]
		if !slices.Contains(schema.KindsSince(0), r.entry.Kind) || !r.counts() {
			continue
		}
		if key := "trace:" + id; r.entry.Kind == "trace" && (len(r.Keys) != 1 || r.Keys[0] != key) {
			w.violated(ReadLater, "%s was updated and still keeps note %s unread; its app is %s %s", p.name, id, p.now.State, p.now.Detail)
			return
		}
		for _, key := range r.Keys {
			if w.checkRow(p, s, key); w.over {
				return
			}
		}
	}
}
