package db

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/binary"
	"encoding/hex"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// unsealed are the tables whose rows have no seal of their own: the journal and what follows from it, which "verify" makes
// again from the entries, the seals themselves, and the list of migrations. Every other table is sealed, one that is
// added later too.
var unsealed = []string{"notes", "shapes", "names", "entry_keys", "records", "digests", "record_sums", "staying", "leaving_sums", "seals", "goose_db_version"}

// sealed is one table with seals, and the columns of its primary key (at most two).
type sealed struct {
	name string
	key  []string
}

// asker is a connection or a transaction.
type asker interface {
	QueryContext(ctx context.Context, query string, args ...any) (*sql.Rows, error)
	ExecContext(ctx context.Context, query string, args ...any) (sql.Result, error)
}

// sealedTables reads from the file which tables are sealed.
func sealedTables(ctx context.Context, from asker) (all []sealed, err error) {
	rows, err := from.QueryContext(ctx, `select t.name, c.name from sqlite_schema t join pragma_table_info(t.name) c
		where t.type = 'table' and t.name not like 'sqlite_%' and c.pk > 0 order by t.name, c.pk`)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	for rows.Next() {
		var table, column string
		if err := rows.Scan(&table, &column); err != nil {
			return nil, err
		}
		if slices.Contains(unsealed, table) {
			continue
		}
		if len(all) == 0 || all[len(all)-1].name != table {
			all = append(all, sealed{name: table})
		}
		one := &all[len(all)-1]
		if one.key = append(one.key, column); len(one.key) > 2 {
			return nil, fmt.Errorf("table %s has a key of more than two columns, which seals do not know", table)
		}
	}
	return all, rows.Err()
}

// watch has the writer's own connection note which sealed rows it changes, in a table that only this connection has. What
// another program changes is noted nowhere, and so is found. It does so once for each connection.
func (d *DB) watch(ctx context.Context, conn *sql.Conn) error {
	var now any
	if err := conn.Raw(func(own any) error { now = own; return nil }); err != nil {
		return err
	}
	if now == d.watched {
		return nil
	}
	tables, err := sealedTables(ctx, conn)
	if err != nil {
		return err
	}
	if err := note(ctx, conn, tables); err != nil {
		return err
	}
	d.watched, d.sealed = now, tables
	return nil
}

func note(ctx context.Context, on asker, tables []sealed) error {
	if _, err := on.ExecContext(ctx, "create temp table if not exists touched (tab, k1, k2)"); err != nil {
		return err
	}
	for _, t := range tables {
		for _, event := range []struct{ name, rows string }{{"insert", "new"}, {"delete", "old"}, {"update", "old new"}} {
			var body strings.Builder
			for row := range strings.FieldsSeq(event.rows) {
				second := "''"
				if len(t.key) == 2 {
					second = row + "." + t.key[1]
				}
				fmt.Fprintf(&body, "insert into touched values ('%s', %s.%s, %s); ", t.name, row, t.key[0], second)
			}
			if _, err := on.ExecContext(ctx, fmt.Sprintf("create temp trigger if not exists %s_%s after %s on main.%s begin %send",
				t.name, event.name, event.name, t.name, body.String())); err != nil {
				return fmt.Errorf("watch table %s: %w", t.name, err)
			}
		}
	}
	return nil
}

// sealTouched seals the rows that the transaction has changed.
func (d *DB) sealTouched(ctx context.Context, tx *sql.Tx) error {
	rows, err := tx.QueryContext(ctx, "select distinct tab, k1, k2 from touched")
	if err != nil {
		return err
	}
	defer rows.Close()
	type row struct {
		table  string
		values [2]any
	}
	var all []row
	for rows.Next() {
		var r row
		if err := rows.Scan(&r.table, &r.values[0], &r.values[1]); err != nil {
			return err
		}
		all = append(all, r)
	}
	if err := errors.Join(rows.Err(), rows.Close()); err != nil || len(all) == 0 {
		return err
	}
	for _, r := range all {
		i := slices.IndexFunc(d.sealed, func(t sealed) bool { return t.name == r.table })
		if err := d.sealed[i].seal(ctx, tx, r.values[:len(d.sealed[i].key)]); err != nil {
			return fmt.Errorf("seal a row of %s: %w", r.table, err)
		}
	}
	_, err = tx.ExecContext(ctx, "delete from touched")
	return err
}

