package journal

import (
	"context"
	"database/sql"
	"fmt"
	"net/http"

	"bedwalk/schema"
)

// Reach is how much of the journal a device asks for: up to a position of an epoch, in pages after a position.
type Reach struct {
	Epoch       string
	UpTo, After int64
	Limit       int
}

// MaxKeys is how many records may be asked for at once.
const MaxKeys = 50

// EntriesOfLot gives all entries of a lot in pages, in the order of their positions. It answers with a *schema.Problem where there is
// no such lot, or where the device is not on this journal.
func (s *Store) EntriesOfLot(ctx context.Context, lot string, r Reach) (schema.Page, error) {
	return s.entriesPage(ctx, r, func(tx *sql.Tx) (which string, args []any, err error) {
		var n int64
		err = tx.QueryRow("select r.n from registers r join digests d on d.lot = r.n where r.id = ?", lot).Scan(&n)
		if err == sql.ErrNoRows {
			err = schema.NewProblem(http.StatusNotFound, CodeNoSuchLot, fmt.Sprintf("The server has no note of a lot %q.", shorten(lot, 40)),
				"Check the lot's tag. If it was entered on a phone that has not sent yet, let that phone send first.")
		}
		return "lot = ?4", []any{n}, err
	})
}

// EntriesOfKeys gives all entries that have a part in some records, at most MaxKeys of them, as EntriesOfLot does. Of a key that
// nothing names there are none.
func (s *Store) EntriesOfKeys(ctx context.Context, keys []string, r Reach) (schema.Page, error) {
	if len(keys) == 0 || len(keys) > MaxKeys {
		return schema.Page{}, schema.NewProblem(http.StatusBadRequest, CodeParameter, fmt.Sprintf("%d keys were asked for.", len(keys)),
			fmt.Sprintf("Name 1 to %d records with key=KEY.", MaxKeys))
	}
	return s.entriesPage(ctx, r, func(*sql.Tx) (string, []any, error) {
		var ids []string
		for _, key := range keys {
			if ofNotes(key) {
				ids = append(ids, nameOf(key))
			}
		}
		wanted, err := list(keys)
		if err != nil {
			return "", nil, err
		}
		named, err := list(ids)
		return `(id in (select unhex(value) from json_each(?5))
			or position in (select position from entry_keys where key in (select value from json_each(?4))))`, []any{wanted, named}, err
	})
}

func (s *Store) entriesPage(ctx context.Context, r Reach, of func(*sql.Tx) (string, []any, error)) (page schema.Page, err error) {
	if r.Limit <= 0 || r.Limit > MaxPage {
		r.Limit = MaxPage
	}
	page.Epoch = s.Epoch()
	if r.Epoch != page.Epoch || r.UpTo > s.Head() {
		point, err := s.forkPoint(ctx, r.Epoch)
		if err != nil {
			return page, err
		}
		return page, rewind(page.Epoch, min(r.UpTo, point))
	}
	err = s.db.Read(ctx, func(tx *sql.Tx) error {
		which, args, err := of(tx)
		if err != nil {
			return err
		}
		args = append([]any{r.After, r.UpTo, r.Limit}, args...)
		page.Items, page.Receipts, _, err = s.items(tx, r.Limit, "where position > ?1 and position <= ?2 and "+which+" order by position limit ?3", args...)
		if err != nil || len(page.Items) == 0 {
			return err
		}
		page.More, err = more(tx, which, args, page.Items[len(page.Items)-1].Position)
		return err
	})
	return page, err
}

// more says whether any such entry follows after a position.
func more(tx *sql.Tx, which string, args []any, after int64) (more bool, err error) {
	args[0] = after
	err = tx.QueryRow("select exists (select 1 from entries where position > ?1 and position <= ?2 and ?3 > 0 and "+which+")", args...).Scan(&more)
	return more, err
}
