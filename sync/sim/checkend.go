package sim

import (
	"bytes"
	"maps"
	"slices"

	"bedwalk/sync/fold"
)

// mostRounds is K: how many times the longest pause that a phone makes between two rounds may pass, once nothing fails
// any more, until every queue is empty and every digest equal.
const (
	mostRounds  = 4
	longestRest = longestWait * 3 / 2
)

// settled is true when nothing is left to do: no queue, and every phone at the head and told that it is equal.
func (w *world) settled() bool {
	if !w.up {
		return false
	}
	epoch, head := w.host.Where()
	for _, p := range w.phones {
		if p.running || len(p.disk.waiting()) > 0 || !p.revoked && p.disk.orphans() > 0 {
			return false
		}
		if !p.revoked && (p.told == "" || p.disk.cursor != cursor{epoch, head}) {
			return false
		}
	}
	return true
}

// checkEnd asks, when it has been quiet, for all that was promised.
func (w *world) checkEnd() {
	s, ok := w.dump()
	if !ok {
		return
	}
	w.checkAlive(s)
	w.checkLost(s)
	w.result.Merged, w.result.Aside = len(s.Merged), 0
	for _, k := range s.Aside {
		if k.State == "held" || k.State == "review" {
			w.result.Aside++
			w.trace("kept aside: %s %s.%d number %d, %s", k.State, k.Device, k.Inc, k.Seq, k.Why)
		}
	}
	for _, p := range w.phones {
		w.checkOwn(p)
		if !p.revoked && !w.over {
			w.checkSame(p, s)
		}
	}
}

func (w *world) checkAlive(s atServer) {
	for _, p := range w.phones {
		w.checked(Alive)
		switch {
		case len(p.disk.waiting()) > 0:
			w.violated(Alive, "%s still has %d notes waiting after %d rounds without a fault", p.name, len(p.disk.waiting()), mostRounds)
		case !p.revoked && p.disk.orphans() > 0:
			w.violated(Alive, "%s still keeps %d notes of others that the server has lost", p.name, p.disk.orphans())
		case !p.revoked && (p.told == "" || p.disk.cursor != cursor{s.Epoch, s.Head}):
			w.violated(Alive, "%s is at %v and not told equal; the server is at %s, %d", p.name, p.disk.cursor, s.Epoch, s.Head)
		}
	}
}

// checkLost: every note that was called saved is at the server, if a phone has it as its own; and every note that was
// acknowledged is there, but for what a restored backup took and no phone could give back.
func (w *world) checkLost(s atServer) {
	owners := map[string]string{}
	for _, p := range w.phones {
		for id, r := range p.disk.rows {
			if r.own {
				owners[id] = p.name
			}
		}
	}
	for _, id := range slices.Sorted(maps.Keys(w.notes)) {
		w.checked(NeverLost)
		if w.atServer(s, id) {
			continue
		}
		switch owner := owners[id]; {
		case owner != "" && w.acked[id]:
			w.violated(NeverLost, "note %s was acknowledged, %s still has it, and the server has not", id, owner)
		case owner != "":
			w.violated(NeverLost, "note %s was called saved, %s still has it, and the server has not", id, owner)
		case w.acked[id] && !w.gone[id]:
			w.violated(NeverLost, "note %s was acknowledged and is gone", id)
		default:
			w.result.Lost++
		}
	}
}

func (w *world) atServer(s atServer, id string) bool {
	if k, ok := s.merged[id]; ok {
		return w.notes[id][string(k.Raw)]
	}
	for _, k := range s.aside[id] {
		if w.notes[id][string(k.Raw)] {
			return true
		}
	}
	// An entry that cannot be read is kept under its bytes alone.
	for raw := range w.notes[id] {
		if len(s.aside[raw]) > 0 {
			return true
		}
	}
	return false
}

// checkSame: a phone holds the server's journal, entry for entry, and makes the same records of it.
func (w *world) checkSame(p *phone, s atServer) {
	w.checked(Alive)
	for id, k := range s.merged {
		r, ok := p.disk.rows[id]
		if !ok || r.stamp != k.Stamp || r.position != k.Position {
			w.violated(Alive, "%s is told equal and has %v at %d for note %s, the server %v at %d", p.name, r.stamp, r.position, id, k.Stamp, k.Position)
			return
		}
	}
	for id, r := range p.disk.rows {
		if _, ok := s.merged[id]; !ok && r.state == "" {
			w.violated(Alive, "%s counts note %s, which the server does not", p.name, id)
			return
		}
	}
	for _, key := range p.disk.keys() {
		record, made := folded(key, p.disk.of(key), w.plant)
		raw := []byte(nil)
		if made {
			var err error
			if raw, err = fold.Text(record); err != nil {
				w.broken(err)
				return
			}
		}
		if !bytes.Equal(raw, s.Records[key]) {
			w.violated(LikeNaive, "%s makes of %s\n%s\nthe server\n%s", p.name, key, raw, s.Records[key])
			return
		}
	}
}
