package hooks

import (
	"context"
	"database/sql"

	"bedwalk/server/db"
)

// DB is where hooks keep their rows: few and small, so that one set of statements serves a file and a database alike. Parameters are "?" in them.
type DB interface {
	// Write runs f in a transaction: all that f does is kept when Write returns nil, and none of it after an error of f. Read runs f on one moment.
	Write(ctx context.Context, f func(Tx) error) error
	Read(ctx context.Context, f func(Tx) error) error
}

// Tx is a transaction.
type Tx interface {
	Exec(query string, args ...any) (sql.Result, error)
	Query(query string, args ...any) (*sql.Rows, error)
	QueryRow(query string, args ...any) *sql.Row
}

// InFile keeps hooks in the nursery's file.
func InFile(d *db.DB) DB { return file{d} }

type file struct{ db *db.DB }

// Write is DB's.
func (f file) Write(ctx context.Context, do func(Tx) error) error {
	return f.db.Write(ctx, func(tx *sql.Tx) error { return do(tx) })
}

// Read is DB's.
func (f file) Read(ctx context.Context, do func(Tx) error) error {
	return f.db.Read(ctx, func(tx *sql.Tx) error { return do(tx) })
}
