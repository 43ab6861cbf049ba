// Package pg is the store behind packages journal and access in PostgreSQL, where many nurseries may share one database: the statements, each beside
// the question that it answers. What a row means is decided above.
//
// A DB is one nursery's part of the database. Journal is a journal.Site of it, Access an access.Store. No statement names the site: a transaction does,
// by a setting that ends with it, and row security shows it the rows of that site alone (migrations/0001_sites.sql).
package pg

import (
	"context"
	"errors"
	"fmt"
	"iter"
	"sync/atomic"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgxpool"
)

// DB is one site of an open database.
type DB struct {
	name           string
	site           int32
	reader, writer *pgxpool.Pool
	lost           atomic.Pointer[error]
	patient        bool
	// line is the line of history that was opened, replaced true where the site was last served on another.
	line     atomic.Pointer[string]
	replaced bool
	// moved says where the site is now, "" while it is here.
	moved string
	// every and anyway are lookEvery and lookAnyway but in tests.
	every, anyway time.Duration
	// changed has one nudge that is still to be sent, at most.
	changed chan struct{}
	// release ends the hold on the site, nil where there is none.
	release func()

	// alone is held by whoever writes in this process, so that writers wait here and not each with a connection. What stands below it is remembered of
	// the site between writes.
	alone chan struct{}
	// turn is the site's after the last write of this process, unknownTurn where that is not known; highest the highest that was ever seen.
	turn, highest int64
	// version is another number whenever another process has written.
	version int64
	// registers are the numbers of lots and beds.
	registers map[string]int64
}

const unknownTurn = -1

// How long a transaction may take. What waits longer than lockLimit for another process hears that the database is busy; a writer that asks nothing for
// idleLimit loses its transaction.
const (
	idleLimit  = 10 * time.Second
	readLimit  = 2 * time.Minute
	writeLimit = 2 * time.Minute
	lockLimit  = 10 * time.Second
)

// Name is the site's name in the database.
func (d *DB) Name() string { return d.name }

// Close closes the connections.
func (d *DB) Close() error {
	if d.release != nil {
		d.release()
	}
	for _, pool := range []*pgxpool.Pool{d.reader, d.writer} {
		if pool != nil {
			pool.Close()
		}
	}
	return nil
}

// Present is nil while the database is the one that was opened. Otherwise it is ErrSetBack, and stays so.
func (d *DB) Present() error {
	if lost := d.lost.Load(); lost != nil {
		return *lost
	}
	return nil
}

// begin is what a transaction begins with: in one message, so that no statement comes before the site is named.
func (d *DB) begin(how string) pgx.TxOptions {
	return pgx.TxOptions{BeginQuery: fmt.Sprintf("begin isolation level %s; set local bedwalk.site = '%d'", how, d.site)}
}

// read runs f on one moment.
func (d *DB) read(ctx context.Context, f func(snap) error) error {
	if err := d.Present(); err != nil {
		return err
	}
	if !d.patient {
		var end func()
		ctx, end = context.WithTimeout(ctx, readLimit)
		defer end()
	}
	t, err := d.reader.BeginTx(ctx, d.begin("repeatable read read only"))
	if err != nil {
		return Explain(err)
	}
	err = f(snap{ctx: ctx, tx: t})
	return errors.Join(Explain(err), ignoreClosed(t.Rollback(context.WithoutCancel(ctx))))
}

// write runs f alone on the site, in this process and in every other: the site's row is held until the commit. The row is read by a statement of its own:
// one that also read the journal would read it as it was before it waited. ctx bounds the wait for the writer only, since whoever hung up may have
// everything in it acknowledged at the next try.
func (d *DB) write(ctx context.Context, f func(*tx) error) (err error) {
	if err := d.Present(); err != nil {
		return err
	}
	select {
	case d.alone <- struct{}{}:
	case <-ctx.Done():
		return ctx.Err()
	}
	defer func() { <-d.alone }()
	if ctx = context.WithoutCancel(ctx); !d.patient {
		var end func()
		ctx, end = context.WithTimeout(ctx, writeLimit)
		defer end()
	}
	began, err := d.writer.BeginTx(ctx, d.begin("read committed"))
	if err != nil {
		return Explain(err)
	}
	t := &tx{snap: snap{ctx: ctx, tx: began}, db: d, over: map[string]int64{}}
	t.before = t.flush
	if err = t.commit(f); err != nil {
		// Whether a failed commit took hold is for the database to say.
		d.turn, d.registers = unknownTurn, map[string]int64{}
		return errors.Join(Explain(err), ignoreClosed(began.Rollback(ctx)))
	}
	for id, n := range t.over {
		d.registers[id] = n
	}
	return nil
}

