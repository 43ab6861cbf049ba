// Package db is the server's one SQLite file: how it is opened, who may write, and how its shape has grown.
//
// There is one writer connection and a pool of readers, because SQLite takes one writer at a time and a queue in
// front of it beats a lock inside it. Every write is durable when its transaction returns (WAL, synchronous=FULL).
// The central type is DB; what stands in the tables is the business of packages journal and access.
package db

import (
	"context"
	"database/sql"
	"database/sql/driver"
	"errors"
	"fmt"
	"net/url"
	"os"
	"path/filepath"

	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"
)

// File is the database's name inside a data directory.
const File = "bedwalk.db"

// ErrFull says that the disk is full: nothing of the transaction was kept, everything before it was.
var ErrFull = errors.New("the server's disk is full; free some space, the phones keep their notes and send again")

// readers is the size of the read pool: enough for a few open screens, each read being a matter of milliseconds.
const readers = 4

// DB is one open database file.
type DB struct {
	path   string
	writer *sql.DB
	reader *sql.DB
}

// Options are what an open depends on. Wrap, when set, stands between the pools and SQLite (see Faults).
type Options struct {
	Path string
	Wrap func(driver.Connector) driver.Connector
}

// Open opens or creates the database at o.Path and brings its tables up to date.
func Open(ctx context.Context, o Options) (*DB, error) {
	d := &DB{path: o.Path}
	var err error
	// busy_timeout stands first: the pragmas after it may themselves have to wait for a lock. The checkpoint size and
	// the cache were measured with the walk's row size; see the bench in package journal.
	if d.writer, err = pool(o, "immediate", "busy_timeout(10000)", "journal_mode(WAL)", "synchronous(FULL)",
		"foreign_keys(ON)", "wal_autocheckpoint(8000)", fmt.Sprintf("journal_size_limit(%d)", LogLimit), "cache_size(-65536)"); err != nil {
		return nil, err
	}
	d.writer.SetMaxOpenConns(1)
	d.writer.SetMaxIdleConns(1)
	if err := migrate(ctx, d.writer); err != nil {
		d.writer.Close()
		return nil, fmt.Errorf("open %s: %w", o.Path, Explain(err))
	}
	if d.reader, err = pool(o, "deferred", "busy_timeout(10000)", "query_only(ON)", "cache_size(-16384)"); err != nil {
		d.writer.Close()
		return nil, err
	}
	d.reader.SetMaxOpenConns(readers)
	d.reader.SetMaxIdleConns(readers)
	return d, nil
}

// OpenAsItIs opens an existing file for reading, with whatever tables it has.
func OpenAsItIs(path string) (*DB, error) {
	if _, err := os.Stat(path); err != nil {
		return nil, fmt.Errorf("open the database: %w", err)
	}
	one, err := pool(Options{Path: path}, "deferred", "busy_timeout(10000)", "query_only(ON)")
	return &DB{path: path, writer: one, reader: one}, err
}

// Head is the position of the last entry in the file.
func (d *DB) Head(ctx context.Context) (head int64, err error) {
	err = d.reader.QueryRowContext(ctx, "select coalesce(max(position), 0) from entries").Scan(&head)
	return head, Explain(err)
}

// Close closes both pools; the last connection writes the log back into the file.
func (d *DB) Close() error { return errors.Join(d.reader.Close(), d.writer.Close()) }

// Path is the database file.
func (d *DB) Path() string { return d.path }

// Dir is the data directory that the file lies in.
func (d *DB) Dir() string { return filepath.Dir(d.path) }

// Write runs f in the one write transaction and commits it; an error from f takes everything back. Ctx bounds the wait
// for the writer only: what has begun is finished, since whoever hung up may have everything in it acknowledged at the
// next try, and an interrupted connection would be thrown away with all that it has compiled.
func (d *DB) Write(ctx context.Context, f func(*sql.Tx) error) error {
	conn, err := d.writer.Conn(ctx)
	if err != nil {
		return Explain(err)
	}
	defer conn.Close()
	tx, err := conn.BeginTx(context.WithoutCancel(ctx), nil)
	if err != nil {
		return Explain(err)
	}
	if err = f(tx); err == nil {
		err = tx.Commit()
	}
	if err != nil {
		return errors.Join(Explain(err), ignoreDone(tx.Rollback()))
	}
	return nil
}

// Read runs f on a snapshot: everything that f reads is of one moment. A read of more than two minutes is ended.
func (d *DB) Read(ctx context.Context, f func(*sql.Tx) error) error {
	ctx, end := context.WithTimeout(ctx, readLimit)
	defer end()
	tx, err := d.reader.BeginTx(ctx, &sql.TxOptions{ReadOnly: true})
	if err != nil {
		return Explain(err)
	}
	err = f(tx)
	return errors.Join(Explain(err), ignoreDone(tx.Rollback()))
}

// Prepare compiles a statement on the writer, to be used inside Write by tx.StmtContext.
func (d *DB) Prepare(ctx context.Context, query string) (*sql.Stmt, error) {
	return d.writer.PrepareContext(ctx, query)
}

// CopyTo writes a whole, compact copy of the database, as of one moment, to a new file at path, while others go on
// reading and writing.
func (d *DB) CopyTo(ctx context.Context, path string) error {
	// VACUUM INTO only reads this database, but query_only forbids it; so it takes a connection of its own.
	one, err := pool(Options{Path: d.path}, "deferred", "busy_timeout(10000)")
	if err != nil {
		return err
	}
	defer one.Close()
	_, err = one.ExecContext(ctx, "VACUUM INTO ?", path)
	return Explain(err)
}

// Intact runs SQLite's own integrity check and returns what it complains of, nothing when all is well.
func (d *DB) Intact(ctx context.Context) ([]string, error) {
	rows, err := d.reader.QueryContext(ctx, "PRAGMA integrity_check")
	if err != nil {
		return nil, Explain(err)
	}
	defer rows.Close()
	var complaints []string
	for rows.Next() {
		var line string
		if err := rows.Scan(&line); err != nil {
			return nil, Explain(err)
		}
		if line != "ok" {
			complaints = append(complaints, line)
		}
	}
	return complaints, Explain(rows.Err())
}

// Explain turns SQLite's errors that a person can do something about into words that say what.
func Explain(err error) error {
	var e *sqlite.Error
	if !errors.As(err, &e) || errors.Is(err, ErrFull) {
		return err
	}
	switch e.Code() & 0xff {
	case sqlite3.SQLITE_FULL:
		return fmt.Errorf("%w (%w)", ErrFull, err)
	case sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB:
		return fmt.Errorf("the database is damaged; stop the server and restore the last backup: %w", err)
	case sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN:
		return fmt.Errorf("the database cannot be written; see that the data directory exists and belongs to this user: %w", err)
	}
	return err
}

func ignoreDone(err error) error {
	if errors.Is(err, sql.ErrTxDone) {
		return nil
	}
	return err
}

func pool(o Options, lock string, pragmas ...string) (*sql.DB, error) {
	q := url.Values{"_txlock": {lock}, "_pragma": pragmas}
	connector, err := sqlite.NewConnector("file:" + (&url.URL{Path: o.Path}).EscapedPath() + "?" + q.Encode())
	if err != nil {
		return nil, fmt.Errorf("open %s: %w", o.Path, err)
	}
	if o.Wrap != nil {
		connector = o.Wrap(connector)
	}
	return sql.OpenDB(connector), nil
}
