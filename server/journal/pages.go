package journal

import (
	"context"
	"fmt"
	"iter"
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
	return s.entriesPage(ctx, r, func(snap Snap, after int64, limit int) (iter.Seq2[Line, error], error) {
		has, err := snap.HasLot(lot)
		if err == nil && !has {
			err = schema.NewProblem(http.StatusNotFound, CodeNoSuchLot, fmt.Sprintf("The server has no note of a lot %q.", shorten(lot, 40)),
				"Check the lot's tag. If it was entered on a phone that has not sent yet, let that phone send first.")
		}
		return snap.OfLot(lot, after, r.UpTo, limit), err
	})
}

// EntriesOfKeys gives all entries that have a part in some records, at most MaxKeys of them, as EntriesOfLot does. Of a key that
// nothing names there are none.
func (s *Store) EntriesOfKeys(ctx context.Context, keys []string, r Reach) (schema.Page, error) {
	if len(keys) == 0 || len(keys) > MaxKeys {
		return schema.Page{}, schema.NewProblem(http.StatusBadRequest, CodeParameter, fmt.Sprintf("%d keys were asked for.", len(keys)),
			fmt.Sprintf("Name 1 to %d records with key=KEY.", MaxKeys))
	}
	var ids []string
	for _, key := range keys {
		if ofNotes(key) {
			ids = append(ids, NameOf(key))
		}
	}
	return s.entriesPage(ctx, r, func(snap Snap, after int64, limit int) (iter.Seq2[Line, error], error) {
		return snap.OfKeys(keys, ids, after, r.UpTo, limit), nil
	})
}

// entriesPage is a page of the notes that of gives after a position, at most limit.
func (s *Store) entriesPage(ctx context.Context, r Reach, of func(snap Snap, after int64, limit int) (iter.Seq2[Line, error], error)) (page schema.Page, err error) {
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
	err = s.site.Read(ctx, func(snap Snap) error {
		lines, err := of(snap, r.After, r.Limit)
		if err != nil {
			return err
		}
		page.Items, page.Receipts, _, err = s.items(r.Limit, lines)
		if err != nil || len(page.Items) == 0 {
			return err
		}
		following, err := of(snap, page.Items[len(page.Items)-1].Position, 1)
		if err != nil {
			return err
		}
		for _, err := range following {
			page.More = true
			return err
		}
		return nil
	})
	return page, err
}
