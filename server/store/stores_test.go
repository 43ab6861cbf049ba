// Package store_test has what every store must do: a store that passes can take its place below packages journal and access. The tests know
// a store by its interface alone, so what they hold is what the packages above rely on.
package store_test

import (
	"path/filepath"
	"testing"

	"bedwalk/server/access"
	"bedwalk/server/db"
	"bedwalk/server/journal"
	"bedwalk/server/store/lite"
	"bedwalk/server/testphone"
)

// stores gives an empty store of each kind, another each time; two is one that two programs have open.
var stores = map[string]struct {
	journal func(t *testing.T) journal.Site
	two     func(t *testing.T) (one, other journal.Site)
	access  func(t *testing.T) access.Store
}{
	"SQLite": {
		journal: func(t *testing.T) journal.Site { return lite.Journal(openFile(t, testphone.Ready(t))) },
		two: func(t *testing.T) (one, other journal.Site) {
			folder := testphone.Ready(t)
			return lite.Journal(openFile(t, folder)), lite.Journal(openFile(t, folder))
		},
		access: func(t *testing.T) access.Store { return lite.Access(openFile(t, testphone.Ready(t))) },
	},
}

func openFile(t *testing.T, folder string) *db.DB {
	t.Helper()
	d, err := db.Open(t.Context(), db.Options{Path: filepath.Join(folder, db.File)})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { d.Close() })
	return d
}
