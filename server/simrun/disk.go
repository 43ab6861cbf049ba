package simrun

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"bedwalk/schema"
	"bedwalk/server/backup"
	"bedwalk/server/db"
	"bedwalk/server/journal"
	"bedwalk/sync/fold"
	"bedwalk/sync/sim"
)

// beside are the files that lie with the database and go into no backup.
func beside(dir string) (files []string, err error) {
	all, err := os.ReadDir(dir)
	for _, each := range all {
		name := each.Name()
		if each.Type().IsRegular() && !strings.HasPrefix(name, db.File) && name != db.LockFile && name != db.HolderFile {
			files = append(files, each.Name())
		}
	}
	return files, err
}

func (m *machine) backup(n int, file string) string {
	return filepath.Join(m.dir, fmt.Sprintf("backup-%d", n), file)
}

func (m *machine) Backup() (int, error) {
	m.backups++
	if err := os.Mkdir(m.backup(m.backups, ""), 0o750); err != nil {
		return 0, err
	}
	if err := m.db.CopyTo(context.Background(), m.backup(m.backups, db.File)); err != nil {
		return 0, err
	}
	files, err := beside(m.data(""))
	if err != nil {
		return 0, err
	}
	for _, file := range files {
		if err := copyFile(m.data(file), m.backup(m.backups, file)); err != nil {
			return 0, err
		}
	}
	return m.backups, m.store.BackedUp(context.Background(), m.store.Head())
}

func (m *machine) Restore(n int, whole bool) error {
	for _, end := range []string{"-wal", "-shm"} {
		if err := os.Remove(m.data(db.File + end)); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	if err := copyFile(m.backup(n, db.File), m.data(db.File)); err != nil {
		return err
	}
	m.putBack = true
	if !whole {
		return nil
	}
	now, err := beside(m.data(""))
	if err != nil {
		return err
	}
	for _, file := range now {
		if err := os.Remove(m.data(file)); err != nil {
			return err
		}
	}
	then, err := beside(m.backup(n, ""))
	if err != nil {
		return err
	}
	for _, file := range then {
		if err := copyFile(m.backup(n, file), m.data(file)); err != nil {
			return err
		}
	}
	return nil
}

// TakeAway does what `bedwalk serve` does too when it sees it: it saves what it has open.
func (m *machine) TakeAway(n int) (copied int, err error) {
	// A server that does not notice goes on writing where no next start looks. So it is as well served from the files as they
	// are: what is put back is the copy of this moment.
	if m.plant != "files that are gone not noticed" {
		if err := m.takeAway(n); err != nil {
			return 0, err
		}
	}
	var saved backup.Made
	if err := m.spared(func() (err error) {
		saved, err = backup.Rescue(context.Background(), m.db, m.now())
		return err
	}); err != nil {
		return 0, err
	}
	m.backups++
	if err := os.Mkdir(m.backup(m.backups, ""), 0o750); err != nil {
		return 0, err
	}
	return m.backups, os.Rename(saved.Path, m.backup(m.backups, db.File))
}

func (m *machine) takeAway(backup int) error {
	for _, end := range []string{"", "-wal", "-shm"} {
		if err := os.Remove(m.data(db.File + end)); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	if backup > 0 {
		if err := copyFile(m.backup(backup, db.File), m.data(db.File)); err != nil {
			return err
		}
	}
	if !errors.Is(m.db.Present(), db.ErrGone) {
		return errors.New("the server does not see that its files are gone")
	}
	return nil
}

// Second takes the folder as a second server would.
func (m *machine) Second() (bool, error) {
	hold, err := db.HoldDir(m.data(""), "serve")
	if errors.Is(err, db.ErrHeld) {
		return false, nil
	}
	if err != nil {
		return false, err
	}
	return true, hold.Release()
}

func copyFile(from, to string) error {
	raw, err := os.ReadFile(from)
	if err != nil {
		return err
	}
	return os.WriteFile(to, raw, 0o600)
}

func (m *machine) Dump() (sim.Dump, error) {
	var dump sim.Dump
	err := m.spared(func() (err error) {
		dump, err = m.dump()
		return err
	})
	return dump, err
}

func (m *machine) dump() (sim.Dump, error) {
	d := sim.Dump{Epoch: m.store.Epoch(), Head: m.store.Head(), Records: map[string][]byte{}}
	ctx := context.Background()
	if err := m.store.Read(ctx, func(snap *journal.Snapshot) error {
		return snap.All(func(r schema.Record) (err error) {
			d.Records[r.Key], err = fold.Text(r)
			return err
		})
	}); err != nil {
		return d, err
	}
	reports, err := m.store.Reports(ctx)
	if err != nil {
		return d, err
	}
	d.Reports = map[string]sim.Report{}
	for device, r := range reports {
		d.Reports[device] = sim.Report{Position: r.EqualTo, Equal: r.Equal == "equal", Pending: r.Pending}
	}
	err = m.db.Read(ctx, func(tx *sql.Tx) error {
		var err error
		if d.Merged, err = kept(tx, `select 0, 'merged', '', w.device, w.inc, e.seq, e.at, e.quality, e.at_from, e.at_to, e.position, e.received_at, e.bytes
			from entries e join writers w on w.n = e.writer order by e.position`); err != nil {
			return err
		}
		d.Aside, err = kept(tx, `select q.n, q.state, q.faults, w.device, w.inc, q.seq, q.at, q.quality, q.at_from, q.at_to, q.position, q.received_at, q.bytes
			from quarantine q join writers w on w.n = q.writer order by q.n`)
		return err
	})
	if err != nil {
		return d, err
	}
	d.Complaints, err = m.db.Intact(ctx)
	return d, err
}

func kept(tx *sql.Tx, query string) (all []sim.Kept, err error) {
	rows, err := tx.Query(query)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	for rows.Next() {
		var k sim.Kept
		st := &k.Stamp
		if err := rows.Scan(&k.Number, &k.State, &k.Why, &k.Device, &k.Inc, &k.Seq, &st.At, &st.Quality, &st.From, &st.To, &k.Position, &k.Received, &k.Raw); err != nil {
			return nil, err
		}
		all = append(all, k)
	}
	return all, rows.Err()
}
