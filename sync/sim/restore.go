package sim

// Backups of the server, and what becomes of the world when one is put back.

type backup struct {
	number int
	ids    map[string]bool
	// revoked are the devices that had lost their access by then. A copy of a phone is the same device.
	revoked map[string]bool
}

func (w *world) idsAtServer() map[string]bool {
	ids := map[string]bool{}
	s, ok := w.dump()
	if !ok {
		return ids
	}
	for id := range w.notes {
		if w.atServer(s, id) {
			ids[id] = true
		}
	}
	return ids
}

func (w *world) backUp() {
	if !w.stands() {
		return
	}
	ids := w.idsAtServer()
	number, err := w.host.Backup()
	if err != nil {
		// A fault armed for something else may hit the backup; then there is none.
		w.trace("no backup: %v", err)
		return
	}
	w.backups = append(w.backups, backup{number, ids, w.revokedNow()})
}

func (w *world) revokedNow() map[string]bool {
	revoked := map[string]bool{}
	for _, p := range w.phones {
		revoked[p.device] = revoked[p.device] || p.revoked
	}
	return revoked
}

// restore stops the server and restores an older state.
func (w *world) restore() {
	if !w.stands() || len(w.backups) == 0 {
		return
	}
	b := w.backups[w.IntN(len(w.backups))]
	now := w.idsAtServer()
	whole := w.chance(30)
	if w.count(Restored); whole {
		w.count(DiskSetBack)
		// Its epoch comes back.
		w.passed = nil
	}
	w.stop()
	if err := w.host.Restore(b.number, whole); err != nil {
		w.broken(err)
		return
	}
	w.backAt(b, now, whole)
	if w.chance(40) {
		// Others have to give back what only it had.
		if p := w.phones[1+w.IntN(len(w.phones)-1)]; !p.pairing && !p.full {
			w.count(PhoneLostToo)
			w.clear(p)
		}
	}
	w.after(w.below(5*minute), w.start)
}

// backAt writes down that the server has what it had at a backup, after it had more; whole says that the files beside the database are as old.
func (w *world) backAt(b backup, had map[string]bool, whole bool) {
	for id := range had {
		if !b.ids[id] {
			w.gone[id] = true
		}
	}
	clear(w.reported)
	// Sent again they may bring back what the restore took away, from a phone that was lost too (day 36).
	w.pushes = nil
	for _, p := range w.phones {
		// The list of revoked devices is also beside the database, and survives a restored backup, but not a lost disk.
		p.revoked = b.revoked[p.device] || p.revoked && !whole
	}
}
