package pg

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgxpool"
)

// errPooled says that connections are not a server's own.
var errPooled = errors.New("a pooler stands between that lends connections for a transaction at a time: locks and nudges would be lost. " +
	"Name PostgreSQL itself in --store, or have the pooler lend them for a session")

// sessionMark is a setting of a session that says nothing. It goes by the simple protocol, since what is prepared is a session's too.
const sessionMark = "bedwalk.mark"

// direct refuses a pooler of transactions: one connection sees what another has set for its own session, or misses what it has set itself. PostgreSQL
// does neither; a pooler with many idle connections may do neither once.
func direct(ctx context.Context, to *pgxpool.Pool) error {
	other, err := pgx.ConnectConfig(ctx, to.Config().ConnConfig)
	if err != nil {
		return err
	}
	defer other.Close(context.WithoutCancel(ctx))
	return to.AcquireFunc(ctx, func(conn *pgxpool.Conn) error {
		set := rand.Text()
		if _, err := conn.Exec(ctx, fmt.Sprintf("select set_config('%s', '%s', false)", sessionMark, set), pgx.QueryExecModeSimpleProtocol); err != nil {
			return err
		}
		for _, one := range []struct {
			conn *pgx.Conn
			want bool
		}{{other, false}, {conn.Conn(), true}} {
			var seen string
			if err := one.conn.QueryRow(ctx, "select coalesce(current_setting('"+sessionMark+"', true), '')", pgx.QueryExecModeSimpleProtocol).Scan(&seen); err != nil {
				return err
			}
			if (seen == set) != one.want {
				return errPooled
			}
		}
		return nil
	})
}
