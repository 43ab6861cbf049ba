package journal

// release judges again the quarantined entries that waited for a record of this batch, and merges those that have no fault
// now. It says whether it merged any, since those may be waited for in turn.
func (b *batch) release() (released bool, err error) {
	var keys []string
	for key, t := range b.keys {
		if t.wrote {
			keys = append(keys, key)
		}
	}
	candidates, err := b.tx.Awaiting(keys)
	if err != nil {
		return false, err
	}
	for _, n := range candidates {
		w, err := b.quarantined(n)
		if err != nil {
			return false, err
		}
		if len(w.arrival.faults) > 0 {
			continue
		}
		faults, missing, referenced, err := b.judge(w.arrival, w.stamp)
		switch {
		case err != nil:
		case len(faults) == 0:
			released = true
			err = b.mergeQuarantined(n, w, "")
		case referenced:
			err = b.want(n, missing)
		default:
			// Nothing that arrives cures it: from now on it waits for a supervisor.
			err = b.tx.Fault(n, faults)
		}
		if err != nil {
			return false, err
		}
	}
	return released, nil
}

// want remembers what a held entry waits for.
func (b *batch) want(n int64, keys []string) error {
	for _, key := range keys {
		if err := b.tx.Await(n, key); err != nil {
			return err
		}
	}
	return nil
}
