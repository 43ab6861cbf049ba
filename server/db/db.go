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
	"io"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"sync/atomic"

	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"

	"bedwalk/schema"
)

// File is the database's name inside a data directory.
const File = "bedwalk.db"

// ErrFull says that the disk is full: nothing of the transaction was kept, everything before it was.
var ErrFull = schema.NewProblem(http.StatusInsufficientStorage, "server_full", "The server's disk is full.",
	"Free some space, the phones keep their notes and send again.")

// readers is the size of the read pool: enough for a few open screens, each read being a matter of milliseconds.
const readers = 4

// DB is one open database file.
type DB struct {
	path   string
	writer *sql.DB
	reader *sql.DB
	// anchor is never used and never closed, so that SQLite never takes its log away and makes another.
	anchor *sql.Conn
	files  []pinned
	lost   atomic.Pointer[error]
	gone   chan struct{}
	// watched is the writer's connection whose changes are sealed, sealed the tables of which; see seal.go.
	watched any
	sealed  []sealed
	// asOf is a file that is read as one that nobody writes, copied the folder of a copy that is read in its place; see
	// OpenUntouched.
	asOf   os.FileInfo
	copied string
}

// Options are what an open depends on. Wrap, when set, stands between the pools and SQLite (see Faults). Hold, when set,
// is the lock on the folder, and Beside opens a database that another program holds: one that is there, as it is.
type Options struct {
	Path   string
	Hold   *Hold
	Beside bool
	Wrap   func(driver.Connector) driver.Connector
	// immutable tells SQLite that nobody writes the file, so that it needs neither locks nor a log.
	immutable bool
}

// Open opens or creates the database at o.Path and brings its tables up to date.
func Open(ctx context.Context, o Options) (d *DB, err error) {
	if info, err := os.Lstat(o.Path); err == nil && info.Mode()&os.ModeSymlink != 0 {
		return nil, fmt.Errorf("%s is a link to another file, and what lies beside it (its log, the lock, the head) would not go with it; name the folder of that file with --data", o.Path)
	}
	d = &DB{path: o.Path, gone: make(chan struct{})}
	defer func() {
		if err != nil {
			err = errors.Join(err, d.Close())
			d = nil
		}
	}()
	// busy_timeout stands first: the pragmas after it may themselves have to wait for a lock. The checkpoint size and
	// the cache were measured with the walk's row size; see the bench in package journal.
	mode := "rwc"
	if o.Beside {
		mode = "rw"
	}
	if d.writer, err = pool(o, mode, "immediate", "busy_timeout(10000)", "journal_mode(WAL)", "synchronous(FULL)",
		"foreign_keys(ON)", "wal_autocheckpoint(8000)", fmt.Sprintf("journal_size_limit(%d)", LogLimit), "cache_size(-65536)"); err != nil {
		return d, err
	}
	d.writer.SetMaxOpenConns(1)
	d.writer.SetMaxIdleConns(1)
	if err := migrate(ctx, d.writer, !o.Beside); err != nil {
		return d, fmt.Errorf("open %s: %w", o.Path, Explain(err))
	}
	// Never with leave to create: a file that is gone must not come back empty. A quarter of the cache made no view of 900,000 notes slower and the
	// process 110 MB smaller.
	if d.reader, err = pool(o, "rw", "deferred", "busy_timeout(10000)", "query_only(ON)", "cache_size(-4096)"); err != nil {
		return d, err
	}
	d.reader.SetMaxOpenConns(readers + 1)
	d.reader.SetMaxIdleConns(readers + 1)
	if d.anchor, err = d.reader.Conn(ctx); err != nil {
		return d, Explain(err)
	}
	var tables int
	if err := d.anchor.QueryRowContext(ctx, "select count(*) from sqlite_schema").Scan(&tables); err != nil {
		return d, Explain(err)
	}
	return d, d.pinFiles(o.Hold)
}

// OpenAsItIs opens an existing file for reading, with whatever tables it has. Nothing in the file is changed by it.
func OpenAsItIs(path string) (*DB, error) {
	if _, err := os.Stat(path); err != nil {
		return nil, fmt.Errorf("open the database: %w", err)
	}
	one, err := pool(Options{Path: path}, "ro", "deferred", "busy_timeout(10000)", "query_only(ON)")
	return &DB{path: path, writer: one, reader: one, gone: make(chan struct{})}, err
}

// OpenUntouched is OpenAsItIs that leaves no file beside the database and changes none. SQLite makes a log and its index
// for a reader where there are none, and a reader that may not write leaves them behind. So a file without a log is read
// as one that nobody writes (see Overtaken), and one with a log that nobody uses, as of a copied folder, is read as a copy.
func OpenUntouched(path string) (*DB, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, fmt.Errorf("open the database: %w", err)
	}
	if !isThere(path + "-wal") {
		one, err := pool(Options{Path: path, immutable: true}, "ro", "deferred", "query_only(ON)")
		return &DB{path: path, writer: one, reader: one, gone: make(chan struct{}), asOf: info}, err
	}
	if isThere(path + "-shm") {
		return OpenAsItIs(path)
	}
	folder, err := os.MkdirTemp("", "bedwalk-verify-")
	if err != nil {
		return nil, err
	}
	copied := filepath.Join(folder, File)
	for _, end := range []string{"", "-wal"} {
		if err := copyTo(copied+end, path+end); err != nil {
			return nil, errors.Join(fmt.Errorf("copy the database to read it: %w", err), os.RemoveAll(folder))
		}
	}
	one, err := pool(Options{Path: copied}, "ro", "deferred", "query_only(ON)")
	return &DB{path: path, writer: one, reader: one, gone: make(chan struct{}), copied: folder}, err
}

