package secure

import (
	"context"
	"crypto/tls"
	"crypto/x509"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

// office is an authority in a folder of its own, with a clock and names that a test moves.
type office struct {
	*authority
	now   time.Time
	names []string
	asked int
	dir   string
}

func newOffice(t *testing.T, names ...string) *office {
	t.Helper()
	o := &office{now: time.Date(2026, 3, 1, 8, 0, 0, 0, time.UTC), names: names, dir: t.TempDir()}
	o.open(t)
	return o
}

func (o *office) open(t *testing.T) {
	t.Helper()
	a, err := openAuthority(o.options())
	if err != nil {
		t.Fatal(err)
	}
	o.authority = a
}

func (o *office) options() OfficeOptions {
	return OfficeOptions{Folder: o.dir, Now: func() time.Time { return o.now }, Names: func() []string {
		o.asked++
		return o.names
	}}
}

func (o *office) leaf(t *testing.T) *x509.Certificate {
	t.Helper()
	c, err := o.get(nil)
	if err != nil {
		t.Fatal(err)
	}
	return c.Leaf
}

// trusts is the verdict of a phone that trusts this office and no other authority. It is Go's own verifier, which knows nothing of
// how the certificates were made.
func (o *office) trusts(leaf *x509.Certificate, name string) error {
	roots := x509.NewCertPool()
	roots.AddCert(o.cert)
	_, err := leaf.Verify(x509.VerifyOptions{Roots: roots, DNSName: name, CurrentTime: o.now})
	return err
}

func TestAPhoneThatTrustsTheOfficeReachesItByEveryNameAndAddress(t *testing.T) {
	o := newOffice(t, "localhost", "127.0.0.1", "::1", "packshed", "packshed.local", "192.168.4.20", "fd12::7")
	for _, name := range o.names {
		if err := o.trusts(o.leaf(t), name); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	if err := o.trusts(o.leaf(t), "192.168.4.21"); err == nil {
		t.Error("an address of another machine is vouched for")
	}
}

func TestTheOfficeCannotPretendToBeAnybodyOutside(t *testing.T) {
	o := newOffice(t, "localhost")
	// As a thief of the key would do it: straight from the authority, past the program's own checks.
	for _, name := range []string{"bank.example", "93.184.215.14", "2001:db8::1"} {
		forged, err := o.give([]string{name})
		if err != nil {
			t.Fatal(err)
		}
		if err := o.trusts(forged.Leaf, name); err == nil {
			t.Errorf("a phone would trust the office for %s", name)
		}
	}
	if !o.cert.PermittedDNSDomainsCritical {
		t.Error("a phone that does not know the limits would ignore them; they must be critical (RFC 5280, 4.2.1.10)")
	}
	if len(o.cert.PermittedIPRanges) != 8 {
		t.Errorf("%d private networks, want the 8 of the list", len(o.cert.PermittedIPRanges))
	}
}

func TestAStolenServerCertificateCannotSignOthers(t *testing.T) {
	o := newOffice(t, "localhost")
	if leaf := o.leaf(t); leaf.IsCA || !o.cert.MaxPathLenZero {
		t.Errorf("server is an authority: %v; more authorities below the office allowed: %v", leaf.IsCA, !o.cert.MaxPathLenZero)
	}
}

func TestTheOfficeStaysTheSameAcrossStarts(t *testing.T) {
	o := newOffice(t, "localhost")
	first := Fingerprint(o.cert)
	o.open(t)
	if again := Fingerprint(o.cert); again != first {
		t.Errorf("%s became %s: every phone would have to trust it again", first, again)
	}
	info, err := os.Stat(filepath.Join(o.dir, OfficeFile))
	if err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("the key's file has mode %v (%v), want it for this user alone", info.Mode(), err)
	}
}

func TestTheServerCertificateIsRenewedInTimeAndIsShortEnoughForEveryPhone(t *testing.T) {
	o := newOffice(t, "localhost")
	first := o.leaf(t)
	// Apple, "About upcoming limits on trusted certificates" (support.apple.com/103769 and 103214): at most 825 days
	// for authorities that the user added. The number is from memory.
	if life := first.NotAfter.Sub(first.NotBefore); life > 825*24*time.Hour {
		t.Errorf("good for %v", life)
	}
	o.now = first.NotAfter.Add(-renewAt - time.Hour)
	if o.leaf(t) != first {
		t.Error("renewed before it was time")
	}
	o.now = first.NotAfter.Add(-renewAt + time.Hour)
	second := o.leaf(t)
	if second == first {
		t.Fatal("not renewed")
	}
	if err := o.trusts(second, "localhost"); err != nil {
		t.Error(err)
	}
}

func TestTheServerCertificateFollowsTheMachineToItsNewAddress(t *testing.T) {
	o := newOffice(t, "localhost", "192.168.4.20")
	o.leaf(t)
	o.names = []string{"localhost", "10.0.7.3"}
	o.now = o.now.Add(namesLast)
	if err := o.trusts(o.leaf(t), "10.0.7.3"); err != nil {
		t.Error(err)
	}
}

func TestTheSystemIsAskedForItsAddressesOnceAMinuteAndNotAtEveryHandshake(t *testing.T) {
	o := newOffice(t, "localhost", "192.168.4.20")
	o.leaf(t)
	before := o.asked
	for range 60 {
		o.now = o.now.Add(time.Second - time.Nanosecond)
		o.leaf(t)
	}
	if o.asked != before {
		t.Errorf("asked %d times within a minute", o.asked-before)
	}
	o.now = o.now.Add(time.Second)
	o.leaf(t)
	if o.asked != before+1 {
		t.Errorf("asked %d times after a minute, want once", o.asked-before)
	}
	o.now = o.now.Add(-48 * time.Hour)
	o.leaf(t)
	if o.asked != before+2 {
		t.Error("not asked when the clock was set back, so nothing would be asked for two days")
	}
}

func TestANameTheOfficeWasNotMadeForIsReportedAndSpoilsNothing(t *testing.T) {
	o := newOffice(t, "packshed")
	o.names = []string{"packshed", "greenhouse", "greenhouse.local"}
	o.now = o.now.Add(namesLast)
	if err := o.trusts(o.leaf(t), "packshed"); err != nil {
		t.Error(err)
	}
	way, err := Office(o.options(), 8443)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(way.Note, "called greenhouse,") || !strings.Contains(way.Note, OfficeFile) {
		t.Errorf("the terminal says %q", way.Note)
	}
}

func TestAnOfficeFileThatCannotServeSaysWhatToDo(t *testing.T) {
	o := newOffice(t, "localhost")
	path := filepath.Join(o.dir, OfficeFile)
	o.now = o.now.Add(authorityLife + time.Hour)
	if _, err := openAuthority(o.options()); err == nil || !strings.Contains(err.Error(), "remove") {
		t.Errorf("an office at its end gave %v", err)
	}
	leafCert, leafKey := certificate(t, t.TempDir(), 1)
	var both []byte
	for _, file := range []string{leafCert, leafKey} {
		raw, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		both = append(both, raw...)
	}
	for _, content := range [][]byte{nil, []byte("half a file"), both} {
		if err := os.WriteFile(path, content, 0o600); err != nil {
			t.Fatal(err)
		}
		if _, err := openAuthority(o.options()); err == nil || !strings.Contains(err.Error(), "put it back from a copy") {
			t.Errorf("%.20q gave %v", content, err)
		}
	}
}

// serving is an office with its HTTPS and its plain server.
func serving(t *testing.T) (o *office, home, plain string) {
	t.Helper()
	o = newOffice(t, "localhost", "127.0.0.1")
	o.now = time.Now()
	listener, err := (&net.ListenConfig{}).Listen(context.Background(), "tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	way, err := Office(o.options(), listener.Addr().(*net.TCPAddr).Port)
	if err != nil {
		t.Fatal(err)
	}
	app := &http.Server{TLSConfig: way.TLS, Handler: way.Around(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		_, _ = io.WriteString(w, "the app at "+r.URL.Path)
	}))}
	go func() { _ = app.ServeTLS(listener, "", "") }()
	t.Cleanup(func() { _ = app.Close() })
	beside := httptest.NewServer(way.Plain)
	t.Cleanup(beside.Close)
	return o, "https://" + listener.Addr().String(), beside.URL
}

