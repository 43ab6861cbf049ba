package pg

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/jackc/pgx/v5"

	"bedwalk/server/journal"
)

// errNoTable says that somebody asked for a table that is none of a site.
var errNoTable = errors.New("there is no such table")

// columnsOf are the columns of a table but for the site, in their order.
func (s snap) columnsOf(table string) ([]string, error) {
	columns, err := values[string](s, `select attname::text from pg_attribute where attrelid = (select oid from pg_class
			where relnamespace = current_schema()::regnamespace and relkind = 'r' and relname = $1::text)
		and attnum > 0 and not attisdropped and attgenerated = '' order by attnum`, table)
	if err == nil && !slices.Contains(columns, "site") {
		err = fmt.Errorf("%w: %s", errNoTable, table)
	}
	return slices.DeleteFunc(columns, func(one string) bool { return one == "site" }), err
}

// State is journal.Settings'.
func (s snap) State(tables []string, visit func(journal.StateRow) error) error {
	for _, table := range tables {
		columns, err := s.columnsOf(table)
		if err != nil {
			return err
		}
		if err := s.run("declare state no scroll cursor for select " + strings.Join(columns, ", ") + " from " + table + " order by 1, 2"); err != nil {
			return fmt.Errorf("read table %s: %w", table, err)
		}
		for {
			rows, err := all(s, func(rows pgx.Rows) (journal.StateRow, error) {
				values, err := rows.Values()
				if err != nil {
					return journal.StateRow{}, err
				}
				return journal.RowOf(table, columns, values), nil
			}, fmt.Sprintf("fetch %d from state", pageRows), pgx.QueryExecModeDescribeExec)
			if err != nil {
				return fmt.Errorf("read table %s: %w", table, err)
			}
			for _, row := range rows {
				if err := visit(row); err != nil {
					return err
				}
			}
			if len(rows) < pageRows {
				break
			}
		}
		if err := s.run("close state"); err != nil {
			return err
		}
	}
	return nil
}

// Empty is journal.Tx's.
func (t *tx) Empty(table string, but ...string) error {
	if _, err := t.columnsOf(table); err != nil {
		return err
	}
	if len(but) == 0 {
		return t.queue("delete from " + table)
	}
	return t.queue("delete from "+table+" where name <> all($1::text[])", but)
}

// Restore is journal.Tx's. Names of tables and columns are taken from the database, never from the rows.
func (t *tx) Restore(table string, rows []journal.StateRow) error {
	t.restored = true
	// The numbers may be others now.
	clear(t.over)
	clear(t.db.registers)
	columns, err := t.columnsOf(table)
	if err != nil {
		return err
	}
	if err := t.flush(); err != nil {
		return err
	}
	types, err := byKey(t.snap, pair[string, string], `select attname::text, format_type(atttypid, null) from pg_attribute where attrelid = $1::text::regclass and attnum > 0`, table)
	if err != nil {
		return err
	}
	places := make([]string, len(columns))
	for i, name := range columns {
		places[i] = fmt.Sprintf("$%d::%s[]", i+1, types[name])
	}
	query := fmt.Sprintf("insert into %s (%s) select * from unnest(%s)", table, strings.Join(columns, ", "), strings.Join(places, ", "))
	for some := range slices.Chunk(rows, mostWaiting) {
		all := make([]any, len(columns))
		for i, name := range columns {
			values := make([]any, len(some))
			for n, one := range some {
				if values[n], err = one.Value(name); err != nil {
					return fmt.Errorf("%w: table %s, column %s: %w", journal.ErrNotWhole, table, name, err)
				}
			}
			all[i] = spelling(values)
		}
		if err := errors.Join(t.queue(query, all...), t.flush()); err != nil {
			return fmt.Errorf("%w: table %s: %w", journal.ErrNotWhole, table, err)
		}
	}
	return t.numberAfter(table)
}

// numberAfter lets the database number what comes next in a table after what was restored.
func (t *tx) numberAfter(table string) error {
	counted, err := values[string](t.snap, `select pg_get_serial_sequence($1::text, attname::text) from pg_attribute
		where attrelid = $1::text::regclass and attidentity <> ''`, table)
	if err != nil || len(counted) == 0 {
		return err
	}
	return t.run(fmt.Sprintf("select setval('%s', greatest((select last_value from %s), (select coalesce(max(n), 1) from %s)))", counted[0], counted[0], table))
}
