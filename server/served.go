package main

import (
	"context"
	"log/slog"
	"net/http"
	"os"
	"path/filepath"
	"sync"

	"bedwalk/schema"
	"bedwalk/server/api"
	"bedwalk/server/hooks"
	"bedwalk/server/live"
	"bedwalk/server/sharing"
	"bedwalk/server/store/pg"
)

// served is a nursery that this server answers for.
type served struct {
	parts *parts
	log   *slog.Logger
	hub   *live.Hub
	saver *saver
	// webhooks and shared are set by answer, and so is handler; shared is nil for a nursery in a file.
	webhooks *hooks.Hooks
	shared   *sharing.Server
	handler  http.Handler
	local    bool
}

// serve makes a nursery of its parts; its backups go into a folder of that name at --backup-to, or there itself where it is "".
func (c *serveCommand) serve(p *parts, folder string, log *slog.Logger) (*served, error) {
	to, keys, err := c.backups(folder)
	if err != nil {
		return nil, err
	}
	return &served{
		parts: p, log: log, local: c.WebhooksInside,
		hub:   live.New(live.Limits{All: c.MostOpen, Device: live.DefaultLimits.Device}, api.Options{Origins: c.Origin}.FromUs),
		saver: &saver{serve: c, parts: p, to: to, keys: keys, log: log},
	}, nil
}

// answer makes the nursery's handler, of what is the same for all.
func (s *served) answer(options api.Options) {
	p := s.parts
	options.Journal, options.Views, options.Gate, options.Photos, options.Log, options.Hub = p.store, p.views, p.gate, p.photos, s.log, s.hub
	if s.saver.to != nil {
		options.BackUp = func(ctx context.Context) (schema.BackupMade, error) {
			made, err := s.saver.now(ctx)
			return schema.BackupMade{Name: filepath.Base(made.Path), Position: made.Position, Bytes: made.Bytes}, err
		}
	}
	webhooks := hooks.New(hooks.Options{
		DB: p.hooks, Journal: p.store, Local: s.local, Log: s.log,
		Beds: func(ctx context.Context) (schema.BedsView, error) { return p.views.Beds(ctx, "") },
		Incidents: func(ctx context.Context) (all []hooks.Incident, err error) {
			open, err := p.views.OpenIncidents(ctx)
			for _, one := range open {
				all = append(all, hooks.Incident{Code: one.Code, Device: one.Device, DeviceName: one.Name})
			}
			return all, err
		},
	})
	s.webhooks, options.Hooks, p.views.FailedHooks = webhooks, webhooks, webhooks.Failing
	tell := func(head int64) {
		webhooks.Changed()
		s.hub.Nudge(schema.Nudge{Epoch: p.store.Epoch(), Head: head, Build: options.Build})
	}
	tell(p.store.Head())
	if p.base == nil {
		p.store.OnChange(tell)
	} else {
		s.shared = &sharing.Server{Base: p.base, Store: p.store, Gate: p.gate, Tell: tell}
		options.Before = s.shared.Look
		p.store.OnChange(func(head int64) {
			tell(head)
			p.base.Nudge()
		})
	}
	s.handler = api.New(options)
}

// run does what goes on beside the answers until ctx ends, or until a nursery in a database is not where it was opened: the error says why.
func (s *served) run(ctx context.Context) (lost error) {
	p := s.parts
	var side sync.WaitGroup
	aside, stop := context.WithCancel(ctx)
	defer func() {
		stop()
		side.Wait()
	}()
	side.Go(func() { p.tidy(aside, s.log) })
	side.Go(func() {
		if err := p.store.SumRecords(aside); err != nil && aside.Err() == nil {
			s.log.Warn("the records of an older version could not be added up; it goes on at the next start", "error", err)
		}
	})
	if p.base == nil {
		side.Go(func() { s.lead(aside) })
		if s.saver.to != nil {
			side.Go(func() { s.saver.keep(aside) })
		}
		p.watch(aside, os.Stdout, s.log)
		<-ctx.Done()
		return nil
	}
	side.Go(func() { p.base.Lead(aside, pg.Upkeep, s.lead) })
	if s.saver.to != nil {
		// One that leads otherwise may have no place for them.
		side.Go(func() { p.base.Lead(aside, pg.Saving, s.saver.keep) })
	}
	side.Go(func() { s.shared.Run(aside, s.log) })
	return p.lost(aside, nil)
}

// lead does what two servers of a nursery would only do twice.
func (s *served) lead(ctx context.Context) {
	var all sync.WaitGroup
	all.Go(func() { s.parts.views.Keep(ctx, s.log) })
	all.Go(func() { s.webhooks.Run(ctx) })
	all.Wait()
}

// brief is the nursery in short, with what other servers of it have written.
func (s *served) brief(ctx context.Context) (schema.NurseryBrief, error) {
	if err := s.shared.Look(ctx); err != nil {
		return schema.NurseryBrief{}, err
	}
	return s.parts.views.Brief(ctx)
}
