package db_test

import (
	"database/sql"
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"bedwalk/server/db"
	"bedwalk/server/testphone"
)

func TestTheSameQueryCanBeAskedAgainWhileItsRowsAreRead(t *testing.T) {
	d := open(t, db.Options{Path: filepath.Join(testphone.Folder(t), db.File)})
	for i := range 3 {
		if err := set(d, fmt.Sprint("name ", i), "x"); err != nil {
			t.Fatal(err)
		}
	}
	const query = "select name from meta where name >= ? order by name"
	for range 2 {
		var got []string
		if err := d.Read(t.Context(), func(tx *sql.Tx) error {
			return names(tx, query, "name 0", func(name string) error {
				if got = append(got, name); len(got) > 100 {
					return errors.New("the rows have no end")
				}
				return names(tx, query, "name 1", func(inner string) error { got = append(got, inner[len(inner)-1:]); return nil })
			})
		}); err != nil {
			t.Fatal(err)
		}
		if want := "name 0 1 2 name 1 1 2 name 2 1 2"; strings.Join(got, " ") != want {
			t.Fatalf("got %q, want %q", strings.Join(got, " "), want)
		}
	}
}

func names(tx *sql.Tx, query, from string, visit func(string) error) error {
	rows, err := tx.Query(query, from)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		var name string
		if err := rows.Scan(&name); err != nil {
			return err
		}
		if err := visit(name); err != nil {
			return err
		}
	}
	return rows.Err()
}

func TestAKeptStatementThatFailedOrWhoseTableChangedWorksAgain(t *testing.T) {
	path := filepath.Join(testphone.Folder(t), db.File)
	d := open(t, db.Options{Path: path})
	for i, want := range []bool{true, false, false} {
		if err := set(d, "one", "1"); (err == nil) != want {
			t.Fatalf("write %d gave %v", i, err)
		}
	}
	if err := set(d, "two", "2"); err != nil {
		t.Fatal(err)
	}
	columns := func() (n int) {
		if err := d.Read(t.Context(), func(tx *sql.Tx) error {
			rows, err := tx.Query("select * from meta where name = ?", "two")
			if err != nil {
				return err
			}
			defer rows.Close()
			all, err := rows.Columns()
			n = len(all)
			return err
		}); err != nil {
			t.Fatal(err)
		}
		return n
	}
	before := columns()
	other, err := sql.Open("sqlite", path)
	if err != nil {
		t.Fatal(err)
	}
	defer other.Close()
	if _, err := other.Exec("alter table meta add column more text"); err != nil {
		t.Fatal(err)
	}
	if after := columns(); after != before+1 {
		t.Fatalf("a table with one column more has %d, and had %d", after, before)
	}
}
