package simrun

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"sync"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"

	"bedwalk/server/store/pg"
	"bedwalk/server/testpg"
	"bedwalk/sync/sim"
)

// database is one of the process's own PostgreSQL, as its operator has it, with copies of it as a base backup or a standby would have them.
type database struct {
	name, url string
	// operator is a connection to another database, conn one to this.
	operator, conn *pgx.Conn
	copies         []map[string][]byte
}

// empty is a database with the tables and a nursery without a note, from which others are made.
var empty = sync.OnceValues(func() (name string, err error) {
	url, err := testpg.Start()
	if err != nil {
		return "", err
	}
	ctx, name := context.Background(), testpg.Name()
	operator, err := pgx.Connect(ctx, testpg.Operator(url))
	if err != nil {
		return "", err
	}
	defer operator.Close(ctx)
	if err := testpg.Make(ctx, operator, name, ""); err != nil {
		return "", err
	}
	doors, err := pg.OpenDoors(ctx, pg.Options{URL: testpg.Named(url, name)})
	if err != nil {
		return "", err
	}
	doors.Close()
	return name, nil
})

// newDatabase makes one.
func newDatabase(ctx context.Context) (d *database, err error) {
	from, err := empty()
	if err != nil {
		return nil, err
	}
	url, err := testpg.Start()
	if err != nil {
		return nil, err
	}
	d = &database{name: testpg.Name()}
	d.url = testpg.Named(url, d.name)
	if d.operator, err = pgx.Connect(ctx, testpg.Operator(url)); err != nil {
		return nil, err
	}
	if err = d.make(ctx, d.name, from); err == nil {
		d.conn, err = pgx.Connect(ctx, testpg.Operator(d.url))
	}
	if err != nil {
		return nil, errors.Join(err, d.operator.Close(ctx))
	}
	return d, nil
}

// copied adds a copy of the present moment, and returns its number, from 1.
func (d *database) copied(ctx context.Context) (int, error) {
	t, err := d.conn.BeginTx(ctx, pgx.TxOptions{IsoLevel: pgx.RepeatableRead, AccessMode: pgx.ReadOnly})
	if err != nil {
		return 0, err
	}
	defer t.Rollback(ctx)
	names, err := tablesOf(ctx, t)
	if err != nil {
		return 0, err
	}
	all := map[string][]byte{}
	for _, name := range names {
		var rows bytes.Buffer
		if _, err := d.conn.PgConn().CopyTo(ctx, &rows, "copy bedwalk."+name+" to stdout (format binary)"); err != nil {
			return 0, err
		}
		all[name] = rows.Bytes()
	}
	d.copies = append(d.copies, all)
	return len(d.copies), nil
}

func tablesOf(ctx context.Context, t pgx.Tx) ([]string, error) {
	rows, err := t.Query(ctx, "select relname::text from pg_class where relnamespace = 'bedwalk'::regnamespace and relkind = 'r' and relname <> 'goose_db_version'")
	if err != nil {
		return nil, err
	}
	return pgx.CollectRows(rows, pgx.RowTo[string])
}

// replace puts a copy in the database's place, as a database of its own: whoever is connected is cut off, and whoever comes again finds another line of history.
func (d *database) replace(ctx context.Context, number int) error {
	from, err := empty()
	if err != nil {
		return err
	}
	fresh := testpg.Name()
	if err := d.make(ctx, fresh, from); err != nil {
		return err
	}
	filled, err := pgx.Connect(ctx, testpg.Operator(testpg.Named(d.url, fresh)))
	if err != nil {
		return err
	}
	err = fill(ctx, filled, d.copies[number-1])
	if err := errors.Join(err, filled.Close(ctx), d.conn.Close(ctx)); err != nil {
		return err
	}
	for _, do := range []string{"drop database " + d.name + " with (force)", "alter database " + fresh + " rename to " + d.name} {
		if err := d.does(ctx, do); err != nil {
			return err
		}
	}
	d.conn, err = pgx.Connect(ctx, testpg.Operator(d.url))
	return err
}

// make makes a database of another.
func (d *database) make(ctx context.Context, name, from string) error {
	return again(func() error { return testpg.Make(ctx, d.operator, name, from) })
}

func (d *database) does(ctx context.Context, statement string) error {
	return again(func() error {
		_, err := d.operator.Exec(ctx, statement)
		return err
	})
}

// again does what somebody who is connected keeps from being done, until that is over: a connection that was closed ends a moment later.
func again(do func() error) error {
	const inUse = "55006"
	for {
		err := do()
		if refused := (*pgconn.PgError)(nil); !errors.As(err, &refused) || refused.Code != inUse {
			return err
		}
		time.Sleep(time.Millisecond)
	}
}

// fill puts the rows of a copy into a database without any, as a base backup has them: no trigger runs.
func fill(ctx context.Context, conn *pgx.Conn, rows map[string][]byte) error {
	if _, err := conn.Exec(ctx, "set session_replication_role = replica; delete from bedwalk.sites"); err != nil {
		return err
	}
	for name, all := range rows {
		if _, err := conn.PgConn().CopyFrom(ctx, bytes.NewReader(all), "copy bedwalk."+name+" from stdin (format binary)"); err != nil {
			return fmt.Errorf("table %s: %w", name, err)
		}
	}
	return nil
}

// giveUp ends the transactions in which nobody does anything, as the database does after a while.
func (d *database) giveUp(ctx context.Context) error {
	_, err := d.operator.Exec(ctx, "select pg_terminate_backend(pid, 60000) from pg_stat_activity where datname = $1 and state = 'idle in transaction'", d.name)
	return err
}

// waits is true while a transaction waits for another's lock.
func (d *database) waits(ctx context.Context) (is bool, err error) {
	err = d.operator.QueryRow(ctx, "select exists (select from pg_stat_activity where datname = $1 and wait_event_type = 'Lock')", d.name).Scan(&is)
	return is, err
}

// where is the epoch that the database is in, and the position of its last note.
func (d *database) where(ctx context.Context) (epoch string, head int64, err error) {
	err = d.conn.QueryRow(ctx, `select coalesce((select epoch from bedwalk.epochs order by n desc limit 1), ''), coalesce(max(position), 0) from bedwalk.notes`).Scan(&epoch, &head)
	return epoch, head, err
}

// kept are the rows of a query of what the server holds.
func (d *database) kept(ctx context.Context, query string) ([]sim.Kept, error) {
	rows, err := d.conn.Query(ctx, query)
	if err != nil {
		return nil, err
	}
	return pgx.CollectRows(rows, func(row pgx.CollectableRow) (k sim.Kept, err error) {
		st := &k.Stamp
		err = row.Scan(&k.Number, &k.State, &k.Why, &k.Device, &k.Inc, &k.Seq, &st.At, &st.Quality, &st.From, &st.To, &k.Position, &k.Received, &k.Raw)
		return k, err
	})
}

// close drops it.
func (d *database) close(ctx context.Context) error {
	return errors.Join(d.conn.Close(ctx), d.does(ctx, "drop database "+d.name+" with (force)"), d.operator.Close(ctx))
}
