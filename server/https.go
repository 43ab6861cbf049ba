package main

import (
	"context"
	"errors"
	"fmt"
	"log"
	"net"
	"net/http"
	"net/netip"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"time"

	"bedwalk/server/secure"
)

// certificatesDir keeps, inside the data folder, what a public authority gave.
const certificatesDir = "certificates"

// validate refuses flags that contradict each other and fills in what was left to the way of serving.
func (c *serveCommand) validate() error {
	ways := 0
	for _, taken := range []bool{len(c.Domain) > 0, c.Office, c.TLSCert != "" || c.TLSKey != ""} {
		if taken {
			ways++
		}
	}
	listen, plain := ":8080", ""
	switch {
	case c.Store == "" && (c.Site != "" || c.NewSite):
		return errSiteAlone
	case c.AllSites && c.Store == "":
		return errors.New("--all-sites is for --store; a data folder has one nursery")
	case c.AllSites && c.Site != "" && !c.NewSite:
		return errors.New("--site names one nursery and --all-sites serves every one; give one of them (with --new-site, --site names the one to begin)")
	case c.AllSites && c.StartEmpty:
		return errors.New("--start-empty is for one nursery whose notes are gone: start that one alone once, with --site and its own folder")
	case ways > 1:
		return errors.New("--domain, --office and --tls-cert are three ways to HTTPS; choose one")
	case (c.TLSCert == "") != (c.TLSKey == ""):
		return errors.New("HTTPS needs both --tls-cert and --tls-key")
	case len(c.Name) > 0 && !c.Office:
		return errors.New("--name is for the certificate of --office; a public name goes with --domain")
	case len(c.Domain) > 0:
		listen, plain = ":443", ":80"
	case c.Office:
		listen, plain = ":8443", ":8080"
	case c.Plain != "":
		return errors.New("--plain goes with --domain or --office; plain http alone is served at --listen")
	}
	for i, given := range c.Origin {
		origin, err := readOrigin(given)
		if err != nil {
			return err
		}
		c.Origin[i] = origin
	}
	if c.Listen == "" {
		c.Listen = listen
	}
	if c.Plain == "" {
		c.Plain = plain
	}
	return nil
}

// readOrigin brings an address that a person typed to the form in which browsers send it (RFC 6454): scheme, host, and the
// port unless it is the usual one. One that no browser could send would refuse every write, so it is an error.
func readOrigin(given string) (string, error) {
	wrong := func(why string) (string, error) {
		return "", fmt.Errorf("--origin %q %s; give the address that people type, such as https://beds.example", given, why)
	}
	u, err := url.Parse(given)
	if err != nil {
		return wrong("cannot be read")
	}
	usual := map[string]string{"http": "80", "https": "443"}[u.Scheme]
	host, port := strings.ToLower(u.Hostname()), u.Port()
	switch {
	case usual == "":
		return wrong("begins with neither http:// nor https://")
	case host == "" || !originHost.MatchString(host):
		return wrong("names no host as browsers write it (letters of other scripts in the xn-- form)")
	case u.User != nil || u.RawQuery != "" || u.ForceQuery || u.Fragment != "" || strings.Contains(given, "#"):
		return wrong("has more than scheme, host and port")
	case u.Path != "" && u.Path != "/":
		return wrong("has a path; Bedwalk needs a host or port of its own")
	}
	if n, err := strconv.ParseUint(port, 10, 16); port != "" && (err != nil || n == 0) || strings.HasSuffix(u.Host, ":") {
		return wrong("has no port from 1 to 65535")
	}
	if strings.Contains(host, ":") {
		host = "[" + host + "]"
	}
	if port != "" && strings.TrimLeft(port, "0") != usual {
		host += ":" + strings.TrimLeft(port, "0")
	}
	return u.Scheme + "://" + host, nil
}

// originHost are names and addresses as browsers send them.
var originHost = regexp.MustCompile(`^([0-9a-z_]([0-9a-z_-]*[0-9a-z_])?(\.[0-9a-z_]([0-9a-z_-]*[0-9a-z_])?)*|[0-9a-f:]*:[0-9a-f:.]*)$`)

// tlsMode is how phones reach the server by HTTPS; plain http is a way without a certificate.
func (c *serveCommand) tlsMode(at net.Addr) (*secure.TLSMode, error) {
	switch {
	case len(c.Domain) > 0:
		return secure.Public(c.Domain, filepath.Join(c.Data, certificatesDir), c.Authority, nil)
	case c.Office:
		return secure.Office(secure.OfficeOptions{Folder: c.Data, Now: time.Now, Names: c.ownNames}, portOf(at))
	case c.TLSCert != "":
		return secure.Files(c.TLSCert, c.TLSKey)
	}
	return &secure.TLSMode{}, nil
}

