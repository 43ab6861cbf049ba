package api_test

import (
	"bytes"
	"compress/gzip"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"bedwalk/schema"
	"bedwalk/server/access"
	"bedwalk/server/api"
	"bedwalk/server/backup"
	"bedwalk/server/db"
	"bedwalk/server/hooks"
	"bedwalk/server/journal"
	"bedwalk/server/live"
	"bedwalk/server/photos"
	"bedwalk/server/store/lite"
	"bedwalk/server/testphone"
	"bedwalk/server/view"
)

// site is a whole server on a real file and a real port.
type site struct {
	*testing.T
	http *httptest.Server
	// handler is what http serves; the router's own list of routes is in it.
	handler http.Handler
	db      *db.DB
	store   *journal.Store
	gate    *access.Gate
	hub     *live.Hub
	hooks   *hooks.Hooks
	clock   time.Time
	// backups is the folder that they are made into.
	backups string
	// jumped is by how much the clock was set without so much time passing.
	jumped time.Duration
	log    bytes.Buffer
}

var app = fstest.MapFS{
	"index.html":        {Data: []byte("<!doctype html><title>Bedwalk</title>")},
	"assets/main-x1.js": {Data: []byte("export {}")},
	"sw.js":             {Data: []byte("self")},
	"icon.png":          {Data: []byte("picture")},
}

func newSite(t *testing.T, change ...func(*api.Options)) *site {
	t.Helper()
	return openSite(t, testphone.Ready(t), change...)
}

// openSite is newSite on a data folder that may have been used before.
func openSite(t *testing.T, folder string, change ...func(*api.Options)) *site {
	t.Helper()
	return openSiteAt(t, folder, time.UnixMilli(1_000_000_001_000), change...)
}

// openSiteAt is openSite when the server's clock shows something.
func openSiteAt(t *testing.T, folder string, clock time.Time, change ...func(*api.Options)) *site {
	t.Helper()
	s := &site{T: t, clock: clock, backups: t.TempDir()}
	d, err := db.Open(t.Context(), db.Options{Path: filepath.Join(folder, db.File)})
	if err != nil {
		t.Fatal(err)
	}
	now := func() time.Time { return s.clock }
	if s.store, err = journal.Open(t.Context(), journal.Options{Site: lite.Journal(d), Dir: d.Dir(), Now: now, Mono: func() int64 { return s.clock.Add(-s.jumped).UnixMilli() }}); err != nil {
		t.Fatal(err)
	}
	pictures, err := photos.Open(filepath.Join(folder, backup.PhotosDir), now)
	if err != nil {
		t.Fatal(err)
	}
	s.db, s.gate = d, access.New(access.Options{Store: lite.Access(d), Dir: d.Dir(), Now: now})
	if err := s.gate.HeedRevoked(t.Context()); err != nil {
		t.Fatal(err)
	}
	views := view.New(s.store, s.gate)
	s.hooks = hooks.New(hooks.Options{
		DB: hooks.InFile(d), Journal: s.store, Now: now, Local: true, Beds: func(ctx context.Context) (schema.BedsView, error) { return views.Beds(ctx, "") },
	})
	views.FailedHooks = s.hooks.Failing
	o := api.Options{
		Hooks: s.hooks, Journal: s.store, Views: views, Gate: s.gate, Photos: pictures, App: app, Build: "test", Now: now,
		Log: slog.New(slog.NewTextHandler(&s.log, nil)), Origins: []string{"https://beds.example"},
	}
	count := 0
	o.BackUp = func(ctx context.Context) (schema.BackupMade, error) {
		count++ // A backup is named by its second.
		made, err := backup.Save(ctx, d, s.store, backup.Folder(s.backups), nil, s.clock.Add(time.Duration(count)*time.Second))
		return schema.BackupMade{Name: filepath.Base(made.Path), Position: made.Position, Bytes: made.Bytes}, err
	}
	for _, f := range change {
		f(&o)
	}
	o.Hub = live.New(live.DefaultLimits, o.FromUs)
	s.hub = o.Hub
	s.store.OnChange(func(head int64) { o.Hub.Nudge(schema.Nudge{Epoch: s.store.Epoch(), Head: head, Build: "test"}) })
	s.handler = api.New(o)
	s.http = httptest.NewServer(s.handler)
	t.Cleanup(func() {
		o.Hub.Close()
		s.http.Close()
		s.store.Close()
		d.Close()
	})
	return s
}

