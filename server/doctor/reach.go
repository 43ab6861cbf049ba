package doctor

import (
	"context"
	"crypto/tls"
	"crypto/x509"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"net"
	"net/http"
	"net/url"
	"syscall"
	"time"

	"bedwalk/schema"
)

const (
	// patience is how long an answer is waited for.
	patience = 10 * time.Second
	// soon is how long before its end a certificate is named. One that renews itself does so with a third of its life left, which
	// is 30 days of Let's Encrypt's 90 (letsencrypt.org/docs/faq; from memory).
	soon = 14 * 24 * time.Hour
)

// port asks the server at its own port, or sees whether one could be started there.
func (o Options) port(ctx context.Context, running bool) (*schema.Health, []Finding) {
	about := "port " + o.Listen
	health, err := o.askHere(ctx, "/healthz")
	if err == nil {
		f := ok(about, "a server answers, build %s", health.Build)
		switch {
		case !running:
			return health, one(f.but("It serves another data folder than %s. Name that one with --data, or another port with --listen.", o.Data))
		case health.Build != o.Build:
			return health, one(f.but("This program is build %s: start the server again, so that it runs the same.", o.Build))
		}
		return health, append(one(f), o.ready(ctx)...)
	}
	if running {
		return nil, one(ok(about, "the server runs and does not answer here: %v", err).but("If it has just been started, look again in a minute; else give doctor the same --listen, --domain, --office or --tls-cert as serve."))
	}
	listener, err := (&net.ListenConfig{}).Listen(ctx, "tcp", o.Listen)
	switch {
	case err == nil:
		_ = listener.Close()
		return nil, one(ok(about, "free, nothing is served").but("Start the server with bedwalk serve, or its service."))
	case errors.Is(err, syscall.EADDRINUSE):
		return nil, one(ok(about, "another program has it").but("End that program, or serve at another port with --listen."))
	case errors.Is(err, fs.ErrPermission):
		return nil, one(ok(about, "this user may not serve there").but("Ports below 1024 are the system's: let the service have it (AmbientCapabilities=CAP_NET_BIND_SERVICE in a systemd unit), or choose another with --listen."))
	}
	return nil, one(ok(about, "%v", err).but("Give an address of this machine with --listen, such as :8080."))
}

// Alive is an error where no server answers at its own port.
func Alive(ctx context.Context, o Options) error {
	_, err := o.askHere(ctx, "/healthz")
	return err
}

func (o Options) ready(ctx context.Context) []Finding {
	if _, err := o.askHere(ctx, "/readyz"); err != nil {
		var p *schema.Problem
		if errors.As(err, &p) {
			return one(ok("taking notes", "%s", p.Detail).but("%s", p.Remedy))
		}
		return one(ok("taking notes", "%v", err).but("Look into the server's log."))
	}
	return one(ok("taking notes", "yes"))
}

// certificate looks at the one that the server shows, or where none runs at its files.
func (o Options) certificate(ctx context.Context, answers bool) []Finding {
	if !o.HTTPS {
		if o.Address == "" {
			return one(ok("HTTPS", "none: phones can note only while they reach the server").but("Serve with --office, --domain or --tls-cert, or behind a proxy with --origin; see README, Phones need HTTPS."))
		}
		return nil
	}
	var leaf *x509.Certificate
	switch {
	case answers:
		chain, err := o.shown(ctx)
		if err != nil {
			return one(ok("certificate", "%v", err).but("Look into the server's log."))
		}
		leaf = chain[0]
	case o.Cert != "":
		pair, err := tls.LoadX509KeyPair(o.Cert, o.Key)
		if err != nil {
			return one(ok("certificate", "%v", err).but("Name a certificate and the key that belongs to it, both in PEM form, that this user may read."))
		}
		leaf = pair.Leaf
	default:
		return nil
	}
	return one(o.judge(leaf))
}

func (o Options) judge(leaf *x509.Certificate) Finding {
	f := ok("certificate", "good until %s", minute(leaf.NotAfter))
	switch left := leaf.NotAfter.Sub(o.Now); {
	case left < 0:
		return ok("certificate", "expired on %s", minute(leaf.NotAfter)).but("Renew it; with --domain see in the log why it was not renewed, and that port 80 or 443 is reached from outside.")
	case o.Now.Before(leaf.NotBefore):
		return ok("certificate", "not good before %s", minute(leaf.NotBefore)).but("Set the clock of this machine; if it is right, wait until then.")
	case left < soon && leaf.NotAfter.Sub(leaf.NotBefore) > 2*soon:
		return f.but("It ends within %d days: renew it, or see in the log why it was not renewed.", int(soon.Hours()/24))
	}
	if host := hostOf(o.Address); host != "" && leaf.VerifyHostname(host) != nil {
		return ok("certificate", "is not for %s", host).but("Get one with that name, or give its own name with --origin.")
	}
	return f
}

