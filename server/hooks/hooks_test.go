package hooks_test

import (
	"context"
	"crypto/hmac"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	standardwebhooks "github.com/standard-webhooks/standard-webhooks/libraries/go"

	"bedwalk/schema"
	"bedwalk/server/access"
	"bedwalk/server/db"
	"bedwalk/server/hooks"
	"bedwalk/server/journal"
	"bedwalk/server/store/lite"
	"bedwalk/server/testphone"
	"bedwalk/server/view"
)

// site is a nursery whose happenings are sent.
type site struct {
	*testing.T
	*hooks.Hooks
	store *journal.Store
	db    *db.DB
	phone *testphone.Phone
	n     testphone.Nursery
	clock time.Time
	views *view.Views
}

func open(t *testing.T, change ...func(*hooks.Options)) *site {
	t.Helper()
	s := &site{T: t, clock: time.UnixMilli(1_000_000_001_000), phone: testphone.New("a")}
	now := func() time.Time { return s.clock }
	var err error
	if s.db, err = db.Open(t.Context(), db.Options{Path: filepath.Join(testphone.Ready(t), db.File)}); err != nil {
		t.Fatal(err)
	}
	if s.store, err = journal.Open(t.Context(), journal.Options{Site: lite.Journal(s.db), Dir: s.db.Dir(), Now: now, Mono: func() int64 { return s.clock.UnixMilli() }}); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.store.Close(); s.db.Close() })
	s.views = view.New(s.store, access.New(access.Options{Store: lite.Access(s.db), Dir: s.db.Dir(), Now: now}))
	s.n = s.phone.Plant()
	s.push(1)
	s.start(change...)
	return s
}

// start is what a restart of the server does: everything in memory is made again.
func (s *site) start(change ...func(*hooks.Options)) {
	o := hooks.Options{
		DB: hooks.InFile(s.db), Journal: s.store, Beds: func(ctx context.Context) (schema.BedsView, error) { return s.views.Beds(ctx, "") },
		Local: true, Now: func() time.Time { return s.clock }, Jitter: func(d time.Duration) time.Duration { return d },
	}
	for _, f := range change {
		f(&o)
	}
	s.Hooks = hooks.New(o)
}

func (s *site) push(from int) {
	s.Helper()
	if _, err := s.store.Push(s.Context(), s.phone.All(from), journal.Sender{Device: "a"}); err != nil {
		s.Fatal(err)
	}
}

// notes writes something down, which reaches the server.
func (s *site) notes(kind, lot, bed string, body any) string {
	s.Helper()
	from := len(s.phone.Raw) + 1
	id := s.phone.Note(kind, lot, bed, body)
	s.push(from)
	return id
}

func (s *site) made(url string, events ...string) (id, secret string) {
	s.Helper()
	id, secret, err := s.Make(s.Context(), hooks.Hook{Name: "office", URL: url, Events: events, MadeBy: "p"})
	if err != nil {
		s.Fatal(err)
	}
	return id, secret
}

// endsWalk has a walk end, and looks.
func (s *site) endsWalk() string {
	s.Helper()
	id := s.notes("walk_end", "", s.n.Bed, schema.WalkEnd{Walk: s.n.Walk, Bed: s.n.Bed, Why: "enough"})
	s.looks()
	return id
}

func (s *site) looks() {
	s.Helper()
	if err := s.Look(s.Context()); err != nil {
		s.Fatal(err)
	}
}

func (s *site) delivers() (next time.Time) {
	s.Helper()
	next, err := s.Deliver(s.Context())
	if err != nil {
		s.Fatal(err)
	}
	return next
}

func (s *site) one(id string) hooks.Hook {
	s.Helper()
	all, err := s.List(s.Context())
	if err != nil {
		s.Fatal(err)
	}
	return all[slices.IndexFunc(all, func(h hooks.Hook) bool { return h.ID == id })]
}

func (s *site) tries(id string) []hooks.Try {
	s.Helper()
	all, err := s.Tries(s.Context(), id)
	if err != nil {
		s.Fatal(err)
	}
	return all
}

// receiver takes messages and answers as its script says, 200 where that has ended.
type receiver struct {
	*httptest.Server
	mu     sync.Mutex
	came   []came
	script []http.HandlerFunc
}

type came struct {
	header http.Header
	body   []byte
}

func (c came) kind(t *testing.T) (kind string, data map[string]any) {
	t.Helper()
	var message struct {
		Type, Timestamp string
		Data            map[string]any
	}
	if err := json.Unmarshal(c.body, &message); err != nil {
		t.Fatal(err)
	}
	if _, err := time.Parse(time.RFC3339, message.Timestamp); err != nil {
		t.Errorf("the timestamp: %v", err)
	}
	return message.Type, message.Data
}