// Overtaken is true when a file that was opened as one that nobody writes was written meanwhile, as by a server that was
// started: what was read may then be of two states. Opened again it is read beside that server.
func (d *DB) Overtaken() bool {
	if d.asOf == nil {
		return false
	}
	now, err := os.Stat(d.path)
	return err != nil || isThere(d.path+"-wal") || now.Size() != d.asOf.Size() || !now.ModTime().Equal(d.asOf.ModTime())
}

func isThere(path string) bool {
	_, err := os.Stat(path)
	return err == nil
}

func copyTo(to, from string) error {
	source, err := os.Open(from)
	if err != nil {
		return err
	}
	defer source.Close()
	target, err := os.OpenFile(to, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return err
	}
	_, err = io.Copy(target, source)
	return errors.Join(err, target.Close())
}

// Head is the position of the last entry in the file.
func (d *DB) Head(ctx context.Context) (head int64, err error) {
	err = d.reader.QueryRowContext(ctx, "select coalesce(max(position), 0) from entries").Scan(&head)
	return head, Explain(err)
}

// Close closes both pools; the last connection writes the log back into the file. Where the files were replaced nothing is
// closed: SQLite would delete the log by its name, which may be the log of the file that stands there now.
func (d *DB) Close() (err error) {
	if d.Present() != nil {
		return nil
	}
	if d.anchor != nil {
		err = d.anchor.Close()
	}
	for _, pool := range []*sql.DB{d.reader, d.writer} {
		if pool != nil {
			err = errors.Join(err, pool.Close())
		}
	}
	if d.copied != "" {
		err = errors.Join(err, os.RemoveAll(d.copied))
	}
	return err
}

// Path is the database file.
func (d *DB) Path() string { return d.path }

// Dir is the data directory that the file lies in.
func (d *DB) Dir() string { return filepath.Dir(d.path) }

// Write runs f in the one write transaction and commits it; an error from f takes everything back. It is ErrGone where
// the files were moved or replaced by then, even when the commit itself went well: nobody will find it. Ctx bounds the wait
// for the writer only: what has begun is finished, since whoever hung up may have everything in it acknowledged at the
// next try, and an interrupted connection would be thrown away with all that it has compiled.
func (d *DB) Write(ctx context.Context, f func(*sql.Tx) error) error {
	if err := d.Present(); err != nil {
		return err
	}
	conn, err := d.writer.Conn(ctx)
	if err != nil {
		return Explain(err)
	}
	defer conn.Close()
	ctx = context.WithoutCancel(ctx)
	if err := d.watch(ctx, conn); err != nil {
		return Explain(err)
	}
	tx, err := conn.BeginTx(ctx, nil)
	if err != nil {
		return Explain(err)
	}
	if err = f(tx); err == nil {
		err = d.sealTouched(ctx, tx)
	}
	if err == nil {
		err = tx.Commit()
	}
	if err != nil {
		return errors.Join(Explain(err), ignoreDone(tx.Rollback()))
	}
	return d.Present()
}

// Read runs f on a snapshot: everything that f reads is of one moment. A read of more than two minutes
// is ended, but for a file that was opened as it is.
func (d *DB) Read(ctx context.Context, f func(*sql.Tx) error) error {
	if err := d.Present(); err != nil {
		return err
	}
	if d.writer != d.reader {
		var end func()
		ctx, end = context.WithTimeout(ctx, readLimit)
		defer end()
	}
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
	if err := d.Present(); err != nil {
		return err
	}
	one, err := pool(Options{Path: d.path}, "rw", "deferred", "busy_timeout(10000)")
	if err != nil {
		return err
	}
	defer one.Close()
	if _, err = one.ExecContext(ctx, "VACUUM INTO ?", path); err != nil {
		return Explain(err)
	}
	return d.Present()
}

// Rescue writes what the open connection still sees to a new file at path: everything that was ever committed, where the
// files themselves were deleted or others put in their place.
func (d *DB) Rescue(ctx context.Context, path string) error {
	_, err := d.writer.ExecContext(ctx, "VACUUM INTO ?", path)
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

func pool(o Options, mode, lock string, pragmas ...string) (*sql.DB, error) {
	q := url.Values{"mode": {mode}, "_txlock": {lock}, "_pragma": pragmas}
	if o.immutable {
		q.Set("immutable", "1")
	}
	connector, err := sqlite.NewConnector("file:" + (&url.URL{Path: o.Path}).EscapedPath() + "?" + q.Encode())
	if err != nil {
		return nil, fmt.Errorf("open %s: %w", o.Path, err)
	}
	connector = keeping{connector}
	if o.Wrap != nil {
		connector = o.Wrap(connector)
	}
	return sql.OpenDB(connector), nil
}
