package journal

import (
	"context"
	"strconv"
)

// Report is what a device last told about itself, and how many of its entries are here.
type Report struct {
	Device  string
	At      int64
	Pending int
	Photos  int
	SkewMS  int64
	Equal   string
	EqualTo int64
	EqualAt int64
	Entries int64
}

// latest is how long (in ms) a request can be on its way and still arrive: TCP gives a connection up after about a quarter of
// an hour without an answer (924.6 s by Linux's usual tcp_retries2, as its ip-sysctl says; value from memory).
const latest = 15 * 60 * 1000

// isLate is true for a report that a phone sent before the one that is kept, by the phone's own clock. A clock that shows
// still less was set back.
func isLate(sent, kept int64) bool { return kept-latest < sent && sent < kept }

// sent is what the phone's own clock showed when it reported.
func (r Report) sent() int64 { return r.At + r.SkewMS }

// Reports are the last reports of all devices, by device.
func (s *Store) Reports(ctx context.Context) (map[string]Report, error) {
	var all map[string]Report
	err := s.site.Read(ctx, func(snap Snap) (err error) {
		all, err = snap.Reports()
		return err
	})
	return all, err
}

// QuarantineCount is how many entries wait for a decision.
func (s *Store) QuarantineCount(ctx context.Context) (n int, err error) {
	err = s.site.Read(ctx, func(snap Snap) error {
		n, err = snap.CountWaiting()
		return err
	})
	return n, err
}

// BackedUp records that a finished backup covers the journal up to a position.
func (s *Store) BackedUp(ctx context.Context, position int64) error {
	err := s.site.Write(ctx, func(tx Tx) error {
		if err := tx.Set(metaBackedUpTo, strconv.FormatInt(position, 10)); err != nil {
			return err
		}
		return tx.Set(metaBackedUpAt, strconv.FormatInt(s.NowMS(), 10))
	})
	if err == nil {
		s.backed.Store(position)
	}
	return err
}

// BackedUpAt is when the last backup was finished, 0 when there is none.
func (s *Store) BackedUpAt(ctx context.Context) (at int64, err error) {
	err = s.site.Read(ctx, func(snap Snap) error {
		value, err := snap.Setting(metaBackedUpAt)
		if err == nil && value != "" {
			at, err = strconv.ParseInt(value, 10, 64)
		}
		return err
	})
	return at, err
}
