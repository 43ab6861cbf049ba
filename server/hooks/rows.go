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
	Query(query string, args ...any) (Rows, error)
	QueryRow(query string, args ...any) Row
}

// Rows and Row are what database/sql has by these names, as far as it is used: texts may be kept otherwise than they are read.
type (
	Rows interface {
		Row
		Next() bool
		Err() error
		Close() error
	}
	Row interface{ Scan(into ...any) error }
)

// InFile keeps hooks in the nursery's file.
func InFile(d *db.DB) DB { return file{d} }

type file struct{ db *db.DB }

// Write is DB's.
func (f file) Write(ctx context.Context, do func(Tx) error) error {
	return f.db.Write(ctx, func(tx *sql.Tx) error { return do(fileTx{tx}) })
}

// Read is DB's.
func (f file) Read(ctx context.Context, do func(Tx) error) error {
	return f.db.Read(ctx, func(tx *sql.Tx) error { return do(fileTx{tx}) })
}

type fileTx struct{ *sql.Tx }

// Query is Tx's.
func (t fileTx) Query(query string, args ...any) (Rows, error) { return t.Tx.Query(query, args...) }

// QueryRow is Tx's.
func (t fileTx) QueryRow(query string, args ...any) Row { return t.Tx.QueryRow(query, args...) }

// stateOf is what was known when it was looked last.
func stateOf(tx Tx) (map[string]string, error) {
	rows, err := tx.Query("select name, value from hook_state")
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	all := map[string]string{}
	for rows.Next() {
		var name, value string
		if err := rows.Scan(&name, &value); err != nil {
			return nil, err
		}
		all[name] = value
	}
	return all, rows.Err()
}
