package pg

import (
	"encoding/hex"
	"fmt"
	"iter"

	"github.com/jackc/pgx/v5"

	"bedwalk/server/journal"
)

// A list is joined row by row, with "offset 0" so that it stays so: for "= any(list)" a young site, of which PostgreSQL has no statistics yet, is read as a
// whole. The notes of a page are taken before they are joined: the other way round all that come after them may be sorted for each page.
const (
	line = "select position, at, quality, at_from, at_to, bytes from notes "
	row  = `select e.position, e.at, e.quality, e.at_from, e.at_to, e.bytes, encode(e.id, 'hex'), e.lot, case when e.lot = 0 then '' else coalesce(t.id, '?') end,
		e.writer, e.seq, e.received_at, coalesce(w.device, ''), coalesce(w.inc, 0)
		from (select * from notes where position > $1 and position <= $2 order by position %[1]s limit $3) e
		left join registers t on t.n = e.lot left join writers w on w.n = e.writer order by e.position %[1]s`
	lineOf = "cross join lateral (select position, at, quality, at_from, at_to, bytes from notes where "
)

func lineInto(l *journal.Line) []any {
	return []any{&l.Position, &l.Stamp.At, &l.Stamp.Quality, &l.Stamp.From, &l.Stamp.To, &l.Bytes}
}

func scanLine(rows pgx.Rows) (l journal.Line, err error) {
	err = rows.Scan(lineInto(&l)...)
	return l, err
}

func (s snap) lines(which string, args ...any) ([]journal.Line, error) {
	return all(s, scanLine, line+which, args...)
}

// After is journal.Notes'.
func (s snap) After(position int64, limit int) iter.Seq2[journal.Line, error] {
	return s.atMost(limit, func(after int64, some int) ([]journal.Line, error) {
		return s.lines("where position > $1 order by position limit $2", max(position, after), some)
	})
}

// atMost gives notes in the order of their positions, page by page, as far as a limit.
func (s snap) atMost(limit int, next func(after int64, some int) ([]journal.Line, error)) iter.Seq2[journal.Line, error] {
	left := limit
	return paged(func(last *journal.Line, most int) ([]journal.Line, error) {
		after := int64(0)
		if last != nil {
			after = last.Position
		}
		if left <= 0 {
			return nil, nil
		}
		page, err := next(after, min(left, most))
		left -= len(page)
		return page, err
	})
}

// left are the lots that are left out because they are closed ($1 the position, $2 the time).
const left = `select lot from closed_lots where since <= $1 and last_at < $2
	union all select lot from closed_before where since <= $1 and until > $1 and last_at < $2`

// AfterBut is journal.Notes'.
func (s snap) AfterBut(position int64, limit int, but journal.LeftOut) iter.Seq2[journal.Line, error] {
	return s.atMost(limit, func(after int64, some int) ([]journal.Line, error) {
		return s.lines(`where position > $3 and (position > $1 or lot not in (`+left+` union all select unnest($5::bigint[]))
			or exists (select 1 from staying s where s.position = notes.position and s.since <= $1)) order by position limit $4`,
			but.UpTo, but.Before, max(position, after), some, but.Others)
	})
}

// Rows is journal.Notes'.
func (s snap) Rows(after, upTo int64) iter.Seq2[journal.Row, error] {
	return paged(func(last *journal.Row, limit int) ([]journal.Row, error) {
		if last != nil {
			after = last.Position
		}
		return all(s, scanRow, fmt.Sprintf(row, ""), after, upTo, limit)
	})
}

// RowsBack is journal.Notes'.
func (s snap) RowsBack(after, upTo int64) iter.Seq2[journal.Row, error] {
	return paged(func(last *journal.Row, limit int) ([]journal.Row, error) {
		if last != nil {
			upTo = last.Position - 1
		}
		return all(s, scanRow, fmt.Sprintf(row, "desc"), after, upTo, limit)
	})
}

func scanRow(rows pgx.Rows) (r journal.Row, err error) {
	err = rows.Scan(append(lineInto(&r.Line), &r.ID, &r.LotN, &r.Lot, &r.Writer, &r.Seq, &r.ReceivedAt, &r.By.Device, &r.By.Incarnation)...)
	r.By.Seq = r.Seq
	return r, err
}

// HasLot is journal.Notes'.
func (s snap) HasLot(lot string) (bool, error) {
	return value[bool](s, "select exists (select 1 from registers r join digests d on d.lot = r.n where r.id = $1)", lot)
}

// ofLot is the number of a lot by its id, no number where it has none.
const ofLot = "lot = (select n from registers where id = $1) "

// OfLot is journal.Notes'.
func (s snap) OfLot(lot string, after, upTo int64, limit int) iter.Seq2[journal.Line, error] {
	return s.atMost(limit, func(last int64, some int) ([]journal.Line, error) {
		return s.lines("where "+ofLot+"and position > $2 and position <= $3 order by position limit $4", lot, max(after, last), upTo, some)
	})
}

