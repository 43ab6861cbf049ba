package journal

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"sync"

	"bedwalk/schema"
	"bedwalk/sync/journal"
)

// Compare holds a phone's digest against the journal as of the phone's position, and keeps "phone P equal at N, at
// time T". A difference is filed as an incident, counted once for each position, which is over when they are equal.
func (s *Store) Compare(ctx context.Context, d schema.Digest) (schema.DigestAnswer, error) {
	if d.Epoch != s.Epoch() || d.Position > s.Head() {
		point, err := s.forkPoint(ctx, d.Epoch)
		if err != nil {
			return schema.DigestAnswer{}, err
		}
		return schema.DigestAnswer{}, rewind(s.Epoch(), min(d.Position, point))
	}
	own, err := s.digestsAt(ctx, d.Position)
	if err != nil {
		return schema.DigestAnswer{}, err
	}
	answer := schema.DigestAnswer{Head: s.Head(), Fold: s.fold, BackedUpTo: s.BackedUpTo()}
	differ := differing(own, d.Lots)
	answer.Equal = len(differ) == 0
	answer.Differ, answer.More = some(differ)
	answer.Lots = sumsOf(answer.Differ, own)
	if d.Records != "" && d.Fold == s.fold {
		records, known, err := s.recordsAt(ctx, d.Position)
		if err != nil {
			return answer, err
		}
		if known && totalOf(records) != d.Records {
			answer.Equal = false
			var more bool
			answer.RecordsDiffer, more = some(differingRecords(records, d.Lots))
			answer.More = answer.More || more
		}
	}
	return answer, s.report(ctx, d, answer.Equal, differ, fewerThanCounted(own, d.Lots))
}

// digestMarks are the digests as of some earlier positions, of the present epoch: reckoned once, since what stands up to
// a position of an epoch never changes. Else every digest of long ago would cost as many hashes as notes came since.
type digestMarks struct {
	mu    sync.Mutex
	epoch string
	// every is how far the marks lie from each other, marksEvery times a power of two.
	every int64
	at    map[int64]map[string]LotSum
}

// Marks lie so far apart, and in a long journal farther: each costs some 100 bytes a lot.
const (
	marksEvery = 1000
	maxMarks   = 128
)

// digestsAt are the digests as of a position: those of the next mark after it, or today's, less what came in between.
func (s *Store) digestsAt(ctx context.Context, position int64) (own map[string]LotSum, err error) {
	m := &s.marks
	m.mu.Lock()
	defer m.mu.Unlock()
	err = s.site.Read(ctx, func(snap Snap) error {
		if own, err = snap.NoteSums(); err != nil {
			return err
		}
		upTo, err := m.settle(snap, s.Epoch())
		if err != nil {
			return err
		}
		if next := max(1, (position+m.every-1)/m.every) * m.every; m.at[next] != nil {
			own, upTo = maps.Clone(m.at[next]), next
		}
		for row, err := range snap.RowsBack(position, upTo) {
			if err != nil {
				return err
			}
			if at := row.Position; at%m.every == 0 && m.at[at] == nil {
				m.at[at] = maps.Clone(own)
			}
			if s.hooks.Hashed != nil {
				s.hooks.Hashed()
			}
			lot := row.lotOfSums()
			own[lot] = own[lot].plus(-1, journal.Hash(row.Bytes, row.Stamp))
		}
		return nil
	})
	return own, err
}

// settle makes the marks fit the journal as this transaction sees it, and returns where that ends.
func (m *digestMarks) settle(snap Snap, epoch string) (head int64, err error) {
	if head, err = snap.Head(); err != nil {
		return 0, err
	}
	if m.epoch != epoch {
		m.epoch, m.every, m.at = epoch, marksEvery, map[int64]map[string]LotSum{}
	}
	for head/m.every > maxMarks {
		m.every *= 2
	}
	maps.DeleteFunc(m.at, func(at int64, _ map[string]LotSum) bool { return at%m.every != 0 })
	return head, nil
}

// lotOfSums is the lot whose sums a note is counted in: where its lot is not there, that of no lot.
func (r Row) lotOfSums() string {
	if r.Lot == "?" {
		return ""
	}
	return r.Lot
}

func (s *Store) report(ctx context.Context, d schema.Digest, equal bool, differ []string, lost []fewer) error {
	word := "equal"
	switch {
	case !equal:
		word = "differs"
	case d.Fold < s.fold:
		// The notes are the same; its app makes no records of the latest kinds, so that there is nothing to compare.
		word = OlderApp
	}
	return s.site.Write(ctx, func(tx Tx) error {
		now := s.NowMS()
		was, _, err := tx.ReportOf(d.Device)
		if err != nil {
			return err
		}
		if d.Position < was.EqualTo || d.Position == was.EqualTo && isLate(d.SentWall, was.sent()) {
			// The phone has told more since, and it does not tell again what it has told.
			return nil
		}
		if err := tx.PutReport(Report{
			Device: d.Device, At: now, Pending: d.Pending, Photos: d.Photos, SkewMS: d.SentWall - now, Equal: word, EqualTo: d.Position, EqualAt: now,
		}); err != nil {
			return err
		}
		isNew := !equal && (was.Equal != word || was.EqualTo != d.Position)
		// A phone that has read the journal again is equal, and tells only once what it had counted before.
		if len(lost) > 0 && isNew || slices.ContainsFunc(lost, func(one fewer) bool { return one.before }) {
			if err := fileFewer(tx, now, d.Device, lost); err != nil {
				return err
			}
		}
		switch {
		case isNew:
			return fileIncident(tx, now, d.Device, codeDiffers, fmt.Sprintf(
				"At position %d the phone's notes differ from the server's in %s. The phone fetches them again.",
				d.Position, lotsInWords(differ)))
		case equal && was.Equal == "differs":
			return tx.EndIncident(d.Device, codeDiffers, now)
		}
		return nil
	})
}

// OlderApp is the verdict on a phone that holds the same notes, and whose app makes no records of the latest kinds.
const OlderApp = "older"

// codeDiffers is the incident of a phone that holds other notes than the server; it is over once they are equal.
const codeDiffers = "digest_differs"