func receive(t *testing.T, script ...http.HandlerFunc) *receiver {
	t.Helper()
	r := &receiver{script: script}
	r.Server = httptest.NewServer(r)
	t.Cleanup(r.Close)
	return r
}

func (r *receiver) ServeHTTP(w http.ResponseWriter, request *http.Request) {
	body, _ := io.ReadAll(request.Body)
	r.mu.Lock()
	nth := len(r.came)
	r.came = append(r.came, came{request.Header, body})
	r.mu.Unlock()
	if nth < len(r.script) {
		r.script[nth](w, request)
	}
}

func answers(status int) http.HandlerFunc {
	return func(w http.ResponseWriter, _ *http.Request) { w.WriteHeader(status) }
}

// The example with which the specification's own libraries test themselves
// (github.com/standard-webhooks/standard-webhooks, libraries v0.0.1, go/webhook_test.go, TestWebhookSign).
func TestASignatureIsThatOfThePublishedExample(t *testing.T) {
	wh, err := standardwebhooks.NewWebhook("whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw")
	if err != nil {
		t.Fatal(err)
	}
	const want = "v1,g0hM9SsE+OTPJTGt/tmIKtSyZlE3uFJELVlNIOLJ1OE="
	if got, err := wh.Sign("msg_p5jXN8AQM9LWM0D4loKWxJek", time.Unix(1614265330, 0), []byte(`{"test": 2432232314}`)); err != nil || got != want {
		t.Errorf("signed %s, %v; want %s", got, err, want)
	}
}

func TestWhatIsSentIsSignedAsTheStandardSays(t *testing.T) {
	s, r := open(t), receive(t)
	id, secret := s.made(r.URL, hooks.WalkEnded)
	s.endsWalk()
	s.delivers()
	if len(r.came) != 1 {
		t.Fatalf("%d messages came", len(r.came))
	}
	one := r.came[0]
	// Worked out again from the description: HMAC-SHA256 over id.timestamp.body by the bytes after whsec_.
	key, err := base64.StdEncoding.DecodeString(strings.TrimPrefix(secret, "whsec_"))
	if err != nil || len(key) < 24 || len(key) > 64 {
		t.Fatalf("the secret has %d bytes, want 24 to 64: %v", len(key), err)
	}
	mac := hmac.New(sha256.New, key)
	fmt.Fprintf(mac, "%s.%s.%s", one.header.Get("webhook-id"), one.header.Get("webhook-timestamp"), one.body)
	if got, want := one.header.Get("webhook-signature"), "v1,"+base64.StdEncoding.EncodeToString(mac.Sum(nil)); got != want {
		t.Errorf("the signature is %s, want %s", got, want)
	}
	if got := one.header.Get("webhook-timestamp"); got != fmt.Sprint(s.clock.Unix()) {
		t.Errorf("the timestamp is %s", got)
	}
	if strings.Contains(one.header.Get("webhook-id"), ".") || one.header.Get("Content-Type") != "application/json" || len(one.body) > 20_000 {
		t.Errorf("%v, %d bytes", one.header, len(one.body))
	}
	kind, data := one.kind(t)
	if kind != hooks.WalkEnded || data["walk"] != s.n.Walk || data["bed"] != s.n.Bed || data["bed_name"] != "E1" || data["why"] != "enough" {
		t.Errorf("the message is %s", one.body)
	}
	if tries := s.tries(id); len(tries) != 1 || !tries[0].OK() || tries[0].Status != 200 || s.one(id).Waiting != 0 {
		t.Errorf("the log is %+v", tries)
	}
	s.looks()
	if s.delivers(); len(r.came) != 1 {
		t.Error("it was sent again")
	}
}

func TestANewSecretSignsBesideTheOldOneForADay(t *testing.T) {
	s, r := open(t), receive(t)
	id, old := s.made(r.URL, hooks.WalkEnded)
	fresh, err := s.Rotate(t.Context(), id)
	if err != nil || fresh == old {
		t.Fatal(err)
	}
	holds := func(c came, secret string) bool {
		wh, err := standardwebhooks.NewWebhook(secret)
		if err != nil {
			t.Fatal(err)
		}
		return wh.VerifyIgnoringTimestamp(c.body, c.header) == nil
	}
	for i, step := range []struct {
		later time.Duration
		old   bool
	}{{0, true}, {24*time.Hour - time.Millisecond, true}, {time.Millisecond, false}} {
		s.clock = s.clock.Add(step.later)
		if _, err := s.Test(t.Context(), id); err != nil {
			t.Fatal(err)
		}
		if c := r.came[i]; !holds(c, fresh) || holds(c, old) != step.old {
			t.Errorf("after %s: signed %s", step.later, c.header.Get("webhook-signature"))
		}
	}
}

