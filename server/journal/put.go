package journal

import (
	"database/sql"
	"encoding/hex"
	"errors"
	"fmt"
	"slices"
	"strings"

	"bedwalk/schema"
	"bedwalk/server/atrest"
)

// maxShapes is how many shapes the file has at most. A build writes some hundreds; where somebody's notes have more, their bytes are kept as
// they are.
const maxShapes = 4096

// qualities are those of stamps by the number that the file has for each.
var qualities = []schema.Quality{schema.Exact, schema.Corrected, schema.Bracketed, schema.Pending}

// place is where an entry stands in the file: the numbers of its writer and lot, when it was received (ms since 1970), its stamp.
type place struct {
	position, writer, lot, receivedAt int64
	stamp                             schema.Stamp
}

// put writes an entry into the file. Its bytes are taken apart where they can be put together again from what is written; else they are
// kept as they are.
func (b *batch) put(a arrival, p place) error {
	e, st := a.entry, p.stamp
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
	row.body = a.raw
	sitting := fmt.Sprintf("%d %s %s %s", e.Incarnation, e.Device, e.Person, e.Session)
	shape, others, ok := atrest.Pack(a.raw, &columns)
	// What was handed back stands under another number than it names itself. The view reads an id as hexadecimal digits, and finds
	// the sitting's parts by its spaces.
	if ok && a.seq == e.Seq && e.ID == hex.EncodeToString(id) && strings.Count(sitting, " ") == 3 {
		if row.shape, err = b.shape(shape); err != nil {
			return err
		}
	}
	if row.shape > 0 {
		var errs [3]error
		row.bed, errs[0] = b.register(e.Bed)
		row.sitting, errs[1] = b.name(sitting, sitting)
		if walk, _ := hex.DecodeString(columns.Walk); len(walk) > 0 {
			row.walk, errs[2] = b.name(columns.Walk, walk)
		}
		if err := errors.Join(errs[:]...); err != nil {
			return err
		}
		row.wall, row.floor, row.mono, row.body = e.Wall-st.At, e.Floor-st.At, e.Mono, others
	}
	_, err = b.hot.entry.Exec(p.position, id, p.writer, a.seq, p.lot, st.At, slices.Index(qualities, st.Quality), st.From-st.At, st.To-st.At, p.receivedAt-st.At,
		row.shape, row.bed, row.sitting, row.walk, row.wall, row.floor, row.mono, row.body)
	return err
}

// shape is the number of a shape, 0 where there is no room for another.
func (b *batch) shape(text string) (int64, error) {
	return b.numbered(text, func(m *memory) map[string]int64 { return m.shapes }, func() (n int64, err error) {
		err = b.tx.QueryRow("select n from shapes where shape = ?", text).Scan(&n)
		if !errors.Is(err, sql.ErrNoRows) {
			return n, err
		}
		err = b.tx.QueryRow("insert into shapes (shape) select ? where coalesce((select max(n) from shapes), 0) < ? returning n", text, maxShapes).Scan(&n)
		if errors.Is(err, sql.ErrNoRows) {
			err = nil
		}
		return n, err
	})
}

// name is the number of what many entries share.
func (b *batch) name(text string, id any) (int64, error) {
	return b.numbered(text, func(m *memory) map[string]int64 { return m.names }, func() (n int64, err error) {
		err = b.tx.QueryRow("insert into names (id) values (?) on conflict (id) do update set id = id returning n", id).Scan(&n)
		return n, err
	})
}

// numbered looks a number up, in what this batch and the store remember first.
func (b *batch) numbered(text string, of func(*memory) map[string]int64, ask func() (int64, error)) (int64, error) {
	if n, ok := of(&b.over)[text]; ok {
		return n, nil
	}
	if n, ok := of(&b.store.memory)[text]; ok {
		return n, nil
	}
	n, err := ask()
	// What there is no room for is not remembered either: there may be any number of it.
	if err == nil && n > 0 {
		of(&b.over)[text] = n
	}
	return n, err
}
