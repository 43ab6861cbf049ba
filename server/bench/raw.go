package main

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"bedwalk/server/db"
)

// rawRates copies what the pushes left in a database into empty tables of the same shape, by the same library with the
// same settings and 500 notes a transaction: what modernc.org/sqlite can do when nothing is read, checked, chained,
// folded or sent.
func rawRates(ctx context.Context, from, folder string) (raw rawSpeeds, err error) {
	rows, err := readRows(ctx, from)
	if err != nil {
		return raw, err
	}
	if raw.journal, err = insert(ctx, filepath.Join(folder, "journal"), rows.only("notes")); err != nil {
		return raw, err
	}
	raw.whole, err = insert(ctx, filepath.Join(folder, "whole"), rows)
	return raw, err
}

// rawSpeeds are those of the entries alone, and of all rows that a note leaves behind.
type rawSpeeds struct{ journal, whole speed }

// speed is notes a second, and microseconds of processor time a note (0 where the system does not report it).
type speed struct{ rate, cpu float64 }

// table is all rows of one table, in the order in which they were put in.
type table struct {
	name   string
	insert string
	rows   [][]any
}

// share is the n-th of so many equal parts of the rows: a transaction then holds what one batch of notes leaves in each table.
func (t table) share(n, of int) [][]any { return t.rows[len(t.rows)*n/of : len(t.rows)*(n+1)/of] }

type tables []table

// perNote are the tables that grow with the notes.
var perNote = []struct{ name, order string }{{"notes", "position"}, {"entry_keys", "position"}, {"records", "n"}}

func (all tables) only(name string) tables {
	for _, t := range all {
		if t.name == name {
			return tables{t}
		}
	}
	return nil
}

func readRows(ctx context.Context, path string) (all tables, err error) {
	d, err := db.OpenAsItIs(path)
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, d.Close()) }()
	for _, one := range perNote {
		t := table{name: one.name}
		if err := d.Read(ctx, func(tx *sql.Tx) error { return t.read(tx, one.order) }); err != nil {
			return nil, err
		}
		all = append(all, t)
	}
	return all, nil
}

func (t *table) read(tx *sql.Tx, order string) error {
	rows, err := tx.Query(fmt.Sprintf("select * from %s order by %s", t.name, order))
	if err != nil {
		return err
	}
	defer rows.Close()
	columns, err := rows.Columns()
	if err != nil {
		return err
	}
	t.insert = fmt.Sprintf("insert into %s values (?%s)", t.name, strings.Repeat(", ?", len(columns)-1))
	for rows.Next() {
		values, into := make([]any, len(columns)), make([]any, len(columns))
		for i := range values {
			into[i] = &values[i]
		}
		if err := rows.Scan(into...); err != nil {
			return err
		}
		t.rows = append(t.rows, values)
	}
	return rows.Err()
}

// insert puts the rows into a fresh database; its speed is that of the first table's rows.
func insert(ctx context.Context, folder string, only tables) (reached speed, err error) {
	if err := os.MkdirAll(folder, 0o750); err != nil {
		return reached, err
	}
	d, err := db.Open(ctx, db.Options{Path: filepath.Join(folder, db.File)})
	if err != nil {
		return reached, err
	}
	defer func() { err = errors.Join(err, d.Close()) }()
	// The rows name writers; those are not what is measured.
	if err := d.Write(ctx, func(tx *sql.Tx) error {
		_, err := tx.Exec(`with recursive numbers (n) as (select 1 union all select n + 1 from numbers where n < 1000)
			insert into writers (n, device, inc, chain) select n, n, 1, x'' from numbers`)
		return err
	}); err != nil {
		return reached, err
	}
	began, cpu := time.Now(), cpuTime()
	batches := (len(only[0].rows) + batchNotes - 1) / batchNotes
	statements := make([]*sql.Stmt, len(only))
	for i, t := range only {
		if statements[i], err = d.Prepare(ctx, t.insert); err != nil {
			return reached, err
		}
	}
	for n := range batches {
		if err := d.Write(ctx, func(tx *sql.Tx) error {
			for i, t := range only {
				put := tx.Stmt(statements[i])
				for _, row := range t.share(n, batches) {
					if _, err := put.Exec(row...); err != nil {
						return err
					}
				}
			}
			return nil
		}); err != nil {
			return reached, err
		}
	}
	notes := float64(len(only[0].rows))
	return speed{notes / time.Since(began).Seconds(), float64((cpuTime() - cpu).Microseconds()) / notes}, nil
}
