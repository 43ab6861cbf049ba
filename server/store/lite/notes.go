package lite

import (
	"database/sql"
	"encoding/json"
	"errors"
	"iter"

	"bedwalk/server/journal"
)

const (
	line = "select position, at, quality, at_from, at_to, bytes from entries "
	row  = `select e.position, e.at, e.quality, e.at_from, e.at_to, e.bytes, lower(hex(e.id)), e.lot, iif(e.lot = 0, '', coalesce(t.id, '?')),
		e.writer, e.seq, e.received_at, coalesce(w.device, ''), coalesce(w.inc, 0)
		from entries e left join registers t on t.n = e.lot left join writers w on w.n = e.writer where e.position > ? and e.position <= ? order by e.position `
)

func scanLine(rows *sql.Rows) (l journal.Line, err error) {
	err = rows.Scan(&l.Position, &l.Stamp.At, &l.Stamp.Quality, &l.Stamp.From, &l.Stamp.To, &l.Bytes)
	return l, err
}

func (s snap) lines(which string, args ...any) iter.Seq2[journal.Line, error] {
	return each(s.tx, scanLine, line+which, args...)
}

func (s snap) allLines(which string, args ...any) ([]journal.Line, error) {
	return all(s.tx, scanLine, line+which, args...)
}

// After is journal.Notes'.
func (s snap) After(position int64, limit int) iter.Seq2[journal.Line, error] {
	return s.lines("where position > ? order by position limit ?", position, limit)
}

// left are the lots that are left out because they are closed (?1 the position, ?2 the time).
const left = `select lot from closed_lots where since <= ?1 and last_at < ?2
	union all select lot from closed_before where since <= ?1 and until > ?1 and last_at < ?2`

// AfterBut is journal.Notes'.
func (s snap) AfterBut(position int64, limit int, but journal.LeftOut) iter.Seq2[journal.Line, error] {
	others, err := list(but.Others)
	if err != nil {
		return failed[journal.Line](err)
	}
	return s.lines(`where position > ?3 and (position > ?1 or lot not in (`+left+` union all select value from json_each(?5))
		or exists (select 1 from staying s where s.position = entries.position and s.since <= ?1)) order by position limit ?4`,
		but.UpTo, but.Before, position, limit, others)
}

// failed is a sequence of one error.
func failed[T any](err error) iter.Seq2[T, error] {
	return func(yield func(T, error) bool) {
		var none T
		yield(none, err)
	}
}

// Rows is journal.Notes'.
func (s snap) Rows(after, upTo int64) iter.Seq2[journal.Row, error] {
	return each(s.tx, scanRow, row, after, upTo)
}

// RowsBack is journal.Notes'.
func (s snap) RowsBack(after, upTo int64) iter.Seq2[journal.Row, error] {
	return each(s.tx, scanRow, row+"desc", after, upTo)
}

func scanRow(rows *sql.Rows) (r journal.Row, err error) {
	var raw sql.RawBytes
	err = rows.Scan(&r.Position, &r.Stamp.At, &r.Stamp.Quality, &r.Stamp.From, &r.Stamp.To, &raw, &r.ID, &r.LotN, &r.Lot,
		&r.Writer, &r.Seq, &r.ReceivedAt, &r.By.Device, &r.By.Incarnation)
	r.Bytes, r.By.Seq = raw, r.Seq
	return r, err
}

// HasLot is journal.Notes'.
func (s snap) HasLot(lot string) (has bool, err error) {
	err = s.tx.QueryRow("select exists (select 1 from registers r join digests d on d.lot = r.n where r.id = ?)", lot).Scan(&has)
	return has, err
}

// OfLot is journal.Notes'.
func (s snap) OfLot(lot string, after, upTo int64, limit int) iter.Seq2[journal.Line, error] {
	return s.lines("where lot = (select n from registers where id = ?) and position > ? and position <= ? order by position limit ?", lot, after, upTo, limit)
}

