package sim

import (
	"encoding/json"
	"fmt"

	"bedwalk/schema"
	"bedwalk/sync/fold"
	"bedwalk/sync/journal"
)

// become takes the server's word on who this device is. A device that has fewer notes than the server has of it was
// set back, and goes on under a new incarnation, so that no two notes ever share a number.
func (p *phone) become(me schema.Me) {
	if p.disk.cursor == (cursor{}) {
		p.moveCursor(cursor{epoch: me.Epoch}, true)
	}
	fresh := len(p.disk.rows) == 0 && p.disk.writer.seq == 0
	if fresh && me.High == 0 {
		p.disk.writer.inc = me.Incarnation
	}
	if p.disk.writer.inc == me.Incarnation && me.High > p.disk.writer.seq || fresh && me.High > 0 {
		p.ask(request{kind: "incarnation"}, func(a answer) {
			var given struct {
				Inc int `json:"inc"`
			}
			if p.refused(a, &given, func(refusal) { p.greeted = false; p.fail() }) {
				return
			}
			p.rekey(given.Inc)
			p.push()
		})
		return
	}
	// Less than it once acknowledged: its disk was set back, whether it knows that or not.
	p.sendAgainAfter(me.Incarnation, me.High)
	p.push()
}

// mend does what a refusal asks for. False: it is nothing that the phone can mend by itself.
func (p *phone) mend(r refusal) bool {
	if p.mends++; p.mends > mostMends || r.problem == nil {
		return false
	}
	switch r.problem.Code {
	case "gap":
		return r.problem.High != nil && p.sendAgainFrom(*r.problem.High)
	case "fork":
		if r.problem.Incarnation == nil {
			return false
		}
		p.rekey(*r.problem.Incarnation)
		return true
	case "rewind":
		if r.problem.ForkedAt == nil {
			return false
		}
		p.rewind(r.problem.Epoch, *r.problem.ForkedAt)
		return true
	}
	return false
}

// sendAgainFrom queues everything again that the server turned out not to have.
func (p *phone) sendAgainFrom(high int64) bool {
	waiting := p.disk.waiting()
	if len(waiting) == 0 {
		return false
	}
	inc := p.disk.rows[waiting[0]].inc
	closes := false
	for _, id := range p.disk.ids(func(r row) bool { return r.own && r.inc == inc && r.seq > high }) {
		r := p.disk.rows[id]
		closes = closes || r.seq == high+1
		p.queueAgain(r)
	}
	// Without the entry after high there is nothing that could close the gap.
	return closes
}

// queueAgain puts a note back as this phone wrote it.
func (p *phone) queueAgain(r row) {
	// A poison entry's bytes cannot be read; what its writer meant by them can.
	if own, err := journal.Parse(r.raw); err == nil && own.ID == r.entry.ID {
		r.entry, r.keys = own, fold.Keys(own)
	}
	r.pending, r.state, r.position, r.seen, r.stamp = true, "", 0, false, pendingStamp(r.entry)
	p.disk.rows[r.entry.ID] = r
}

// rewind follows the server to an older head. One's own notes of the lost stretch, and those that it kept aside, are
// queued again; others' stay until their phones have sent them again, so that none is lost meanwhile.
func (p *phone) rewind(epoch string, forkedAt int64) {
	if p.world.plant == EpochIgnored {
		p.moveCursor(cursor{epoch, p.disk.cursor.position}, true)
		p.lag = p.disk.lag()
		return
	}
	for _, id := range p.disk.ids(func(r row) bool { return r.position > forkedAt || r.own && r.state != "" }) {
		if r := p.disk.rows[id]; r.own {
			p.queueAgain(r)
		} else {
			r.position, r.seen = 0, false
			p.disk.rows[id] = r
		}
	}
	p.moveCursor(cursor{epoch, min(p.disk.cursor.position, forkedAt)}, true)
	p.disk.resetSums()
	for _, id := range p.disk.ids(func(r row) bool { return r.position > 0 && r.position <= p.disk.cursor.position }) {
		// What counts are the server's bytes, which are the entry's.
		r := p.disk.rows[id]
		raw, err := journal.Encode(r.entry)
		if err != nil {
			p.world.broken(err)
			return
		}
		r.raw = raw
		p.disk.countIn(r, p.world.plant)
	}
	p.lag = p.disk.lag()
}

// missing looks, at the head, for what the server has not shown where it said it was: one's own notes go back into the
// queue, others' are waited for.
func (p *phone) missing() {
	for _, id := range p.disk.ids(func(r row) bool { return !r.seen && !r.pending && r.state == "" }) {
		switch r := p.disk.rows[id]; {
		case r.own:
			p.world.trace("%s finds its note %s missing at the server", p.name, id[:6])
			p.queueAgain(r)
			p.again = true
		case r.orphan == 0:
			r.orphan = p.world.now
			p.disk.rows[id] = r
		}
	}
}