// paired is a device of a role: its cookie, and a phone that writes under its name.
type paired struct {
	*testphone.Phone
	cookie string
	role   string
}

func (s *site) pair(role string) *paired {
	s.Helper()
	code, _, err := s.gate.Invite(s.Context(), access.Pairing{Person: testphone.ID("person of a " + role), Name: role, Role: role})
	if err != nil {
		s.Fatal(err)
	}
	r := s.do("", "POST", "/api/pair", `{"code":"`+code+`","name":"phone of a `+role+`"}`)
	if r.status != 200 {
		s.Fatalf("pairing: %d %s", r.status, r.body)
	}
	var me schema.Me
	r.read(s.T, &me)
	cookie, _, _ := strings.Cut(r.header.Get("Set-Cookie"), ";")
	p := testphone.New(me.Device)
	p.Person = me.Person
	return &paired{p, cookie, role}
}

// plant has a desk write the small nursery down, which are 8 notes, and a scout begin a walk in it, which is one more.
func (s *site) plant(desk, scout *paired) testphone.Nursery {
	s.Helper()
	n := desk.Plant()
	s.push(desk, desk.All(1))
	n.Walk = testphone.ID("walk " + scout.Device)
	scout.StartWalk(n)
	return n
}

// held is what a supervisor sees waiting for a decision.
func (s *site) held(desk *paired) []schema.QuarantinedView {
	s.Helper()
	var phones schema.PhonesView
	s.do(desk.cookie, "GET", "/api/views/phones", "").read(s.T, &phones)
	return phones.Quarantined
}

type answer struct {
	status int
	header http.Header
	body   []byte
}

func (a answer) read(t *testing.T, into any) {
	t.Helper()
	if err := json.Unmarshal(a.body, into); err != nil {
		t.Fatalf("%v in %s", err, a.body)
	}
}

// do sends a request and fails where no answer comes.
func (s *site) do(cookie, method, path, body string, headers ...string) answer {
	s.Helper()
	a, err := s.ask(cookie, method, path, body, headers...)
	if err != nil {
		s.Fatal(err)
	}
	return a
}

// ask sends a request; headers are given as "Name: value". A JSON body is declared as such unless a header says else.
func (s *site) ask(cookie, method, path, body string, headers ...string) (a answer, err error) {
	request, err := http.NewRequestWithContext(s.Context(), method, s.http.URL+path, strings.NewReader(body))
	if err != nil {
		return a, err
	}
	if body != "" {
		request.Header.Set("Content-Type", "application/json")
	}
	if cookie != "" {
		request.Header.Set("Cookie", cookie)
	}
	for _, h := range headers {
		name, value, _ := strings.Cut(h, ": ")
		if request.Header.Set(name, value); name == "Host" {
			request.Host = value
		}
	}
	response, err := http.DefaultTransport.RoundTrip(request)
	if err != nil {
		return a, err
	}
	defer response.Body.Close()
	raw, err := io.ReadAll(response.Body)
	return answer{response.StatusCode, response.Header, raw}, err
}

func (s *site) push(p *paired, push schema.Push) schema.PushAnswer {
	s.Helper()
	given, err := s.tryPush(p, push)
	if err != nil {
		s.Fatal(err)
	}
	return given
}

// tryPush is push where nothing may fail the test at once, as in a goroutine.
func (s *site) tryPush(p *paired, push schema.Push) (given schema.PushAnswer, err error) {
	r, err := s.ask(p.cookie, "POST", "/api/push", zipped(s.json(push)), "Content-Encoding: gzip")
	if err != nil {
		return given, err
	}
	if r.status != 200 {
		return given, fmt.Errorf("push: %d %s", r.status, r.body)
	}
	return given, json.Unmarshal(r.body, &given)
}

// json writes a message without package json's own changes to the entries in it.
func (s *site) json(v any) string {
	s.Helper()
	var out bytes.Buffer
	e := json.NewEncoder(&out)
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		s.Fatal(err)
	}
	return out.String()
}

func zipped(text string) string {
	var out bytes.Buffer
	z := gzip.NewWriter(&out)
	_, _ = io.WriteString(z, text)
	_ = z.Close()
	return out.String()
}
