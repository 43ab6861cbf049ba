package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"time"

	"bedwalk/server/live"
	"bedwalk/server/metrics"
)

// figures is what a running server offers to whatever watches it: nothing, unless --metrics names an address for it.
type figures struct {
	observe func(method, route string, status int, took time.Duration)
	// serve answers until its context ends.
	serve func(context.Context)
}

func (c *serveCommand) figures(p *parts, hub *live.Hub, log *slog.Logger) (figures, error) {
	if c.Metrics == "" {
		return figures{serve: func(context.Context) {}}, nil
	}
	listener, err := net.Listen("tcp", c.Metrics)
	if err != nil {
		return figures{}, fmt.Errorf("serve figures at %s: %w; choose another address with --metrics", c.Metrics, err)
	}
	m := metrics.New(build(), func(ctx context.Context) (metrics.Nursery, error) { return p.figures(ctx, hub) }, log)
	mux := http.NewServeMux()
	mux.Handle("GET /metrics", m.Handler())
	server := httpServer(mux, log)
	return figures{m.Observe, func(ctx context.Context) {
		context.AfterFunc(ctx, func() { _ = server.Close() })
		if err := server.Serve(listener); !errors.Is(err, http.ErrServerClosed) {
			log.Warn("figures are no longer served", "error", err)
		}
	}}, nil
}

func (p *parts) figures(ctx context.Context, hub *live.Hub) (n metrics.Nursery, err error) {
	brief, err := p.views.PhonesBrief(ctx)
	if err != nil {
		return n, err
	}
	at, err := p.store.BackedUpAt(ctx)
	if err != nil {
		return n, err
	}
	size, err := p.db.Size()
	if err != nil {
		return n, err
	}
	return metrics.Nursery{
		Position: p.store.Head(), BackedUpTo: p.store.BackedUpTo(), BackedUpAt: fromMS(at),
		Quarantined: brief.Quarantined, Pending: brief.Pending, Paired: brief.Paired, Connected: hub.Connected(), Bytes: size,
	}, nil
}
