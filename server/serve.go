package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"sync"
	"time"

	"bedwalk/pwa"
	"bedwalk/schema"
	"bedwalk/server/api"
	"bedwalk/server/backup"
	"bedwalk/server/hooks"
	"bedwalk/server/live"
)

type serveCommand struct {
	nurseryFlag
	NewSite bool `help:"Begin another nursery, of the name --site, in a database that has some."`

	Listen string `help:"Address and port to serve at. Without it :8080; with --domain :443, with --office :8443." placeholder:"ADDR"`

	Domain    []string `help:"Public name of this machine, for HTTPS with a certificate that is obtained and renewed automatically; by this you accept the terms of Let's Encrypt." placeholder:"NAME"`
	Authority string   `help:"Another ACME directory to get certificates from." default:"${authority}" placeholder:"URL"`
	Office    bool     `help:"HTTPS inside the nursery only, with a certificate made here, which each phone has to trust once."`
	Name      []string `help:"A further name or private address of this machine, for --office." placeholder:"NAME"`
	Plain     string   `help:"Where plain http leads on to HTTPS. Without it :80 with --domain, :8080 with --office." placeholder:"ADDR"`
	TLSCert   string   `name:"tls-cert" help:"Certificate file for HTTPS; read again when it changes." type:"path" placeholder:"FILE"`
	TLSKey    string   `name:"tls-key" help:"Key file for HTTPS; read again when it changes." type:"path" placeholder:"FILE"`
	Origin    []string `help:"Address that people use when a proxy stands before the server (https://beds.example)." placeholder:"URL"`

	Metrics string `help:"Serve figures for Prometheus at this address, by plain http and to whoever reaches it; best this machine alone (127.0.0.1:9464)." placeholder:"ADDR"`
	Log     string `help:"How the log is written." enum:"json,text" default:"json"`

	MostOpen int `help:"How many pages and apps may hold a connection at once, by which they hear of news; each takes some memory." default:"500" placeholder:"N"`

	WebhooksInside bool `help:"Let webhooks go to this machine and to private networks too, and by plain http. Link-local addresses, where clouds keep credentials, stay closed."`

	StartEmpty bool `help:"Begin without a note in a folder whose notes are gone. Put a backup back instead if there is one."`

	BackupTo string `help:"Make backups into this folder while serving, best on another disk, or to https://HOST/BUCKET/PREFIX of anything that speaks S3 (its key in AWS_ACCESS_KEY_ID and AWS_SECRET_ACCESS_KEY)." placeholder:"PLACE"`
	keyFlag
	BackupEvery time.Duration `help:"How often, when there are new notes." default:"1h"`
	BackupStay  int           `help:"How many of the newest backups stay." default:"6"`

	BackupDays   int `help:"Of how many days the newest backup stays." default:"7"`
	BackupWeeks  int `help:"Of how many weeks the newest backup stays." default:"5"`
	BackupMonths int `help:"Of how many months the newest backup stays." default:"12"`
}

// graceful is how long open requests may take to end.
const graceful = 10 * time.Second

func (c *serveCommand) Run(ctx context.Context) (err error) {
	if err := c.validate(); err != nil {
		return err
	}
	p, err := open(ctx, c.nurseryFlag, "serve", c.NewSite, c.StartEmpty)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, p.Close()) }()
	backups, keys, err := c.backups()
	if err != nil {
		return err
	}
	listener, err := net.Listen("tcp", c.Listen)
	if err != nil {
		return fmt.Errorf("serve at %s: %w; choose another address with --listen", c.Listen, err)
	}
	way, err := c.tlsMode(listener.Addr())
	if err != nil {
		return err
	}
	log := c.logger()
	app, err := fs.Sub(pwa.Dist, "dist")
	if err != nil {
		return err
	}
	options := api.Options{
		Journal: p.store, Views: p.views, Gate: p.gate, Photos: p.photos, App: app, Origins: c.Origin, Secure: c.secure(), Strict: c.strict(),
		Build: build(), Log: log,
	}
	saver := &saver{serve: c, parts: p, to: backups, keys: keys, log: log}
	if backups != nil {
		options.BackUp = func(ctx context.Context) (schema.BackupMade, error) {
			made, err := saver.now(ctx)
			return schema.BackupMade{Name: filepath.Base(made.Path), Position: made.Position, Bytes: made.Bytes}, err
		}
	}
	options.Address = c.forPhones(listener.Addr())
	hub := live.New(live.Limits{All: c.MostOpen, Device: live.DefaultLimits.Device}, options.FromUs)
	options.Hub = hub
	webhooks := hooks.New(hooks.Options{
		DB: p.hooks, Journal: p.store, Local: c.WebhooksInside, Log: log,
		Beds: func(ctx context.Context) (schema.BedsView, error) { return p.views.Beds(ctx, "") },
	})
	options.Hooks, p.views.FailedHooks = webhooks, webhooks.Failing
	tell := func(head int64) {
		webhooks.Changed()
		hub.Nudge(schema.Nudge{Epoch: p.store.Epoch(), Head: head, Build: options.Build})
	}
	tell(p.store.Head())
	shared := &sharing{parts: p, tell: tell}
	if p.base == nil {
		p.store.OnChange(tell)
	} else {
		options.Before = shared.look
		p.store.OnChange(func(head int64) {
			tell(head)
			p.base.Nudge()
		})
	}

	figures, err := c.figures(p, hub, log)
	if err != nil {
		return err
	}
	options.Observe = figures.observe
	server := httpServer(way.Around(api.New(options)), log)
	server.TLSConfig = way.TLS
	beside, err := c.serveRedirect(way, server.ErrorLog)
	if err != nil {
		return err
	}
	if err := c.announce(ctx, p, listener.Addr(), way); err != nil {
		return err
	}
	var side sync.WaitGroup
	ctx, giveUp := context.WithCancelCause(ctx)
	defer giveUp(nil)
	aside, stop := context.WithCancel(ctx)
	defer func() {
		stop()
		side.Wait()
	}()
	side.Go(func() { beside(aside) })
	side.Go(func() { figures.serve(aside) })
	side.Go(func() { p.tidy(aside, log) })
	side.Go(func() {
		if err := p.store.SumRecords(aside); err != nil && aside.Err() == nil {
			log.Warn("the records of an older version could not be added up; it goes on at the next start", "error", err)
		}
	})
	// What two servers would only do twice, one of them does.
	background := func(ctx context.Context) {
		var all sync.WaitGroup
		all.Go(func() { p.views.Keep(ctx, log) })
		all.Go(func() { webhooks.Run(ctx) })
		if backups != nil {
			all.Go(func() { saver.keep(ctx) })
		}
		all.Wait()
	}
	if p.base == nil {
		side.Go(func() { p.watch(aside, os.Stdout, log) })
		side.Go(func() { background(aside) })
	} else {
		side.Go(func() {
			// The program ends, for whoever looks after it to start it again: unlike a file that is gone, the rows are there.
			if err := p.lost(aside, nil); err != nil {
				giveUp(err)
			}
		})
		side.Go(func() { p.base.Lead(aside, background) })
		side.Go(func() { shared.run(aside, log) })
	}
	err = run(ctx, server, listener, hub)
	if why := context.Cause(ctx); why != nil && !errors.Is(why, context.Canceled) {
		err = errors.Join(err, why)
	}
	return err
}

