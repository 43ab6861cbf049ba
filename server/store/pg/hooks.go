package pg

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"strings"

	"github.com/jackc/pgx/v5/stdlib"

	"bedwalk/server/hooks"
)

// Hooks keeps webhooks in the database. They write their own rows only, and number nothing: nobody has to be alone on the site for it.
func Hooks(d *DB) hooks.DB { return hookRows{d} }

type hookRows struct{ *DB }

// Write is hooks.DB's.
func (h hookRows) Write(ctx context.Context, f func(hooks.Tx) error) error {
	return h.run(ctx, nil, f)
}

// Read is hooks.DB's.
func (h hookRows) Read(ctx context.Context, f func(hooks.Tx) error) error {
	return h.run(ctx, &sql.TxOptions{Isolation: sql.LevelRepeatableRead, ReadOnly: true}, f)
}

func (h hookRows) run(ctx context.Context, how *sql.TxOptions, f func(hooks.Tx) error) (err error) {
	if err := h.Present(); err != nil {
		return err
	}
	// As many as there are in the pool, none of its own.
	plain := stdlib.OpenDBFromPool(h.reader)
	defer func() { err = errors.Join(err, plain.Close()) }()
	t, err := plain.BeginTx(ctx, how)
	if err != nil {
		return Explain(err)
	}
	if _, err = t.Exec(fmt.Sprintf("set local bedwalk.site = '%d'", h.site)); err == nil {
		err = f(hookTx{t})
	}
	if err == nil {
		err = t.Commit()
	}
	if err != nil {
		if undone := t.Rollback(); !errors.Is(undone, sql.ErrTxDone) {
			err = errors.Join(err, undone)
		}
	}
	return Explain(err)
}

// hookTx numbers the parameters of a statement as PostgreSQL has them, and spells texts so that it takes them.
type hookTx struct{ tx *sql.Tx }

// Exec is hooks.Tx's.
func (h hookTx) Exec(query string, args ...any) (sql.Result, error) {
	return h.tx.Exec(numbered(query), spelling(args)...)
}

// Query is hooks.Tx's.
func (h hookTx) Query(query string, args ...any) (hooks.Rows, error) {
	rows, err := h.tx.Query(numbered(query), spelling(args)...)
	return speltHookRows{rows}, err
}

// QueryRow is hooks.Tx's.
func (h hookTx) QueryRow(query string, args ...any) hooks.Row {
	return speltHookRow{h.tx.QueryRow(numbered(query), spelling(args)...)}
}

type (
	speltHookRows struct{ *sql.Rows }
	speltHookRow  struct{ *sql.Row }
)

// Scan is hooks.Rows'.
func (r speltHookRows) Scan(into ...any) error { return unspelling(r.Rows.Scan(into...), into) }

// Scan is hooks.Row's.
func (r speltHookRow) Scan(into ...any) error { return unspelling(r.Row.Scan(into...), into) }

// numbered has $1 for the first "?", and $1 for "?1".
func numbered(query string) string {
	var out strings.Builder
	n := 0
	for at := 0; at < len(query); at++ {
		switch {
		case query[at] != '?':
			out.WriteByte(query[at])
		case at+1 < len(query) && query[at+1] >= '1' && query[at+1] <= '9':
			out.WriteByte('$')
		default:
			n++
			fmt.Fprintf(&out, "$%d", n)
		}
	}
	return out.String()
}
