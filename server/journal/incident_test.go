package journal_test

import (
	"context"
	"database/sql"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/pressly/goose/v3"
	_ "modernc.org/sqlite"

	"bedwalk/server/db"
	"bedwalk/server/testphone"
)

func TestIncidentsAreOneForADeviceAndKindWithACountAndABoundedDetail(t *testing.T) {
	b := newBench(t)
	for _, detail := range []string{"first", strings.Repeat("long \xff", 100_000), "newest"} {
		if err := b.store.File(t.Context(), "a", "fork", detail); err != nil {
			t.Fatal(err)
		}
		b.clock = b.clock.Add(1_000_000)
		some, all, err := b.store.Incidents(t.Context(), 10)
		if err != nil || all != 1 || len([]rune(some[0].Detail)) > 500 {
			t.Fatalf("%d incidents, the first with %d bytes, %v", all, len(some[0].Detail), err)
		}
	}
	b.store.File(t.Context(), "b", "fork", "another's")
	some, all, err := b.store.Incidents(t.Context(), 1)
	if err != nil || all != 2 || len(some) != 1 || some[0].Device != "b" {
		t.Fatalf("%+v of %d, %v; want the newest of 2", some, all, err)
	}
	if err := b.store.Over(t.Context(), "b", "fork"); err != nil {
		t.Fatal(err)
	}
	if some, _, _ = b.store.Incidents(t.Context(), 2); some[0].Device != "a" || some[0].Count != 3 || some[0].Detail != "newest" || some[1].OverAt == 0 {
		t.Fatalf("%+v; want the open one first", some)
	}
	b.store.File(t.Context(), "b", "fork", "again")
	if some, _, _ = b.store.Incidents(t.Context(), 2); some[0].Device != "b" || some[0].Count != 2 || some[0].OverAt != 0 {
		t.Fatalf("%+v; want it open again and counted on", some)
	}
}

func TestIncidentsOfAnOlderFileAreCountedTogether(t *testing.T) {
	path := filepath.Join(testphone.Folder(t), db.File)
	// The tables as the first release had them, with the rows that a dishonest phone left there.
	old, err := sql.Open("sqlite", path)
	if err != nil {
		t.Fatal(err)
	}
	steps, err := goose.NewProvider(goose.DialectSQLite3, old, os.DirFS("../db/migrations"), goose.WithDisableGlobalRegistry(true))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := steps.UpTo(t.Context(), 3); err != nil {
		t.Fatal(err)
	}
	if _, err := old.Exec(`insert into reports (device, at, equal, equal_at) values ('a', 9, 'equal', 8);
		insert into incidents (at, device, code, detail) values (1, 'a', 'digest_differs', 'one'), (2, 'b', 'fork', 'first'),
			(3, 'a', 'digest_differs', 'two'), (4, 'a', 'digest_equal', ''), (5, 'b', 'fork', hex(zeroblob(1000000)))`); err != nil {
		t.Fatal(err)
	}
	old.Close()
	d, err := db.Open(context.Background(), db.Options{Path: path})
	if err != nil {
		t.Fatal(err)
	}
	defer d.Close()
	var got []string
	err = d.Read(t.Context(), func(tx *sql.Tx) error {
		rows, err := tx.Query("select printf('%s %s %d-%d x%d over %d, %d', device, code, first_at, at, count, over_at, length(detail)) from incidents order by device")
		if err != nil {
			return err
		}
		defer rows.Close()
		for rows.Next() {
			var line string
			if err := rows.Scan(&line); err != nil {
				return err
			}
			got = append(got, line)
		}
		return rows.Err()
	})
	if want := "a digest_differs 1-3 x2 over 8, 3; b fork 2-5 x2 over 0, 500"; err != nil || strings.Join(got, "; ") != want {
		t.Fatalf("got %q, %v; want %q", got, err, want)
	}
}