// OfKeys is journal.Notes'.
func (s snap) OfKeys(keys, ids []string, after, upTo int64, limit int) iter.Seq2[journal.Line, error] {
	wanted, err := list(keys)
	named, bad := list(ids)
	if err := errors.Join(err, bad); err != nil {
		return failed[journal.Line](err)
	}
	return s.lines(`where position > ? and position <= ? and (id in (select unhex(value) from json_each(?))
		or position in (select position from entry_keys where key in (select value from json_each(?)))) order by position limit ?`, after, upTo, named, wanted, limit)
}

// ChangedIn is journal.Notes'.
func (s snap) ChangedIn(lot int64, after int64, also []int64) ([]journal.Line, error) {
	others, err := list(also)
	if err != nil {
		return nil, err
	}
	return s.allLines("where lot = ? and (position > ? or position in (select value from json_each(?)))", lot, after, others)
}

// At is journal.Notes'.
func (s snap) At(positions []int64) ([]journal.Line, error) {
	wanted, err := list(positions)
	if err != nil {
		return nil, err
	}
	return all(s.tx, scanLine, `select e.position, e.at, e.quality, e.at_from, e.at_to, e.bytes from json_each(?) j join entries e on e.position = j.value`, wanted)
}

// Note is journal.Notes'.
func (s snap) Note(id string) (journal.Line, bool, error) {
	return first(s.allLines("where id = unhex(?)", id))
}

// EntriesOf is journal.Notes'.
func (s snap) EntriesOf(key string) ([]journal.Line, error) {
	return s.allLines("where id = unhex(?2) or position in (select position from entry_keys where key = ?1) order by position", key, journal.NameOf(key))
}

// Parts is journal.Notes'. Each note is read once by the list, however many of the records it is in.
func (s snap) Parts(keys []string) (parts []journal.Part, err error) {
	wanted, err := list(keys)
	if err != nil {
		return nil, err
	}
	listed, positions, err := s.listed(wanted)
	if err != nil {
		return nil, err
	}
	ids := make([]string, len(keys))
	for i, key := range keys {
		ids[i] = journal.NameOf(key)
	}
	placed, err := list(positions)
	named, bad := list(ids)
	if err := errors.Join(err, bad); err != nil {
		return nil, err
	}
	return all(s.tx, func(rows *sql.Rows) (p journal.Part, err error) {
		if p.Line, err = scanLine(rows); p.Position < 0 {
			p.Position = -p.Position
			return p, err
		}
		p.Keys = listed[p.Position]
		return p, err
	}, `select e.position, e.at, e.quality, e.at_from, e.at_to, e.bytes from json_each(?) j join entries e on e.position = j.value
		union all
		select -e.position, e.at, e.quality, e.at_from, e.at_to, e.bytes from json_each(?) j join entries e on e.id = unhex(j.value)`, placed, named)
}

// listed are the notes that are listed with some records, by their positions, and these in the order in which they were found.
func (s snap) listed(keys string) (parts map[int64][]string, positions []int64, err error) {
	parts = map[int64][]string{}
	for one, err := range each(s.tx, scanPart, "select k.key, k.position from json_each(?) j join entry_keys k on k.key = j.value", keys) {
		if err != nil {
			return nil, nil, err
		}
		if parts[one.Position] == nil {
			positions = append(positions, one.Position)
		}
		parts[one.Position] = append(parts[one.Position], one.Key)
	}
	return parts, positions, nil
}

func scanPart(rows *sql.Rows) (p journal.PartAt, err error) {
	err = rows.Scan(&p.Key, &p.Position)
	return p, err
}

// HasPart is journal.Notes'.
func (s snap) HasPart(key string, position int64) (has bool, err error) {
	err = s.tx.QueryRow("select exists (select 1 from entry_keys where key = ? and position = ?)", key, position).Scan(&has)
	return has, err
}

// CountParts is journal.Notes'.
func (s snap) CountParts(key string, most int) (n int, err error) {
	err = s.tx.QueryRow("select count(*) from (select 1 from entry_keys where key = ? limit ?)", key, most).Scan(&n)
	return n, err
}