// address follows the address that people type until it leads to this server.
func (o Options) address(ctx context.Context, here *schema.Health) []Finding {
	host := hostOf(o.Address)
	if host == "" {
		return nil
	}
	about := "address " + o.Address
	limit, cancel := context.WithTimeout(ctx, patience)
	defer cancel()
	if _, err := net.DefaultResolver.LookupHost(limit, host); err != nil {
		return one(ok(about, "%s has no address in the network's names", host).but("Enter %s in the DNS of its domain, with the address of this machine or its router; it can take hours to be known.", host))
	}
	if here == nil {
		return nil
	}
	there, err := o.ask(ctx, o.Address+"/healthz", nil)
	var unknown x509.UnknownAuthorityError
	switch {
	case errors.As(err, &unknown):
		return one(ok(about, "its certificate is from no authority that this machine knows").but("Phones that do not trust it yet cannot get in: see README, Phones need HTTPS, for the way that fits."))
	case err != nil:
		return one(ok(about, "%v", err).but("Let the router or proxy lead its port to this machine; a router that cannot reach its own outside address fails here and not from outside: try by a phone without wifi."))
	case *there != *here:
		return one(ok(about, "leads to another server (build %s)", there.Build).but("Correct the DNS entry, the router or the proxy, so that it leads here."))
	}
	return one(ok(about, "leads here"))
}

// askHere asks the server at its own port, whatever certificate it shows: that is judged by itself.
func (o Options) askHere(ctx context.Context, path string) (*schema.Health, error) {
	return o.ask(ctx, o.local(path), &tls.Config{InsecureSkipVerify: true}) //nolint:gosec // See above.
}

// ask gets a Health; an answer of the server that says why not is a *schema.Problem.
func (o Options) ask(ctx context.Context, address string, config *tls.Config) (*schema.Health, error) {
	limit, cancel := context.WithTimeout(ctx, patience)
	defer cancel()
	request, err := http.NewRequestWithContext(limit, http.MethodGet, address, http.NoBody)
	if err != nil {
		return nil, err
	}
	client := http.Client{Transport: &http.Transport{TLSClientConfig: config, DisableKeepAlives: true}}
	answer, err := client.Do(request)
	if err != nil {
		return nil, err
	}
	defer answer.Body.Close()
	var said struct {
		schema.Health
		schema.Problem
	}
	if err := json.NewDecoder(http.MaxBytesReader(nil, answer.Body, 64<<10)).Decode(&said); err != nil {
		return nil, fmt.Errorf("what answers at %s is not Bedwalk", address)
	}
	if said.Detail != "" {
		return nil, &said.Problem
	}
	if said.Build == "" {
		return nil, fmt.Errorf("what answers at %s is not Bedwalk", address)
	}
	return &said.Health, nil
}

// shown is the chain that the server shows whoever comes by its name.
func (o Options) shown(ctx context.Context) ([]*x509.Certificate, error) {
	u, err := url.Parse(o.local(""))
	if err != nil {
		return nil, err
	}
	name := hostOf(o.Address)
	if name == "" {
		name = "localhost"
	}
	limit, cancel := context.WithTimeout(ctx, patience)
	defer cancel()
	conn, err := (&tls.Dialer{Config: &tls.Config{ServerName: name, InsecureSkipVerify: true}}).DialContext(limit, "tcp", u.Host) //nolint:gosec // It is looked at, not trusted.
	if err != nil {
		return nil, err
	}
	defer conn.Close()
	chain := conn.(*tls.Conn).ConnectionState().PeerCertificates
	if len(chain) == 0 {
		return nil, errors.New("the server shows no certificate")
	}
	return chain, nil
}

// local is an address of the server as this machine reaches it.
func (o Options) local(path string) string {
	scheme := "http"
	if o.HTTPS {
		scheme = "https"
	}
	host, port, err := net.SplitHostPort(o.Listen)
	if err != nil {
		return scheme + "://" + o.Listen + path
	}
	if ip := net.ParseIP(host); host == "" || ip != nil && ip.IsUnspecified() {
		host = "localhost"
	}
	return scheme + "://" + net.JoinHostPort(host, port) + path
}

func hostOf(address string) string {
	u, err := url.Parse(address)
	if err != nil {
		return ""
	}
	return u.Hostname()
}