func (c *serveCommand) logger() *slog.Logger {
	if c.Log == "text" {
		return slog.New(slog.NewTextHandler(os.Stderr, nil))
	}
	return slog.New(slog.NewJSONHandler(os.Stderr, nil))
}

// httpServer bounds how long anybody may keep a connection without saying anything: a head within 10 seconds, a body
// within two minutes, which is a batch of notes over the slowest signal, and two minutes between requests.
func httpServer(handler http.Handler, log *slog.Logger) *http.Server {
	return &http.Server{
		Handler: handler, ReadHeaderTimeout: 10 * time.Second, ReadTimeout: 2 * time.Minute, WriteTimeout: 2 * time.Minute,
		IdleTimeout: 2 * time.Minute, MaxHeaderBytes: 32 << 10, ErrorLog: slog.NewLogLogger(log.Handler(), slog.LevelWarn),
	}
}

// backups is the place that backups go to, nil for none, and the keys that they are encrypted for.
func (c *serveCommand) backups() (backup.Place, backup.Keys, error) {
	if c.BackupTo != "" {
		return c.place(c.BackupTo)
	}
	if c.BackupKey != "" {
		return nil, nil, errors.New("--backup-key encrypts what goes to --backup-to; name that too")
	}
	return nil, nil, nil
}

// saver makes the backups of a running server, one at a time.
type saver struct {
	serve *serveCommand
	parts *parts
	to    backup.Place
	keys  backup.Keys
	log   *slog.Logger
	mu    sync.Mutex
}

// now makes a backup and deletes older ones that are not to stay. One that was made is made, whether or not they could be deleted.
func (s *saver) now(ctx context.Context) (backup.Made, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	made, err := backup.Save(ctx, s.parts.source, s.parts.store, s.to, s.keys, time.Now())
	if err != nil {
		return made, err
	}
	s.log.Info("backup", "path", made.Path, "position", made.Position, "bytes", made.Bytes)
	c := s.serve
	rule := backup.Rule{Newest: c.BackupStay, Days: c.BackupDays, Weeks: c.BackupWeeks, Months: c.BackupMonths}
	if _, err := backup.Prune(ctx, s.to, rule); err != nil && ctx.Err() == nil {
		s.log.Error("older backups could not be deleted; that is tried again after the next backup", "error", err)
	}
	return made, nil
}

// keep makes a backup now and then, when the last one lacks something. A failure is logged and tried again: serving
// goes on, and the phones see by the watermark that their notes are not backed up.
func (s *saver) keep(ctx context.Context) {
	tick := time.NewTicker(max(s.serve.BackupEvery, time.Minute))
	defer tick.Stop()
	for {
		if s.parts.store.Head() > s.parts.store.BackedUpTo() {
			_, err := s.now(ctx)
			if ctx.Err() != nil {
				return
			}
			if err != nil {
				s.log.Error("the backup failed", "error", err)
			}
		}
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
	}
}

// run serves until the context ends, then lets open requests finish.
func run(ctx context.Context, server *http.Server, listener net.Listener, hub *live.Hub) error {
	ended := make(chan error, 1)
	go func() {
		if server.TLSConfig != nil {
			ended <- server.ServeTLS(listener, "", "")
			return
		}
		ended <- server.Serve(listener)
	}()
	select {
	case err := <-ended:
		return err
	case <-ctx.Done():
	}
	hub.Close()
	limit, cancel := context.WithTimeout(context.WithoutCancel(ctx), graceful)
	defer cancel()
	err := server.Shutdown(limit)
	if served := <-ended; !errors.Is(served, http.ErrServerClosed) {
		err = errors.Join(err, served)
	}
	return err
}
