package lite

import (
	"database/sql"
	"fmt"
	"strings"

	"bedwalk/server/journal"
)

// State is journal.Settings'.
func (s snap) State(tables []string, visit func(journal.StateRow) error) error {
	for _, table := range tables {
		rows, err := s.tx.Query("select * from " + table + " order by 1, 2")
		if err != nil {
			return err
		}
		if err := eachRow(table, rows, visit); err != nil {
			return fmt.Errorf("read table %s: %w", table, err)
		}
	}
	return nil
}

func eachRow(table string, rows *sql.Rows, visit func(journal.StateRow) error) error {
	defer rows.Close()
	columns, err := rows.Columns()
	if err != nil {
		return err
	}
	values, into := make([]any, len(columns)), make([]any, len(columns))
	for i := range values {
		into[i] = &values[i]
	}
	for rows.Next() {
		if err := rows.Scan(into...); err != nil {
			return err
		}
		if err := visit(journal.RowOf(table, columns, values)); err != nil {
			return err
		}
	}
	return rows.Err()
}

// Empty is journal.Tx's.
func (t *tx) Empty(table string, but ...string) error {
	if len(but) == 0 {
		return t.exec("delete from " + table)
	}
	names, err := list(but)
	if err != nil {
		return err
	}
	return t.exec("delete from "+table+" where name not in (select value from json_each(?))", names)
}

// Restore is journal.Tx's. Names of tables and columns are taken from the database, never from the rows.
func (t *tx) Restore(table string, rows []journal.StateRow) error {
	// The numbers may be others now.
	clear(t.over.registers)
	clear(t.site.memory.registers)
	columns, err := all(t.tx, value[string], "select name from pragma_table_info(?)", table)
	if err != nil {
		return err
	}
	query := "insert into " + table + " values (?" + strings.Repeat(", ?", len(columns)-1) + ")"
	for _, one := range rows {
		values := make([]any, len(columns))
		for i, name := range columns {
			if values[i], err = one.Value(name); err != nil {
				return fmt.Errorf("%w: table %s, column %s: %w", journal.ErrNotWhole, table, name, err)
			}
		}
		if _, err := t.tx.Exec(query, values...); err != nil {
			return fmt.Errorf("%w: table %s: %w", journal.ErrNotWhole, table, err)
		}
	}
	return nil
}
