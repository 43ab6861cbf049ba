package sim

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"bedwalk/schema"
	"bedwalk/sync/fold"
	"bedwalk/sync/journal"
)

// The courier's times and sizes, as in pwa/src/journal/courier.ts, push.ts and pull.ts. Batches are smaller here, so
// that the few notes of a simulation still take several.
const (
	patience    = 30 * second
	firstWait   = 2 * second
	longestWait = 5 * minute
	idleWait    = 3 * minute
	mostMends   = 8
	mostEntries = 7
	firstPage   = 5
	// orphanWait is how long a phone waits for others to send again themselves what a restored server has lost.
	orphanWait = 10 * minute
	page       = 20
)

// carry takes notes both ways when there is a chance: after a save, on coming back, and by its own timer.
func (p *phone) carry(reason string) {
	if p.world.plant == RetryOnlyOnWrite && reason != "saved" && reason != "start" {
		return
	}
	if reason != "timer" && reason != "saved" {
		p.failures = 0
	}
	if p.running {
		p.again = true
		return
	}
	p.running, p.again, p.mends, p.most, p.out = true, false, 0, mostEntries, nil
	p.wake++
	if p.greeted {
		p.push()
		return
	}
	p.ask(request{kind: "me"}, func(a answer) {
		var me schema.Me
		if p.refused(a, &me, func(r refusal) {
			if r.why != "unpaired" && r.why != "revoked" {
				p.fail()
				return
			}
			// A phone that was revoked may still hand in what it has.
			p.out = r
			p.push()
		}) {
			return
		}
		p.greeted = true
		p.become(me)
	})
}

func (p *phone) done() {
	p.failures = 0
	p.rest(idleWait)
}

func (p *phone) fail() {
	p.failures++
	p.rest(min(longestWait, firstWait<<min(p.failures-1, 10)))
}

// rest ends a round and plans the next, with jitter: phones that came back together do not come back together again.
func (p *phone) rest(ms int64) {
	p.running = false
	if p.again {
		p.carry("again")
		return
	}
	p.wake++
	wake := p.wake
	p.world.after(ms/2+p.world.below(ms), func() {
		if p.wake == wake {
			p.carry("timer")
		}
	})
}

// push sends what waits, oldest first.
func (p *phone) push() {
	ids := p.batch()
	if len(ids) == 0 {
		p.pull()
		return
	}
	first := p.disk.rows[ids[0]]
	before := p.disk.ids(func(r row) bool { return r.own && r.inc == first.inc && r.seq == first.seq-1 })
	chain := [32]byte{}
	if len(before) > 0 {
		chain = p.disk.rows[before[0]].chain
	}
	batch := schema.Push{
		V: 1, Device: p.disk.writer.device, Incarnation: first.inc, Epoch: p.disk.cursor.epoch, From: first.seq,
		Chain: journal.ChainHex(chain), Session: p.session, SentWall: p.wall(), SentMono: p.mono(),
		Pending: len(p.disk.waiting()) - len(ids), Entries: []json.RawMessage{},
	}
	head, err := json.Marshal(batch)
	if err != nil {
		p.world.broken(err)
		return
	}
	var texts []string
	for _, id := range ids {
		texts = append(texts, string(p.disk.rows[id].raw))
	}
	// Entries travel as the bytes that were chained, never as JSON written again.
	body := bytes.Replace(head, []byte(`"entries":[]`), []byte(`"entries":[`+strings.Join(texts, ",")+`]`), 1)
	p.ask(request{kind: "push", body: body}, func(a answer) {
		var given schema.PushAnswer
		if p.refused(a, &given, func(r refusal) { p.pushRefused(r, ids) }) {
			return
		}
		if !whole(given, ids, first.seq) {
			p.world.trace("%s cannot believe the answer %+v for %v", p.name, given, ids)
			p.fail()
			return
		}
		p.delivered(given, ids)
		p.most = mostEntries
		p.push()
	})
}

// batch is what fits of the next entries of one incarnation, in sequence without a gap.
func (p *phone) batch() []string {
	var chosen []string
	for _, id := range p.disk.waiting() {
		next := p.disk.rows[id]
		if len(chosen) > 0 {
			last := p.disk.rows[chosen[len(chosen)-1]]
			if next.inc != last.inc || next.seq != last.seq+1 {
				break
			}
		}
		if chosen = append(chosen, id); len(chosen) == p.most {
			break
		}
	}
	return chosen
}

// whole is true for an answer that names every entry of the batch, in its order. Of bytes that the server could not
// read it cannot tell the id; it holds them, and says so.
func whole(a schema.PushAnswer, ids []string, from int64) bool {
	if a.Epoch == "" || len(a.Given) != len(ids) || a.High < from+int64(len(ids))-1 {
		return false
	}
	for i, id := range ids {
		unread := a.Given[i].ID == "" && a.Given[i].State != "merged"
		if a.Given[i].ID != id && !unread || a.Given[i].State == "" {
			return false
		}
	}
	return true
}

func (p *phone) delivered(a schema.PushAnswer, ids []string) {
	passed := false
	for i, given := range a.Given {
		r := p.disk.rows[ids[i]]
		passed = passed || given.State == "merged" && given.Position <= p.disk.cursor.position
		r.pending, r.stamp, r.state = false, given.Stamp, ""
		if given.State == "merged" {
			r.position = given.Position
		} else {
			r.state = given.State
		}
		p.disk.rows[ids[i]] = r
		p.world.acknowledged(p, r)
	}
	p.heard(a.ServerNow)
	if passed {
		// A note stands where this phone has read already and did not find it: the journal is not the one it read.
		p.readAgain()
	}
}

