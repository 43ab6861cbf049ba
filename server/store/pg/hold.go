package pg

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"
)

// ErrHeld says that servers or another command have the site.
var ErrHeld = errors.New("a Bedwalk server works with this nursery in the database, or bedwalk copy does; stop that first")

// Classes of locks, which set them apart from whatever else is locked in the database; the number of the site goes with each.
const (
	holdClass = 0x62656477
	leadClass = 0x6265646c
	saveClass = 0x62656473
	turnClass = 0x62656474
)

// Task is what one server of a site does at a time: what two would only do twice, or the backups, which is for those that have a place for them.
type Task int

const (
	Upkeep Task = leadClass
	Saving Task = saveClass
)

// lookEvery is how often a lock is looked after, and how soon a cut connection is made again; lookAnyway how often the site's row is read without a nudge, and how long a
// connection is given to answer.
const (
	lookEvery  = 5 * time.Second
	lookAnyway = 15 * time.Second
)

// Hold takes the site until it is closed: together with other servers, or for a command that moves it alone. The lock goes with its connection. Where
// that is cut it is taken again, and where a command was quicker this server takes no more notes.
func (d *DB) Hold(ctx context.Context, alone bool) error {
	ask := "select pg_try_advisory_lock_shared($1, $2)"
	if alone {
		ask = "select pg_try_advisory_lock($1, $2)"
	}
	conn, err := d.lock(ctx, ask, holdClass)
	if err == nil && conn == nil {
		err = fmt.Errorf("site %q: %w", d.name, ErrHeld)
	}
	if err != nil {
		return err
	}
	ctx, end := context.WithCancel(context.WithoutCancel(ctx))
	ended := make(chan struct{})
	d.release = func() {
		end()
		<-ended
	}
	go func() {
		defer close(ended)
		for {
			d.keep(ctx, conn)
			conn.Close(context.WithoutCancel(ctx))
			for conn = nil; conn == nil; {
				if ctx.Err() != nil {
					return
				}
				var err error
				if conn, err = d.lock(ctx, ask, holdClass); err == nil && conn == nil {
					d.lose(fmt.Errorf("%w (%w)", ErrMoved, ErrHeld))
					return
				}
				if conn == nil {
					d.pause(ctx)
				}
			}
		}
	}()
	return nil
}

// Lead runs f, which does a task, on one server of the site at a time, again on another when that one is gone. What f does must not harm where two do it for a moment, as when
// a machine stood still.
func (d *DB) Lead(ctx context.Context, task Task, f func(ctx context.Context)) {
	for ; ctx.Err() == nil; d.pause(ctx) {
		conn, err := d.lock(ctx, "select pg_try_advisory_lock($1, $2)", int(task))
		if err != nil || conn == nil {
			continue
		}
		leading, end := context.WithCancel(ctx)
		ended := make(chan struct{})
		go func() {
			defer close(ended)
			f(leading)
		}()
		d.keep(leading, conn)
		end()
		// What is still done is done before another begins.
		<-ended
		conn.Close(context.WithoutCancel(ctx))
	}
}

// lock takes a lock on a connection of its own, nil where another has it.
func (d *DB) lock(ctx context.Context, ask string, class int) (*pgx.Conn, error) {
	conn, err := pgx.ConnectConfig(ctx, d.writer.Config().ConnConfig)
	if err != nil {
		return nil, Explain(err)
	}
	var held bool
	if err = conn.QueryRow(ctx, ask, class, d.site).Scan(&held); err != nil || !held {
		return nil, errors.Join(Explain(err), conn.Close(context.WithoutCancel(ctx)))
	}
	return conn, nil
}

// keep returns when a connection was cut, or nothing came back on it for long, and at the end of ctx.
func (d *DB) keep(ctx context.Context, conn *pgx.Conn) {
	for ctx.Err() == nil {
		d.pause(ctx)
		asked, end := context.WithTimeout(ctx, d.anyway)
		err := conn.Ping(asked)
		end()
		if err != nil {
			return
		}
	}
}

func (d *DB) pause(ctx context.Context) {
	select {
	case <-ctx.Done():
	case <-time.After(d.every):
	}
}

// Moved says where the site is now, "" while it is here.
func (d *DB) Moved() string { return d.moved }

// Counts are what a site counts: Turn is another once somebody has written to its journal, Gate once somebody was let in or shut out.
type Counts struct{ Turn, Gate int64 }

// Counts reads them, and sees that the site is still the one that was opened.
func (d *DB) Counts(ctx context.Context) (c Counts, err error) {
	if err := d.Present(); err != nil {
		return c, err
	}
	var moved string
	err = d.reader.QueryRow(ctx, "select turn, gate, moved from sites where site = $1", d.site).Scan(&c.Turn, &c.Gate, &moved)
	if err == nil && moved != d.moved {
		return c, d.lose(fmt.Errorf("%w (%s)", ErrMoved, moved))
	}
	return c, Explain(err)
}

// ErrChanged says that somebody wrote to a site while it was copied.
var ErrChanged = errors.New("somebody wrote to the nursery while it was copied, and nothing was changed; run it again")

// Move writes down where the site is from now on, "" for here. The error is ErrChanged where the site's counts are not those any more.
func (d *DB) Move(ctx context.Context, to string, as Counts) error {
	err := d.write(ctx, func(t *tx) error {
		var now Counts
		if _, err := t.one("select turn, gate from sites where site = $1", []any{d.site}, &now.Turn, &now.Gate); err != nil {
			return err
		}
		if now != as {
			return ErrChanged
		}
		return t.queue("update sites set moved = $1 where site = $2", to, d.site)
	})
	if err == nil {
		d.moved = to
	}
	return err
}
