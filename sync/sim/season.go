package sim

import "math/rand/v2"

// seasons is how often a day begins with a lot of last season: every so many seeds.
const seasons = 4

// month is how long a shipped lot has been quiet when the day begins.
const month = 31 * day

// lastSeason lets some days begin a month after a lot was shipped, so that scouts' phones let its notes go. During the day it is
// corrected, struck out and noted on like the others, and now and then it is alive again. On some of these days no backup has it, on
// some it is not yet quiet for long enough; then nothing may go.
func (w *world) lastSeason() {
	if w.opts.Seed%seasons != 0 || w.over {
		return
	}
	// Its own chance: other days stay as they are.
	roll := rand.New(rand.NewPCG(w.opts.Seed, 0x736561736f6e))
	w.count(LastSeason)
	desk, lot, bed := w.phones[0], w.id(), w.nursery.beds[0]
	desk.save(note{Kind: "lot", Lot: lot, Body: object{"of": lot, "tag": "Q9", "crop": "azalea", "cultivar": "Sedge"}},
		note{Kind: "count", Lot: lot, Body: object{"lot": lot, "change": 40, "reason": "opening"}})
	for _, p := range w.phones {
		walk := w.id()
		p.save(note{Kind: "walk", Bed: bed, Body: object{"walk": walk, "bed": bed, "seed": 1, "planned": 5}})
		for i := range 5 {
			p.save(note{Kind: "observation", Lot: lot, Bed: bed, Body: object{"walk": walk, "bed": bed, "lot": lot, "buds": 10 + i, "planned": true}})
		}
		p.save(note{Kind: "walk_end", Bed: bed, Body: object{"walk": walk, "bed": bed, "why": "enough"}},
			note{Kind: "event", Lot: lot, Body: object{"lot": lot, "what": "pinched", "on": "2026-03-01"}})
	}
	desk.save(note{Kind: "count", Lot: lot, Body: object{"lot": lot, "change": -40, "reason": "shipped"}},
		note{Kind: "lot", Lot: lot, Body: object{"of": lot, "shipped_on": "2026-03-02"}})
	w.goOn(w.now+settling, func() bool { return false })
	isBackedUp := roll.IntN(4) > 0
	if isBackedUp {
		w.backUp()
	}
	passes := int64(month)
	if roll.IntN(4) == 0 {
		passes = 20 * day
		w.phones[2].skew = year
	}
	w.rests(passes)
	w.goOn(w.now+settling, func() bool { return false })
	w.nursery.shipped = lot
	// Without a backup a restore could lose what a phone that is emptied sent.
	if roll.IntN(2) == 0 && isBackedUp {
		w.mishap(roll.Int64N(minute), func() { w.count(PhoneCleared); w.clear(w.phones[2]) })
	}
	w.mishap(settling+roll.Int64N(morning), func() { w.lateNote(w.phones[roll.IntN(len(w.phones))], roll) })
	if roll.IntN(3) > 0 {
		w.mishap(morning/2+roll.Int64N(morning/2), func() {
			desk.save(note{Kind: "count", Lot: lot, Body: object{"lot": lot, "change": 2, "reason": "found"}})
		})
	}
}

// cutInFirst cuts a phone off in the middle of a first pull, while another note of what it leaves out arrives: what was left out is what was
// left out when that pull began.
func (w *world) cutInFirst(p *phone) {
	lot := w.nursery.shipped
	if w.nursery.south != "" {
		lot = w.nursery.lots[len(w.nursery.lots)-1]
	}
	if w.quiet || lot == "" || !p.online {
		return
	}
	w.count(LinkCut)
	p.online = false
	w.phones[0].save(note{Kind: "event", Lot: lot, Body: object{"lot": lot, "what": "pinched", "on": "2026-03-04"}})
	w.mishap(10*minute, p.heal)
}

// lateNote is a note on the shipped lot, and a correction or a void of a pot of it that the desk still has.
func (w *world) lateNote(p *phone, roll *rand.Rand) {
	lot, desk := w.nursery.shipped, w.phones[0]
	p.save(note{Kind: "event", Lot: lot, Body: object{"lot": lot, "what": "pinched", "on": "2026-03-03"}})
	s := desk.reads()
	for _, id := range sortedOf(s.rows) {
		r := s.rows[id]
		if made, ok := s.shown(r.Keys0()); r.entry.Kind == "observation" && r.entry.Lot == lot && ok && made.Pot != nil && roll.IntN(3) == 0 {
			now, buds := made.Pot.Now, 50
			now.Buds = &buds
			desk.save(note{Kind: "correction", Lot: lot, Bed: now.Bed, Body: object{"pot": id, "replaces": made.Pot.By.Entry, "now": now}})
			break
		}
	}
	w.mishap(10*minute+roll.Int64N(20*minute), func() { w.lateNote(w.phones[roll.IntN(len(w.phones))], roll) })
}

// rests lets time pass with no app open: what was planned waits as long.
func (w *world) rests(length int64) {
	for _, p := range w.phones {
		p.does(Command{Do: "end"})
		p.run++
	}
	w.now += length
	for i := range w.queue {
		w.queue[i].at += length
	}
	for _, p := range w.phones {
		p.restart()
	}
}
