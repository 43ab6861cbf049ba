package sim

// What happens to the files of a running server: somebody deletes them, copies others over them, or starts a second
// server beside it. Whatever was acknowledged must be served afterwards, and what cannot be stored must be refused.

// stands is true while the server is up and its files are its own.
func (w *world) stands() bool { return w.up && !w.lost }

// takeAway deletes the database under the server, or replaces it by a backup; after some minutes the owner does what the
// server's message says.
func (w *world) takeAway() {
	host, ok := w.host.(Folder)
	if !w.stands() || !ok {
		return
	}
	number := 0
	if w.chance(50) && len(w.backups) > 0 {
		number = w.backups[w.IntN(len(w.backups))].number
		w.count(FileReplaced)
	} else {
		w.count(FileDeleted)
	}
	copied, err := host.TakeAway(number)
	if err != nil {
		w.broken(err)
		return
	}
	w.lost, w.copied = true, copied
	w.mishap(w.below(10*minute), w.putBack)
}

// putBack is the owner's part: stop the server, restore the copy that it made of what it had open, and start it again.
func (w *world) putBack() {
	if !w.lost {
		return
	}
	if w.up {
		w.stop()
	}
	w.lost = false
	// All that it ever acknowledged is in that copy.
	if err := w.host.Restore(w.copied, false); err != nil {
		w.broken(err)
		return
	}
	clear(w.reported)
	w.start()
}

// second starts another server on the same folder, which must be refused.
func (w *world) second() {
	host, ok := w.host.(Folder)
	if !w.stands() || !ok {
		return
	}
	w.count(TwoServers)
	w.checked(OneServer)
	in, err := host.Second()
	if err != nil {
		w.broken(err)
		return
	}
	if in {
		w.violated(OneServer, "a second server was allowed on the folder of a running one")
	}
}
