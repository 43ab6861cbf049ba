package sim

import (
	"encoding/json"

	"bedwalk/schema"
	"bedwalk/sync/journal"
	"bedwalk/sync/tables"
)

// ledger is what the world itself knows of each note, whatever phones and the server say.
type ledger map[string]*noted

type noted struct {
	note
	// by is the phone that it was written on, at the true time, after so many settings of its clock and the server's.
	by         *phone
	person     string
	at         int64
	steps      int
	serverSets int64
	// bytes are all encodings that phones made of it.
	bytes map[string]bool
	// saved: a phone reported it as saved; acked: the server acknowledged it; placed: a pull showed it in the journal.
	saved, acked, placed bool
	// way is the longest time on the way of a request with it during which the server died without an answer.
	way int64
	// promoted: a supervisor merged it out of quarantine.
	promoted bool
}

// means records what somebody is about to note.
func (w *world) means(p *phone, n note) {
	w.trace("%s notes %s %s", p.name, n.Kind, n.ID[:6])
	w.notes[n.ID] = &noted{note: n, by: p, person: p.person, at: w.now, steps: p.steps, serverSets: w.set, bytes: map[string]bool{}}
}

// idOf finds the id of an entry's bytes, spoiled ones too.
func idOf(raw []byte) string {
	var loose struct{ ID, Was any }
	if json.Unmarshal(raw, &loose) != nil {
		return ""
	}
	if id, ok := loose.ID.(string); ok {
		return id
	}
	id, _ := loose.Was.(string)
	return id
}

// sent checks what a phone is about to send: every note is one that somebody wrote there, and says what they meant.
func (w *world) sent(p *phone, a ask) {
	push, ok := w.batchOf(a)
	if !ok {
		return
	}
	w.checked(SaysTrue)
	for _, raw := range push.Entries {
		k := w.notes[idOf(raw)]
		if k == nil {
			w.violated(SaysTrue, "%s sends a note that nobody wrote: %s", p.name, raw)
			return
		}
		if k.bytes[string(raw)] {
			continue
		}
		if entry, err := journal.Parse(raw); err == nil && !k.says(entry) || err != nil && k.Spoil == "" {
			w.violated(SaysTrue, "%s sends %s, which is not what was noted: %v in the name of %s", p.name, raw, k.note, k.person)
			return
		}
		k.bytes[string(raw)] = true
	}
}

// says is true for an entry that says what was meant. The phone itself adds a recount's basis.
func (k *noted) says(e schema.Entry) bool {
	if e.Kind != k.Kind || e.Lot != k.Lot || e.Bed != k.Bed || e.Person != k.person {
		return false
	}
	meant, err := journal.Of(k.Body)
	if err != nil {
		return false
	}
	if k.Basis == "" {
		return string(meant) == string(e.Body)
	}
	var body object
	if json.Unmarshal(e.Body, &body) != nil {
		return false
	}
	delete(body, "basis")
	without, err := journal.Of(body)
	return err == nil && string(without) == string(meant)
}

// unheard records how long a request was on its way when the server died: it may have stored the notes all the same.
func (w *world) unheard(a ask) {
	push, ok := w.batchOf(a)
	if !ok {
		return
	}
	for _, raw := range push.Entries {
		if k := w.notes[idOf(raw)]; k != nil && !k.acked {
			k.way = max(k.way, w.now-a.sentAt)
		}
	}
}

// heard checks what the server answers, before the network does anything with it.
func (w *world) heard(p *phone, a ask, r Request, got *answer) {
	w.checkShut(p, a, got)
	if got.Status != 200 {
		return
	}
	switch path, _, _ := cutPath(a.Path); path {
	case "/api/push":
		w.heardPush(p, a, r, got)
	case "/api/pull":
		page, err := tables.Either(got.Body)
		if err != nil {
			w.violated(NoError, "a page of the journal cannot be read: %v", err)
		}
		w.checkPage(p, a.Path, page)
		for _, item := range page.Items {
			if k := w.notes[idOf(item.Entry)]; k != nil {
				k.placed = true
			}
		}
	case "/api/digest":
		var d schema.Digest
		var verdict schema.DigestAnswer
		body, err := bodyOf(a)
		if err != nil || json.Unmarshal(body, &d) != nil {
			w.violated(NoError, "%s sends a digest that cannot be read", p.name)
		} else if w.read(got, &verdict) {
			w.trace("%s got the verdict at %s %d: equal %v, differ %v", p.name, d.Epoch, d.Position, verdict.Equal, verdict.Differ)
			w.reported[d.Device] = max(w.reported[d.Device], d.Position)
			w.checkVerdict(p, d, verdict.Equal)
		}
	}
}

func (w *world) heardPush(p *phone, a ask, r Request, got *answer) {
	push, ok := w.batchOf(a)
	var given schema.PushAnswer
	if !ok || !w.read(got, &given) {
		return
	}
	if len(given.Given) != len(push.Entries) {
		w.violated(NeverLost, "an answer names %d of %d notes", len(given.Given), len(push.Entries))
		return
	}
	if r.Meanwhile = nil; len(w.pushes) < 8 {
		w.pushes = append(w.pushes, r)
	}
	for i, raw := range push.Entries {
		id := idOf(raw)
		k := w.notes[id]
		if k == nil {
			continue
		}
		state := given.Given[i].State
		w.trace("%s has %s acknowledged, %s at %d", p.name, id[:6], state, given.Given[i].Position)
		if w.checkApart(p, k, raw, state); !k.acked {
			w.checkStamp(p, k, given.Given[i].Stamp, a.sentAt)
			w.result.Acknowledged++
		}
		k.acked = true
		k.placed = k.placed || state == "merged"
		delete(w.gone, id)
	}
}

// read decodes an answer of the server's.
func (w *world) read(got *answer, into any) bool {
	if err := json.Unmarshal(got.Body, into); err != nil {
		w.violated(NoError, "the server's answer cannot be read: %v", err)
		return false
	}
	return true
}
