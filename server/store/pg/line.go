package pg

import (
	"context"
	"fmt"

	"github.com/jackc/pgx/v5"
)

// lineNow is the line of history that PostgreSQL is on: the cluster, its timeline, and which database and table these are. A standby that takes over has
// another timeline, which the name of the present log file says at once and the control file only later; a copy that was put back is another cluster,
// database or table. What it cannot tell is a disk that was put back as it was, which phones find out.
const lineNow = `select concat_ws(' ', (pg_control_system()).system_identifier, left(pg_walfile_name(pg_current_wal_lsn()), 8),
	(select oid from pg_database where datname = current_database()), '` + schemaName + `.sites'::regclass::oid)`

// onLine looks at each new connection, since a server that fails over cuts them all: rows of another line may lack what was written last.
func (d *DB) onLine(ctx context.Context, conn *pgx.Conn) error {
	opened := d.line.Load()
	if opened == nil {
		return nil
	}
	var now string
	if err := conn.QueryRow(ctx, lineNow).Scan(&now); err != nil {
		return err
	}
	if now != *opened {
		return d.lose(fmt.Errorf("%w (it was on the line %s, and is on %s)", ErrSetBack, *opened, now))
	}
	return nil
}

// Replaced is true where the site was last served on another line of history: it may lack notes that phones were told are safe, and an epoch has to begin.
func (d *DB) Replaced() bool { return d.replaced }

// Served writes down that the site is served on its present line, with an epoch that began there if it was replaced.
func (d *DB) Served(ctx context.Context) error {
	_, err := d.writer.Exec(ctx, "update sites set line = $1 where site = $2", *d.line.Load(), d.site)
	return Explain(err)
}

// Followers is how many follow the database, standbys and base backups that are made, and whether a commit waits until one has it.
func (d *DB) Followers(ctx context.Context) (many int, waited bool, err error) {
	err = d.reader.QueryRow(ctx, "select count(*), current_setting('synchronous_standby_names') <> '' from pg_stat_replication").Scan(&many, &waited)
	return many, waited, Explain(err)
}