// handBack gives the server what it lost and nobody has sent again for a while: the phone that wrote it may be gone.
// What the server does not merge by itself it keeps aside, and so does the phone. True: an answer is waited for.
func (p *phone) handBack() bool {
	var raws []json.RawMessage
	var ids []string
	for _, id := range p.disk.ids(func(r row) bool { return r.orphan > 0 }) {
		switch r := p.disk.rows[id]; {
		case r.handed:
			r.orphan, r.handed, r.state = 0, false, "held"
			p.disk.rows[id] = r
		case p.world.now-r.orphan >= orphanWait:
			ids, raws = append(ids, id), append(raws, r.raw)
		}
	}
	if ids == nil {
		return false
	}
	body, err := json.Marshal(raws)
	if err != nil {
		p.world.broken(err)
		return true
	}
	p.ask(request{kind: "handback", body: body}, func(a answer) {
		var taken object
		if p.refused(a, &taken, func(refusal) { p.fail() }) {
			return
		}
		for _, id := range ids {
			r := p.disk.rows[id]
			r.handed = r.orphan > 0
			p.disk.rows[id] = r
		}
		p.pull()
	})
	return true
}

// sendAgainAfter queues what this phone sent after a number, in that incarnation and in later ones.
func (p *phone) sendAgainAfter(inc int, high int64) {
	for _, id := range p.disk.ids(func(r row) bool {
		return r.own && !r.pending && (r.inc > inc || r.inc == inc && r.seq > high)
	}) {
		p.queueAgain(p.disk.rows[id])
	}
}

// followRevoked takes from the refusal of a revoked phone where the server stands with it: nothing else tells such a
// phone that a backup was restored. What was kept aside is queued again where the epoch is another, and the newest note,
// since the answer to that push tells the rest.
func (p *phone) followRevoked(problem schema.Problem) {
	if problem.Incarnation != nil && problem.High != nil {
		p.sendAgainAfter(*problem.Incarnation, *problem.High)
	}
	if problem.Epoch == "" || problem.Epoch == p.disk.cursor.epoch {
		return
	}
	own := p.disk.ids(func(r row) bool { return r.own })
	for i, id := range own {
		if r := p.disk.rows[id]; !r.pending && (r.state != "" || i == len(own)-1) {
			p.queueAgain(r)
		}
	}
}

// readAgain reads the journal from its beginning, over what is here, and sends again what was kept aside.
func (p *phone) readAgain() {
	for _, id := range p.disk.ids(func(r row) bool { return !r.pending }) {
		r := p.disk.rows[id]
		if r.seen, r.position = false, 0; r.own && r.state != "" {
			p.queueAgain(r)
			continue
		}
		p.disk.rows[id] = r
	}
	p.moveCursor(cursor{p.disk.cursor.epoch, 0}, true)
	p.disk.resetSums()
	p.lag = p.disk.lag()
}

// rekey gives the notes that were never acknowledged new numbers and a new chain; their ids stay, so that one that did
// arrive is not counted twice.
func (p *phone) rekey(inc int) {
	waiting := p.disk.waiting()
	w := &p.disk.writer
	w.inc, w.seq, w.chain = inc, 0, [32]byte{}
	var renamed []renumbered
	for _, id := range waiting {
		old := p.disk.rows[id]
		e := old.entry
		e.Incarnation, e.Seq = inc, w.seq+1
		if e.Kind == "recount" {
			e.Body = withBasis(e.Body, renamed)
		}
		fresh, err := p.disk.chained(e, nil)
		if err != nil {
			p.world.broken(err)
			return
		}
		renamed = append(renamed, renumbered{nameOf(old.entry), old.entry.Seq, nameOf(fresh.entry), fresh.entry.Seq})
		p.disk.rows[id] = fresh
		p.world.wrote(p, fresh)
	}
}

type renumbered struct {
	from    string
	fromSeq int64
	to      string
	toSeq   int64
}

func nameOf(e schema.Entry) string { return fmt.Sprintf("%s.%d", e.Device, e.Incarnation) }

// withBasis lets a recount's basis, which names changes by their writers' numbers, follow them to their new ones.
func withBasis(body json.RawMessage, all []renumbered) json.RawMessage {
	var recount schema.Recount
	if err := json.Unmarshal(body, &recount); err != nil {
		return body
	}
	was := map[string]int64{}
	for name, seq := range recount.Basis {
		was[name] = seq
	}
	for _, each := range all {
		if covered, ok := was[each.from]; !ok || covered < each.fromSeq {
			continue
		}
		recount.Basis[each.to] = max(recount.Basis[each.to], each.toSeq)
		recount.Basis[each.from] = min(recount.Basis[each.from], each.fromSeq-1)
	}
	moved, err := journal.Of(recount)
	if err != nil {
		return body
	}
	return moved
}