func (t sealed) seal(ctx context.Context, tx *sql.Tx, key []any) error {
	hash, found := "", false
	if err := t.each(ctx, tx, " where "+strings.Join(t.key, " = ? and ")+" = ?", key, func(_ string, h string) {
		hash, found = h, true
	}); err != nil {
		return err
	}
	if !found {
		_, err := tx.ExecContext(ctx, "delete from seals where tab = ? and key = ?", t.name, keyText(key))
		return err
	}
	_, err := tx.ExecContext(ctx, "insert into seals values (?, ?, ?) on conflict (tab, key) do update set hash = excluded.hash",
		t.name, keyText(key), []byte(hash))
	return err
}

// each visits the key and hash of rows of the table.
func (t sealed) each(ctx context.Context, from asker, where string, args []any, visit func(key, hash string)) error {
	rows, err := from.QueryContext(ctx, "select * from "+t.name+where, args...)
	if err != nil {
		return err
	}
	defer rows.Close()
	columns, err := rows.Columns()
	if err != nil {
		return err
	}
	order := make([]int, len(columns))
	values, into := make([]any, len(columns)), make([]any, len(columns))
	for i := range columns {
		order[i], into[i] = i, &values[i]
	}
	slices.SortFunc(order, func(a, b int) int { return strings.Compare(columns[a], columns[b]) })
	for rows.Next() {
		if err := rows.Scan(into...); err != nil {
			return err
		}
		hash := sha256.New()
		for _, i := range order {
			kind, text := plain(values[i])
			head := binary.BigEndian.AppendUint64([]byte(columns[i]+"\x00"+kind), uint64(len(text)))
			hash.Write(append(head, text...))
		}
		key := make([]any, len(t.key))
		for i, column := range t.key {
			key[i] = values[slices.Index(columns, column)]
		}
		visit(keyText(key), string(hash.Sum(nil)[:16]))
	}
	return rows.Err()
}

// plain is a value with its kind as text that no other value has.
func plain(value any) (kind, text string) {
	switch v := value.(type) {
	case nil:
		return "n", ""
	case int64:
		return "i", strconv.FormatInt(v, 10)
	case string:
		return "t", v
	case []byte:
		return "b", string(v)
	}
	return "o", fmt.Sprint(value)
}

// keyText is how a row is named in seals and in complaints.
func keyText(key []any) string {
	parts := make([]string, len(key))
	for i, value := range key {
		kind, text := plain(value)
		if kind == "b" {
			text = hex.EncodeToString([]byte(text))
		}
		parts[i] = text
	}
	return strings.Join(parts, " ")
}

// sealAll seals every row again: after a migration, which may have given rows a new column.
func sealAll(ctx context.Context, tx *sql.Tx) error {
	tables, err := sealedTables(ctx, tx)
	if err != nil {
		return err
	}
	if _, err := tx.ExecContext(ctx, "delete from seals"); err != nil {
		return err
	}
	for _, t := range tables {
		type seal struct{ key, hash string }
		var all []seal
		if err := t.each(ctx, tx, "", nil, func(key, hash string) { all = append(all, seal{key, hash}) }); err != nil {
			return err
		}
		for _, s := range all {
			if _, err := tx.ExecContext(ctx, "insert into seals values (?, ?, ?)", t.name, s.key, []byte(s.hash)); err != nil {
				return err
			}
		}
	}
	return nil
}

// CheckSeals names each row of the small tables that is not as Bedwalk last wrote it. Checked is false for a file of a
// build that knew no seals.
func CheckSeals(ctx context.Context, tx *sql.Tx, complain func(table, key, wrong string)) (checked bool, err error) {
	var have int
	if err := tx.QueryRowContext(ctx, "select count(*) from goose_db_version where version_id >= 5 and is_applied").Scan(&have); err != nil || have == 0 {
		return false, err
	}
	tables, err := sealedTables(ctx, tx)
	if err != nil {
		return false, err
	}
	seals := map[[2]string]string{}
	rows, err := tx.QueryContext(ctx, "select tab, key, hash from seals")
	if err != nil {
		return true, err
	}
	defer rows.Close()
	for rows.Next() {
		var table, key string
		var hash []byte
		if err := rows.Scan(&table, &key, &hash); err != nil {
			return true, err
		}
		seals[[2]string{table, key}] = string(hash)
	}
	if err := errors.Join(rows.Err(), rows.Close()); err != nil {
		return true, err
	}
	for _, t := range tables {
		if err := t.each(ctx, tx, "", nil, func(key, hash string) {
			at := [2]string{t.name, key}
			switch seal, ok := seals[at]; {
			case !ok:
				complain(t.name, key, "was added")
			case seal != hash:
				complain(t.name, key, "was changed")
			}
			delete(seals, at)
		}); err != nil {
			return true, err
		}
	}
	for at := range seals {
		complain(at[0], at[1], "is gone")
	}
	return true, nil
}
