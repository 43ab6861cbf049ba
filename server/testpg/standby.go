package testpg

import (
	"context"
	"fmt"
	"os"
	"path/filepath"

	"github.com/jackc/pgx/v5"
)

// Pair is a PostgreSQL and a standby that follows it, each in a folder of its own.
type Pair struct {
	// URL names both, for who wants the one that takes writes.
	URL string
	// Primary and Standby are connections of their operators.
	Primary, Standby *pgx.Conn
	primary          place
	ended            <-chan string
}

// StartPair starts both. The error is ErrMissing where PostgreSQL is not installed.
func StartPair(ctx context.Context) (pair *Pair, err error) {
	pair = &Pair{}
	if pair.primary, err = placeIn(inMemory()); err != nil {
		return nil, err
	}
	one := pair.primary
	if _, pair.ended, err = one.begin(); err != nil {
		return nil, err
	}
	if pair.Primary, err = one.operate(ctx, pair.ended); err != nil {
		return nil, err
	}
	other, err := placeIn(inMemory())
	if err != nil {
		return nil, err
	}
	// It writes down whom it follows, and that it is a standby.
	if err := other.run("pg_basebackup", "--pgdata="+other.data(), "--host="+one.folder, "--username=postgres", "--write-recovery-conf", "--checkpoint=fast", "--no-sync"); err != nil {
		return nil, err
	}
	if _, err := os.Stat(filepath.Join(other.data(), "standby.signal")); err != nil {
		return nil, err
	}
	ended, err := other.serve()
	if err != nil {
		return nil, err
	}
	pair.Standby, err = other.operate(ctx, ended)
	pair.URL = fmt.Sprintf("postgres:///%s?host=%s,%s&user=%s&target_session_attrs=read-write", role, one.folder, other.folder, role)
	return pair, err
}

// Wait has the primary answer a commit only once the standby has it on its disk.
func (p *Pair) Wait(ctx context.Context) error {
	if err := reset(ctx, p.Primary, "synchronous_standby_names", "*"); err != nil {
		return err
	}
	return until(ctx, p.Primary, "select exists (select from pg_stat_replication where sync_state = 'sync') and current_setting('synchronous_standby_names') = '*'")
}

// Part has the primary answer commits by itself, and the standby hear of nothing more.
func (p *Pair) Part(ctx context.Context) error {
	if err := reset(ctx, p.Primary, "synchronous_standby_names", ""); err != nil {
		return err
	}
	if err := reset(ctx, p.Standby, "primary_conninfo", ""); err != nil {
		return err
	}
	return until(ctx, p.Primary, "select not exists (select from pg_stat_replication) and current_setting('synchronous_standby_names') = ''")
}

// FailOver kills the primary and promotes the standby.
func (p *Pair) FailOver(ctx context.Context) error {
	if err := p.primary.kill(p.ended); err != nil {
		return err
	}
	_, err := p.Standby.Exec(ctx, "select pg_promote()")
	if err == nil {
		err = until(ctx, p.Standby, "select not pg_is_in_recovery()")
	}
	return err
}

func reset(ctx context.Context, conn *pgx.Conn, name, value string) error {
	_, err := conn.Exec(ctx, fmt.Sprintf("alter system set %s = '%s'", name, value))
	if err == nil {
		_, err = conn.Exec(ctx, "select pg_reload_conf()")
	}
	return err
}

func until(ctx context.Context, conn *pgx.Conn, ask string) error {
	for is := false; !is; {
		if err := conn.QueryRow(ctx, ask).Scan(&is); err != nil {
			return err
		}
	}
	return nil
}
