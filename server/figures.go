package main

import (
	"context"
	"log/slog"
	"net/http"
	"time"

	"bedwalk/server/metrics"
)

// figures is what a running server offers to whatever watches it: nothing, unless --metrics names an address for it.
type figures struct {
	observe func(method, route string, status int, took time.Duration)
	// add adds a nursery.
	add func(metrics.Source)
	// serve answers until its context ends.
	serve func(context.Context)
}

// figures offers what is known of some nurseries.
func (c *serveCommand) figures(of []metrics.Source, log *slog.Logger) (figures, error) {
	if c.Metrics == "" {
		return figures{add: func(metrics.Source) {}, serve: func(context.Context) {}}, nil
	}
	m := metrics.New(build(), log, of...)
	mux := http.NewServeMux()
	mux.Handle("GET /metrics", m.Handler())
	serve, err := serveBeside(httpServer(mux, log), c.Metrics, "serve figures", "--metrics")
	return figures{m.Observe, m.Add, serve}, err
}

// figures is metrics.Source's.
func (s *served) figures(ctx context.Context) (n metrics.Nursery, err error) {
	p := s.parts
	brief, err := p.views.PhonesBrief(ctx)
	if err != nil {
		return n, err
	}
	at, err := p.store.BackedUpAt(ctx)
	if err != nil {
		return n, err
	}
	size, err := p.Size(ctx)
	if err != nil {
		return n, err
	}
	return metrics.Nursery{
		Position: p.store.Head(), BackedUpTo: p.store.BackedUpTo(), BackedUpAt: fromMS(at),
		Quarantined: brief.Quarantined, Pending: brief.Pending, Paired: brief.Paired, Connected: s.hub.Connected(), Bytes: size,
	}, nil
}
