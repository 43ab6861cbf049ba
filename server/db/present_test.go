package db_test

import (
	"context"
	"database/sql"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bedwalk/server/db"
)

// harms are what people do to the files of a running server.
var harms = []struct {
	name string
	do   func(dir string) error
}{
	{"the database is deleted", func(dir string) error { return os.Remove(filepath.Join(dir, db.File)) }},
	{"the database is moved away", func(dir string) error {
		return os.Rename(filepath.Join(dir, db.File), filepath.Join(dir, "old.db"))
	}},
	{"another database is moved over it", func(dir string) error {
		other := filepath.Join(dir, "other.db")
		if err := os.WriteFile(other, nil, 0o600); err != nil {
			return err
		}
		return os.Rename(other, filepath.Join(dir, db.File))
	}},
	{"the log is deleted", func(dir string) error { return os.Remove(filepath.Join(dir, db.File+"-wal")) }},
	{"the index of the log is deleted", func(dir string) error { return os.Remove(filepath.Join(dir, db.File+"-shm")) }},
	{"the lock is deleted", func(dir string) error { return os.Remove(filepath.Join(dir, db.LockFile)) }},
	{"the folder is moved", func(dir string) error { return os.Rename(dir, dir+"-moved") }},
	{"the folder is deleted", os.RemoveAll},
}

func TestNothingIsAcknowledgedOnceTheFilesAreGoneAndEverythingIsRescued(t *testing.T) {
	for _, harm := range harms {
		for _, inside := range []bool{false, true} {
			name := harm.name
			if inside {
				name += " while a write is under way"
			}
			t.Run(name, func(t *testing.T) { harmed(t, harm.do, inside) })
		}
	}
}

func harmed(t *testing.T, harm func(string) error, inside bool) {
	dir := filepath.Join(t.TempDir(), "data")
	if err := os.Mkdir(dir, 0o750); err != nil {
		t.Fatal(err)
	}
	hold, err := db.HoldDir(dir, "serve")
	if err != nil {
		t.Fatal(err)
	}
	d, err := db.Open(t.Context(), db.Options{Path: filepath.Join(dir, db.File), Hold: hold})
	if err != nil {
		t.Fatal(err)
	}
	if err := put(d, 1, nil); err != nil {
		t.Fatal(err)
	}
	if inside {
		err = put(d, 2, func() error { return harm(dir) })
	} else {
		if err := harm(dir); err != nil {
			t.Fatal(err)
		}
		err = put(d, 2, nil)
	}
	if !errors.Is(err, db.ErrGone) {
		t.Fatalf("a write was answered with %v", err)
	}
	select {
	case <-d.Gone():
	default:
		t.Error("nobody was notified")
	}
	if err := d.Read(t.Context(), func(*sql.Tx) error { return nil }); !errors.Is(err, db.ErrGone) {
		t.Errorf("a read was answered with %v", err)
	}
	copied := filepath.Join(t.TempDir(), "rescued.db")
	if err := d.Rescue(t.Context(), copied); err != nil {
		t.Fatal(err)
	}
	rescued, err := db.OpenAsItIs(copied)
	if err != nil {
		t.Fatal(err)
	}
	defer rescued.Close()
	var n int
	if err := rescued.Read(t.Context(), func(tx *sql.Tx) error {
		return tx.QueryRow("select count(*) from meta where name = '1'").Scan(&n)
	}); err != nil || n != 1 {
		t.Fatalf("what was acknowledged is not in the copy: %d, %v", n, err)
	}
}

func put(d *db.DB, n int, midway func() error) error {
	return d.Write(context.Background(), func(tx *sql.Tx) error {
		if _, err := tx.Exec("insert into meta values (?, '')", n); err != nil {
			return err
		}
		if midway != nil {
			return midway()
		}
		return nil
	})
}

// Copied over, the file is the same one with other content.
func TestADatabaseThatAnOlderCopyIsCopiedOverTakesNothingMore(t *testing.T) {
	path := filepath.Join(t.TempDir(), db.File)
	d, err := db.Open(t.Context(), db.Options{Path: path})
	if err != nil {
		t.Fatal(err)
	}
	older := path + ".older"
	if err := d.CopyTo(t.Context(), older); err != nil {
		t.Fatal(err)
	}
	if err := d.Write(t.Context(), func(tx *sql.Tx) error {
		for n := range 9_000 {
			if _, err := tx.Exec("insert into meta values (?, ?)", n, strings.Repeat("x", 4000)); err != nil {
				return err
			}
		}
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	// By now the log was written back, and there is something to lose in the file itself.
	if info, err := os.Stat(path); err != nil || info.Size() < 1<<20 {
		t.Fatalf("%+v, %v", info, err)
	}
	raw, err := os.ReadFile(older)
	if err != nil {
		t.Fatal(err)
	}
	if err := put(d, -1, func() error { return os.WriteFile(path, raw, 0o600) }); !errors.Is(err, db.ErrGone) {
		t.Fatalf("got %v", err)
	}
}

// A file that was deleted must not come back, empty, because somebody looks into it.
func TestADatabaseThatIsDeletedDoesNotComeBackEmpty(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, db.File)
	d, err := db.Open(t.Context(), db.Options{Path: path})
	if err != nil {
		t.Fatal(err)
	}
	if err := os.Remove(path); err != nil {
		t.Fatal(err)
	}
	if err := d.CopyTo(t.Context(), filepath.Join(dir, "copy.db")); !errors.Is(err, db.ErrGone) {
		t.Errorf("a copy was answered with %v", err)
	}
	if _, err := db.Open(t.Context(), db.Options{Path: path, Beside: true}); err == nil {
		t.Error("it was opened beside, though it is not there")
	}
	if _, err := os.Stat(path); !errors.Is(err, os.ErrNotExist) {
		t.Fatalf("the file is there again: %v", err)
	}
}
