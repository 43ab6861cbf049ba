package sim

import (
	"encoding/json"
	"fmt"

	"bedwalk/schema"
	"bedwalk/sync/journal"
	"bedwalk/sync/stamp"
)

// checkShut: a phone whose access was taken back is served nothing but its handing in, and no other is refused so. It
// also hears what nobody else tells: that the server does not know a phone any more.
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
		w.violated(Shut, "%s has no access any more and is served %s", p.name, path)
	case !p.revoked && problem.Code == "revoked":
		w.violated(Shut, "%s is told that its access was taken back, which nobody did", p.name)
	case got.Status == 401 && p.device != "":
		w.pairAgain(p)
	}
}

// checkApart: what is not to be merged by itself is not.
func (w *world) checkApart(p *phone, k *noted, raw []byte, state string) {
	w.checked(KeptApart)
	if state != "merged" || k.promoted || k.placed {
		return
	}
	switch {
	case p.revoked:
		w.violated(KeptApart, "note %s of %s, whose access was taken back, was merged by itself", k.ID, p.name)
	case k.unfit != "" && (k.Spoil == "" || !w.cleaned(k, raw)):
		w.violated(KeptApart, "note %s of %s was merged by itself although %s", k.ID, p.name, k.unfit)
	}
}

// cleaned is true for bytes of a spoiled note that were made anew, as a phone does that takes other numbers.
func (w *world) cleaned(k *noted, raw []byte) bool {
	_, err := journal.Parse(raw)
	return k.Spoil != "" && err == nil
}

// checkStamp: a time that is said to be known is the true one, within what clocks may differ and the way took; one that
// is not lies in the span that is stated. The way is that of the request that gave the stamp, which need not be the one that is
// answered: a server that dies after its commit has given it, and nobody hears. Clocks that were set in between are nobody's
// to know, and one that would be before 1970 stands still.
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

// checkMeanwhile: who reads while a batch is being written sees nothing of it.
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

// checkAtOnce asks, when all is over, many things at one time: pulls from everywhere and batches sent again. What the
// server holds must be the same after it.
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
