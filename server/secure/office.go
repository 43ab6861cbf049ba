package secure

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/sha256"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"errors"
	"fmt"
	"io/fs"
	"math/big"
	"net"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"

	"bedwalk/server/db"
)

// OfficeFile holds the office's own authority with its key, in the data folder. Whoever has it can pretend to be any
// machine of a private network to the phones that trust it, and nothing more: the certificate itself sets that limit.
const OfficeFile = "office.pem"

// How long the certificates are valid. iOS refuses more than 825 days, even from an authority that its user added.
const (
	authorityLife = 10 * 365 * 24 * time.Hour
	ownLife       = 90 * 24 * time.Hour
	renewAt       = 30 * 24 * time.Hour
	// Phones' clocks can be hours off, and a certificate that is valid from tomorrow is refused today.
	clockSlack = 24 * time.Hour
	// How long the machine's names and addresses are remembered, so that not every handshake asks the system for them.
	// A phone that comes by a newer address is refused for that time, and tries again by itself.
	namesLast = time.Minute
)

// always are the endings of names that only ever mean a machine nearby (RFC 6762, RFC 6761, RFC 8375, and "internal",
// which ICANN reserved in 2024), so that a machine may be renamed without every phone having to trust it again.
var always = []string{"local", "localhost", "home.arpa", "internal"}

// private are the addresses of private networks and of the machine itself (RFC 1918, RFC 3927, RFC 4193).
var private = networks("10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16", "127.0.0.0/8", "fc00::/7", "fe80::/10", "::1/128")

// OfficeOptions say where a nursery's own authority is kept and what it is for.
type OfficeOptions struct {
	// Folder is the data folder.
	Folder string
	// Names returns the names and addresses by which this machine is reached now.
	Names func() []string
	// Now is the clock.
	Now func() time.Time
}

// Office serves HTTPS without a public name and without the Internet: an authority made here at the first start, which
// is installed once on each phone, and a certificate from it that follows the machine's names and addresses. HTTPS is
// served at port.
func Office(o OfficeOptions, port int) (*TLSMode, error) {
	a, err := openAuthority(o)
	if err != nil {
		return nil, err
	}
	if _, err := a.get(nil); err != nil {
		return nil, err
	}
	note := "The office certificate's fingerprint, to compare with what a phone shows:\n  " + Fingerprint(a.cert)
	if left := a.uncovered(o.Names()); len(left) > 0 {
		note += fmt.Sprintf("\nIt was made before this machine was called %s, so it does not cover that name. Use another name or address, or remove %s and let every phone trust a new one.",
			strings.Join(left, ", "), filepath.Join(o.Folder, OfficeFile))
	}
	s := &setup{authority: a.cert, port: port}
	return &TLSMode{TLS: withCertificate(a.get), Plain: s.plain(), wrap: s.around, Note: note}, nil
}

// Fingerprint is the SHA-256 of a certificate as phones show it, in pairs of digits.
func Fingerprint(cert *x509.Certificate) string {
	sum := sha256.Sum256(cert.Raw)
	pairs := make([]string, len(sum))
	for i, b := range sum {
		pairs[i] = fmt.Sprintf("%02X", b)
	}
	return strings.Join(pairs, ":")
}

// authority is the office's own, with the last certificate that it issued for this machine.
type authority struct {
	OfficeOptions
	cert *x509.Certificate
	key  *ecdsa.PrivateKey

	mu      sync.Mutex
	known   []string
	knownAt time.Time
	names   []string
	current *tls.Certificate
}

func openAuthority(o OfficeOptions) (*authority, error) {
	path := filepath.Join(o.Folder, OfficeFile)
	raw, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		if raw, err = newAuthority(o); err == nil {
			err = db.WriteFile(path, raw)
		}
	}
	if err != nil {
		return nil, fmt.Errorf("the office certificate: %w", err)
	}
	a := &authority{OfficeOptions: o}
	if a.cert, a.key, err = parseAuthority(raw); err != nil {
		return nil, fmt.Errorf("read the office certificate %s: %w; put it back from a copy, or remove it and every phone must trust the new one", path, err)
	}
	if o.Now().After(a.cert.NotAfter) {
		return nil, fmt.Errorf("the office certificate expired on %s; remove %s, start again, and let every phone trust the new one",
			a.cert.NotAfter.Format(time.DateOnly), path)
	}
	return a, nil
}

// newAuthority makes a key and its certificate in PEM form. It is limited to this machine's names, to names that mean
// nothing outside and to private addresses, so a thief of its key cannot pretend to be a bank.
func newAuthority(o OfficeOptions) ([]byte, error) {
	names := slices.Clone(always)
	for _, name := range o.Names() {
		if net.ParseIP(name) == nil && !within(name, names) {
			names = append(names, name)
		}
	}
	now := o.Now()
	made, err := signed(&x509.Certificate{
		Subject:   pkix.Name{Organization: []string{"Bedwalk"}, CommonName: "Bedwalk office, made " + now.Format(time.DateOnly)},
		NotBefore: now.Add(-clockSlack), NotAfter: now.Add(authorityLife),
		IsCA: true, BasicConstraintsValid: true, MaxPathLenZero: true,
		KeyUsage: x509.KeyUsageCertSign, ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth},
		PermittedDNSDomainsCritical: true, PermittedDNSDomains: names, PermittedIPRanges: private,
	}, nil, nil)
	if err != nil {
		return nil, err
	}
	secret, err := x509.MarshalPKCS8PrivateKey(made.PrivateKey)
	if err != nil {
		return nil, err
	}
	return append(pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: made.Leaf.Raw}),
		pem.EncodeToMemory(&pem.Block{Type: "PRIVATE KEY", Bytes: secret})...), nil
}

