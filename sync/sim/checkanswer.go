package sim

import (
	"encoding/json"
	"fmt"
	"strconv"
	"strings"

	"bedwalk/schema"
	"bedwalk/sync/journal"
	"bedwalk/sync/stamp"
)

// checkShut: a revoked phone may only hand in its notes, and no other phone is refused as revoked. It
// also notes that the server no longer knows a phone.
func (w *world) checkShut(p *phone, a ask, got *answer) {
	w.checked(Shut)
	var problem schema.Problem
	if got.Status >= 400 && json.Unmarshal(got.Body, &problem) != nil {
		return
	}
	path, _, _ := cutPath(a.Path)
	open := path == "/api/push" || path == "/api/quarantine" || path == "/api/pair"
	switch {
	case p.revoked && got.Status == 200 && !open:
		w.violated(Shut, "%s was revoked but is served %s", p.name, path)
	case !p.revoked && problem.Code == "revoked":
		w.violated(Shut, "%s is answered as revoked, but nobody revoked it", p.name)
	case got.Status == 401 && p.token != "":
		// Also one that was paired and never learned it, since the answer was cut, before the server was set back.
		w.pairAgain(p)
	}
}

// checkApart: what needs a decision is not merged without one.
func (w *world) checkApart(p *phone, k *noted, raw []byte, state string) {
	w.checked(KeptApart)
	if state != "merged" || k.promoted || k.placed {
		return
	}
	switch {
	case p.revoked:
		w.violated(KeptApart, "note %s of %s, a revoked phone, was merged without a decision", k.ID, p.name)
	case k.unfit != "" && (k.Spoil == "" || !w.cleaned(k, raw)):
		w.violated(KeptApart, "note %s of %s was merged without a decision although %s", k.ID, p.name, k.unfit)
	}
}

// cleaned is true for bytes of a spoiled note that were encoded again, as by a phone that takes other numbers.
func (w *world) cleaned(k *noted, raw []byte) bool {
	_, err := journal.Parse(raw)
	return k.Spoil != "" && err == nil
}

// checkStamp: an exact stamp is the true time, within the tolerance of clocks and the time on the way; a bracketed one has
// the true time in its span. The time on the way is that of the request that gave the stamp, which need not be the one that
// is answered: a server that dies after its commit has given the stamp without an answer. Clocks that were set in between
// are left out, and a clock that would be before 1970 stands still.
func (w *world) checkStamp(p *phone, k *noted, given schema.Stamp, sentAt int64) {
	if k.by != p || k.steps != p.steps || k.serverSets != w.set || w.skew != 0 || p.wall() == 0 {
		return
	}
	w.checked(TimeRight)
	off := stamp.Tolerance + max(w.now-sentAt, k.way)
	from, to := given.At, given.At
	if given.Quality == schema.Bracketed {
		from, to = given.From, given.To
	}
	if k.at < from-off || k.at > to+off {
		w.violated(TimeRight, "note %s was written at %d s and is stamped %s, %d to %d s", k.ID, (k.at-dawn)/second, given.Quality,
			(from-dawn)/second, (to-dawn)/second)
	}
}

// checkPage: a page goes on where the phone's cursor is, without a hole, except on a first pull that leaves notes out.
func (w *world) checkPage(p *phone, path string, page schema.Pull) {
	_, query, _ := cutPath(path)
	if strings.Contains(query, "alive=") || page.First != nil {
		return
	}
	w.checked(CursorGoes)
	var after int64
	for _, part := range strings.Split(query, "&") {
		if number, ok := strings.CutPrefix(part, "after="); ok {
			after, _ = strconv.ParseInt(number, 10, 64)
		}
	}
	for i, item := range page.Items {
		if want := after + 1 + int64(i); item.Position != want {
			w.violated(CursorGoes, "a page for %s after position %d has %d where %d should stand", p.name, after, item.Position, want)
			return
		}
	}
}

// checkMeanwhile: a read during the write of a batch sees nothing of the batch.
func (w *world) checkMeanwhile(a ask, read Response) {
	w.checked(WholeReads)
	given, err := unpacked(read)
	if err != nil {
		w.broken(err)
		return
	}
	var page schema.Pull
	if given.Status != 200 || json.Unmarshal(given.Body, &page) != nil {
		return
	}
	push, ok := w.batchOf(a)
	if !ok {
		return
	}
	for _, item := range page.Items {
		for _, raw := range push.Entries {
			if k := w.notes[idOf(raw)]; k != nil && !k.acked && !k.placed && idOf(item.Entry) == k.ID {
				w.violated(WholeReads, "note %s is read before its batch was committed", k.ID)
			}
		}
	}
}

// checkAtOnce sends many requests at one time at the end: pulls from everywhere and batches sent again. They must not
// change what the server holds.
func (w *world) checkAtOnce() {
	before, ok := w.dump()
	if !ok {
		return
	}
	all := append([]Request{}, w.pushes...)
	for after := int64(0); after < before.Head; after += 1 + before.Head/8 {
		all = append(all, Request{Method: "GET", Token: w.phones[0].token,
			Path: fmt.Sprintf("/api/pull?epoch=%s&after=%d", before.Epoch, after)})
	}
	for i, got := range w.host.AtOnce(all) {
		w.checked(WholeReads)
		if all[i].Method == "GET" && got.Status != 200 {
			w.violated(Alive, "of many requests at once %s was answered %d", all[i].Path, got.Status)
			return
		}
	}
	after, ok := w.dump()
	if ok && (len(after.Merged) != len(before.Merged) || after.Head != before.Head) {
		w.violated(NotDoubled, "batches sent again all at once made %d entries of %d", len(after.Merged), len(before.Merged))
	}
}
