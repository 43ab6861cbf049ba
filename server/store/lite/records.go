package lite

import (
	"database/sql"
	"errors"
	"iter"
	"strings"

	"bedwalk/schema"
	"bedwalk/server/journal"
)

// stored is a record as the file has it: its text, or its only note.
const stored = `select r.n, r.key, r.changed, r.json, e.position, e.at, e.quality, e.at_from, e.at_to, e.bytes
	from records r left join entries e on r.json is null and e.id = unhex(substr(r.key, instr(r.key, ':') + 1)) where `

// Records is journal.Folded's.
func (s snap) Records(which journal.Which) iter.Seq2[journal.Stored, error] {
	where, args, err := clause(which)
	if err != nil {
		return failed[journal.Stored](err)
	}
	return each(s.tx, scanStored, stored+where, args...)
}

// clause is what stands behind "where", with its parameters. Ends of ranges are written as they are, so that the index of the keys serves.
func clause(w journal.Which) (where string, args []any, err error) {
	var all []string
	add := func(text string, values ...any) {
		all, args = append(all, text), append(args, values...)
	}
	order := " order by r.key"
	if w.Key != "" {
		add("r.key = ?", w.Key)
	}
	if w.Bed != "" {
		order = " order by r.n"
		add("r.bed <> 0 and r.bed = (select n from registers where id = ?)", w.Bed)
	}
	if w.Lot != "" {
		order = " order by r.n"
		add("r.lot <> 0 and r.lot = (select n from registers where id = ?)", w.Lot)
	}
	if w.Numbers != nil {
		order = " order by r.n"
		numbers, err := list(w.Numbers)
		if err != nil {
			return "", nil, err
		}
		add("r.n in (select value from json_each(?))", numbers)
	}
	if w.After != "" {
		add("r.key > ?", w.After)
	}
	if w.Since != 0 {
		add("r.changed > ?", w.Since)
	}
	if w.UpTo != nil {
		add("r.changed <= ?", *w.UpTo)
	}
	if w.Several {
		add("r.json is not null")
	}
	if len(w.Kinds) > 0 {
		var kinds []string
		for _, kind := range w.Kinds {
			kinds = append(kinds, "r.key > ? and r.key < ?")
			args = append(args, kind+":", kind+";")
		}
		all = append(all, "("+strings.Join(kinds, " or ")+")")
	}
	if len(all) == 0 {
		all = []string{"true"}
	}
	where = strings.Join(all, " and ") + order
	if w.Limit > 0 {
		where, args = where+" limit ?", append(args, w.Limit)
	}
	return where, args, nil
}

func scanStored(rows *sql.Rows) (r journal.Stored, err error) {
	var position, at, from, to sql.NullInt64
	var quality sql.NullString
	err = rows.Scan(&r.N, &r.Key, &r.Changed, &r.Text, &position, &at, &quality, &from, &to, &r.Bytes)
	r.Position = position.Int64
	r.Stamp = schema.Stamp{At: at.Int64, Quality: schema.Quality(quality.String), From: from.Int64, To: to.Int64}
	return r, err
}

// Text is journal.Folded's.
func (s snap) Text(key string) (text []byte, err error) {
	err = s.tx.QueryRow("select json from records where key = ?", key).Scan(&text)
	return text, ignoreNone(err)
}

// Number is journal.Folded's.
func (s snap) Number(key string) (n int64, there bool, err error) {
	err = s.tx.QueryRow("select n from records where key = ?", key).Scan(&n)
	if !errors.Is(err, sql.ErrNoRows) {
		return n, err == nil, err
	}
	err = s.tx.QueryRow("select coalesce(max(n), 0) + 1 from records").Scan(&n)
	return n, false, err
}

// NumberedAfter is journal.Folded's.
func (s snap) NumberedAfter(n int64, limit int) ([]journal.Numbered, error) {
	return all(s.tx, func(rows *sql.Rows) (one journal.Numbered, err error) {
		err = rows.Scan(&one.N, &one.Key)
		return one, err
	}, "select n, key from records where n > ? order by n limit ?", n, limit)
}

// Changed is journal.Folded's.
func (s snap) Changed(after int64) iter.Seq2[journal.Changed, error] {
	return each(s.tx, func(rows *sql.Rows) (c journal.Changed, err error) {
		err = rows.Scan(&c.Key, &c.Lot, &c.Bed, &c.Several)
		return c, err
	}, `select r.key, coalesce(l.id, ''), coalesce(b.id, ''), r.json is not null from records r
		left join registers l on l.n = r.lot left join registers b on b.n = r.bed where r.changed > ?`, after)
}

// KeysOfKind is journal.Folded's.
func (s snap) KeysOfKind(kind string, after int64) ([]string, error) {
	return all(s.tx, value[string], "select key from records where key > ? and key < ? and changed > ? order by key", kind+":", kind+";", after)
}

// KeysOfLot is journal.Folded's.
func (s snap) KeysOfLot(lot int64, kind string) ([]string, error) {
	return all(s.tx, value[string], "select key from records where lot = ? and key > ? and key < ?", lot, kind+":", kind+";")
}

// Unfolded is journal.Folded's.
func (s snap) Unfolded() ([]string, error) {
	return all(s.tx, value[string], `select distinct key from entry_keys k where (key between 'pot:' and 'pot;' or key between 'fact:' and 'fact;')
		and not exists (select 1 from records r where r.key = k.key)`)
}

// PutRecord is journal.Tx's.
func (t *tx) PutRecord(r journal.NewRecord) error {
	_, err := t.hot.record.Exec(r.Key, r.Lot, r.Bed, r.Changed, r.Text)
	return err
}

// DropRecord is journal.Tx's.
func (t *tx) DropRecord(key string) error {
	return t.exec("delete from records where key = ?", key)
}
