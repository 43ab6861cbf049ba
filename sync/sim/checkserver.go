package sim

import (
	"bytes"
	"encoding/json"
	"maps"
	"slices"
	"strings"

	"bedwalk/schema"
	"bedwalk/sync/fold"
	"bedwalk/sync/journal"
	"bedwalk/sync/stamp"
)

// atServer is a dump with its entries decoded.
type atServer struct {
	Dump
	stamped []schema.Stamped
	// by id, the entries merged and those in quarantine.
	merged map[string]Kept
	aside  map[string][]Kept
}

func (w *world) dump() (atServer, bool) {
	if !w.stands() {
		return atServer{}, false
	}
	dump, err := w.host.Dump()
	if err != nil {
		w.broken(err)
		return atServer{}, false
	}
	s := atServer{Dump: dump, merged: map[string]Kept{}, aside: map[string][]Kept{}}
	for _, k := range dump.Merged {
		entry, err := journal.Parse(k.Raw)
		if err != nil {
			w.violated(NeverLost, "the server's entry at %d cannot be read: %v", k.Position, err)
			return s, false
		}
		if _, twice := s.merged[entry.ID]; twice {
			w.violated(NotDoubled, "note %s is in the journal twice", entry.ID)
		}
		s.merged[entry.ID] = k
		s.stamped = append(s.stamped, schema.Stamped{Entry: entry, Stamp: k.Stamp, Position: k.Position})
	}
	for _, k := range dump.Aside {
		id := idOf(k.Raw)
		s.aside[id] = append(s.aside[id], k)
	}
	return s, true
}

// checkServer checks everything that the server holds.
func (w *world) checkServer() {
	s, ok := w.dump()
	if !ok {
		return
	}
	if len(s.Complaints) > 0 {
		w.violated(NeverLost, "the database is damaged: %v", s.Complaints)
	}
	w.checkAcknowledged(s)
	w.checkDoubles(s)
	w.checkOrder(s)
	w.checkTimes(s)
	w.checkPots(s)
	w.checkSettled(s)
	w.checkRecords(s)
	w.checkNewest(s)
	w.checkEpoch(s)
}

// checkNewest: the supervisor's page never shows an earlier report of a device, however late that came.
func (w *world) checkNewest(s atServer) {
	w.checked(ReportTrue)
	for _, device := range slices.Sorted(maps.Keys(w.reported)) {
		if got, want := s.Reports[device].Position, w.reported[device]; got < want {
			w.violated(ReportTrue, "device %s reported what it holds up to %d, but the supervisor's page shows %d", device, want, got)
			return
		}
	}
}

// checkAcknowledged: what was acknowledged is here, except what a restored backup lacked and phones have to send again.
func (w *world) checkAcknowledged(s atServer) {
	w.checked(NeverLost)
	for _, id := range slices.Sorted(maps.Keys(w.notes)) {
		if w.notes[id].acked && !w.gone[id] && !w.atServer(s, id) {
			w.violated(NeverLost, "note %s was acknowledged but is not at the server", id)
			return
		}
	}
}

// checkDoubles: positions go up by one, and every entry is a note that a phone saved, to the byte.
func (w *world) checkDoubles(s atServer) {
	w.checked(NotDoubled)
	for i, k := range s.Merged {
		id := s.stamped[i].Entry.ID
		switch {
		case k.Position != int64(i+1):
			w.violated(NotDoubled, "the journal's entry %d has position %d", i+1, k.Position)
		case w.notes[id] == nil:
			w.violated(NotDoubled, "nobody wrote the note %s at position %d", id, k.Position)
		case !w.notes[id].bytes[string(k.Raw)]:
			w.violated(NotDoubled, "note %s has other bytes than those that were saved", id)
		}
	}
}

// checkOrder: each writer's numbers are all there, once, and its times follow them.
func (w *world) checkOrder(s atServer) {
	w.checked(OwnOrder)
	type writer struct {
		device string
		inc    int
	}
	writers := map[writer][]Kept{}
	for _, k := range slices.Concat(s.Merged, s.Aside) {
		writers[writer{k.Device, k.Inc}] = append(writers[writer{k.Device, k.Inc}], k)
	}
	for who, all := range writers {
		slices.SortStableFunc(all, func(a, b Kept) int { return int(a.Seq - b.Seq) })
		// One that was released later is in the journal and in quarantine.
		all = slices.CompactFunc(all, func(a, b Kept) bool { return a.Seq == b.Seq && bytes.Equal(a.Raw, b.Raw) })
		for i, k := range all {
			if k.Seq != int64(i+1) {
				w.violated(OwnOrder, "of %s.%d the server has number %d in place of %d", who.device, who.inc, k.Seq, i+1)
				return
			}
			// A repeat has the stamp of its first arrival, under another incarnation. What others handed back is filed in the order
			// in which they did, under a name that no device has.
			if i > 0 && !filedByServer(who.device) && k.State != "repeat" && all[i-1].State != "repeat" &&
				all[i-1].Stamp.At <= k.Received && k.Stamp.At < all[i-1].Stamp.At {
				w.violated(OwnOrder, "number %d of %s.%d is stamped %d ms before the one before it", k.Seq, who.device, who.inc, all[i-1].Stamp.At-k.Stamp.At)
				return
			}
		}
	}
}

