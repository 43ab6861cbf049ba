// Package store_test has what every store must do: a store that passes can take its place below packages journal and access. The tests know
// a store by its interface alone, so what they hold is what the packages above rely on.
package store_test

import (
	"context"
	"path/filepath"
	"reflect"
	"testing"

	"bedwalk/server/access"
	"bedwalk/server/db"
	"bedwalk/server/journal"
	"bedwalk/server/store/lite"
	"bedwalk/server/store/pg"
	"bedwalk/server/testpg"
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
	"PostgreSQL": {
		journal: func(t *testing.T) journal.Site { return pg.Journal(openSite(t, testpg.Site())) },
		two: func(t *testing.T) (one, other journal.Site) {
			site := testpg.Site()
			return pg.Journal(openSite(t, site)), pg.Journal(openSite(t, site))
		},
		access: func(t *testing.T) access.Store { return pg.Access(openSite(t, testpg.Site())) },
	},
}

// write puts what f puts, and fails the test where that is an error.
func write[Tx any](t *testing.T, s interface {
	Write(ctx context.Context, f func(Tx) error) error
}, f func(Tx) error) {
	t.Helper()
	if err := s.Write(t.Context(), f); err != nil {
		t.Fatal(err)
	}
}

func read[Snap any](t *testing.T, s interface {
	Read(ctx context.Context, f func(Snap) error) error
}, f func(Snap) error) {
	t.Helper()
	if err := s.Read(t.Context(), f); err != nil {
		t.Fatal(err)
	}
}

// same fails the test where what a store gave is not what it should.
func same[T any](t *testing.T, what string, got T, err error, want T) {
	t.Helper()
	if err != nil || !reflect.DeepEqual(got, want) {
		t.Errorf("%s: %+v, %v; want %+v", what, got, err, want)
	}
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

func openSite(t *testing.T, name string) *pg.DB {
	t.Helper()
	d, err := pg.Open(t.Context(), pg.Options{URL: testpg.URL(t), Site: name, New: true})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { d.Close() })
	return d
}
