package pg_test

import (
	"context"
	"errors"
	"testing"

	"github.com/jackc/pgx/v5"

	"bedwalk/server/journal"
	"bedwalk/server/store/pg"
	"bedwalk/server/testpg"
)

// A server of an older build is in the middle of a push when a newer one starts and brings the tables up to date: others go on pushing all the while.
func TestPushesGoOnWhileTheTablesAreBroughtUpToDate(t *testing.T) {
	ctx, url := t.Context(), testpg.Own(t)
	at := func(site string) *pg.DB {
		d, err := pg.Open(ctx, pg.Options{URL: url, Site: site, New: true})
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { d.Close() })
		return d
	}
	busy, other := at("north"), at("south")
	conn, err := pgx.Connect(ctx, url)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(context.WithoutCancel(ctx))
	if _, err := conn.Exec(ctx, "set search_path = bedwalk; drop index notes_by_time; drop index loose_notes_by_time; delete from goose_db_version where version_id >= 4"); err != nil {
		t.Fatal(err)
	}
	newer := make(chan error, 1)
	push := func(d *pg.DB, position int64, then func() error) {
		t.Helper()
		if err := pg.Journal(d).Write(ctx, func(tx journal.Tx) error {
			err := note(tx, position)
			// It is in the table, and its transaction is open.
			_, read := tx.Head()
			return errors.Join(err, read, then())
		}); err != nil {
			t.Fatal(err)
		}
	}
	done := func() error { return nil }
	push(busy, 1, func() error {
		go func() {
			d, err := pg.Open(ctx, pg.Options{URL: url, Site: "north"})
			if err == nil {
				d.Close()
			}
			newer <- err
		}()
		for waits := false; !waits; {
			select {
			case err := <-newer:
				t.Fatalf("it did not wait for the push: %v", err)
			default:
			}
			if err := conn.QueryRow(ctx, "select exists (select from pg_stat_activity where datname = current_database() and wait_event_type = 'Lock' and query ilike '%index%')").Scan(&waits); err != nil {
				return err
			}
		}
		for n := int64(1); n <= 3; n++ {
			push(other, n, done)
		}
		return nil
	})
	if err := <-newer; err != nil {
		t.Fatal(err)
	}
	push(busy, 2, done)
	var sound int
	if err := conn.QueryRow(ctx, "select count(*) from pg_index i join pg_class c on c.oid = i.indexrelid where c.relname in ('notes_by_time', 'loose_notes_by_time') and i.indisvalid").Scan(&sound); err != nil || sound != 2 {
		t.Errorf("%d of 2 indexes, %v", sound, err)
	}
}
