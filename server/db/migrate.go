package db

import (
	"context"
	"database/sql"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"slices"

	"github.com/pressly/goose/v3"
)

//go:embed migrations/*.sql
var migrations embed.FS

// ErrOlder says that the file is in use by an older build, which this one must not change the tables under.
var ErrOlder = errors.New("this data is in use by an older Bedwalk; stop the server and start this version of it first")

// ErrNewer says that the file was written by a newer build.
var ErrNewer = errors.New("this data was written by a newer Bedwalk; install that version or newer, the data is untouched")

// SQLite's user_version is the mark of a file whose tables were changed and whose rows are not sealed again yet.
const (
	markUnsealed = "pragma user_version = 1"
	markSealed   = "pragma user_version = 0"
)

// migrate runs what has not been run. Goose keeps the list of what was run in the file itself and runs each step in
// its own transaction, and the rows are sealed again in another one, so a start that is killed half way goes on at the next one.
// Without may, tables that are not up to date are ErrOlder.
func migrate(ctx context.Context, writer *sql.DB, may bool) error {
	files, err := fs.Sub(migrations, "migrations")
	if err != nil {
		return err
	}
	if upToDate(ctx, writer, files) {
		return nil
	}
	steps, err := goose.NewProvider(goose.DialectSQLite3, writer, files, goose.WithDisableGlobalRegistry(true))
	if err != nil {
		return err
	}
	known := steps.ListSources()
	have, err := steps.GetDBVersion(ctx)
	if err != nil {
		return fmt.Errorf("read the version of the tables: %w", err)
	}
	newest := known[len(known)-1].Version
	if have > newest {
		return fmt.Errorf("%w (tables %d, this build knows %d)", ErrNewer, have, newest)
	}
	var unsealed int64
	if err := writer.QueryRowContext(ctx, "pragma user_version").Scan(&unsealed); err != nil {
		return fmt.Errorf("read whether the rows are sealed: %w", err)
	}
	if have == newest && unsealed == 0 {
		return nil
	}
	if !may {
		return fmt.Errorf("%w (tables %d, this build knows %d)", ErrOlder, have, newest)
	}
	if _, err := writer.ExecContext(ctx, markUnsealed); err != nil {
		return fmt.Errorf("bring the tables up to date: %w", err)
	}
	if _, err := steps.Up(ctx); err != nil {
		return fmt.Errorf("bring the tables up to date: %w", err)
	}
	tx, err := writer.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	err = sealAll(ctx, tx)
	if err == nil {
		_, err = tx.ExecContext(ctx, markSealed)
	}
	if err != nil {
		return errors.Join(fmt.Errorf("seal the rows: %w", err), tx.Rollback())
	}
	return tx.Commit()
}

// upToDate is true for a file that has the newest tables and whose rows are sealed, which most starts find. It is one question, where Goose asks several;
// whatever it cannot answer is Goose's to find out and to name.
func upToDate(ctx context.Context, writer *sql.DB, files fs.FS) bool {
	names, err := fs.Glob(files, "*.sql")
	if err != nil || len(names) == 0 {
		return false
	}
	newest, err := goose.NumericComponent(slices.Max(names))
	if err != nil {
		return false
	}
	var have, unsealed int64
	err = writer.QueryRowContext(ctx, "select max(version_id), (select user_version from pragma_user_version) from goose_db_version where is_applied").
		Scan(&have, &unsealed)
	return err == nil && have == newest && unsealed == 0
}