func (p *phone) pushRefused(r refusal, ids []string) {
	switch {
	case r.why == "unpaired" && p.world.plant == DropOn401:
		for _, id := range ids {
			delete(p.disk.rows, id)
		}
	case r.why == "busy" && p.world.plant == ErrorAsDelivered:
		for _, id := range ids {
			sent := p.disk.rows[id]
			sent.pending = false
			p.disk.rows[id] = sent
		}
	case r.status == 400 && len(ids) > 1:
		// The server cannot read the batch: halve it until the one entry that it stumbles over stands alone.
		p.most = len(ids) / 2
		p.push()
		return
	case p.mend(r):
		p.push()
		return
	}
	p.fail()
}

// pull takes what others wrote.
func (p *phone) pull() {
	if p.out != nil {
		p.fail()
		return
	}
	limit := page
	if p.disk.cursor.position == 0 {
		limit = firstPage
	}
	p.ask(request{kind: "pull", epoch: p.disk.cursor.epoch, after: p.disk.cursor.position, limit: limit, proof: p.disk.proof()}, func(a answer) {
		var got schema.Pull
		if p.refused(a, &got, func(r refusal) { p.pullRefused(r, p.pull) }) {
			return
		}
		if got.Epoch == "" {
			p.fail()
			return
		}
		if !p.keepPage(got) {
			return
		}
		if got.More {
			p.pull()
			return
		}
		p.missing()
		if !p.handBack() {
			p.tell()
		}
	})
}

// keepPage writes a page's entries, sums and the cursor in one transaction. False: the app was killed in it.
func (p *phone) keepPage(got schema.Pull) bool {
	next := cursor{got.Epoch, p.disk.cursor.position}
	if n := len(got.Items); n > 0 {
		next.position = max(next.position, got.Items[n-1].Position)
	}
	if p.world.plant == CursorBeforeData {
		p.moveCursor(next, false)
		if len(got.Items) > 0 && p.world.chance(15) && !p.world.quiet {
			p.world.count(AppKilled)
			p.restart()
			return false
		}
	}
	for i, item := range got.Items {
		raw, err := journal.Canonical(item.Entry)
		if err != nil {
			p.world.broken(err)
			return false
		}
		entry, err := journal.Parse(raw)
		if err != nil {
			p.world.broken(err)
			return false
		}
		r := row{entry: entry, raw: raw, inc: entry.Incarnation, seq: entry.Seq, stamp: item.Stamp, position: item.Position,
			keys: fold.Keys(entry), seen: true, receipt: receiptOf(got, i)}
		if known, ok := p.disk.rows[entry.ID]; ok && known.own {
			// The server's entry is the record's; one's own bytes, number and chain are kept, for sending them again.
			r.own, r.chain, r.raw, r.inc, r.seq = true, known.chain, known.raw, known.inc, known.seq
		}
		p.disk.rows[entry.ID] = r
		p.disk.countIn(row{entry: entry, raw: raw, stamp: item.Stamp}, p.world.plant)
	}
	p.heard(got.ServerNow)
	p.moveCursor(next, false)
	p.lag = p.disk.lag()
	return true
}

// receiptOf is the receipt of a page's nth item.
func receiptOf(page schema.Pull, n int) schema.Receipt {
	r := schema.Receipt{Position: page.Items[n].Position, Stamp: page.Items[n].Stamp}
	if from := n * schema.ReceiptChars; len(page.Receipts) == len(page.Items)*schema.ReceiptChars {
		r.Receipt = page.Receipts[from : from+schema.ReceiptChars]
	}
	return r
}

func (p *phone) pullRefused(r refusal, again func()) {
	if p.mend(r) {
		p.again = true
		again()
		return
	}
	p.fail()
}

// tell tells the server what is here, and reads all again, once for a position, where the two differ.
func (p *phone) tell() {
	at := p.disk.cursor
	told := fmt.Sprint(at, len(p.disk.waiting()))
	if told == p.told {
		p.done()
		return
	}
	d := schema.Digest{Device: p.disk.writer.device, Epoch: at.epoch, Position: at.position, Lots: []schema.LotDigest{},
		Pending: len(p.disk.waiting()), SentWall: p.wall()}
	for lot, sum := range p.disk.sums {
		d.Lots = append(d.Lots, schema.LotDigest{Lot: lot, Count: sum.count, Sum: sum.sum.String()})
	}
	slices.SortFunc(d.Lots, func(a, b schema.LotDigest) int { return strings.Compare(a.Lot, b.Lot) })
	p.world.checkDigest(p, d)
	body, err := json.Marshal(d)
	if err != nil {
		p.world.broken(err)
		return
	}
	p.ask(request{kind: "digest", body: body}, func(a answer) {
		var verdict schema.DigestAnswer
		if p.refused(a, &verdict, func(r refusal) { p.pullRefused(r, p.pull) }) {
			return
		}
		p.world.trace("%s told at %v: equal %v, differ %v", p.name, at, verdict.Equal, verdict.Differ)
		p.told = ""
		if verdict.Equal {
			p.told = told
		} else if p.readFor != at.position {
			p.readFor = at.position
			p.readAgain()
			p.again = true
		}
		p.done()
	})
}
