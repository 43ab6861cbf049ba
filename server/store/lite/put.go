package lite

import (
	"context"
	"database/sql"
	"encoding/hex"
	"errors"
	"fmt"
	"slices"
	"strings"

	"bedwalk/schema"
	"bedwalk/server/atrest"
	"bedwalk/server/db"
	"bedwalk/server/journal"
)

// statements are compiled once: these run for every note of every push.
type statements struct {
	entry, key, record, digest, recordSum, stay, leaving *sql.Stmt
}

func (s *statements) prepare(ctx context.Context, d *db.DB) error {
	for _, one := range []struct {
		into  **sql.Stmt
		query string
	}{
		{&s.entry, "insert into notes values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"},
		{&s.key, "insert or ignore into entry_keys values (?, ?)"},
		{&s.record, `insert into records (key, lot, bed, changed, json) values (?, ?, ?, ?, ?)
			on conflict (key) do update set lot = excluded.lot, bed = excluded.bed, changed = excluded.changed, json = excluded.json`},
		{&s.digest, `insert into digests values (?, ?, ?)
			on conflict (lot) do update set count = excluded.count, sum = excluded.sum`},
		{&s.recordSum, `insert into record_sums values (?, ?, ?)
			on conflict (lot) do update set count = excluded.count, sum = excluded.sum`},
		{&s.stay, "insert or ignore into staying values (?, ?)"},
		{&s.leaving, `insert into leaving_sums values (?, ?, ?, ?, ?) on conflict (lot) do update set
			count = excluded.count, sum = excluded.sum, records = excluded.records, record_sum = excluded.record_sum`},
	} {
		var err error
		if *one.into, err = d.Prepare(ctx, one.query); err != nil {
			return err
		}
	}
	return nil
}

// in binds the statements to a transaction.
func (s statements) in(t *sql.Tx) statements {
	return statements{
		entry: t.Stmt(s.entry), key: t.Stmt(s.key), record: t.Stmt(s.record), digest: t.Stmt(s.digest), recordSum: t.Stmt(s.recordSum),
		stay: t.Stmt(s.stay), leaving: t.Stmt(s.leaving),
	}
}

// tx is the one transaction that writes.
type tx struct {
	snap
	site *site
	hot  statements
	over memory
	// heeded is set once it is known whether another program has written.
	heeded bool
}

// maxShapes is how many shapes the file has at most. A build writes some hundreds; where somebody's notes have more, their bytes are kept as
// they are.
const maxShapes = 4096

// qualities are those of stamps by the number that the file has for each.
var qualities = []schema.Quality{schema.Exact, schema.Corrected, schema.Bracketed, schema.Pending}

// PutNote is journal.Tx's. A note's bytes are taken apart where they can be put together again from what is written; else they are kept as
// they are.
func (t *tx) PutNote(n journal.NewNote) error {
	e, st := n.Entry, n.Stamp
	id, err := hex.DecodeString(e.ID)
	if err != nil {
		return err
	}
	columns := atrest.Columns{
		ID: e.ID, Device: e.Device, Lot: e.Lot, Bed: e.Bed, Person: e.Person, Session: e.Session,
		Inc: int64(e.Incarnation), Seq: e.Seq, Wall: e.Wall, Floor: e.Floor, Mono: e.Mono,
	}
	var row struct {
		shape, bed, sitting, walk, wall, floor, mono int64
		body                                         any
	}
	row.body = n.Raw
	sitting := fmt.Sprintf("%d %s %s %s", e.Incarnation, e.Device, e.Person, e.Session)
	shape, others, ok := atrest.Pack(n.Raw, &columns)
	// What was handed back stands under another number than it names itself. The view reads an id as hexadecimal digits, and finds
	// the sitting's parts by its spaces.
	if ok && n.Seq == e.Seq && e.ID == hex.EncodeToString(id) && strings.Count(sitting, " ") == 3 {
		if row.shape, err = t.shape(shape); err != nil {
			return err
		}
	}
	if row.shape > 0 {
		var errs [3]error
		row.bed, errs[0] = t.Register(e.Bed)
		row.sitting, errs[1] = t.name(sitting, sitting)
		if walk, _ := hex.DecodeString(columns.Walk); len(walk) > 0 {
			row.walk, errs[2] = t.name(columns.Walk, walk)
		}
		if err := errors.Join(errs[:]...); err != nil {
			return err
		}
		row.wall, row.floor, row.mono, row.body = e.Wall-st.At, e.Floor-st.At, e.Mono, others
	}
	_, err = t.hot.entry.Exec(n.Position, id, n.Writer, n.Seq, n.Lot, st.At, slices.Index(qualities, st.Quality), st.From-st.At, st.To-st.At, n.ReceivedAt-st.At,
		row.shape, row.bed, row.sitting, row.walk, row.wall, row.floor, row.mono, row.body)
	return err
}

// Register is journal.Tx's.
func (t *tx) Register(id string) (int64, error) {
	if id == "" {
		return 0, nil
	}
	return t.numbered(id, func(m *memory) map[string]int64 { return m.registers }, func() (n int64, err error) {
		err = t.tx.QueryRow("insert into registers (id) values (?) on conflict (id) do update set id = id returning n", id).Scan(&n)
		return n, err
	})
}

// shape is the number of a shape, 0 where there is no room for another.
func (t *tx) shape(text string) (int64, error) {
	return t.numbered(text, func(m *memory) map[string]int64 { return m.shapes }, func() (n int64, err error) {
		err = t.tx.QueryRow("select n from shapes where shape = ?", text).Scan(&n)
		if !errors.Is(err, sql.ErrNoRows) {
			return n, err
		}
		err = t.tx.QueryRow("insert into shapes (shape) select ? where coalesce((select max(n) from shapes), 0) < ? returning n", text, maxShapes).Scan(&n)
		return n, ignoreNone(err)
	})
}

// name is the number of what many notes share.
func (t *tx) name(text string, id any) (int64, error) {
	return t.numbered(text, func(m *memory) map[string]int64 { return m.names }, func() (n int64, err error) {
		err = t.tx.QueryRow("insert into names (id) values (?) on conflict (id) do update set id = id returning n", id).Scan(&n)
		return n, err
	})
}

// numbered looks a number up, in what this transaction and the site remember first.
func (t *tx) numbered(text string, of func(*memory) map[string]int64, ask func() (int64, error)) (int64, error) {
	if err := t.heedOthers(); err != nil {
		return 0, err
	}
	if n, ok := of(&t.over)[text]; ok {
		return n, nil
	}
	if n, ok := of(&t.site.memory)[text]; ok {
		return n, nil
	}
	n, err := ask()
	// What there is no room for is not remembered either: there may be any number of it.
	if err == nil && n > 0 {
		of(&t.over)[text] = n
	}
	return n, err
}

// Mark is journal.Tx's.
func (t *tx) Mark(position int64, hash [32]byte) error {
	return t.exec("insert into marks values (?, ?) on conflict (position) do update set hash = excluded.hash", position, hash[:])
}

// PutPart is journal.Tx's.
func (t *tx) PutPart(key string, position int64) error {
	_, err := t.hot.key.Exec(key, position)
	return err
}