func get(t *testing.T, client *http.Client, url string) (*http.Response, string) {
	t.Helper()
	answer, err := client.Get(url)
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	raw, err := io.ReadAll(answer.Body)
	if err != nil {
		t.Fatal(err)
	}
	return answer, string(raw)
}

func TestWhoTookTheCertificateFromThePlainPageReachesTheAppByHTTPS(t *testing.T) {
	_, home, plain := serving(t)
	if _, err := http.Get(home); err == nil {
		t.Fatal("a client that trusts nobody here got in")
	}
	answer, der := get(t, http.DefaultClient, plain+certificatePath)
	if kind := answer.Header.Get("Content-Type"); kind != "application/x-x509-ca-cert" {
		t.Errorf("the certificate comes as %s, which no phone offers to install", kind)
	}
	fetched, err := x509.ParseCertificate([]byte(der))
	if err != nil {
		t.Fatal(err)
	}
	roots := x509.NewCertPool()
	roots.AddCert(fetched)
	client := &http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{RootCAs: roots}}}
	if _, body := get(t, client, home+"/pair/K7Q2"); body != "the app at /pair/K7Q2" {
		t.Errorf("got %q", body)
	}
	trusted, _ := get(t, client, home+trustedPath)
	if trusted.StatusCode != http.StatusNoContent || trusted.Header.Get("Access-Control-Allow-Origin") != "*" {
		t.Errorf("the plain page cannot learn that it is trusted: %d %v", trusted.StatusCode, trusted.Header)
	}
}