// listedWith are the positions of notes by the records that they are listed with.
const listedWith = "select k.position from unnest($1::text[]) j(key) cross join lateral (select position from entry_keys where key = j.key offset 0) k"

// OfKeys is journal.Notes'.
func (s snap) OfKeys(keys, ids []string, after, upTo int64, limit int) iter.Seq2[journal.Line, error] {
	named := rawIDs(ids)
	return s.atMost(limit, func(last int64, some int) ([]journal.Line, error) {
		return s.lines(`where position > $3 and position <= $4 and position in (`+listedWith+`
			union select e.position from unnest($2::bytea[]) j(id) cross join lateral (select position from notes where id = j.id offset 0) e)
			order by position limit $5`, keys, named, max(after, last), upTo, some)
	})
}

// rawIDs are ids as notes have them. What is no id in hexadecimal digits is of no note.
func rawIDs(ids []string) (raw [][]byte) {
	known := map[string]bool{}
	for _, id := range ids {
		if one := rawID(id); one != nil && !known[string(one)] {
			known[string(one)] = true
			raw = append(raw, one)
		}
	}
	return raw
}

func rawID(id string) []byte {
	raw, err := hex.DecodeString(id)
	if err != nil {
		return nil
	}
	return raw
}

// ChangedIn is journal.Notes'.
func (s snap) ChangedIn(lot int64, after int64, also []int64) ([]journal.Line, error) {
	return s.lines("where lot = $1 and (position > $2 or position = any($3::bigint[]))", lot, after, also)
}

// At is journal.Notes'.
func (s snap) At(positions []int64) ([]journal.Line, error) {
	return all(s, scanLine, "select e.* from unnest($1::bigint[]) j(at) "+lineOf+"position = j.at offset 0) e", positions)
}

// Note is journal.Notes'.
func (s snap) Note(id string) (journal.Line, bool, error) {
	return first(s.lines("where id = $1", rawID(id)))
}

// EntriesOf is journal.Notes'.
func (s snap) EntriesOf(key string) ([]journal.Line, error) {
	return s.lines("where position in (select position from entry_keys where key = $1 union select position from notes where id = $2) order by position",
		key, rawID(journal.NameOf(key)))
}

// Parts is journal.Notes'. Each note is read once by the list, however many of the records it is in.
func (s snap) Parts(keys []string) ([]journal.Part, error) {
	ids := make([]string, len(keys))
	for i, key := range keys {
		ids[i] = journal.NameOf(key)
	}
	return all(s, func(rows pgx.Rows) (p journal.Part, err error) {
		err = rows.Scan(append(lineInto(&p.Line), &p.Keys)...)
		return p, err
	}, `select e.*, l.keys from (select k.position, array_agg(k.key) as keys from unnest($1::text[]) j(key)
			cross join lateral (select key, position from entry_keys where key = j.key offset 0) k group by k.position) l `+lineOf+`position = l.position offset 0) e
		union all
		select e.*, null from unnest($2::bytea[]) j(id) `+lineOf+"id = j.id offset 0) e", keys, rawIDs(ids))
}

// HasPart is journal.Notes'.
func (s snap) HasPart(key string, position int64) (bool, error) {
	return value[bool](s, "select exists (select 1 from entry_keys where key = $1 and position = $2)", key, position)
}

// CountParts is journal.Notes'.
func (s snap) CountParts(key string, most int) (int, error) {
	return value[int](s, "select count(*) from (select 1 from entry_keys where key = $1 limit $2) listed", key, most)
}

// OfWriter is journal.Notes'.
func (s snap) OfWriter(writer int64) ([]journal.Line, error) {
	return s.lines("where writer = $1 order by position", writer)
}

// Unread is journal.Notes'.
func (s snap) Unread(after int64, kinds []string, limit int) ([]journal.Line, error) {
	return s.lines("where position > $1 and kind = any($2::text[]) order by position limit $3", after, kinds, limit)
}

// ofItself leaves out the notes that were merged out of quarantine.
const ofItself = " and not exists (select 1 from quarantine q where q.state = 'merged' and q.position = notes.position)"

// LastIn is journal.Notes'.
func (s snap) LastIn(from, to, before int64) (int64, error) {
	return value[int64](s, "select position from notes where position between $1 and $2 and received_at < $3"+ofItself+" order by position desc limit 1", from, to, before)
}

// FirstIn is journal.Notes'.
func (s snap) FirstIn(from, to int64) (at int64, found bool, err error) {
	var first *int64
	if _, err := s.one("select min(received_at) from notes where position between $1 and $2"+ofItself, []any{from, to}, &first); err != nil || first == nil {
		return 0, false, err
	}
	return *first, true, nil
}

// Mark is journal.Tx's.
func (t *tx) Mark(position int64, hash [32]byte) error {
	return t.queue("insert into marks (position, hash) values ($1, $2) on conflict (site, position) do update set hash = excluded.hash", position, hash[:])
}
