package journal

import (
	"context"
	"database/sql"

	"bedwalk/schema"
	"bedwalk/sync/journal"
)

// Page sizes of a pull. The first page is small, so that a fresh phone shows something soon.
const (
	MaxPage   = 1000
	FirstPage = 100
	// PageBytes is how many bytes of entries a page has at most, besides its last one: a thousand notes have about
	// 600,000, and a phone holds a page in memory several times over.
	PageBytes = 1 << 20
)

// Pull gives the merged entries after a cursor, in the order of their positions. A cursor of another epoch, or past
// the head, is answered with a *schema.Problem that says where to go on from. Proof is ProofOf the entry at the cursor, "" where
// the device has none: without it nobody is believed that the journal was once longer than it is.
func (s *Store) Pull(ctx context.Context, device, epoch string, after int64, limit int, proof string) (schema.Pull, error) {
	if limit <= 0 || limit > MaxPage {
		limit = MaxPage
	}
	if after <= 0 {
		limit = min(limit, FirstPage)
	}
	page := schema.Pull{Epoch: s.Epoch(), Items: make([]schema.Pulled, 0, limit), ServerNow: s.passedMS()}
	receipts := make([]byte, 0, limit*schema.ReceiptChars)
	elsewhere := epoch != page.Epoch && (epoch != "" || after > 0)
	err := s.db.Read(ctx, func(tx *sql.Tx) error {
		if err := s.loadFrom(tx); err != nil {
			return err
		}
		page.Head, page.BackedUpTo = s.Head(), s.BackedUpTo()
		if elsewhere || after > page.Head {
			return nil
		}
		rows, err := tx.Query(`select position, at, quality, at_from, at_to, bytes from entries
			where position > ? order by position limit ?`, after, limit)
		if err != nil {
			return err
		}
		defer rows.Close()
		for size := 0; size < PageBytes && rows.Next(); {
			var one schema.Pulled
			st := &one.Stamp
			if err := rows.Scan(&one.Position, &st.At, &st.Quality, &st.From, &st.To, (*[]byte)(&one.Entry)); err != nil {
				return err
			}
			size += len(one.Entry)
			page.Items = append(page.Items, one)
			receipts = append(receipts, s.keys.receipt(one.Position, journal.Hash(one.Entry, one.Stamp))...)
		}
		return rows.Err()
	})
	if err != nil {
		return page, err
	}
	if !elsewhere && after > page.Head {
		if err := s.detectRollback(ctx, device, after, proof); err != nil {
			return page, err
		}
		elsewhere = true
	}
	if elsewhere {
		point, err := s.forkPoint(ctx, epoch)
		if err != nil {
			return page, err
		}
		return schema.Pull{}, rewind(s.Epoch(), min(after, point))
	}
	page.Receipts = string(receipts)
	if n := len(page.Items); n > 0 {
		page.More = page.Items[n-1].Position < page.Head
	}
	return page, nil
}
