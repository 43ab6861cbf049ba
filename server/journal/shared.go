package journal

import (
	"context"
	"net/http"
	"slices"
	"strconv"

	"bedwalk/schema"
)

// A site in a database may be served by several programs at once. Each decides in its own transactions, alone on the site and by its rows; what follows is
// what a Store remembers of the site between them, and reads again when another program has written.

// ErrNewerServes says that a newer build serves the site too: it gives notes a part in records of which this one knows nothing.
var ErrNewerServes = schema.NewProblem(http.StatusServiceUnavailable, "server_older", "A newer version of the server works with this data, so this one takes no notes.",
	"Update this server too; the phone keeps its notes and sends again by itself.")

// Refresh reads again where a shared site ends, its epoch, its clock and its last backup. News is true where it has grown or begun an epoch.
func (s *Store) Refresh(ctx context.Context) (news bool, err error) {
	head, was := s.Head(), s.epoch.Load()
	err = s.site.Read(ctx, func(snap Snap) error {
		if err := s.refuseNewer(snap); err != nil {
			return err
		}
		at, err := timeIn(snap, metaClock)
		if err != nil {
			return err
		}
		raise(&s.clock, at)
		all, err := snap.Epochs()
		if err != nil {
			return err
		}
		// A list without the present epoch was read before it began.
		if i := slices.IndexFunc(all, func(e Epoch) bool { return e.Epoch == *was }); i >= 0 && i < len(all)-1 {
			s.epoch.CompareAndSwap(was, &all[len(all)-1].Epoch)
		}
		return s.loadFrom(snap)
	})
	return s.Head() != head || s.epoch.Load() != was, err
}

// timeIn is a time that is kept under a name, 0 where none is.
func timeIn(snap Snap, name string) (int64, error) {
	value, err := snap.Setting(name)
	at, _ := strconv.ParseInt(value, 10, 64)
	return at, err
}

// refuseNewer is ErrNewerServes where a newer build has given the site's notes their keys.
func (s *Store) refuseNewer(snap Snap) error {
	if !s.shared {
		return nil
	}
	known, err := learnedIn(snap)
	if err == nil && known.fold > s.builds() {
		err = ErrNewerServes
	}
	return err
}

// heedShared takes over what another program has written of a shared site. Its clock is the one that counts: it may have been set back.
func (s *Store) heedShared(tx Tx) error {
	if !s.shared {
		return nil
	}
	at, err := timeIn(tx, metaClock)
	if err != nil {
		return err
	}
	s.clock.Store(at)
	return s.refuseNewer(tx)
}