func parseAuthority(raw []byte) (*x509.Certificate, *ecdsa.PrivateKey, error) {
	pair, err := tls.X509KeyPair(raw, raw)
	if err != nil {
		return nil, nil, err
	}
	key, ok := pair.PrivateKey.(*ecdsa.PrivateKey)
	if !ok || !pair.Leaf.IsCA {
		return nil, nil, errors.New("it holds another kind of certificate")
	}
	return pair.Leaf, key, nil
}

// get returns this machine's certificate, a new one when the last is near its end or the machine's names or addresses
// have changed. Only the authority is kept on the disk.
func (a *authority) get(*tls.ClientHelloInfo) (*tls.Certificate, error) {
	a.mu.Lock()
	defer a.mu.Unlock()
	names := a.namesNow()
	if a.current != nil && slices.Equal(names, a.names) && a.Now().Add(renewAt).Before(a.current.Leaf.NotAfter) {
		return a.current, nil
	}
	fresh, err := a.give(names)
	if err != nil {
		return nil, err
	}
	a.current, a.names = fresh, names
	return fresh, nil
}

// namesNow returns the names and addresses to vouch for, at most namesLast old. The lock must be held. After a clock was
// set back their age is unknown, and they are asked for again.
func (a *authority) namesNow() []string {
	if age := a.Now().Sub(a.knownAt); age < 0 || age >= namesLast {
		a.known, a.knownAt = a.good(a.Names()), a.Now()
	}
	return a.known
}

// good returns the names and addresses that the authority may vouch for; one that it may not would make the whole certificate invalid.
func (a *authority) good(names []string) []string {
	var good []string
	for _, name := range names {
		ip := net.ParseIP(name)
		if ip == nil && within(name, a.cert.PermittedDNSDomains) ||
			ip != nil && slices.ContainsFunc(a.cert.PermittedIPRanges, func(n *net.IPNet) bool { return n.Contains(ip) }) {
			good = append(good, name)
		}
	}
	slices.Sort(good)
	return slices.Compact(good)
}

// uncovered returns the names that the office certificate cannot vouch for, because the authority was made before they
// were known.
func (a *authority) uncovered(names []string) []string {
	good := a.good(names)
	return slices.DeleteFunc(slices.Clone(names), func(name string) bool { return slices.Contains(good, name) })
}

func (a *authority) give(names []string) (*tls.Certificate, error) {
	now := a.Now()
	template := &x509.Certificate{
		Subject:   pkix.Name{Organization: []string{"Bedwalk"}, CommonName: "Bedwalk server"},
		NotBefore: now.Add(-clockSlack), NotAfter: now.Add(ownLife),
		KeyUsage: x509.KeyUsageDigitalSignature, ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth},
		BasicConstraintsValid: true,
	}
	for _, name := range names {
		if ip := net.ParseIP(name); ip != nil {
			template.IPAddresses = append(template.IPAddresses, ip)
		} else {
			template.DNSNames = append(template.DNSNames, name)
		}
	}
	return signed(template, a.cert, a.key)
}

// signed makes a new key and a certificate for it from the template, signed by its parent, or by itself when it has none.
// Its serial number is 128 random bits; the CA/Browser Forum asks for at least 64.
func signed(template, parent *x509.Certificate, by *ecdsa.PrivateKey) (*tls.Certificate, error) {
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return nil, err
	}
	if template.SerialNumber, err = rand.Int(rand.Reader, new(big.Int).Lsh(big.NewInt(1), 128)); err != nil {
		return nil, err
	}
	if parent == nil {
		parent, by = template, key
	}
	raw, err := x509.CreateCertificate(rand.Reader, template, parent, &key.PublicKey, by)
	if err != nil {
		return nil, err
	}
	leaf, err := x509.ParseCertificate(raw)
	if err != nil {
		return nil, err
	}
	chain := [][]byte{raw}
	if parent != template {
		chain = append(chain, parent.Raw)
	}
	return &tls.Certificate{Certificate: chain, PrivateKey: key, Leaf: leaf}, nil
}

// within is true for a name that is one of the domains or a subdomain of one.
func within(name string, domains []string) bool {
	return slices.ContainsFunc(domains, func(d string) bool { return name == d || strings.HasSuffix(name, "."+d) })
}

func networks(all ...string) (parsed []*net.IPNet) {
	for _, one := range all {
		if _, network, err := net.ParseCIDR(one); err == nil {
			parsed = append(parsed, network)
		}
	}
	return parsed
}
