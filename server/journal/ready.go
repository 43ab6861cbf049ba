package journal

import (
	"context"
	"database/sql"
	"fmt"

	"bedwalk/schema"
	"bedwalk/server/db"
)

// Ready is nil while the journal takes notes: its files are where they were, the database answers, and the clock is believed. A clock
// that only waits for the first phone's word is no reason to keep phones away.
func (s *Store) Ready(ctx context.Context) error {
	if err := s.db.Present(); err != nil {
		return err
	}
	if doubt, _ := s.clocks.check(); doubt != "" && doubt != schema.ClockUnproven {
		return clockRefusal(doubt)
	}
	err := s.db.Read(ctx, func(tx *sql.Tx) error {
		_, err := meta(tx, metaClock)
		return err
	})
	if err != nil {
		return fmt.Errorf("read the journal: %w", db.Explain(err))
	}
	return nil
}
