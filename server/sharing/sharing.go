// Package sharing keeps a server of a nursery in a database up with the others that serve the same one.
package sharing

import (
	"context"
	"log/slog"
	"sync"

	"bedwalk/server/access"
	"bedwalk/server/journal"
	"bedwalk/server/store/pg"
)

// Server is one of them. Tell sends a nudge to the pages and phones that are connected to it.
type Server struct {
	Base  *pg.DB
	Store *journal.Store
	Gate  *access.Gate
	Tell  func(head int64)

	// mu is held while the counts are compared and what they say is read, so that nobody passes before it is known; last are the newest of which it is.
	mu   sync.Mutex
	last pg.Counts
	// listed is the count of gate as of which the folder has the list of who is shut out.
	listed int64
}

// Look asks the database whether another server has written, and reads again what is remembered here. Every request begins with it.
func (s *Server) Look(ctx context.Context) error {
	now, err := s.Base.Counts(ctx)
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
		s.Gate.Forget()
	}
	news, err := s.Store.Refresh(ctx)
	if err != nil {
		return err
	}
	s.last = now
	if news {
		s.Tell(s.Store.Head())
	}
	return nil
}

// Hear is what a nudge of another server does, and each look without one: Look, and whoever another server has shut out goes into the list in this one's
// folder too. A standby that lacks it may take over when the other server is gone.
func (s *Server) Hear(ctx context.Context) error {
	if err := s.Look(ctx); err != nil {
		return err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.last.Gate == s.listed {
		return nil
	}
	if err := s.Gate.HeedRevoked(ctx); err != nil {
		return err
	}
	s.listed = s.last.Gate
	return nil
}

// Run keeps up while no request comes, and has the others do so.
func (s *Server) Run(ctx context.Context, log *slog.Logger) {
	var side sync.WaitGroup
	side.Go(func() { s.Base.SendNudges(ctx) })
	side.Go(func() {
		s.Base.Listen(ctx, func() {
			if err := s.Hear(ctx); err != nil && ctx.Err() == nil {
				log.Warn("the database could not be asked what other servers wrote; it is asked again with the next request", "error", err)
			}
		})
	})
	side.Wait()
}
