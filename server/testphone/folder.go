package testphone

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"bedwalk/server/db"
)

// Folder is a temporary folder for a test's database, in memory where the machine has such a place: every commit waits
// for the disk, and tests commit thousands of times. What a real disk does is for the drills to find out.
func Folder(t testing.TB) string {
	t.Helper()
	dir, err := folder()
	if err != nil {
		return t.TempDir()
	}
	t.Cleanup(func() { os.RemoveAll(dir) })
	return dir
}

func folder() (string, error) {
	const memory = "/dev/shm"
	return os.MkdirTemp(memory, "bedwalk-test-*")
}

// Ready is Folder with a database in it that has its tables and no rows, as the first start makes it. The steps to these
// tables are run once for each process, and the file is copied: a test that writes a few notes takes less time than they do.
func Ready(t testing.TB) string {
	t.Helper()
	raw, err := ready()
	if err != nil {
		t.Fatal(err)
	}
	dir := Folder(t)
	if err := os.WriteFile(filepath.Join(dir, db.File), raw, 0o600); err != nil {
		t.Fatal(err)
	}
	return dir
}

var ready = sync.OnceValues(func() (raw []byte, err error) {
	dir, err := folder()
	if err != nil {
		if dir, err = os.MkdirTemp("", "bedwalk-test-*"); err != nil {
			return nil, err
		}
	}
	defer func() { err = errors.Join(err, os.RemoveAll(dir)) }()
	path := filepath.Join(dir, db.File)
	d, err := db.Open(context.Background(), db.Options{Path: path})
	if err != nil {
		return nil, err
	}
	if err := d.Close(); err != nil {
		return nil, err
	}
	return os.ReadFile(path)
})
