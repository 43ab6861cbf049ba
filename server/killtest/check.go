package killtest

import (
	"bytes"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"bedwalk/server/db"
	"bedwalk/server/realrun"
)

// How many of a phone's notes a database should have.
type expected int

const (
	// A server that died may have stored a batch without acknowledging it.
	atLeastAcked expected = iota
	exactlyAcked
)

// checkCopy checks a data folder as the kill left it, on a copy: opening the folder itself would do the recovery that the
// next start has to do.
func checkCopy(ctx context.Context, program *realrun.Program, folder string, phones []*realrun.Phone, want expected) (err error) {
	defer func() { err = errors.Join(err, os.RemoveAll(folder)) }()
	if err := os.CopyFS(folder, os.DirFS(program.Data)); err != nil {
		return err
	}
	// The log's index is rebuilt from the log; a stale one beside it would be another machine's.
	if err := os.RemoveAll(filepath.Join(folder, db.File+"-shm")); err != nil {
		return err
	}
	copied := &realrun.Program{Binary: program.Binary, Data: folder}
	if _, err := copied.Run(ctx, "verify"); err != nil {
		return err
	}
	d, err := db.OpenAsItIs(filepath.Join(folder, db.File))
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, d.Close()) }()
	if complaints, err := d.Intact(ctx); err != nil || len(complaints) > 0 {
		return fmt.Errorf("SQLite reports: %v %w", complaints, err)
	}
	return d.Read(ctx, func(tx *sql.Tx) error {
		for _, phone := range phones {
			if err := present(tx, phone, want); err != nil {
				return err
			}
		}
		return noneTwice(tx)
	})
}

// present compares what was acknowledged, note by note, with what is stored.
func present(tx *sql.Tx, phone *realrun.Phone, want expected) error {
	rows, err := tx.Query(`select e.seq, e.position, e.at, e.bytes from entries e join writers w on w.n = e.writer
		where w.device = ? and w.inc = ? order by e.seq`, phone.Device, phone.Inc)
	if err != nil {
		return err
	}
	defer rows.Close()
	stored := 0
	for rows.Next() {
		var seq, position, at int64
		var raw []byte
		if err := rows.Scan(&seq, &position, &at, &raw); err != nil {
			return err
		}
		if stored++; seq != int64(stored) {
			return fmt.Errorf("%s has a gap: note %d follows note %d", phone.Device, seq, stored-1)
		}
		if stored > len(phone.Raw) || !bytes.Equal(raw, phone.Raw[seq-1]) {
			return fmt.Errorf("note %d of %s is not what the phone wrote", seq, phone.Device)
		}
		if stored > phone.Acked {
			continue
		}
		if given := phone.Given[seq-1]; given.Position != position || given.Stamp.At != at {
			return fmt.Errorf("note %d of %s was acknowledged at position %d and time %d, but is stored at %d and %d",
				seq, phone.Device, given.Position, given.Stamp.At, position, at)
		}
	}
	if stored < phone.Acked || want == exactlyAcked && stored > phone.Acked {
		return fmt.Errorf("%s: %d notes were acknowledged, %d are stored", phone.Device, phone.Acked, stored)
	}
	return rows.Err()
}

func noneTwice(tx *sql.Tx) error {
	var notes, ids, quarantined int
	if err := tx.QueryRow("select count(*), count(distinct id), (select count(*) from quarantine) from entries").Scan(&notes, &ids, &quarantined); err != nil {
		return err
	}
	if notes != ids || quarantined != 0 {
		return fmt.Errorf("%d notes have %d ids, and %d are in quarantine", notes, ids, quarantined)
	}
	return nil
}

// pulledOnce fetches the whole journal as a fresh phone would, and finds every acknowledged note in it once.
func pulledOnce(ctx context.Context, phones []*realrun.Phone) error {
	items, err := phones[0].PullAll(ctx)
	if err != nil {
		return err
	}
	times, last := map[string]int{}, int64(0)
	for _, item := range items {
		if item.Position <= last {
			return fmt.Errorf("position %d was pulled after position %d", item.Position, last)
		}
		last = item.Position
		times[string(item.Entry)]++
	}
	for _, phone := range phones {
		for i, raw := range phone.Raw[:phone.Acked] {
			if n := times[string(raw)]; n != 1 {
				return fmt.Errorf("note %d of %s was pulled %d times", i+1, phone.Device, n)
			}
		}
	}
	return nil
}

// drain pushes until nothing is pending.
func drain(ctx context.Context, phone *realrun.Phone) error {
	for phone.Acked < len(phone.Raw) {
		from, to := phone.Acked+1, min(phone.Acked+200, len(phone.Raw))
		if err := phone.Push(ctx, from, to); err != nil {
			return err
		}
		if err := allMerged(phone, from, to); err != nil {
			return err
		}
	}
	return nil
}

func allMerged(phone *realrun.Phone, from, to int) error {
	for i, given := range phone.Given[from-1 : to] {
		if given.State != "merged" {
			return fmt.Errorf("note %d of %s is %s: %v", from+i, phone.Device, given.State, given.Faults)
		}
	}
	return nil
}

func isRefusal(err error) bool {
	var refused *realrun.Refused
	return errors.As(err, &refused)
}