func TestWhatWasNotTakenIsTriedAgainUnderTheSameIdByTheStandardsSchedule(t *testing.T) {
	s := open(t)
	r := receive(t, slices.Repeat([]http.HandlerFunc{answers(500)}, 10)...)
	id, _ := s.made(r.URL, hooks.WalkEnded)
	s.endsWalk()
	began := s.clock
	var waits []string
	for {
		next := s.delivers()
		if next.IsZero() {
			break
		}
		waits = append(waits, next.Sub(s.clock).String())
		// Just before it is due, nothing is sent.
		s.clock = next.Add(-time.Millisecond)
		if s.delivers(); len(r.came) != len(waits) {
			t.Fatalf("sent early: %d", len(r.came))
		}
		s.clock = next
		// A restart loses nothing of what waits.
		s.start()
	}
	if want := "[5s 5m0s 30m0s 2h0m0s 5h0m0s 10h0m0s 14h0m0s 20h0m0s 24h0m0s]"; fmt.Sprint(waits) != want {
		t.Errorf("the waits are %v, want %s", waits, want)
	}
	if len(r.came) != 10 {
		t.Fatalf("%d tries", len(r.came))
	}
	stamps := map[string]bool{}
	for _, c := range r.came {
		if c.header.Get("webhook-id") != r.came[0].header.Get("webhook-id") || string(c.body) != string(r.came[0].body) {
			t.Error("a try is of another message")
		}
		stamps[c.header.Get("webhook-timestamp")] = true
	}
	if len(stamps) != 10 {
		t.Errorf("%d timestamps, want one for each try", len(stamps))
	}
	if h := s.one(id); h.State != hooks.Failed || h.Why != "tries" || h.Waiting != 0 || s.clock.Sub(began) < 72*time.Hour {
		t.Errorf("after the last try, %s: %+v", s.clock.Sub(began), h)
	}
	s.endsWalk()
	if s.delivers(); len(r.came) != 10 {
		t.Error("a hook that failed gets more")
	}
	if err := s.Switch(t.Context(), id, true); err != nil {
		t.Fatal(err)
	}
	s.endsWalk()
	if s.delivers(); len(r.came) != 11 || s.one(id).State != hooks.On {
		t.Errorf("switched on again: %d messages", len(r.came))
	}
}

func TestAReceiverThatComesBackGetsWhatItMissed(t *testing.T) {
	s, r := open(t), receive(t, answers(503), answers(500))
	id, _ := s.made(r.URL, hooks.WalkEnded)
	s.endsWalk()
	s.endsWalk()
	s.delivers()
	if h := s.one(id); h.FailingSince == 0 || h.Waiting != 2 {
		t.Errorf("while it fails: %+v", h)
	}
	s.clock = s.clock.Add(5 * time.Second)
	s.start()
	s.delivers()
	if h := s.one(id); h.FailingSince != 0 || h.Waiting != 0 || len(r.came) != 4 {
		t.Errorf("after it came back: %+v, %d came", h, len(r.came))
	}
}

func TestWhatAReceiverAsksForIsHeeded(t *testing.T) {
	later := func(status int, header string) http.HandlerFunc {
		return func(w http.ResponseWriter, _ *http.Request) {
			w.Header().Set("Retry-After", header)
			w.WriteHeader(status)
		}
	}
	for header, want := range map[string]time.Duration{"3600": time.Hour, "1": 5 * time.Second, "99999999999": 24 * time.Hour, "soon": 5 * time.Second} {
		s, r := open(t), receive(t, later(429, header))
		s.made(r.URL, hooks.WalkEnded)
		s.endsWalk()
		// Dates have whole seconds.
		if next := s.delivers(); next.Sub(s.clock) != want {
			t.Errorf("Retry-After %s: %s, want %s", header, next.Sub(s.clock), want)
		}
	}
	s, r := open(t), receive(t, answers(410))
	id, _ := s.made(r.URL, hooks.WalkEnded)
	s.endsWalk()
	s.endsWalk()
	s.delivers()
	if h := s.one(id); h.State != hooks.Failed || h.Why != "gone" || h.Waiting != 0 || len(r.came) != 1 {
		t.Errorf("after 410: %+v, %d came", h, len(r.came))
	}
}

func TestTheLogOfTriesIsBounded(t *testing.T) {
	s, r := open(t), receive(t)
	id, _ := s.made(r.URL, hooks.WalkEnded)
	for range 53 {
		if _, err := s.Test(t.Context(), id); err != nil {
			t.Fatal(err)
		}
	}
	if got := len(s.tries(id)); got != 50 {
		t.Errorf("the log has %d tries, want the last 50", got)
	}
}
