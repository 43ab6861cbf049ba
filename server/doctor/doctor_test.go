package doctor

import (
	"context"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"encoding/json"
	"errors"
	"math/big"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"bedwalk/schema"
	"bedwalk/server/backup"
	"bedwalk/server/db"
)

var now = time.Date(2027, 1, 15, 8, 0, 0, 0, time.UTC)

// sound is a nursery of which nothing is wrong: a server runs on it, its phones were heard of an hour ago, and it is backed up.
type sound struct {
	Options
	nursery Nursery
	health  schema.Health
	problem *schema.Problem
}

func newSound(t *testing.T) *sound {
	t.Helper()
	s := &sound{health: schema.Health{Build: "b1", Since: 5}}
	server := httptest.NewServer(http.HandlerFunc(s.answer))
	t.Cleanup(server.Close)
	data := t.TempDir()
	if err := os.WriteFile(filepath.Join(data, db.File), []byte("notes"), 0o600); err != nil {
		t.Fatal(err)
	}
	hold, err := db.HoldDir(data, "serve")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = hold.Release() })
	s.Options = Options{
		Data: data, Listen: server.Listener.Addr().String(), Build: "b1", Now: now, Address: server.URL,
		Open: func(context.Context) (Nursery, error) { return s.nursery, nil },
	}
	heard := now.Add(-time.Hour)
	s.nursery = Nursery{Head: 100, BackedUpTo: 90, BackedUpAt: heard, Last: heard, Phones: []Phone{
		{Name: "Ada's phone", Role: "scout", Heard: heard}, {Name: "Ben's phone", Role: "scout", Heard: heard}, {Name: "desk", Role: "owner", Heard: heard},
	}}
	return s
}

func (s *sound) answer(w http.ResponseWriter, r *http.Request) {
	if r.URL.Path == "/readyz" && s.problem != nil {
		w.WriteHeader(s.problem.Status)
		_ = json.NewEncoder(w).Encode(s.problem)
		return
	}
	_ = json.NewEncoder(w).Encode(s.health)
}

// wrong are the findings that ask for something; whether this machine's clock and disk are in order is its own matter.
func (s *sound) wrong(t *testing.T) (all []string) {
	t.Helper()
	for _, f := range Examine(t.Context(), s.Options) {
		if f.Wrong() && f.About != "clock" && !strings.HasPrefix(f.About, "disk of") {
			all = append(all, f.About+": "+f.Says)
		}
	}
	return all
}

func TestOfASoundServerNothingIsNamed(t *testing.T) {
	if all := newSound(t).wrong(t); len(all) > 0 {
		t.Errorf("named: %q", all)
	}
}

