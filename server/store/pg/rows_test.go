package pg_test

import (
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"math/rand/v2"
	"net"
	"strings"
	"sync/atomic"
	"testing"

	"github.com/jackc/pgx/v5"

	"bedwalk/server/journal"
	"bedwalk/server/store/pg"
	"bedwalk/server/testpg"
)

// take takes notes as a push does: whether they are known, what their records have, then the notes, their parts and their records.
func take(t *testing.T, d *pg.DB, from, to int64) {
	t.Helper()
	var ids, keys []string
	for at := from; at <= to; at++ {
		ids, keys = append(ids, fmt.Sprintf("%032x", at)), append(keys, fmt.Sprintf("pot:%032x", at))
	}
	keys = append(keys, fmt.Sprintf("walk:%d", from))
	if err := pg.Journal(d).Write(t.Context(), func(tx journal.Tx) error {
		known, err := tx.Known(ids)
		if err != nil || len(known) > 0 {
			return errors.Join(err, fmt.Errorf("%d notes of %d to %d are known", len(known), from, to))
		}
		if _, err := tx.Parts(keys); err != nil {
			return err
		}
		for at := from; at <= to; at++ {
			if err := errors.Join(note(tx, at), tx.PutPart(fmt.Sprintf("walk:%d", from), at)); err != nil {
				return err
			}
		}
		for _, key := range keys {
			if err := tx.PutRecord(journal.NewRecord{Key: key, Changed: to}); err != nil {
				return err
			}
		}
		return nil
	}); err != nil {
		t.Fatal(err)
	}
}

// read is how many rows of the tables of a push PostgreSQL has gone over, in tables and in indexes, once nobody is connected any more: it counts when a
// connection ends.
func read(t *testing.T, conn *pgx.Conn) (rows int64) {
	t.Helper()
	for connected := 1; connected > 0; {
		if err := conn.QueryRow(t.Context(), "select count(*) from pg_stat_activity where datname = current_database() and pid <> pg_backend_pid() and backend_type = 'client backend'").Scan(&connected); err != nil {
			t.Fatal(err)
		}
	}
	const of = "schemaname = 'bedwalk' and relname in ('notes', 'entry_keys', 'records')"
	if err := conn.QueryRow(t.Context(), "select (select sum(idx_tup_read) from pg_stat_user_indexes where "+of+") + (select sum(seq_tup_read) from pg_stat_user_tables where "+of+")").Scan(&rows); err != nil {
		t.Fatal(err)
	}
	return rows
}

// PostgreSQL plans by what it knows of a table, and of a young nursery it knows nothing, or what it has of others: a plan that goes over all that the nursery
// has for each note that comes is slower with every push.
func TestAYoungNurseryIsNotGoneOverForEveryNote(t *testing.T) {
	const few, batch = 10, 300
	const notes = few + 8*batch
	url := testpg.Own(t)
	conn, err := pgx.Connect(t.Context(), testpg.Operator(url))
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(context.WithoutCancel(t.Context()))
	before := int64(0)
	for _, name := range []string{"the first of a database", "one beside another that is known"} {
		d, err := pg.Open(t.Context(), pg.Options{URL: url, Site: name, New: true})
		if err != nil {
			t.Fatal(err)
		}
		// A plan that is kept is made by the first few questions.
		for at := int64(1); at <= few; at++ {
			take(t, d, at, at)
		}
		for from := int64(few + 1); from <= notes; from += batch {
			take(t, d, from, from+batch-1)
		}
		d.Close()
		now := read(t, conn)
		// As long as it has a few hundred notes one index is as good as another.
		if each := (now - before) / notes; each > 200 {
			t.Errorf("%s: %d rows were gone over for each of %d notes", name, each, notes)
		}
		before = now
		if _, err := conn.Exec(t.Context(), "analyze"); err != nil {
			t.Fatal(err)
		}
		before = read(t, conn)
	}
}

func TestWhatWasRestoredIsKnownToThePlanner(t *testing.T) {
	url := testpg.Own(t)
	d, err := pg.Open(t.Context(), pg.Options{URL: url, Site: "north", New: true})
	if err != nil {
		t.Fatal(err)
	}
	defer d.Close()
	if err := pg.Journal(d).Write(t.Context(), func(tx journal.Tx) error { return errors.Join(note(tx, 1), tx.Restore("marks", nil)) }); err != nil {
		t.Fatal(err)
	}
	conn, err := pgx.Connect(t.Context(), testpg.Operator(url))
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(context.WithoutCancel(t.Context()))
	var rows float64
	if err := conn.QueryRow(t.Context(), "select reltuples from pg_class where oid = 'bedwalk.notes'::regclass").Scan(&rows); err != nil || rows != 1 {
		t.Errorf("PostgreSQL knows of %g notes, %v", rows, err)
	}
}