func scanArrived(rows *sql.Rows) (a journal.Arrived, err error) {
	var faults string
	if err := rows.Scan(&a.N, &a.ID, &a.Seq, &a.State, &faults, &a.Position, &a.Stamp.At, &a.Stamp.Quality, &a.Stamp.From, &a.Stamp.To, &a.Bytes); err != nil {
		return a, err
	}
	return a, json.Unmarshal([]byte(faults), &a.Faults)
}

// Taken is journal.Notes'.
func (s snap) Taken(writer, first, last int64) ([]journal.Arrived, error) {
	return all(s.tx, scanArrived, `select 0, '', seq, 'merged', '[]', position, at, quality, at_from, at_to, bytes from entries where writer = ?1 and seq between ?2 and ?3
		union all
		select n, '', seq, state, faults, position, at, quality, at_from, at_to, bytes from quarantine where writer = ?1 and seq between ?2 and ?3
		order by 3, 6`, writer, first, last)
}

// Known is journal.Notes'.
func (s snap) Known(ids []string) ([]journal.Arrived, error) {
	wanted, err := list(ids)
	if err != nil {
		return nil, err
	}
	return all(s.tx, scanArrived, `select 0, j.value, e.seq, 'merged', '[]', e.position, e.at, e.quality, e.at_from, e.at_to, e.bytes
			from json_each(?1) j join entries e on e.id = unhex(j.value)
		union all
		select w.n, j.value, w.seq, w.state, w.faults, w.position, w.at, w.quality, w.at_from, w.at_to, w.bytes
			from json_each(?1) j join quarantine w on w.id = j.value where w.state in ('quarantined', 'review', 'left')`, wanted)
}

// Held is journal.Notes'.
func (s snap) Held(id string, raw []byte) (journal.Arrived, bool, error) {
	return first(all(s.tx, scanArrived, `select 0, '', seq, 'merged', '[]', position, at, quality, at_from, at_to, bytes from entries where id = unhex(?1)
		union all
		select n, id, seq, state, faults, 0, at, quality, at_from, at_to, bytes from quarantine where id = ?1 and (id <> '' or bytes = ?2) limit 1`, id, raw))
}

// OfWriter is journal.Notes'.
func (s snap) OfWriter(writer int64) ([]journal.Line, error) {
	return s.allLines("where writer = ? order by position", writer)
}

// Unread is journal.Notes'. Looked for is the name of the kind in the note's shape, or in its bytes.
func (s snap) Unread(after int64, kinds []string, limit int) ([]journal.Line, error) {
	marks := make([]string, len(kinds))
	for i, kind := range kinds {
		marks[i] = `"kind":"` + kind + `"`
	}
	wanted, err := list(marks)
	if err != nil {
		return nil, err
	}
	return s.allLines(`where position in (
			select position from notes where position > ?1 and (shape in (select s.n from shapes s, json_each(?2) k where instr(s.shape, k.value) > 0)
				or shape = 0 and exists (select 1 from json_each(?2) k where instr(body, cast(k.value as blob)) > 0))
			order by position limit ?3) order by position`, after, wanted, limit)
}

// ofItself leaves out the notes that were merged out of quarantine.
const ofItself = " and position not in (select position from quarantine where state = 'merged')"

// LastIn is journal.Notes'.
func (s snap) LastIn(from, to, before int64) (position int64, err error) {
	err = s.tx.QueryRow("select position from entries where position between ? and ? and received_at < ?"+ofItself+" order by position desc limit 1", from, to, before).
		Scan(&position)
	return position, ignoreNone(err)
}

// FirstIn is journal.Notes'.
func (s snap) FirstIn(from, to int64) (at int64, found bool, err error) {
	var first sql.NullInt64
	err = s.tx.QueryRow("select min(received_at) from entries where position between ? and ?"+ofItself, from, to).Scan(&first)
	return first.Int64, first.Valid, err
}
