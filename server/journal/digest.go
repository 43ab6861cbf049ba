package journal

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"maps"
	"slices"
	"sync"

	"bedwalk/schema"
	"bedwalk/sync/journal"
)

// lotSum is one lot's digest under the lot's own id.
type lotSum struct {
	count int64
	sum   journal.Sum
}

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
	at    map[int64]map[string]lotSum
}

// Marks lie so far apart, and in a long journal farther: each costs some 100 bytes a lot.
const (
	marksEvery = 1000
	maxMarks   = 128
)

// digestsAt are the digests as of a position: those of the next mark after it, or today's, less what came in between.
func (s *Store) digestsAt(ctx context.Context, position int64) (own map[string]lotSum, err error) {
	m := &s.marks
	m.mu.Lock()
	defer m.mu.Unlock()
	err = s.db.Read(ctx, func(tx *sql.Tx) error {
		if own, err = sumsIn(tx, "digests"); err != nil {
			return err
		}
		upTo, err := m.settle(tx, s.Epoch())
		if err != nil {
			return err
		}
		if next := max(1, (position+m.every-1)/m.every) * m.every; m.at[next] != nil {
			own, upTo = maps.Clone(m.at[next]), next
		}
		return eachEntry(tx, position, upTo, func(at int64, lot string, hash journal.Sum) {
			if at%m.every == 0 && m.at[at] == nil {
				m.at[at] = maps.Clone(own)
			}
			if s.hooks.Hashed != nil {
				s.hooks.Hashed()
			}
			one := own[lot]
			own[lot] = lotSum{one.count - 1, one.sum.Sub(hash)}
		})
	})
	return own, err
}

// settle makes the marks fit the journal as this transaction sees it, and returns where that ends.
func (m *digestMarks) settle(tx *sql.Tx, epoch string) (head int64, err error) {
	if err := tx.QueryRow("select coalesce(max(position), 0) from entries").Scan(&head); err != nil {
		return 0, err
	}
	if m.epoch != epoch {
		m.epoch, m.every, m.at = epoch, marksEvery, map[int64]map[string]lotSum{}
	}
	for head/m.every > maxMarks {
		m.every *= 2
	}
	maps.DeleteFunc(m.at, func(at int64, _ map[string]lotSum) bool { return at%m.every != 0 })
	return head, nil
}

// sumsIn reads the sums of all lots from one of the two tables of sums.
func sumsIn(tx *sql.Tx, table string) (map[string]lotSum, error) {
	rows, err := tx.Query("select coalesce(t.id, ''), d.count, d.sum from " + table + " d left join registers t on t.n = d.lot")
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	all := map[string]lotSum{}
	for rows.Next() {
		var lot string
		var one lotSum
		var sum []byte
		if err := rows.Scan(&lot, &one.count, &sum); err != nil {
			return nil, err
		}
		copy(one.sum[:], sum)
		all[lot] = one
	}
	return all, rows.Err()
}

// eachEntry visits the hash of every entry after one position and up to another, the last one first.
func eachEntry(tx *sql.Tx, after, upTo int64, visit func(position int64, lot string, hash journal.Sum)) error {
	rows, err := tx.Query(`select e.position, coalesce(t.id, ''), e.at, e.quality, e.at_from, e.at_to, e.bytes
		from entries e left join registers t on t.n = e.lot where e.position > ? and e.position <= ? order by e.position desc`, after, upTo)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		var position int64
		var lot string
		var st schema.Stamp
		var raw sql.RawBytes
		if err := rows.Scan(&position, &lot, &st.At, &st.Quality, &st.From, &st.To, &raw); err != nil {
			return err
		}
		visit(position, lot, journal.Hash(raw, st))
	}
	return rows.Err()
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
	return s.db.Write(ctx, func(tx *sql.Tx) error {
		now := s.NowMS()
		var before string
		var at, sent int64
		err := tx.QueryRow("select equal, equal_to, at + skew_ms from reports where device = ?", d.Device).Scan(&before, &at, &sent)
		if err != nil && !errors.Is(err, sql.ErrNoRows) {
			return err
		}
		if d.Position < at || d.Position == at && isLate(d.SentWall, sent) {
			// The phone has told more since, and it does not tell again what it has told.
			return nil
		}
		if _, err := tx.Exec(`insert into reports values (?, ?, ?, ?, ?, ?, ?, ?)
			on conflict (device) do update set at = excluded.at, pending = excluded.pending, photos = excluded.photos,
			skew_ms = excluded.skew_ms, equal = excluded.equal, equal_to = excluded.equal_to, equal_at = excluded.equal_at`,
			d.Device, now, d.Pending, d.Photos, d.SentWall-now, word, d.Position, now); err != nil {
			return err
		}
		isNew := !equal && (before != word || at != d.Position)
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
		case equal && before == "differs":
			return endIncident(tx, now, d.Device, codeDiffers)
		}
		return nil
	})
}

// OlderApp is the verdict on a phone that holds the same notes, and whose app makes no records of the latest kinds.
const OlderApp = "older"

// codeDiffers is the incident of a phone that holds other notes than the server; it is over once they are equal.
const codeDiffers = "digest_differs"
