package db_test

import (
	"crypto/sha256"
	"database/sql"
	"errors"
	"os"
	"path/filepath"
	"testing"

	"bedwalk/server/db"
)

// bytesOf is the hash of all entries' bytes in the order of the journal.
func bytesOf(t *testing.T, d *db.DB) (sum [32]byte, n int) {
	t.Helper()
	hash := sha256.New()
	if err := d.Read(t.Context(), func(tx *sql.Tx) error {
		rows, err := tx.Query("select bytes from entries order by position")
		if err != nil {
			return err
		}
		defer rows.Close()
		for rows.Next() {
			var raw []byte
			if err := rows.Scan(&raw); err != nil {
				return err
			}
			n++
			hash.Write(append(raw, '\n'))
		}
		return rows.Err()
	}); err != nil {
		t.Fatal(err)
	}
	return [32]byte(hash.Sum(nil)), n
}

// Wherever the move from an older build's tables is cut, by a full disk or a kill, the next start ends it: the entries have the bytes that they
// had, and no row passes for changed by another hand.
func TestAMigrationThatWasCutAnywhereIsEndedAtTheNextStart(t *testing.T) {
	old, err := os.ReadFile("../../fixtures/release-0981956/data/bedwalk.db")
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), db.File)
	again := func() {
		for _, end := range []string{"-wal", "-shm"} {
			if err := os.Remove(path + end); err != nil && !errors.Is(err, os.ErrNotExist) {
				t.Fatal(err)
			}
		}
		if err := os.WriteFile(path, old, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	again()
	asItIs, err := db.OpenAsItIs(path)
	if err != nil {
		t.Fatal(err)
	}
	want, entries := bytesOf(t, asItIs)
	if asItIs.Close(); entries < 10 {
		t.Fatalf("the older file has %d entries, which tries nothing", entries)
	}
	errCut := errors.New("cut")
	step := 1
	for ; ; step++ {
		again()
		var faults db.Faults
		faults.FailAt(step, errCut)
		d, err := db.Open(t.Context(), db.Options{Path: path, Wrap: faults.Wrap})
		if err == nil {
			d.Close()
			if faults.Seen() < step {
				break
			}
		} else if !errors.Is(err, errCut) {
			t.Fatalf("step %d: %v", step, err)
		}
		d = open(t, db.Options{Path: path})
		if got, n := bytesOf(t, d); got != want {
			t.Fatalf("cut at step %d, %d entries have other bytes than the %d before", step, n, entries)
		}
		wrong := 0
		if err := d.Read(t.Context(), func(tx *sql.Tx) error {
			checked, err := db.CheckSeals(t.Context(), tx, func(table, key, what string) {
				if wrong++; wrong < 4 {
					t.Errorf("cut at step %d: row %s of %s %s", step, key, table, what)
				}
			})
			if !checked {
				t.Errorf("cut at step %d: the seals were not looked at", step)
			}
			return err
		}); err != nil {
			t.Fatal(err)
		}
		if d.Close(); t.Failed() {
			return
		}
	}
	if t.Logf("%d steps", step-1); step < 50 {
		t.Errorf("only %d steps were cut", step-1)
	}
}
