package simrun

import (
	"context"
	"errors"
	"log/slog"
	"net/http"
	"path/filepath"

	"bedwalk/server/access"
	"bedwalk/server/api"
	"bedwalk/server/backup"
	"bedwalk/server/db"
	"bedwalk/server/journal"
	"bedwalk/server/live"
	"bedwalk/server/photos"
	"bedwalk/server/sharing"
	"bedwalk/server/store/pg"
	"bedwalk/server/view"
	"bedwalk/sync/sim"
)

// server is one of the servers of a nursery in a database, with a folder of its own. base is nil while it does not run.
type server struct {
	of      *servers
	dir     string
	hold    *db.Hold
	base    *pg.DB
	store   *journal.Store
	gate    *access.Gate
	shared  *sharing.Server
	handler http.Handler
	// died is true once a write met the death that was meant for one; spared while what stood still goes on, which meets none.
	died, spared bool
}

func (s *server) runs() bool { return s.base != nil }

// start puts the parts together as `bedwalk serve --store` does, but for what it does by the clock: nudges come when the simulator says so.
func (s *server) start(ctx context.Context) (err error) {
	defer func() {
		if err != nil {
			err = errors.Join(err, s.stop())
		}
	}()
	h := s.of
	if s.hold, err = db.HoldDir(s.dir, "serve"); err != nil {
		return err
	}
	if s.base, err = pg.Open(ctx, pg.Options{URL: h.base.url, Dial: h.line.dial}); err != nil {
		return err
	}
	if s.store, err = journal.Open(ctx, journal.Options{
		Site: h.planted(stillSite{pg.Journal(s.base), s}), Dir: s.dir, Now: h.now, Mono: h.mono, Random: h.random, Shared: true,
		Replaced: s.base.Replaced() && h.plant != epochKept,
		Hooks:    journal.Hooks{BeforeInsert: s.dies(sim.DieBeforeInsert), BeforeCommit: s.beforeCommit, AfterCommit: s.afterCommit},
	}); err != nil {
		return err
	}
	if err := s.base.Served(ctx); err != nil {
		return err
	}
	s.gate = access.New(access.Options{Store: pg.Access(s.base), Dir: s.dir, Now: h.now, Random: h.random})
	if err := s.gate.HeedRevoked(ctx); err != nil {
		return err
	}
	pictures, err := photos.Open(filepath.Join(h.dir, backup.PhotosDir), h.now)
	if err != nil {
		return err
	}
	s.shared = &sharing.Server{Base: s.base, Store: s.store, Gate: s.gate, Tell: func(int64) {}}
	options := api.Options{Journal: s.store, Views: view.New(s.store, s.gate), Gate: s.gate, Photos: pictures, Now: h.now, Log: slog.New(slog.DiscardHandler), Before: h.look(s)}
	options.Hub = live.New(live.DefaultLimits, options.FromUs)
	s.handler = api.New(options)
	return nil
}

// stop ends it; what is not committed is gone.
func (s *server) stop() (err error) {
	if s.store != nil {
		err = s.store.Close()
	}
	if s.base != nil {
		err = errors.Join(err, s.base.Close())
	}
	if s.hold != nil {
		err = errors.Join(err, s.hold.Release())
	}
	s.hold, s.base, s.store, s.gate, s.shared, s.handler, s.died = nil, nil, nil, nil, nil, nil, false
	return err
}

// dies is a hook at which the process ends, once, when that is armed.
func (s *server) dies(at sim.FaultKind) func() error {
	return func() error {
		if h := s.of; h.fault.Kind == at && !s.spared {
			h.fault, s.died = sim.ServerFault{}, true
			return sim.ErrDied
		}
		return nil
	}
}

func (s *server) beforeCommit() error {
	if serve := s.of.meanwhile; serve != nil {
		s.of.meanwhile = nil
		serve()
	}
	if err := s.of.stands(s, sim.InIt, sim.TooLong); err != nil {
		return err
	}
	if h := s.of; h.fault.Kind == sim.Unheard || h.fault.Kind == sim.Unsent {
		h.line.arm(lineFaults{unheard: h.fault.Kind == sim.Unheard, unsent: h.fault.Kind == sim.Unsent})
		h.fault = sim.ServerFault{}
	}
	return s.dies(sim.DieBeforeCommit)()
}

func (s *server) afterCommit() error {
	if err := s.of.stands(s, sim.AfterIt); err != nil {
		return err
	}
	return s.dies(sim.DieAfterCommit)()
}

// stillSite is the site as a server has it that may stand still before it begins to write.
type stillSite struct {
	journal.Site
	server *server
}

func (s stillSite) Write(ctx context.Context, f func(journal.Tx) error) error {
	if err := s.server.of.stands(s.server, sim.BeforeIt); err != nil {
		return err
	}
	return s.Site.Write(ctx, f)
}
