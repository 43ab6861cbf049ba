package hooks

import (
	"crypto/tls"
	"fmt"
	"net"
	"net/http"
	"net/netip"
	"net/url"
	"slices"
	"syscall"
	"time"

	"bedwalk/schema"
)

// within is how long one try may take unless Options say otherwise (Standard Webhooks recommends 15 to 30 seconds).
const within = 15 * time.Second

// never are ranges that nothing is sent to, whatever the server was started with: link-local addresses, at which clouds keep the
// credentials of their machines, and those that name no machine at all.
var never = prefixes("169.254.0.0/16", "fe80::/10", "fd00:ec2::/32", "0.0.0.0/8", "224.0.0.0/4", "240.0.0.0/4", "::/128", "ff00::/8")

// local are this machine and private networks, and ranges that lead there by translation (RFC 6890; 64:ff9b::/96 RFC 6052, 2002::/16 RFC 3056,
// 2001::/32 RFC 4380, ::ffff:0:0/96 is unmapped before).
var local = prefixes("127.0.0.0/8", "::1/128", "10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "fc00::/7", "fec0::/10", "100.64.0.0/10", "192.0.0.0/24",
	"198.18.0.0/15", "::/96", "64:ff9b::/96", "64:ff9b:1::/48", "2002::/16", "2001::/32")

func prefixes(texts ...string) (all []netip.Prefix) {
	for _, text := range texts {
		all = append(all, netip.MustParsePrefix(text))
	}
	return all
}

// errAddress says that an address is not one that anything is sent to.
type errAddress struct{ address netip.Addr }

func (e errAddress) Error() string {
	return fmt.Sprintf("%s is an address of this machine or of a private network, where nothing is sent", e.address)
}

// permitted is nil for an address that may be sent to.
func permitted(address netip.Addr, alsoLocal bool) error {
	address = address.Unmap().WithZone("")
	in := func(all []netip.Prefix) bool {
		return slices.ContainsFunc(all, func(p netip.Prefix) bool { return p.Contains(address) })
	}
	if !address.IsValid() || in(never) || !alsoLocal && in(local) {
		return errAddress{address}
	}
	return nil
}

// client sends to no address that is not permitted. It checks the one that is dialled, after the name was looked up: a name that
// leads elsewhere at its second look-up gains nothing. It follows no redirect, and asks no proxy, which would dial for it.
func client(o Options) *http.Client {
	dialer := net.Dialer{Timeout: o.Within, Control: func(_, address string, _ syscall.RawConn) error {
		at, err := netip.ParseAddrPort(address)
		if err != nil {
			return err
		}
		return permitted(at.Addr(), o.Local)
	}}
	return &http.Client{
		Timeout:       o.Within,
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse },
		Transport: &http.Transport{
			DialContext: dialer.DialContext, DisableKeepAlives: true, DisableCompression: true, ForceAttemptHTTP2: true,
			MaxResponseHeaderBytes: 16 << 10, TLSClientConfig: &tls.Config{RootCAs: o.Roots, MinVersion: tls.VersionTLS12},
		},
	}
}

// CheckURL says what is wrong with the address of a hook: it is https, or with alsoLocal http too, and names no user and no place that
// nothing is sent to. A name is checked again whenever it is dialled.
func CheckURL(text string, alsoLocal bool) error {
	wrong := func(detail, remedy string) error {
		return schema.NewProblem(http.StatusBadRequest, "hook_address", detail, remedy)
	}
	u, err := url.Parse(text)
	switch {
	case err != nil || u.Hostname() == "" || len(text) > 2000:
		return wrong("The address of the webhook cannot be read.", "Give one such as https://office.example/bedwalk.")
	case u.Scheme == "http" && !alsoLocal, u.Scheme != "http" && u.Scheme != "https":
		return wrong("The address of the webhook does not begin with https://.", "Give the address at which the other program answers by HTTPS.")
	case u.User != nil || u.Fragment != "":
		return wrong("The address of the webhook has a user, a password or a # in it.", "Leave that out: the other program knows by the signature who sends.")
	}
	if address, err := netip.ParseAddr(u.Hostname()); err == nil {
		if permitted(address, alsoLocal) != nil {
			return wrong("The address of the webhook is of this machine or of a private network.",
				"Give one on the Internet. For a program in the nursery, start the server with --webhooks-inside.")
		}
	}
	return nil
}
