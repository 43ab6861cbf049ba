package pg

import (
	"fmt"
	"iter"
	"strings"

	"github.com/jackc/pgx/v5"

	"bedwalk/schema"
	"bedwalk/server/journal"
)

// Records is journal.Folded's.
func (s snap) Records(which journal.Which) iter.Seq2[journal.Stored, error] {
	limit := which.Limit
	return paged(func(last *journal.Stored, most int) ([]journal.Stored, error) {
		some := most
		if limit > 0 {
			if some = min(which.Limit, most); some == 0 {
				return nil, nil
			}
		}
		query, args := storedIn(which, last, some)
		page, err := all(s, scanStored, query, args...)
		which.Limit -= len(page)
		return page, err
	})
}

// storedIn is the question for some records after the last one that was given. Ends of ranges are written as they are, so that the index of the keys
// serves.
func storedIn(w journal.Which, last *journal.Stored, some int) (query string, args []any) {
	var wanted []string
	add := func(text string, values ...any) {
		for _, one := range values {
			args = append(args, one)
			text = strings.Replace(text, "?", fmt.Sprintf("$%d", len(args)), 1)
		}
		wanted = append(wanted, text)
	}
	order := "key"
	if w.Key != "" {
		add("key = ?", w.Key)
	}
	if w.Bed != "" {
		order = "n"
		add("bed <> 0 and bed = (select n from registers where id = ?)", w.Bed)
	}
	if w.Lot != "" {
		order = "n"
		add("lot <> 0 and lot = (select n from registers where id = ?)", w.Lot)
	}
	if w.Numbers != nil {
		order = "n"
		add("n = any(?::bigint[])", w.Numbers)
	}
	if w.After != "" {
		add("key > ?", w.After)
	}
	switch {
	case last != nil && order == "n":
		add("n > ?", last.N)
	case last != nil:
		add("key > ?", last.Key)
	}
	if w.Since != 0 {
		add("changed > ?", w.Since)
	}
	if w.UpTo != nil {
		add("changed <= ?", *w.UpTo)
	}
	if w.Several {
		add("json is not null")
	}
	if len(w.Kinds) > 0 {
		var ends []any
		for _, kind := range w.Kinds {
			ends = append(ends, kind+":", kind+";")
		}
		add("("+strings.TrimSuffix(strings.Repeat("key > ? and key < ? or ", len(w.Kinds)), " or ")+")", ends...)
	}
	if len(wanted) == 0 {
		wanted = []string{"true"}
	}
	return fmt.Sprintf(`select r.n, r.key, r.changed, r.json, e.* from (select n, key, changed, json, note from records where %s order by %s limit %d) r
		left join lateral (select position, at, quality, at_from, at_to, bytes from notes where id = r.note offset 0) e on true order by r.%s`,
		strings.Join(wanted, " and "), order, some, order), args
}

func scanStored(rows pgx.Rows) (r journal.Stored, err error) {
	var position, at, from, to *int64
	var quality *string
	if err := rows.Scan(&r.N, &r.Key, &r.Changed, &r.Text, &position, &at, &quality, &from, &to, &r.Bytes); err != nil || position == nil {
		return r, err
	}
	r.Position = *position
	r.Stamp = schema.Stamp{At: *at, Quality: schema.Quality(*quality), From: *from, To: *to}
	return r, nil
}

// Text is journal.Folded's.
func (s snap) Text(key string) ([]byte, error) {
	return value[[]byte](s, "select json from records where key = $1", key)
}

// Number is journal.Folded's.
func (s snap) Number(key string) (n int64, there bool, err error) {
	var next int64
	if _, err := s.one(`select coalesce((select n from records where key = $1), 0), coalesce((select max(n) from records), 0) + 1`, []any{key}, &n, &next); err != nil || n > 0 {
		return n, err == nil, err
	}
	return next, false, nil
}

// NumberedAfter is journal.Folded's.
func (s snap) NumberedAfter(n int64, limit int) ([]journal.Numbered, error) {
	return all(s, func(rows pgx.Rows) (one journal.Numbered, err error) {
		err = rows.Scan(&one.N, &one.Key)
		return one, err
	}, "select n, key from records where n > $1 order by n limit $2", n, limit)
}

// changed is a record that changed, with the head at which it did.
type changed struct {
	journal.Changed
	at int64
}

// Changed is journal.Folded's.
func (s snap) Changed(after int64) iter.Seq2[journal.Changed, error] {
	pages := paged(func(last *changed, limit int) ([]changed, error) {
		from := changed{at: after}
		if last != nil {
			from = *last
		}
		return all(s, func(rows pgx.Rows) (c changed, err error) {
			err = rows.Scan(&c.Key, &c.Lot, &c.Bed, &c.Several, &c.at)
			return c, err
		}, `select r.key, coalesce(l.id, ''), coalesce(b.id, ''), r.json is not null, r.changed from records r
			left join registers l on l.n = r.lot left join registers b on b.n = r.bed
			where r.changed > $1 and (r.changed, r.key) > ($2, $3) order by r.changed, r.key limit $4`, after, from.at, from.Key, limit)
	})
	return func(yield func(journal.Changed, error) bool) {
		for one, err := range pages {
			if !yield(one.Changed, err) {
				return
			}
		}
	}
}

// KeysOfKind is journal.Folded's.
func (s snap) KeysOfKind(kind string, after int64) ([]string, error) {
	return values[string](s, "select key from records where key > $1 and key < $2 and changed > $3 order by key", kind+":", kind+";", after)
}

// KeysOfLot is journal.Folded's.
func (s snap) KeysOfLot(lot int64, kind string) ([]string, error) {
	return values[string](s, "select key from records where lot = $1 and key > $2 and key < $3", lot, kind+":", kind+";")
}

// Unfolded is journal.Folded's.
func (s snap) Unfolded() ([]string, error) {
	return values[string](s, `select distinct key from entry_keys k where (key between 'pot:' and 'pot;' or key between 'fact:' and 'fact;')
		and not exists (select 1 from records r where r.key = k.key)`)
}

// DropRecord is journal.Tx's.
func (t *tx) DropRecord(key string) error { return t.queue("delete from records where key = $1", key) }
