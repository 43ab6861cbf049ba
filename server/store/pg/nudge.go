package pg

import (
	"context"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"
)

// A nudge says that a site has changed. It is a hint: it may be lost with a connection, and whoever hears it reads the site's row.

// gathered is how long changes are gathered into one nudge.
const gathered = 10 * time.Millisecond

func (d *DB) channel() string { return fmt.Sprintf("bedwalk_%d", d.site) }

// Nudge tells the other servers of the site that it has changed. It returns at once.
func (d *DB) Nudge() {
	select {
	case d.changed <- struct{}{}:
	default:
	}
}

// SendNudges sends what Nudge was called for until ctx ends: never in a write, since a transaction with a notification holds a lock of the whole cluster
// until it is on the disk.
func (d *DB) SendNudges(ctx context.Context) {
	for {
		select {
		case <-ctx.Done():
			return
		case <-d.changed:
		}
		select {
		case <-ctx.Done():
			return
		case <-time.After(gathered):
		}
		// One that was not sent is made up for by whoever looks anyway.
		_, _ = d.reader.Exec(ctx, "begin; set local synchronous_commit = off; notify "+d.channel()+"; commit")
	}
}

// Listen calls heard for each nudge of any server of the site, and once in a while without one, until ctx ends.
func (d *DB) Listen(ctx context.Context, heard func()) {
	for ; ctx.Err() == nil; d.pause(ctx) {
		d.listen(ctx, heard)
	}
}

func (d *DB) listen(ctx context.Context, heard func()) {
	conn, err := pgx.ConnectConfig(ctx, d.writer.Config().ConnConfig)
	if err != nil {
		return
	}
	defer conn.Close(context.WithoutCancel(ctx))
	if _, err := conn.Exec(ctx, "listen "+d.channel()); err != nil {
		return
	}
	for ctx.Err() == nil {
		// What came while nobody listened is heard now.
		heard()
		waiting, end := context.WithTimeout(ctx, d.anyway)
		_, err := conn.WaitForNotification(waiting)
		late := waiting.Err() != nil
		end()
		if err != nil && !late {
			return
		}
	}
}