// Each is one thing that goes wrong in a nursery, and the one sentence (in part) that names it.
func TestEachTroubleIsNamedAndNothingElse(t *testing.T) {
	other := func(s *sound, t *testing.T, health any) string {
		t.Helper()
		server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { _ = json.NewEncoder(w).Encode(health) }))
		t.Cleanup(server.Close)
		return server.URL
	}
	for name, c := range map[string]struct {
		breaks func(*sound, *testing.T)
		names  []string
	}{
		"notes that cannot be read": {func(s *sound, _ *testing.T) {
			s.Open = func(context.Context) (Nursery, error) { return Nursery{}, errors.New("file is not a database") }
		}, []string{"notes: cannot be read: file is not a database"}},
		"the data file deleted under the server": {func(s *sound, t *testing.T) {
			if err := os.Remove(filepath.Join(s.Data, db.File)); err != nil {
				t.Fatal(err)
			}
		}, []string{"notes: the data file is gone"}},
		"a clock behind the notes": {func(s *sound, _ *testing.T) { s.nursery.Last = now.Add(time.Hour) }, []string{"clock against notes"}},
		"a clock an hour off, as all phones say": {func(s *sound, _ *testing.T) {
			for i := range s.nursery.Phones {
				s.nursery.Phones[i].Skew = -time.Hour
			}
		}, []string{"clocks of phones: 3 of 3 phones are off; half of them by 1h0m0s or more"}},
		"one phone an hour off": {func(s *sound, _ *testing.T) { s.nursery.Phones[1].Skew = time.Hour }, []string{"clocks of phones: off by more than 5 minutes: Ben's phone"}},
		"a phone silent for nine days": {func(s *sound, _ *testing.T) {
			s.nursery.Phones[0].Heard, s.nursery.Phones[0].Pending = now.AddDate(0, 0, -9), 1
		}, []string{"phones: silent for over a week: Ada's phone, last heard "}},
		"nobody paired":                   {func(s *sound, _ *testing.T) { s.nursery.Phones = nil }, []string{"phones: none is paired"}},
		"a quarantine":                    {func(s *sound, _ *testing.T) { s.nursery.Quarantined = 2 }, []string{"quarantine: 2 notes wait for a decision"}},
		"a standby that nobody waits for": {func(s *sound, _ *testing.T) { s.nursery.Standby.Followers = 1 }, []string{"standby: 1 follows the database, and no note waits for it"}},
		"no standby to wait for":          {func(s *sound, _ *testing.T) { s.nursery.Standby.Waited = true }, []string{"standby: none follows the database, which is set to wait for one: no note is answered"}},
		"no backup":                       {func(s *sound, _ *testing.T) { s.nursery.BackedUpAt = time.Time{} }, []string{"backup: never made"}},
		"an old backup":                   {func(s *sound, _ *testing.T) { s.nursery.BackedUpAt = now.AddDate(0, 0, -3) }, []string{"backup: the last one is of "}},
		"no backup folder":                {func(s *sound, _ *testing.T) { s.Backups = backup.Folder(filepath.Join(s.Data, "unplugged")) }, []string{"backup place: stat "}},
		"backups on the same disk": {func(s *sound, t *testing.T) {
			folder := t.TempDir()
			s.Backups = backup.Folder(folder)
			if err := os.WriteFile(filepath.Join(folder, "bedwalk-20270115-070000.db"), nil, 0o600); err != nil {
				t.Fatal(err)
			}
		}, []string{"backup place: the newest is of "}},
		"a bucket that refuses the key": {func(s *sound, t *testing.T) {
			server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
				w.WriteHeader(http.StatusForbidden)
				_, _ = w.Write([]byte("<Error><Code>InvalidAccessKeyId</Code></Error>"))
			}))
			t.Cleanup(server.Close)
			s.Backups, s.BackupsWrong = backup.OpenPlace(server.URL+"/nursery", func(string) string { return "set" }, nil)
		}, []string{"backup place: list the backups at http://", "correct AWS_ACCESS_KEY_ID"}},
		"a bucket without a key": {func(s *sound, _ *testing.T) {
			s.Backups, s.BackupsWrong = backup.OpenPlace("https://store.example/nursery", func(string) string { return "" }, nil)
		}, []string{"backup place: no key for https://store.example/nursery"}},
		"a server of an older build": {func(s *sound, _ *testing.T) { s.Build = "b2" }, []string{"port ", "a server answers, build b1"}},
		"a server that takes no notes": {func(s *sound, _ *testing.T) {
			s.problem = schema.NewProblem(http.StatusServiceUnavailable, "server_clock", "The server's clock jumped.", "Set it.")
		}, []string{"taking notes: The server's clock jumped."}},
		"another port than the server's": {func(s *sound, _ *testing.T) { s.Listen = "127.0.0.1:1" }, []string{"port 127.0.0.1:1: the server runs and does not answer here"}},
		"an address that leads elsewhere": {func(s *sound, t *testing.T) {
			s.Address = other(s, t, schema.Health{Build: "b1", Since: 6})
		}, []string{"leads to another server"}},
		"an address of something else": {func(s *sound, t *testing.T) { s.Address = other(s, t, "a printer") }, []string{"is not Bedwalk"}},
		// RFC 2606 keeps .invalid out of the network's names.
		"an address nobody knows": {func(s *sound, _ *testing.T) { s.Address = "https://beds.invalid" }, []string{"beds.invalid has no address in the network's names"}},
		"no HTTPS":                {func(s *sound, _ *testing.T) { s.Address = "" }, []string{"HTTPS: none"}},
	} {
		t.Run(name, func(t *testing.T) {
			s := newSound(t)
			c.breaks(s, t)
			all := s.wrong(t)
			if len(all) != 1 {
				t.Fatalf("named: %q", all)
			}
			for _, part := range c.names {
				if !strings.Contains(all[0], part) {
					t.Errorf("named %q, not %q", all[0], part)
				}
			}
		})
	}
}

func TestWithoutAServerTheFolderAndThePortAreLookedAt(t *testing.T) {
	taken, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer taken.Close()
	go func() {
		for {
			conn, err := taken.Accept()
			if err != nil {
				return
			}
			_ = conn.Close()
		}
	}()
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		o    Options
		want string
	}{
		"no folder":        {Options{Data: filepath.Join(t.TempDir(), "gone"), Listen: "127.0.0.1:0"}, "there is no folder"},
		"a file":           {Options{Data: file, Listen: "127.0.0.1:0"}, "is a file"},
		"nothing in it":    {Options{Data: t.TempDir(), Listen: "127.0.0.1:0"}, "none yet"},
		"a free port":      {Options{Data: t.TempDir(), Listen: "127.0.0.1:0"}, "free, nothing is served"},
		"a port in use":    {Options{Data: t.TempDir(), Listen: taken.Addr().String()}, "another program has it"},
		"no such address":  {Options{Data: t.TempDir(), Listen: "192.0.2.1:8080"}, "192.0.2.1"}, // TEST-NET-1, RFC 5737
		"no such key":      {Options{Data: t.TempDir(), Listen: "127.0.0.1:0", HTTPS: true, Cert: file, Key: file}, "certificate"},
		"a folder in use":  {Options{Data: heldBy(t, "restore"), Listen: "127.0.0.1:0"}, "data folder"},
		"another's server": {Options{Data: t.TempDir(), Listen: newSound(t).Listen}, "a server answers"},
	} {
		t.Run(name, func(t *testing.T) {
			c.o.Now = now
			found := false
			for _, f := range Examine(t.Context(), c.o) {
				found = found || f.Wrong() && strings.Contains(f.About+": "+f.Says, c.want)
			}
			if !found {
				t.Errorf("%q is not named in %+v", c.want, Examine(t.Context(), c.o))
			}
		})
	}
}

