package pg

import (
	"context"

	"github.com/jackc/pgx/v5"

	"bedwalk/server/journal"
)

// Journal keeps a journal in the database.
func Journal(d *DB) journal.Site { return site{d} }

type site struct{ *DB }

// Prepare is journal.Site's. Statements are prepared by each connection when they are first used.
func (s site) Prepare(context.Context) error { return nil }

// Write is journal.Site's.
func (s site) Write(ctx context.Context, f func(journal.Tx) error) error {
	return s.write(ctx, func(t *tx) error {
		t.turns = true
		return f(t)
	})
}

// Read is journal.Site's.
func (s site) Read(ctx context.Context, f func(journal.Snap) error) error {
	return s.read(ctx, func(t snap) error { return f(t) })
}

// tx is the one transaction that writes to the site.
type tx struct {
	snap
	db *DB
	// waiting is what was put and is not sent yet, and rows what comes behind it: it is sent before the next question, or at the end, in one message.
	waiting *pgx.Batch
	rows    rows
	// over are numbers of lots and beds that this transaction has asked for.
	over map[string]int64
	// turns is true for a write to the journal, opens for one that changes who may come in: each is counted in the site's row.
	turns, opens bool
	// restored is true once whole tables were put, of which PostgreSQL has no statistics yet.
	restored bool
}

// mostWaiting is how many statements wait at most, and how many rows.
const mostWaiting = 2000

// queue puts a statement behind those that wait. Its error comes when they are sent.
func (t *tx) queue(query string, args ...any) error {
	t.queueRows()
	t.send(query, args...)
	if t.waiting.Len() >= mostWaiting {
		return t.flush()
	}
	return nil
}

func (t *tx) send(query string, args ...any) {
	if t.waiting == nil {
		t.waiting = &pgx.Batch{}
	}
	t.waiting.Queue(query, spelling(args)...)
}

func (t *tx) flush() error {
	t.queueRows()
	if t.waiting == nil {
		return nil
	}
	sent := t.waiting
	t.waiting = nil
	return t.tx.SendBatch(t.ctx, sent).Close()
}

// changed runs a statement, and says how many rows it changed.
func (t *tx) changed(query string, args ...any) (int64, error) {
	if err := t.flush(); err != nil {
		return 0, err
	}
	done, err := t.tx.Exec(t.ctx, query, spelling(args)...)
	return done.RowsAffected(), err
}

// counted are the tables that grow with the notes.
const counted = "notes, entry_keys, records, registers, writers"

// commit runs f while the site is held, and commits.
func (t *tx) commit(f func(*tx) error) error {
	if err := t.db.heed(t); err != nil {
		return err
	}
	if err := f(t); err != nil {
		return err
	}
	if t.turns || t.opens {
		if err := t.queue("update sites set turn = turn + $1::int, gate = gate + $2::int where site = $3", bit(t.turns), bit(t.opens), t.db.site); err != nil {
			return err
		}
	}
	if err := t.flush(); err != nil {
		return err
	}
	if t.restored {
		// What reads them next would plan as for empty ones, and in one long transaction to its end.
		if _, err := t.tx.Exec(t.ctx, "analyze "+counted); err != nil {
			return err
		}
	}
	if err := t.tx.Commit(t.ctx); err != nil {
		// It may have taken hold all the same; whoever hears of it reads the row.
		t.db.Nudge()
		return err
	}
	if t.turns {
		t.db.turn++
		t.db.highest = t.db.turn
	}
	return nil
}

// bit is 1 for true.
func bit(is bool) int {
	if is {
		return 1
	}
	return 0
}