// serveRedirect opens the plain http port that leads on to HTTPS, and gives what serves there until its context ends.
func (c *serveCommand) serveRedirect(way *secure.TLSMode, errorLog *log.Logger) (serve func(context.Context), err error) {
	if way.Plain == nil {
		return func(context.Context) {}, nil
	}
	return serveBeside(&http.Server{Handler: way.Plain, ReadHeaderTimeout: 10 * time.Second, ReadTimeout: 30 * time.Second,
		WriteTimeout: 30 * time.Second, MaxHeaderBytes: 32 << 10, ErrorLog: errorLog}, c.Plain, "answer plain http", "--plain")
}

// serveBeside opens a port beside the app's, and gives what serves there until its context ends. Does says in the error and in the log what
// the port is for; flag is the one that chooses its address.
func serveBeside(server *http.Server, address, does, flag string) (serve func(context.Context), err error) {
	listener, err := net.Listen("tcp", address)
	if err != nil {
		return nil, fmt.Errorf("%s at %s: %w; choose another address with %s", does, address, err, flag)
	}
	return func(ctx context.Context) {
		context.AfterFunc(ctx, func() { _ = server.Close() })
		if err := server.Serve(listener); !errors.Is(err, http.ErrServerClosed) {
			server.ErrorLog.Printf("%s at %s: ended: %v", does, address, err)
		}
	}, nil
}

// secure is true when browsers reach the server by HTTPS, so that the cookie may be kept to it.
func (c *serveCommand) secure() bool {
	return c.encrypts() || len(c.Origin) > 0 && strings.HasPrefix(c.Origin[0], "https://")
}

// strict is true where browsers may be required to use HTTPS alone. Not with an office certificate: a phone that loses its
// trust in it (a new one was made, the phone was set up again) has to reach the page that shows how to trust it by plain
// http at the same name, and a browser that keeps such a promise leaves no way past the error.
func (c *serveCommand) strict() bool { return !c.Office && c.secure() }

// encrypts is true when this program itself speaks HTTPS.
func (c *serveCommand) encrypts() bool {
	return len(c.Domain) > 0 || c.Office || c.TLSCert != ""
}

// origin is an address of ours as browsers write it.
func (c *serveCommand) origin(host string, port int) string {
	scheme, usual := "http://", ":80"
	if c.encrypts() {
		scheme, usual = "https://", ":443"
	}
	return scheme + strings.TrimSuffix(net.JoinHostPort(host, strconv.Itoa(port)), usual)
}

// forPhones is the address that pairing links begin with, "" for the one by which whoever asks for a link came.
func (c *serveCommand) forPhones(at net.Addr) string {
	if len(c.Origin) > 0 || len(c.Domain) > 0 {
		return c.address(at)
	}
	if near, ok := c.nearby(at); ok && c.Office {
		return near
	}
	return ""
}

// nearby is where a phone on the same network begins: with an office certificate at the page that shows how to trust
// it. There is none when the server listens to this machine alone.
func (c *serveCommand) nearby(at net.Addr) (string, bool) {
	tcp, ok := at.(*net.TCPAddr)
	if !ok || tcp.IP.IsLoopback() {
		return "", false
	}
	for _, address := range privateAddresses() {
		if !address.Is4() {
			continue
		}
		if _, port, err := net.SplitHostPort(c.Plain); err == nil && c.Office {
			return "http://" + net.JoinHostPort(address.String(), port), true
		}
		return c.origin(address.String(), tcp.Port), true
	}
	return "", false
}

// ownNames are the names and addresses by which this machine may be reached inside the nursery.
func (c *serveCommand) ownNames() []string {
	names := []string{"localhost", "127.0.0.1", "::1"}
	if host, err := os.Hostname(); err == nil && host != "" {
		host = strings.ToLower(host)
		names = append(names, host)
		if !strings.Contains(host, ".") {
			names = append(names, host+".local")
		}
	}
	for _, address := range privateAddresses() {
		names = append(names, address.String())
	}
	for _, name := range c.Name {
		names = append(names, strings.ToLower(name))
	}
	return names
}

func privateAddresses() (private []netip.Addr) {
	addresses, err := net.InterfaceAddrs()
	if err != nil {
		return nil
	}
	for _, a := range addresses {
		if prefix, err := netip.ParsePrefix(a.String()); err == nil && prefix.Addr().IsPrivate() {
			private = append(private, prefix.Addr())
		}
	}
	return private
}

func portOf(at net.Addr) int {
	if tcp, ok := at.(*net.TCPAddr); ok {
		return tcp.Port
	}
	return 0
}
