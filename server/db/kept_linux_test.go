package db_test

import (
	"context"
	"database/sql"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bedwalk/server/db"
	"bedwalk/server/testphone"
)

// The list of a process's open files is read in Linux's way, so only there. More different statements than are kept, so that some are let go; then all files must be let go with the database.
func TestAClosedDatabaseLeavesNoFileOpen(t *testing.T) {
	path := filepath.Join(testphone.Folder(t), db.File)
	d := open(t, db.Options{Path: path})
	for range 2 {
		if err := d.Write(context.Background(), func(tx *sql.Tx) error {
			for i := range 600 {
				if _, err := tx.Exec(fmt.Sprintf("update meta set value = 'x' where name = 'name %d'", i)); err != nil {
					return err
				}
			}
			return nil
		}); err != nil {
			t.Fatal(err)
		}
	}
	if files := openFiles(t, path); len(files) == 0 {
		t.Fatal("an open database has no open file")
	}
	if err := d.Close(); err != nil {
		t.Fatal(err)
	}
	if files := openFiles(t, path); len(files) > 0 {
		t.Fatalf("still open: %v", files)
	}
}

func openFiles(t *testing.T, path string) (open []string) {
	t.Helper()
	all, err := os.ReadDir("/proc/self/fd")
	if err != nil {
		t.Fatal(err)
	}
	for _, each := range all {
		if to, err := os.Readlink("/proc/self/fd/" + each.Name()); err == nil && strings.HasPrefix(to, path) {
			open = append(open, to)
		}
	}
	return open
}
