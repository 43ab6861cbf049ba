package sim

import (
	"bytes"
	"fmt"
	"maps"
	"slices"
)

// mostRounds is K: how many times the longest pause that a phone makes between two rounds may pass, once nothing fails
// any more, until every queue is empty and every digest equal.
const (
	mostRounds  = 4
	longestRest = 5 * minute * 3 / 2
)

// settled is true when nothing is left to do: nothing pending, and every phone at the head and found equal there.
func (w *world) settled() bool {
	if !w.stands() {
		return false
	}
	epoch, head := w.host.Where()
	for _, p := range w.phones {
		if p.pairing || p.now.Open > 0 || p.now.State == "syncing" || w.restless(p, cursor{epoch, head}) != "" {
			return false
		}
	}
	return true
}

// restless says what a phone has not done yet, "" when it is at rest. The verdict "equal" must be for its present cursor:
// one for an earlier cursor does not count.
func (w *world) restless(p *phone, at cursor) string {
	switch {
	case p.now.Pending > 0:
		return fmt.Sprintf("still has %d notes pending", p.now.Pending)
	case p.revoked:
		return ""
	case p.now.Doubt:
		return "still looks for what the server has lost"
	case p.now.Cursor != at:
		return fmt.Sprintf("is at %v; the server is at %v", p.now.Cursor, at)
	case p.now.Digest != verdict{true, at.Position}:
		return fmt.Sprintf("last got the answer %v to its digest; the server is at %v", p.now.Digest, at)
	}
	return ""
}

// checkEnd checks every promise once all is quiet.
func (w *world) checkEnd() {
	s, ok := w.dump()
	if !ok {
		if !w.over {
			w.violated(Alive, "the server is not running at the end")
		}
		return
	}
	if w.checkAlive(s); !w.over {
		w.checkReports(s)
	}
	on := map[*phone]storage{}
	for _, p := range w.phones {
		on[p] = p.reads()
	}
	w.checkLost(s, on)
	w.checkSettled(s)
	w.result.Merged, w.result.Aside = len(s.Merged), 0
	for _, k := range s.Aside {
		if k.State == "quarantined" || k.State == "review" {
			w.result.Aside++
			w.trace("kept aside: %s %s.%d number %d, %s", k.State, k.Device, k.Inc, k.Seq, k.Why)
		}
	}
	for _, p := range w.phones {
		w.checkOwn(p, on[p])
		if !p.revoked && !w.over {
			w.checkPlaces(p, on[p])
			w.checkSame(p, on[p], s)
			w.checkHouses(p, on[p])
		}
	}
}

func (w *world) checkAlive(s atServer) {
	for _, p := range w.phones {
		w.checked(Alive)
		if why := w.restless(p, cursor{s.Epoch, s.Head}); why != "" {
			w.violated(Alive, "after %d rounds without a fault %s %s; its app is %s %s", mostRounds, p.name, why, p.now.State, p.now.Detail)
			return
		}
	}
}

// checkReports: the supervisor's page shows a phone's present state, and not an earlier report.
func (w *world) checkReports(s atServer) {
	for _, p := range w.phones {
		if p.revoked {
			continue
		}
		w.checked(ReportTrue)
		if got, want := s.Reports[p.device], (Report{Position: s.Head, Equal: true}); got != want {
			w.violated(ReportTrue, "%s holds all up to %d and has nothing pending, but the supervisor's page shows %+v", p.name, s.Head, got)
			return
		}
	}
}

// checkLost: every note that was reported as saved is at the server, if a phone still has it as its own; and every note that
// was acknowledged is there, except what a restored backup lacked and no phone could give back.
func (w *world) checkLost(s atServer, on map[*phone]storage) {
	owners := map[string]string{}
	for _, p := range w.phones {
		for id, r := range on[p].rows {
			if r.Own != nil {
				owners[id] = p.name
			}
		}
	}
	for _, id := range slices.Sorted(maps.Keys(w.notes)) {
		k := w.notes[id]
		if w.checked(NeverLost); !k.saved || w.atServer(s, id) {
			continue
		}
		switch owner := owners[id]; {
		case owner != "" && k.acked:
			w.violated(NeverLost, "note %s was acknowledged, %s still has it, but the server does not", id, owner)
		case owner != "":
			w.violated(NeverLost, "note %s was reported as saved, %s still has it, but the server does not", id, owner)
		case k.acked && !w.gone[id]:
			w.violated(NeverLost, "note %s was acknowledged and is gone", id)
		default:
			w.result.Lost++
		}
	}
}

// atServer is true when the server has a note, in bytes that a phone made of it.
func (w *world) atServer(s atServer, id string) bool {
	k := w.notes[id]
	if m, ok := s.merged[id]; ok {
		return k.bytes[string(m.Raw)]
	}
	for _, a := range s.aside[id] {
		if k.bytes[string(a.Raw)] {
			return true
		}
	}
	return false
}

// checkSame: a phone found equal holds the server's journal, entry for entry, and folds it to the same records.
func (w *world) checkSame(p *phone, on storage, s atServer) {
	w.checked(Alive)
	let := naiveSums{}
	for _, id := range slices.Sorted(maps.Keys(s.merged)) {
		k, r := s.merged[id], on.rows[id]
		if note := w.notes[id]; r.ID == "" && note != nil && p.isGone(id) {
			let.add(note.Lot, k.Raw, k.Stamp)
			continue
		}
		if r.ID == "" || r.Stamp != k.Stamp || r.Position != k.Position || !bytes.Equal(r.Raw, k.Raw) {
			w.violated(Alive, "%s was found equal but has %v at %d for note %s, the server %v at %d", p.name, r.Stamp, r.Position, id, k.Stamp, k.Position)
			return
		}
	}
	for lot, away := range p.now.Gone {
		if sum := let[lot]; sum == nil || sum.count != away.Count || sum.text() != away.Sum {
			w.violated(DigestTrue, "%s counts %v as let go of lot %s, which are not the notes that it lacks", p.name, away, lot)
			return
		}
	}
	for _, id := range slices.Sorted(maps.Keys(on.rows)) {
		r := on.rows[id]
		if _, ok := s.merged[id]; !ok && !r.apart() && r.counts() && !r.parked() {
			w.violated(Alive, "%s counts note %s, which the server does not", p.name, id)
			return
		}
	}
	for _, key := range slices.Sorted(maps.Keys(on.byKey)) {
		if p.isPartial(on, key) {
			continue
		}
		if w.checkRow(p, on, key); w.over {
			return
		}
		if slices.ContainsFunc(on.byKey[key], func(r row) bool { return r.apart() || r.parked() }) {
			continue
		}
		raw := []byte(nil)
		if r := on.records[key]; r.Hash != "" {
			raw = []byte(r.Text)
		}
		if !bytes.Equal(raw, s.Records[key]) {
			w.violated(LikeNaive, "%s folds %s to\n%s\nthe server to\n%s", p.name, key, raw, s.Records[key])
			return
		}
	}
}
