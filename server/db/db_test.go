package db_test

import (
	"context"
	"database/sql"
	"errors"
	"path/filepath"
	"testing"

	"bedwalk/server/db"
)

func open(t *testing.T, o db.Options) *db.DB {
	t.Helper()
	if o.Path == "" {
		o.Path = filepath.Join(t.TempDir(), "odd ?%.db")
	}
	d, err := db.Open(t.Context(), o)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { d.Close() })
	return d
}

func set(d *db.DB, name, value string) error {
	return d.Write(context.Background(), func(tx *sql.Tx) error {
		_, err := tx.Exec("insert into meta values (?, ?)", name, value)
		return err
	})
}

func count(t *testing.T, d *db.DB) (n int) {
	t.Helper()
	if err := d.Read(t.Context(), func(tx *sql.Tx) error {
		return tx.QueryRow("select count(*) from meta").Scan(&n)
	}); err != nil {
		t.Fatal(err)
	}
	return n
}

func TestAWriteIsSeenByReadersAndAnErrorTakesItBack(t *testing.T) {
	d := open(t, db.Options{})
	if err := set(d, "one", "1"); err != nil {
		t.Fatal(err)
	}
	sad := errors.New("sad")
	err := d.Write(t.Context(), func(tx *sql.Tx) error {
		if _, err := tx.Exec("insert into meta values ('two', '2')"); err != nil {
			return err
		}
		return sad
	})
	if !errors.Is(err, sad) || count(t, d) != 1 {
		t.Fatalf("got %v and %d rows, want sad and 1", err, count(t, d))
	}
}

func TestWritesAreDurableAndReadersCannotWrite(t *testing.T) {
	d := open(t, db.Options{})
	err := d.Write(t.Context(), func(tx *sql.Tx) error {
		var mode string
		var synchronous int
		if err := tx.QueryRow("pragma journal_mode").Scan(&mode); err != nil {
			return err
		}
		if err := tx.QueryRow("pragma synchronous").Scan(&synchronous); err != nil {
			return err
		}
		// 2 is FULL: https://www.sqlite.org/pragma.html#pragma_synchronous
		if mode != "wal" || synchronous != 2 {
			t.Errorf("journal_mode %s, synchronous %d; want wal, 2", mode, synchronous)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if err := d.Read(t.Context(), func(tx *sql.Tx) error {
		_, err := tx.Exec("insert into meta values ('x', '')")
		return err
	}); err == nil {
		t.Fatal("a reader wrote")
	}
}

func TestANewerFileIsRefusedAndLeftAlone(t *testing.T) {
	path := filepath.Join(t.TempDir(), db.File)
	d := open(t, db.Options{Path: path})
	if err := d.Write(t.Context(), func(tx *sql.Tx) error {
		_, err := tx.Exec("insert into goose_db_version (version_id, is_applied) values (9999, 1)")
		return err
	}); err != nil {
		t.Fatal(err)
	}
	d.Close()
	if _, err := db.Open(t.Context(), db.Options{Path: path}); !errors.Is(err, db.ErrNewer) {
		t.Fatalf("got %v, want ErrNewer", err)
	}
}

func TestACopyIsWholeWhileWritingGoesOn(t *testing.T) {
	d := open(t, db.Options{})
	if err := set(d, "one", "1"); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "copy.db")
	if err := d.CopyTo(t.Context(), path); err != nil {
		t.Fatal(err)
	}
	if err := set(d, "two", "2"); err != nil {
		t.Fatal(err)
	}
	copied := open(t, db.Options{Path: path})
	if complaints, err := copied.Intact(t.Context()); err != nil || len(complaints) > 0 {
		t.Fatalf("the copy is not intact: %v %v", complaints, err)
	}
	if n := count(t, copied); n != 1 {
		t.Fatalf("the copy has %d rows, want 1", n)
	}
}

func TestEveryStatementAndCommitCanBeMadeToFailAndLeavesNothingBehind(t *testing.T) {
	var faults db.Faults
	d := open(t, db.Options{Wrap: faults.Wrap})
	// The first write of a connection also has it watch its changes.
	if err := set(d, "first", ""); err != nil {
		t.Fatal(err)
	}
	faults.FailAt(0, nil)
	if err := set(d, "kept", ""); err != nil {
		t.Fatal(err)
	}
	steps := faults.Seen()
	if steps < 2 {
		t.Fatalf("counted %d steps in a write, want at least the statement and the commit", steps)
	}
	for n := 1; n <= steps; n++ {
		faults.FailAt(n, db.ErrFull)
		if err := set(d, "lost", ""); !errors.Is(err, db.ErrFull) {
			t.Fatalf("step %d: got %v, want the planned fault", n, err)
		}
		if count(t, d) != 2 {
			t.Fatalf("step %d left something behind", n)
		}
	}
	faults.FailAt(0, nil)
	if err := set(d, "after", ""); err != nil {
		t.Fatalf("the database does not go on after faults: %v", err)
	}
}
