package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"strings"
	"time"

	"github.com/jackc/pgx/v5"

	"bedwalk/server/realrun"
	"bedwalk/server/testpg"
)

// inPostgres is once with the notes in a database of their own on a PostgreSQL, which forces each commit to its disk as the file's does; its processor
// time is not the program's and is not counted.
func (c *pushCommand) inPostgres(ctx context.Context, data, url string, add func(name, unit string, value float64)) (err error) {
	operator, err := pgx.Connect(ctx, testpg.Operator(url))
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, operator.Close(context.WithoutCancel(ctx))) }()
	name := testpg.Name()
	if err := testpg.Make(ctx, operator, name, ""); err != nil {
		return err
	}
	own := testpg.Named(url, name)
	program := &realrun.Program{Binary: c.Binary, Data: data, Flags: []string{"--store", own}}
	load, rate, err := c.pushed(ctx, program, func(name, unit string, value float64) { add("postgres_push"+name, unit, value) })
	if err != nil {
		return err
	}
	raw, size, err := rawRatesOf(ctx, testpg.Operator(own))
	if err != nil {
		return err
	}
	add("postgres_rest", "bytes/note", float64(size)/float64(load.notes))
	add("postgres_raw_journal", "rows/s", raw.journal.rate)
	add("postgres_raw_whole", "notes/s", raw.whole.rate)
	add("postgres_push_to_raw_whole", "ratio", rate/raw.whole.rate)
	_, err = operator.Exec(ctx, "drop database "+name+" with (force)")
	return errors.Join(err, os.RemoveAll(data))
}

// rawRatesOf is rawRates in PostgreSQL: by pgx, 500 notes a transaction and in one batch of prepared statements, into tables with the same indexes. Size
// is that of the tables with the notes and their indexes, in bytes.
func rawRatesOf(ctx context.Context, url string) (raw rawSpeeds, size int64, err error) {
	conn, err := pgx.Connect(ctx, url)
	if err != nil {
		return raw, 0, err
	}
	defer func() { err = errors.Join(err, conn.Close(context.WithoutCancel(ctx))) }()
	if _, err := conn.Exec(ctx, "set search_path = bedwalk"); err != nil {
		return raw, 0, err
	}
	var all tables
	for _, one := range perNote {
		t, bytes, err := readTable(ctx, conn, one.name, one.order)
		if err != nil {
			return raw, 0, err
		}
		all, size = append(all, t), size+bytes
	}
	if raw.journal, err = insertBy(ctx, conn, all.only("notes")); err != nil {
		return raw, 0, err
	}
	raw.whole, err = insertBy(ctx, conn, all)
	return raw, size, err
}

func readTable(ctx context.Context, conn *pgx.Conn, name, order string) (t table, size int64, err error) {
	var columns []string
	if err := conn.QueryRow(ctx, `select array_agg(column_name::text order by ordinal_position), (select pg_total_relation_size($2::regclass))
		from information_schema.columns where table_schema = current_schema() and table_name = $1 and is_generated = 'NEVER'`, name, name).Scan(&columns, &size); err != nil {
		return t, 0, err
	}
	rows, err := conn.Query(ctx, fmt.Sprintf("select %s from %s order by %s", strings.Join(columns, ", "), name, order))
	if err != nil {
		return t, 0, err
	}
	t = table{name: name}
	for rows.Next() {
		values, err := rows.Values()
		if err != nil {
			return t, 0, err
		}
		t.rows = append(t.rows, values)
	}
	places := make([]string, len(columns))
	for i := range columns {
		places[i] = fmt.Sprintf("$%d", i+1)
	}
	t.insert = fmt.Sprintf("insert into raw_%s (%s) values (%s)", name, strings.Join(columns, ", "), strings.Join(places, ", "))
	return t, size, rows.Err()
}

// insertBy puts the rows into fresh tables; its speed is that of the first table's rows.
func insertBy(ctx context.Context, conn *pgx.Conn, only tables) (reached speed, err error) {
	for _, t := range only {
		if _, err := conn.Exec(ctx, fmt.Sprintf("drop table if exists raw_%[1]s; create table raw_%[1]s (like %[1]s including all)", t.name)); err != nil {
			return reached, err
		}
	}
	// A plan of the tables that were dropped would be another's.
	if err := conn.DeallocateAll(ctx); err != nil {
		return reached, err
	}
	for _, t := range only {
		if _, err := conn.Prepare(ctx, t.insert, t.insert); err != nil {
			return reached, err
		}
	}
	began := time.Now()
	batches := (len(only[0].rows) + batchNotes - 1) / batchNotes
	for n := range batches {
		sent := &pgx.Batch{}
		for _, t := range only {
			for _, row := range t.share(n, batches) {
				sent.Queue(t.insert, row...)
			}
		}
		if err := pgx.BeginFunc(ctx, conn, func(tx pgx.Tx) error { return tx.SendBatch(ctx, sent).Close() }); err != nil {
			return reached, err
		}
	}
	return speed{rate: float64(len(only[0].rows)) / time.Since(began).Seconds()}, nil
}
