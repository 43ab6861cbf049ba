package sim

import (
	"encoding/json"
	"fmt"
	"slices"

	"bedwalk/schema"
	"bedwalk/sync/journal"
)

// handsBack returns, as if the server had lost them, notes that it never had or had in another form: none may be merged,
// and the device in whose name they are must be able to continue where it was.
func (l *liar) handsBack() {
	w := l.world
	s, ok := w.dump()
	if !ok || len(s.Merged) == 0 {
		return
	}
	genuine := s.stamped[w.IntN(len(s.stamped))]
	shown, ok := l.shown(s.Epoch, genuine.Position)
	if !ok {
		return
	}
	w.count(Forged)
	forged, receipt := genuine.Entry, shown
	switch w.IntN(4) {
	case 0:
		// The next note of that device, with a guessed receipt.
		forged.ID, receipt.Receipt, receipt.Position = w.id(), guess(w), s.Head+1
		forged.Seq = highOf(s, forged.Device, forged.Incarnation) + 1
	case 1:
		// Another note, with the true receipt of one.
		forged.ID = w.id()
	case 2:
		// A note as it is, but for its number, and no receipt.
		forged.ID, forged.Seq, receipt.Receipt = w.id(), forged.Seq+1000, ""
	case 3:
		// A true note at another place and with another time.
		receipt.Position, receipt.Stamp.At = receipt.Position+1, receipt.Stamp.At-hour
	}
	raw, err := journal.Encode(forged)
	if err != nil {
		w.broken(err)
		return
	}
	if w.notes[forged.ID] == nil {
		w.notes[forged.ID] = &noted{note: note{ID: forged.ID, Kind: forged.Kind, Lot: forged.Lot, Bed: forged.Bed, unfit: "a liar handed it back"},
			person: forged.Person, at: w.now, bytes: map[string]bool{string(raw): true}}
	}
	l.asks("/api/in/lost", schema.HandBack{Epoch: s.Epoch, Entries: []json.RawMessage{raw}, Receipts: []schema.Receipt{receipt}}, func(got answer, _ string) {
		w.trace("the dishonest device hands back %s: %d %s", forged.ID[:6], got.Status, got.Body)
		w.checkForged(s, forged, got)
	})
}

// checkForged: a forged hand-back changes neither the journal nor what the server has of the device that it names.
func (w *world) checkForged(before atServer, forged schema.Entry, got answer) {
	w.checked(Proven)
	after, ok := w.dump()
	if !ok {
		return
	}
	var said schema.HandedBack
	if got.Status == 200 && (json.Unmarshal(got.Body, &said) != nil || said.Merged > 0) {
		w.violated(Proven, "a forged hand-back of %s is reported as merged: %s", forged.ID, got.Body)
		return
	}
	if len(after.Merged) != len(before.Merged) {
		w.violated(Proven, "a forged hand-back of %s moved the journal from %d entries to %d", forged.ID, len(before.Merged), len(after.Merged))
		return
	}
	if a, b := highOf(before, forged.Device, forged.Incarnation), highOf(after, forged.Device, forged.Incarnation); a != b {
		w.violated(Proven, "a forged hand-back in the name of %s.%d moved it from number %d to %d", forged.Device, forged.Incarnation, a, b)
	}
}

// highOf returns the last number that the server has of a device.
func highOf(s atServer, device string, inc int) (high int64) {
	for _, k := range slices.Concat(s.Merged, s.Aside) {
		if k.Device == device && k.Inc == inc {
			high = max(high, k.Seq)
		}
	}
	return high
}

// shown returns the entry at a position as a pull shows it.
func (l *liar) shown(epoch string, position int64) (r schema.Receipt, ok bool) {
	l.asks(fmt.Sprintf("/api/pull?epoch=%s&after=%d&limit=1", epoch, position-1), nil, func(got answer, _ string) {
		var page schema.Pull
		if got.Status == 200 && json.Unmarshal(got.Body, &page) == nil && len(page.Items) == 1 && len(page.Receipts) == schema.ReceiptChars {
			r, ok = schema.Receipt{Position: page.Items[0].Position, Stamp: page.Items[0].Stamp, Receipt: page.Receipts}, true
		}
	})
	return r, ok
}

// guess is something like a receipt.
func guess(w *world) string { return w.id()[:schema.ReceiptChars] }

// knock tries, with a revoked phone's cookie, to read what only others may: its holder's own program asks for everything
// that the app no longer asks for.
func (w *world) knock(p *phone) {
	if !p.revoked || !w.stands() {
		return
	}
	w.count(Knocked)
	for _, path := range []string{"/api/pull?epoch=&after=0", "/api/views/field-briefing", "/api/views/beds"} {
		w.serve(Request{Method: "GET", Path: path, Token: p.token, Headers: map[string]string{}}, func(got Response) {
			w.checked(Shut)
			if p.revoked && got.Status == 200 {
				w.violated(Shut, "%s was revoked, but asks for %s with a program of its own and is served", p.name, path)
			}
		})
	}
}
