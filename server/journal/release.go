package journal

import "bedwalk/schema"

// release judges again the quarantined entries that waited for a record of this batch, and merges those that have no fault
// now. It says whether it merged any, since those may be waited for in turn.
func (b *batch) release() (released bool, err error) {
	var keys []string
	for key, t := range b.keys {
		if t.wrote {
			keys = append(keys, key)
		}
	}
	candidates, err := b.wanting(keys)
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
			err = b.faulted(n, faults)
		}
		if err != nil {
			return false, err
		}
	}
	return released, nil
}

func (b *batch) wanting(keys []string) ([]int64, error) {
	wanted, err := list(keys)
	if err != nil {
		return nil, err
	}
	return column[int64](b.tx.Query("select distinct w.n from json_each(?) j join awaited w on w.key = j.value order by w.n", wanted))
}

// want remembers what a held entry waits for.
func (b *batch) want(n int64, keys []string) error {
	for _, key := range keys {
		if _, err := b.tx.Exec("insert or ignore into awaited values (?, ?)", key, n); err != nil {
			return err
		}
	}
	return nil
}

// faulted writes down why an entry is held now.
func (b *batch) faulted(n int64, faults []schema.Fault) error {
	words, err := list(faults)
	if err != nil {
		return err
	}
	if _, err := b.tx.Exec("update quarantine set faults = ? where n = ?", words, n); err != nil {
		return err
	}
	_, err = b.tx.Exec("delete from awaited where n = ?", n)
	return err
}
