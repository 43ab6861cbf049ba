// Package lite is the store behind packages journal and access in one SQLite file: the statements, each beside the question that it answers.
// What a row means is decided above; how the file is opened and who may write to it is package db's.
//
// Journal is a journal.Site, Access an access.Store. The tests in the folder above hold what both must do.
package lite

import (
	"context"
	"database/sql"
	"encoding/json"
	"fmt"
	"iter"
	"sync"

	"bedwalk/server/db"
	"bedwalk/server/journal"
)

// Journal keeps a journal in the file.
func Journal(d *db.DB) journal.Site {
	return &site{db: d, turn: make(chan struct{}, 1), memory: newMemory()}
}

// site is a journal's file.
type site struct {
	db *db.DB

	preparing sync.Mutex
	ready     bool
	hot       statements

	// turn is held by whoever writes: what stands below it is remembered of the file between writes.
	turn   chan struct{}
	memory memory
	// version is SQLite's count of commits by others, as of the last write: another program that writes to the file makes what is
	// remembered worthless.
	version int64
}

// memory has the numbers of what the file has one row of for many notes. Only what is committed is in a site's; a transaction has its own
// beside it.
type memory struct{ registers, shapes, names map[string]int64 }

func newMemory() memory {
	return memory{map[string]int64{}, map[string]int64{}, map[string]int64{}}
}

// mostNames is how many names are remembered: some 7 MB. Then the file is asked again.
const mostNames = 50_000

// Present is journal.Site's.
func (s *site) Present() error { return s.db.Present() }

// Prepare is journal.Site's.
func (s *site) Prepare(ctx context.Context) error {
	s.preparing.Lock()
	defer s.preparing.Unlock()
	if s.ready {
		return nil
	}
	if err := s.hot.prepare(ctx, s.db); err != nil {
		return fmt.Errorf("prepare the journal: %w", db.Explain(err))
	}
	s.ready = true
	return nil
}

// Write is journal.Site's. As with db.DB, ctx bounds the wait for the writer only.
func (s *site) Write(ctx context.Context, f func(journal.Tx) error) error {
	if err := s.Prepare(ctx); err != nil {
		return err
	}
	select {
	case s.turn <- struct{}{}:
	case <-ctx.Done():
		return ctx.Err()
	}
	defer func() { <-s.turn }()
	over := newMemory()
	err := s.db.Write(ctx, func(t *sql.Tx) error {
		return f(&tx{snap: snap{t}, site: s, hot: s.hot.in(t), over: over})
	})
	if err != nil {
		// Whether a failed commit took hold is for the file to say.
		s.memory = newMemory()
		return err
	}
	s.memory.take(over)
	return nil
}

// heedOthers forgets what is remembered of the file where another program has written to it. It is asked before anything is looked up there.
func (t *tx) heedOthers() error {
	if t.heeded {
		return nil
	}
	var version int64
	if err := t.tx.QueryRow("pragma data_version").Scan(&version); err != nil {
		return err
	}
	if t.heeded = true; version != t.site.version {
		t.site.version, t.site.memory = version, newMemory()
	}
	return nil
}

func (m *memory) take(over memory) {
	if len(m.names) > mostNames {
		clear(m.names)
	}
	for _, pair := range [][2]map[string]int64{{m.registers, over.registers}, {m.shapes, over.shapes}, {m.names, over.names}} {
		for text, n := range pair[1] {
			pair[0][text] = n
		}
	}
}

// Read is journal.Site's.
func (s *site) Read(ctx context.Context, f func(journal.Snap) error) error {
	return s.db.Read(ctx, func(t *sql.Tx) error { return f(snap{t}) })
}

// snap reads in a transaction.
type snap struct{ tx *sql.Tx }

// list hands a list to SQL's json_each as one parameter.
func list[T any](values []T) (string, error) {
	if values == nil {
		// "null" would be a list of one null, and nothing is "not in" that.
		return "[]", nil
	}
	raw, err := json.Marshal(values)
	return string(raw), err
}

// each gives the rows of a query as they come.
func each[T any](t *sql.Tx, scan func(*sql.Rows) (T, error), query string, args ...any) iter.Seq2[T, error] {
	return func(yield func(T, error) bool) {
		var none T
		rows, err := t.Query(query, args...)
		if err != nil {
			yield(none, err)
			return
		}
		defer rows.Close()
		for rows.Next() {
			one, err := scan(rows)
			if !yield(one, err) || err != nil {
				return
			}
		}
		if err := rows.Err(); err != nil {
			yield(none, err)
		}
	}
}

// all reads every row of a query.
func all[T any](t *sql.Tx, scan func(*sql.Rows) (T, error), query string, args ...any) (rows []T, err error) {
	for one, err := range each(t, scan, query, args...) {
		if err != nil {
			return nil, err
		}
		rows = append(rows, one)
	}
	return rows, nil
}

// byKey reads every row of a query into a map.
func byKey[K comparable, V any](t *sql.Tx, scan func(*sql.Rows) (K, V, error), query string, args ...any) (map[K]V, error) {
	rows, err := t.Query(query, args...)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	found := map[K]V{}
	for rows.Next() {
		key, one, err := scan(rows)
		if err != nil {
			return nil, err
		}
		found[key] = one
	}
	return found, rows.Err()
}

// pair reads a row of a key and a value.
func pair[K comparable, V any](rows *sql.Rows) (key K, one V, err error) {
	err = rows.Scan(&key, &one)
	return key, one, err
}

// first is the first of some rows.
func first[T any](rows []T, err error) (one T, found bool, _ error) {
	if err != nil || len(rows) == 0 {
		return one, false, err
	}
	return rows[0], true, nil
}

// bytesInto reads a hash, which is left as it is where there is none.
type bytesInto []byte

// Scan is sql.Scanner's.
func (hash bytesInto) Scan(column any) error {
	raw, ok := column.([]byte)
	if !ok && column != nil {
		return fmt.Errorf("a hash is of the type %T", column)
	}
	copy(hash, raw)
	return nil
}

// value reads a row of one value.
func value[T any](rows *sql.Rows) (one T, err error) {
	err = rows.Scan(&one)
	return one, err
}