// counted counts the statements that a connection to PostgreSQL is asked to run: the messages Execute and Query of its protocol
// (PostgreSQL's manual, chapter "Message Formats": a letter, then a length that counts itself; the first message has no letter).
type counted struct {
	net.Conn
	statements *atomic.Int64
	begun      bool
	rest       []byte
}

func (c *counted) Write(sent []byte) (int, error) {
	c.rest = append(c.rest, sent...)
	for {
		letter := 1
		if !c.begun {
			letter = 0
		}
		if len(c.rest) < letter+4 {
			break
		}
		size := letter + int(binary.BigEndian.Uint32(c.rest[letter:]))
		if len(c.rest) < size {
			break
		}
		if c.begun && (c.rest[0] == 'E' || c.rest[0] == 'Q') {
			c.statements.Add(1)
		}
		c.begun, c.rest = true, c.rest[size:]
	}
	return c.Conn.Write(sent)
}

func TestTenTimesAsManyNotesAreAsManyStatements(t *testing.T) {
	var statements atomic.Int64
	d, err := pg.Open(t.Context(), pg.Options{URL: testpg.URL(t), Site: testpg.Site(), New: true, Dial: func(ctx context.Context, network, address string) (net.Conn, error) {
		conn, err := (&net.Dialer{}).DialContext(ctx, network, address)
		return &counted{Conn: conn, statements: &statements}, err
	}})
	if err != nil {
		t.Fatal(err)
	}
	defer d.Close()
	var were [3]int64
	for i, some := range [][2]int64{{1, 50}, {51, 100}, {101, 600}} {
		before := statements.Load()
		take(t, d, some[0], some[1])
		were[i] = statements.Load() - before
	}
	if were[1] == 0 || were[2] != were[1] {
		t.Errorf("50 notes were %d statements, 500 notes %d", were[1], were[2])
	}
}

// PostgreSQL has no room in an index for a value of more than a third of a page (its manual, "B-Tree Indexes": about 2,700 bytes).
func TestAKeyThatIsTooLongIsSaidInWords(t *testing.T) {
	long := "lot:"
	for i := range 2000 {
		long += fmt.Sprint(rand.New(rand.NewPCG(1, uint64(i))).IntN(1000))
	}
	err := pg.Journal(open(t, testpg.Site())).Write(t.Context(), func(tx journal.Tx) error { return tx.PutPart(long, 1) })
	if !errors.Is(err, pg.ErrLongKey) || !strings.Contains(err.Error(), "kept in a file") {
		t.Errorf("got %v", err)
	}
}

// A record that is written twice in a transaction, or that is there, keeps its number, and new ones are numbered without a gap.
func TestRecordsAreNumberedInTheirOrderWithoutAGap(t *testing.T) {
	d := open(t, testpg.Site())
	var want []journal.Numbered
	for i, keys := range [][]string{{"lot:b", "lot:a", "lot:b"}, {"lot:a", "lot:d", "lot:b", "lot:c"}, {"lot:e"}} {
		if err := pg.Journal(d).Write(t.Context(), func(tx journal.Tx) error {
			var all error
			for n, key := range keys {
				all = errors.Join(all, tx.PutRecord(journal.NewRecord{Key: key, Changed: int64(i), Text: []byte{byte('0' + n)}}))
			}
			return all
		}); err != nil {
			t.Fatal(err)
		}
	}
	for i, key := range []string{"lot:b", "lot:a", "lot:d", "lot:c", "lot:e"} {
		want = append(want, journal.Numbered{N: int64(i + 1), Key: key})
	}
	if err := pg.Journal(d).Read(t.Context(), func(snap journal.Snap) error {
		have, err := snap.NumberedAfter(0, 9)
		if fmt.Sprint(have) != fmt.Sprint(want) {
			t.Errorf("numbered %v, want %v", have, want)
		}
		text, unread := snap.Text("lot:b")
		if string(text) != "2" {
			t.Errorf("lot:b is %q", text)
		}
		return errors.Join(err, unread)
	}); err != nil {
		t.Fatal(err)
	}
}
