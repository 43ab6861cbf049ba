package journal

import (
	"context"
	"fmt"
	"iter"

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
	return s.pull(ctx, cursor{device, epoch, after, proof}, limit, nil)
}

// cursor is where a device stands, as it says.
type cursor struct {
	device, epoch string
	after         int64
	proof         string
}

// pull gives a page to any device; first is set for one whose first pull leaves something out.
func (s *Store) pull(ctx context.Context, c cursor, limit int, first *beginning) (schema.Pull, error) {
	device, epoch, after, proof := c.device, c.epoch, c.after, c.proof
	if limit <= 0 || limit > MaxPage {
		limit = MaxPage
	}
	if after <= 0 {
		limit = min(limit, FirstPage)
	}
	page := schema.Pull{Epoch: s.Epoch(), ServerNow: s.passedMS()}
	elsewhere := epoch != page.Epoch && (epoch != "" || after > 0)
	err := s.site.Read(ctx, func(snap Snap) error {
		if err := s.loadFrom(snap); err != nil {
			return err
		}
		page.Head, page.BackedUpTo = s.Head(), s.BackedUpTo()
		if elsewhere || after > page.Head {
			return nil
		}
		if first != nil {
			begun, err := first.begin(snap, s, after)
			if err != nil {
				return err
			}
			if begun {
				return s.alivePage(snap, &page, after, limit, first.firstPull)
			}
		}
		var err error
		page.Items, page.Receipts, _, err = s.items(limit, snap.After(after, limit))
		return err
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
	if n := len(page.Items); n > 0 && page.First == nil {
		page.More = page.Items[n-1].Position < page.Head
	}
	return page, nil
}

// damaged is the error of whoever needs the bytes of an entry that cannot be put together: nothing is decided without them.
func damaged(position int64) error {
	return fmt.Errorf("entry %d was changed in the file by another program or is damaged: run \"bedwalk verify\" and restore the last backup", position)
}

// items are entries as a page has them, with their receipts: at most so many, and no more bytes than a page has. Full is false where that
// is all that there are.
func (s *Store) items(limit int, lines iter.Seq2[Line, error]) (items []schema.Pulled, receipts string, full bool, err error) {
	items = make([]schema.Pulled, 0, limit)
	proofs := make([]byte, 0, limit*schema.ReceiptChars)
	size := 0
	for one, err := range lines {
		if err != nil {
			return nil, "", false, err
		}
		if one.Bytes == nil {
			return nil, "", false, damaged(one.Position)
		}
		size += len(one.Bytes)
		items = append(items, schema.Pulled{Position: one.Position, Stamp: one.Stamp, Entry: one.Bytes})
		proofs = append(proofs, s.keys.receipt(one.Position, journal.Hash(one.Bytes, one.Stamp))...)
		if full = len(items) == limit || size >= PageBytes; full {
			break
		}
	}
	return items, string(proofs), full, nil
}
