package main

import (
	"context"
	"log/slog"
	"sync"

	"bedwalk/server/store/pg"
)

// sharing keeps a server of a nursery in a database up with the others that serve the same one.
type sharing struct {
	parts *parts
	// tell sends a nudge to the pages and phones that are connected here.
	tell func(head int64)

	// mu is held while the counts are compared and what they say is read, so that nobody passes before it is known; last are the newest of which it is.
	mu   sync.Mutex
	last pg.Counts
}

// look asks the database whether another server has written, and reads again what is remembered here. Every request begins with it.
func (s *sharing) look(ctx context.Context) error {
	now, err := s.parts.base.Counts(ctx)
	if err != nil {
		return err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	// Counts only grow. Whoever waited here may find that others have read as far and further.
	if now.Turn <= s.last.Turn && now.Gate <= s.last.Gate {
		return nil
	}
	if now.Gate != s.last.Gate {
		s.parts.gate.Forget()
	}
	news, err := s.parts.store.Refresh(ctx)
	if err != nil {
		return err
	}
	s.last = now
	if news {
		s.tell(s.parts.store.Head())
	}
	return nil
}

// run keeps up while no request comes, and has the others do so.
func (s *sharing) run(ctx context.Context, log *slog.Logger) {
	var side sync.WaitGroup
	side.Go(func() { s.parts.base.SendNudges(ctx) })
	side.Go(func() {
		s.parts.base.Listen(ctx, func() {
			if err := s.look(ctx); err != nil && ctx.Err() == nil {
				log.Warn("the database could not be asked what other servers wrote; it is asked again with the next request", "error", err)
			}
		})
	})
	side.Wait()
}
