package journal

import (
	"context"
	"encoding/json"
	"errors"

	"bedwalk/schema"
)

// decidedAtOnce is how many waiting entries are decided in one transaction, so that pushes do not wait for all.
const decidedAtOnce = 100

// DecideAll decides on all of a device that waits, up to the newest number that was shown, so that nothing is decided
// that came since. Left out is everything; merged is only what nothing speaks against but that its phone was revoked. It
// says how many were decided and how many still wait.
func (s *Store) DecideAll(ctx context.Context, all schema.DecideAll, person string) (d schema.DecidedAll, err error) {
	after := int64(0)
	for {
		var seen int
		err := s.write(ctx, func(b *batch) error {
			numbers, err := b.quarantinedOf(all.Device, after, all.UpTo)
			if err != nil {
				return err
			}
			seen = len(numbers)
			for _, n := range numbers {
				after = n
				decided, err := b.decideOne(n, all.Decision == "merge", person)
				if err != nil {
					return err
				}
				if decided {
					d.Decided++
				} else {
					d.Quarantined++
				}
			}
			return nil
		})
		if err != nil || seen < decidedAtOnce {
			return d, err
		}
	}
}

func (b *batch) decideOne(n int64, merge bool, person string) (decided bool, err error) {
	if !merge {
		return true, b.decided(n, "left", 0, person)
	}
	w, err := b.quarantined(n)
	if errors.Is(err, ErrNoSuchEntry) {
		// One that was merged in this very transaction may have let another go.
		return true, nil
	}
	if err != nil || !w.arrival.mergeable() || len(w.arrival.faults) > 0 {
		return false, err
	}
	var raw string
	if err := b.tx.QueryRow("select faults from quarantine where n = ?", n).Scan(&raw); err != nil {
		return false, err
	}
	var faults []schema.Fault
	if err := json.Unmarshal([]byte(raw), &faults); err != nil || len(faults) != 1 || faults[0].Code != schema.CodeRevoked {
		return false, err
	}
	if faults, err = b.spoils(w.arrival, w.stamp); err != nil || faults != nil {
		return false, err
	}
	position, err := b.merge(w.arrival, w.writer, w.stamp, w.receivedAt)
	if err != nil {
		return false, err
	}
	return true, b.decided(n, "merged", position, person)
}

func (b *batch) quarantinedOf(device string, after, upTo int64) (numbers []int64, err error) {
	rows, err := b.tx.Query(`select q.n from quarantine q join writers w on w.n = q.writer
		where w.device = ? and q.state in ('quarantined', 'review') and q.n > ? and q.n <= ? order by q.n limit ?`, device, after, upTo, decidedAtOnce)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	for rows.Next() {
		var n int64
		if err := rows.Scan(&n); err != nil {
			return nil, err
		}
		numbers = append(numbers, n)
	}
	return numbers, rows.Err()
}

// QuarantineByDevice counts what waits for a decision, device by device, the newest first, at most limit devices.
func (s *Snapshot) QuarantineByDevice(limit int) (all []schema.QuarantineCount, err error) {
	rows, err := s.tx.Query(`select w.device, count(*), max(q.n), min(q.received_at) from quarantine q join writers w on w.n = q.writer
		where q.state in ('quarantined', 'review') group by w.device order by max(q.n) desc limit ?`, limit)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	all = []schema.QuarantineCount{}
	for rows.Next() {
		var one schema.QuarantineCount
		if err := rows.Scan(&one.Device, &one.Count, &one.UpTo, &one.Since); err != nil {
			return nil, err
		}
		all = append(all, one)
	}
	return all, rows.Err()
}

// QuarantinedOf lists what waits for a decision of one device (a name that WaitingByDevice gives), the newest first, at
// most limit entries with a number below before; with before 0 it begins at the newest. Numbers only grow, so a page
// stays what it was when others arrive, and loses only what was decided. Older is the number to ask before for the next
// page, 0 on the last one; count is all that waits of the device.
func (s *Snapshot) QuarantinedOf(device string, before int64, limit int) (all []Quarantined, older int64, count int, err error) {
	if err := s.tx.QueryRow(`select count(*) from quarantine q join writers w on w.n = q.writer
		where w.device = ? and q.state in ('quarantined', 'review')`, device).Scan(&count); err != nil {
		return nil, 0, 0, err
	}
	rows, err := s.tx.Query(`select q.n, q.state, w.device, q.received_at, q.bytes, q.faults from quarantine q join writers w on w.n = q.writer
		where w.device = ?1 and q.state in ('quarantined', 'review') and (?2 = 0 or q.n < ?2) order by q.n desc limit ?3`, device, before, limit+1)
	if err != nil {
		return nil, 0, 0, err
	}
	if all, err = quarantinedRows(rows); err != nil {
		return nil, 0, 0, err
	}
	if len(all) > limit {
		all = all[:limit]
		older = all[limit-1].N
	}
	return all, older, count, nil
}
