package pg

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"
)

// ErrHeld says that another server has the site.
var ErrHeld = errors.New("another Bedwalk serves this nursery from the database; stop that first")

// holdClass sets the locks on sites apart from whatever else is locked in the database.
const holdClass = 0x62656477

// holdEvery is how often the lock is looked after.
const holdEvery = 5 * time.Second

// Hold takes the site for this process alone until it is closed: a server remembers which devices there are and where the journal ends. Others may
// read, and what commands like "pair" write is heeded. The lock goes with its connection. Where that is cut it is taken again, and where another server
// was quicker this one takes no more notes.
func (d *DB) Hold(ctx context.Context) error {
	conn, err := d.hold(ctx)
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
		d.keepHold(ctx, conn)
	}()
	return nil
}

func (d *DB) keepHold(ctx context.Context, conn *pgx.Conn) {
	tick := time.NewTicker(holdEvery)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			if conn != nil {
				conn.Close(context.WithoutCancel(ctx))
			}
			return
		case <-tick.C:
		}
		if conn != nil && answers(ctx, conn) {
			continue
		}
		var err error
		if conn, err = d.hold(ctx); errors.Is(err, ErrHeld) {
			d.lose(fmt.Errorf("%w (%w)", ErrMoved, err))
		}
	}
}

// answers is false for a connection that was cut, or on which nothing comes back.
func answers(ctx context.Context, conn *pgx.Conn) bool {
	ctx, end := context.WithTimeout(ctx, holdEvery)
	defer end()
	return conn.Ping(ctx) == nil
}

func (d *DB) hold(ctx context.Context) (*pgx.Conn, error) {
	conn, err := pgx.ConnectConfig(ctx, d.writer.Config().ConnConfig)
	if err != nil {
		return nil, Explain(err)
	}
	if err = d.lock(ctx, conn); err != nil {
		return nil, errors.Join(Explain(err), conn.Close(context.WithoutCancel(ctx)))
	}
	return conn, nil
}

// session is a connection as the database knows it: numbers come back, but not with the same beginning.
type session struct {
	pid   int32
	began time.Time
}

// errStillOurs says that an earlier session of this process has the lock still. It was told to end.
var errStillOurs = errors.New("the database has not let go of this server's own lock yet")

func (d *DB) lock(ctx context.Context, conn *pgx.Conn) error {
	var held bool
	var now session
	if err := conn.QueryRow(ctx, "select pg_try_advisory_lock($1, $2), pid, backend_start from pg_stat_activity where pid = pg_backend_pid()", holdClass, d.site).
		Scan(&held, &now.pid, &now.began); err != nil {
		return err
	}
	if held {
		d.holder = now
		return nil
	}
	var ours bool
	if err := conn.QueryRow(ctx, fmt.Sprintf(`select coalesce(bool_or(pg_terminate_backend(a.pid)), false) from pg_locks l join pg_stat_activity a on a.pid = l.pid
		where l.locktype = 'advisory' and l.classid = %d and l.objid = %d and l.granted and a.datname = current_database() and a.pid = $1 and a.backend_start = $2`,
		holdClass, d.site), d.holder.pid, d.holder.began).Scan(&ours); err != nil {
		return err
	}
	if ours {
		return fmt.Errorf("site %q: %w", d.name, errStillOurs)
	}
	return fmt.Errorf("site %q: %w", d.name, ErrHeld)
}

// Moved says where the site is now, "" while it is here.
func (d *DB) Moved() string { return d.moved }

// Counts are what a site counts: they are others once somebody has written to it.
type Counts struct{ turn, gate int64 }

// Counts reads them.
func (d *DB) Counts(ctx context.Context) (c Counts, err error) {
	err = d.read(ctx, func(s snap) error {
		_, err := s.one(counts, []any{d.site}, &c.turn, &c.gate)
		return err
	})
	return c, err
}

const counts = "select turn, gate from sites where site = $1"

// ErrChanged says that somebody wrote to a site while it was copied.
var ErrChanged = errors.New("somebody wrote to the nursery while it was copied, and nothing was changed; run it again")

// Move writes down where the site is from now on, "" for here. The error is ErrChanged where the site's counts are not those any more.
func (d *DB) Move(ctx context.Context, to string, as Counts) error {
	err := d.write(ctx, func(t *tx) error {
		var now Counts
		if _, err := t.one(counts, []any{d.site}, &now.turn, &now.gate); err != nil {
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