// heed holds the site's row, and forgets what is remembered where another process has written. The lock before it is a queue: whoever waits for a row alone
// is overtaken by who comes just as it is let go. It is a statement of its own, since the row is read as it was before its statement waited.
func (d *DB) heed(t *tx) error {
	var turn int64
	var moved string
	both := &pgx.Batch{}
	both.Queue("select pg_advisory_xact_lock($1, $2)", turnClass, d.site)
	both.Queue("select turn, moved from sites where site = $1 for no key update", d.site).QueryRow(func(row pgx.Row) error { return row.Scan(&turn, &moved) })
	if err := t.tx.SendBatch(t.ctx, both).Close(); err != nil {
		return fmt.Errorf("hold site %q: %w", d.name, err)
	}
	if moved != d.moved {
		return d.lose(fmt.Errorf("%w (%s)", ErrMoved, moved))
	}
	if turn < d.highest {
		return d.lose(fmt.Errorf("%w (site %q was at write %d, and is at %d)", ErrSetBack, d.name, d.highest, turn))
	}
	if d.highest = turn; turn != d.turn {
		d.version++
		d.turn, d.registers = turn, map[string]int64{}
	}
	return nil
}

// snap reads in a transaction. before is run before each question, where something may wait to be written.
type snap struct {
	ctx    context.Context
	tx     pgx.Tx
	before func() error
}

func (s snap) query(query string, args []any) (pgx.Rows, error) {
	if s.before != nil {
		if err := s.before(); err != nil {
			return nil, err
		}
	}
	rows, err := s.tx.Query(s.ctx, query, spelling(args)...)
	return speltRows{rows}, err
}

// run runs a statement that gives no rows.
func (s snap) run(query string) error {
	if s.before != nil {
		if err := s.before(); err != nil {
			return err
		}
	}
	_, err := s.tx.Exec(s.ctx, query)
	return err
}

// one reads one row, found false where there is none.
func (s snap) one(query string, args []any, into ...any) (found bool, err error) {
	rows, err := s.query(query, args)
	if err != nil {
		return false, err
	}
	defer rows.Close()
	if found = rows.Next(); found {
		if err := rows.Scan(into...); err != nil {
			return false, err
		}
	}
	rows.Close()
	return found, rows.Err()
}

// value reads a row of one value, the zero value where there is none.
func value[T any](s snap, query string, args ...any) (one T, err error) {
	_, err = s.one(query, args, &one)
	return one, err
}

// all reads every row of a query.
func all[T any](s snap, scan func(pgx.Rows) (T, error), query string, args ...any) (found []T, err error) {
	rows, err := s.query(query, args)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	for rows.Next() {
		one, err := scan(rows)
		if err != nil {
			return nil, err
		}
		found = append(found, one)
	}
	return found, rows.Err()
}

// values reads every row of a query of one value.
func values[T any](s snap, query string, args ...any) ([]T, error) {
	return all(s, func(rows pgx.Rows) (one T, err error) {
		err = rows.Scan(&one)
		return one, err
	}, query, args...)
}

// byKey reads every row of a query into a map.
func byKey[K comparable, V any](s snap, scan func(pgx.Rows) (K, V, error), query string, args ...any) (map[K]V, error) {
	rows, err := s.query(query, args)
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
func pair[K comparable, V any](rows pgx.Rows) (key K, one V, err error) {
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

// pageRows is how many rows are read at once where there may be any number of them.
const pageRows = 500

// paged gives the rows of a question page by page: a connection answers one question at a time, and whoever goes over rows may ask others in between.
// next gives at most limit rows after the last one, which is nil at first.
func paged[T any](next func(last *T, limit int) ([]T, error)) iter.Seq2[T, error] {
	return func(yield func(T, error) bool) {
		var last *T
		for {
			page, err := next(last, pageRows)
			if err != nil {
				var none T
				yield(none, err)
				return
			}
			for _, one := range page {
				if !yield(one, nil) {
					return
				}
			}
			if len(page) < pageRows {
				return
			}
			last = &page[len(page)-1]
		}
	}
}

// whole gives the rows of a question that has few, or that says itself how many.
func whole[T any](rows []T, err error) iter.Seq2[T, error] {
	return func(yield func(T, error) bool) {
		for _, one := range rows {
			if !yield(one, nil) {
				return
			}
		}
		if err != nil {
			var none T
			yield(none, err)
		}
	}
}

func ignoreClosed(err error) error {
	if errors.Is(err, pgx.ErrTxClosed) {
		return nil
	}
	return err
}