// filedByServer is true for the writers under which the server keeps what did not come from its own phone: their names are not
// hexadecimal digits.
func filedByServer(device string) bool { return strings.Trim(device, "0123456789abcdef") != "" }

// clockTolerance is by how much a server's clock may be wrong and still be trusted, with a margin for two such errors.
const clockTolerance = 11 * minute

// checkTimes: a stamp lies between what the writer had seen and when the server took the entry.
func (w *world) checkTimes(s atServer) {
	w.checked(TimeBounded)
	for i, k := range s.Merged {
		id := s.stamped[i].Entry.ID
		// Whatever the server's clock showed meanwhile: no note came before it was saved, or after now.
		if saved := w.notes[id]; saved != nil && k.Received < saved.at-clockTolerance || k.Received > w.now+clockTolerance {
			w.violated(TimeBounded, "%s came at %d by the server's clock, and it is %d", id, k.Received, w.now)
			return
		}
		floor := s.stamped[i].Entry.Floor
		if floor > k.Received+stamp.Tolerance {
			// Given by a clock that was ahead; it is ignored.
			floor = 0
		}
		if k.Stamp.At > k.Received || k.Stamp.At < min(floor, k.Received) {
			w.violated(TimeBounded, "%s is stamped %d; its writer had seen %d and it came at %d", s.stamped[i].Entry.ID, k.Stamp.At, floor, k.Received)
			return
		}
	}
}

// checkPots: the pots that moves take from one lot arrive at another.
func (w *world) checkPots(s atServer) {
	w.checked(Conserved)
	moved := 0
	for _, key := range slices.Sorted(maps.Keys(s.Records)) {
		var record schema.Record
		if json.Unmarshal(s.Records[key], &record) != nil || record.Stock == nil {
			continue
		}
		sum := 0
		for span := range record.Stock.BySpan {
			sum += record.Stock.BySpan[span]
		}
		if sum != record.Stock.Pots {
			w.violated(Conserved, "%s holds %d pots, its stretches %d", key, record.Stock.Pots, sum)
		}
		for _, line := range record.Stock.Lines {
			if line.Voided == nil && slices.Contains([]string{"moved", "step_up", "split", "merged"}, line.Reason) {
				moved += line.Change
			}
		}
	}
	if moved != 0 {
		w.violated(Conserved, "moves made %d pots", moved)
	}
}

// checkRecords: every record is what the naive fold makes of the entries, and there are no others.
func (w *world) checkRecords(s atServer) {
	byKey := map[string][]schema.Stamped{}
	for _, one := range s.stamped {
		for _, key := range fold.Keys(one.Entry) {
			byKey[key] = append(byKey[key], one)
		}
	}
	for key, set := range byKey {
		record := s.Records[key]
		if record == nil {
			record = []byte("null")
		}
		w.checkFold("the server", key, set, record)
		if w.over {
			return
		}
	}
	for key := range s.Records {
		if byKey[key] == nil {
			w.violated(LikeNaive, "the server has a record %s of no entry", key)
		}
	}
}

// checkSettled: a merged note is no longer listed for a decision, and one that must be quarantined is not in the journal
// unless somebody has decided so.
func (w *world) checkSettled(s atServer) {
	w.checked(KeptApart)
	for _, id := range slices.Sorted(maps.Keys(s.aside)) {
		for _, k := range s.aside[id] {
			if k.State != "quarantined" && k.State != "review" {
				continue
			}
			if m, ok := s.merged[id]; ok && bytes.Equal(m.Raw, k.Raw) {
				w.violated(KeptApart, "note %s is merged, but still listed as %s", id, k.State)
				return
			}
		}
	}
	for _, id := range slices.Sorted(maps.Keys(s.merged)) {
		k := w.notes[id]
		if k != nil && k.unfit != "" && !k.promoted && !w.cleaned(k, s.merged[id].Raw) {
			w.violated(KeptApart, "note %s is in the journal although %s and nobody has decided so", id, k.unfit)
			return
		}
	}
}