func TestThePlainPageLeadsToTheAddressThatWasAskedFor(t *testing.T) {
	_, home, plain := serving(t)
	answer, body := get(t, http.DefaultClient, plain+"/pair/K7Q2")
	if !strings.Contains(body, `href="`+home+`/pair/K7Q2"`) {
		t.Errorf("no way on to the pairing link in\n%s", body)
	}
	if csp := answer.Header.Get("Content-Security-Policy"); !strings.Contains(csp, "connect-src "+home+";") {
		t.Errorf("the page may not ask whether it is trusted: %s", csp)
	}
}

func TestThePlainPageCannotBeTurnedAgainstItsReader(t *testing.T) {
	o := newOffice(t, "localhost")
	s := &setup{authority: o.cert, port: 8443}
	for _, host := range []string{`evil"><script>`, "a b", "x; script-src *", ""} {
		r := httptest.NewRequest(http.MethodGet, `/%22%3E%3Cscript%3Ealert(1)%3C/script%3E`, nil)
		r.Host = host
		w := httptest.NewRecorder()
		s.plain().ServeHTTP(w, r)
		if body := w.Body.String(); strings.Contains(body, "<script>") || strings.Contains(w.Header().Get("Content-Security-Policy"), "*") {
			t.Errorf("host %q came through:\n%s\n%s", host, w.Header(), body)
		}
	}
}

func TestThePlainPageSpeaksTheReadersLanguage(t *testing.T) {
	for header, want := range map[string]string{"": "en", "es-MX,es;q=0.9": "es", "nl, es;q=0.7": "es", "de": "en", "en-GB": "en"} {
		r := httptest.NewRequest(http.MethodGet, "/", nil)
		r.Header.Set("Accept-Language", header)
		if got := languageOf(r); got != want {
			t.Errorf("%q gave %s, want %s", header, got, want)
		}
	}
	r := httptest.NewRequest(http.MethodGet, "/?language=es", nil)
	r.Header.Set("Accept-Language", "en")
	if got := languageOf(r); got != "es" {
		t.Errorf("choosing Spanish gave %s", got)
	}
}

func TestPrivateNamesAreThoseThatMeanNothingOutside(t *testing.T) {
	o := newOffice(t, "packshed.local", "packshed")
	if want := []string{"local", "localhost", "home.arpa", "internal", "packshed"}; !slices.Equal(o.cert.PermittedDNSDomains, want) {
		t.Errorf("the office vouches for %v, want %v", o.cert.PermittedDNSDomains, want)
	}
}
