package db_test

import (
	"database/sql"
	"path/filepath"
	"testing"

	"bedwalk/server/db"
	"bedwalk/server/testphone"
)

// grow writes past the limit of the log.
func grow(t *testing.T, d *db.DB) {
	t.Helper()
	for size := int64(0); size <= db.LogLimit; {
		if err := d.Write(t.Context(), func(tx *sql.Tx) error {
			_, err := tx.Exec("insert or replace into meta values ('large', hex(zeroblob(8000000)))")
			return err
		}); err != nil {
			t.Fatal(err)
		}
		var err error
		if size, err = d.LogSize(); err != nil {
			t.Fatal(err)
		}
	}
}

func TestALogThatReadersLetGrowIsEmptiedOnceTheyAreDone(t *testing.T) {
	d := open(t, db.Options{Path: filepath.Join(testphone.Folder(t), db.File)})
	if err := d.Read(t.Context(), func(tx *sql.Tx) error {
		// A read begins at its first question.
		var n int
		if err := tx.QueryRow("select count(*) from meta").Scan(&n); err != nil {
			return err
		}
		grow(t, d)
		if size, large, err := d.ShrinkLog(t.Context()); err != nil || !large || size <= db.LogLimit {
			t.Errorf("while somebody reads: %d bytes, large %v, %v", size, large, err)
		}
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	if size, large, err := d.ShrinkLog(t.Context()); err != nil || large || size != 0 {
		t.Fatalf("nobody reads: %d bytes, large %v, %v", size, large, err)
	}
}
