package main

import (
	"context"
	"log/slog"
	"sync"
	"time"

	"bedwalk/server/store/pg"
)

// sharing keeps a server of a nursery in a database up with the others that serve the same one.
type sharing struct {
	parts *parts
	// tell tells the pages and phones that are connected here.
	tell func(head int64)

	// mu is held while the counts are compared, so that nobody goes on before what they say is known.
	mu   sync.Mutex
	last pg.Counts
}

// look asks the database whether another server has written, and reads again what is remembered here. Every request begins with it.
func (s *sharing) look(ctx context.Context) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	now, err := s.parts.base.Counts(ctx)
	if err != nil || now == s.last {
		return err
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

// lost returns why the database is not the one that was opened any more, or nil at the end of ctx. The program then ends, for whoever looks after it to
// start it again: unlike a file that is gone, the rows are there.
func (s *sharing) lost(ctx context.Context) error {
	tick := time.NewTicker(lookEvery)
	defer tick.Stop()
	for {
		if err := s.parts.Present(); err != nil {
			return err
		}
		select {
		case <-ctx.Done():
			return nil
		case <-tick.C:
		}
	}
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
