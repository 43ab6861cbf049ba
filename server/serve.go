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
	"sync"
	"time"

	"bedwalk/pwa"
	"bedwalk/server/api"
)

type serveCommand struct {
	nurseryFlag
	NewSite  bool `help:"Begin another nursery, of the name --site, in a database that has some."`
	AllSites bool `help:"Serve all nurseries of the database at this one address, each with a folder of its own in --data. A phone's pairing code says which one it belongs to."`

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

	MostOpen int `help:"How many pages and apps of a nursery may hold a connection at once, by which they hear of news; each takes some memory." default:"500" placeholder:"N"`

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
	log := c.logger()
	all, err := c.openAll(ctx, log)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, all.Close()) }()
	listener, err := net.Listen("tcp", c.Listen)
	if err != nil {
		return fmt.Errorf("serve at %s: %w; choose another address with --listen", c.Listen, err)
	}
	way, err := c.tlsMode(listener.Addr())
	if err != nil {
		return err
	}
	app, err := fs.Sub(pwa.Dist, "dist")
	if err != nil {
		return err
	}
	figures, err := c.figures(all.sources(), log)
	if err != nil {
		return err
	}
	options := api.Options{
		App: app, Origins: c.Origin, Secure: c.secure(), Strict: c.strict(), Build: build(), Address: c.forPhones(listener.Addr()), Observe: figures.observe,
	}
	all.answer(options)
	server := httpServer(way.Around(all.handler(c.Origin)), log)
	server.TLSConfig = way.TLS
	beside, err := c.serveRedirect(way, server.ErrorLog)
	if err != nil {
		return err
	}
	if err := c.announce(ctx, all, listener.Addr(), way); err != nil {
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
	goes := func(one *served) {
		side.Go(func() {
			switch err := one.run(aside); {
			case err == nil:
			case all.endsWith(err):
				// The program ends, for whoever looks after it to start it again: unlike a file that is gone, the rows are there.
				giveUp(err)
			default:
				one.log.Error("the nursery takes no more notes here; the others go on", "error", err)
			}
		})
	}
	for _, one := range all.served {
		goes(one)
	}
	side.Go(func() {
		all.keepTrying(aside, c, options, log, func(one *served) {
			figures.add(all.source(one))
			goes(one)
		})
	})
	err = run(ctx, server, listener, all.hush)
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

// run serves until the context ends, then lets open requests finish; hush ends what is open for longer.
func run(ctx context.Context, server *http.Server, listener net.Listener, hush func()) error {
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
	hush()
	limit, cancel := context.WithTimeout(context.WithoutCancel(ctx), graceful)
	defer cancel()
	err := server.Shutdown(limit)
	if served := <-ended; !errors.Is(served, http.ErrServerClosed) {
		err = errors.Join(err, served)
	}
	return err
}