func heldBy(t *testing.T, command string) (data string) {
	t.Helper()
	data = t.TempDir()
	hold, err := db.HoldDir(data, command)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = hold.Release() })
	return data
}

func TestACertificateIsJudgedByItsTimeAndItsNames(t *testing.T) {
	for name, c := range map[string]struct {
		from, to time.Time
		host     string
		want     string
	}{
		"good":             {now.AddDate(0, -1, 0), now.AddDate(0, 2, 0), "beds.example", ""},
		"expired":          {now.AddDate(0, -3, 0), now.AddDate(0, 0, -1), "beds.example", "expired on"},
		"of the future":    {now.AddDate(0, 0, 1), now.AddDate(0, 3, 0), "beds.example", "not good before"},
		"about to end":     {now.AddDate(0, -3, 0), now.AddDate(0, 0, 5), "beds.example", "good until"},
		"of another name":  {now.AddDate(0, -1, 0), now.AddDate(0, 2, 0), "pots.example", "is not for beds.example"},
		"short, and fresh": {now.AddDate(0, 0, -1), now.AddDate(0, 0, 6), "beds.example", ""},
	} {
		t.Run(name, func(t *testing.T) {
			server := httptest.NewUnstartedServer(http.NotFoundHandler())
			server.TLS = &tls.Config{Certificates: []tls.Certificate{selfMade(t, c.host, c.from, c.to)}}
			server.StartTLS()
			defer server.Close()
			o := Options{Listen: server.Listener.Addr().String(), HTTPS: true, Address: "https://beds.example", Now: now}
			f := o.certificate(t.Context(), true)
			if len(f) != 1 || f[0].Wrong() != (c.want != "") || !strings.Contains(f[0].Says, c.want) {
				t.Errorf("got %+v", f)
			}
		})
	}
}

func selfMade(t *testing.T, host string, from, to time.Time) tls.Certificate {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	template := &x509.Certificate{SerialNumber: big.NewInt(1), NotBefore: from, NotAfter: to, DNSNames: []string{host}}
	raw, err := x509.CreateCertificate(rand.Reader, template, template, &key.PublicKey, key)
	if err != nil {
		t.Fatal(err)
	}
	return tls.Certificate{Certificate: [][]byte{raw}, PrivateKey: key}
}

func TestADiskIsNamedWhileTheDataStillFitsTwice(t *testing.T) {
	const data = 1 << 30
	for free, wrong := range map[int64]bool{0: true, 2*data + roomy - 1: true, 2*data + roomy: false, 100 * data: false} {
		if f := room("disk", free, data); f.Wrong() != wrong {
			t.Errorf("%d free of a database of %d: %+v", free, data, f)
		}
	}
	if free, err := freeBytes(t.TempDir()); err != nil || free <= 0 {
		t.Errorf("this disk: %d, %v", free, err)
	}
}

func TestWhatIsWrongIsPrintedWithWhatToDo(t *testing.T) {
	var out strings.Builder
	wrong := Print(&out, []Finding{ok("disk", "%d GB free", 3), ok("clock", "1970").but("Set it.")})
	if want := "ok    disk: 3 GB free\nLOOK  clock: 1970\n      -> Set it.\n"; wrong != 1 || out.String() != want {
		t.Errorf("%d wrong\n%s", wrong, out.String())
	}
}

// A container's health check asks nothing else: a nursery with silent phones is not to be started again for them.
func TestAliveIsWhoAnswersAsBedwalk(t *testing.T) {
	s := newSound(t)
	s.nursery.Phones = nil
	if err := Alive(t.Context(), s.Options); err != nil {
		t.Errorf("a server that answers: %v", err)
	}
	printer := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { _, _ = w.Write([]byte(`"paper"`)) }))
	defer printer.Close()
	for _, listen := range []string{printer.Listener.Addr().String(), "127.0.0.1:1"} {
		if err := Alive(t.Context(), Options{Listen: listen}); err == nil {
			t.Errorf("%s passes for a server", listen)
		}
	}
}
