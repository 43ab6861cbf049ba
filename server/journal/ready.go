package journal

import (
	"context"
	"fmt"

	"bedwalk/schema"
)

// Ready is nil while the journal takes notes: its files are where they were, the database answers, and the clock is believed. A clock
// that only waits for the first phone's word is no reason to keep phones away.
func (s *Store) Ready(ctx context.Context) error {
	if err := s.site.Present(); err != nil {
		return err
	}
	if doubt, _ := s.clocks.check(); doubt != "" && doubt != schema.ClockUnproven {
		return clockRefusal(doubt)
	}
	err := s.site.Read(ctx, func(snap Snap) error {
		_, err := snap.Setting(metaClock)
		return err
	})
	if err != nil {
		return fmt.Errorf("read the journal: %w", err)
	}
	return nil
}
