// Package api is the server as phones and browsers see it: routes, who may use them, limits, and answers to whatever
// goes wrong. It is the only package that knows the web framework.
//
// Handlers are thin: they read and check a message, call the package that knows, and return its error, which one
// place turns into application/problem+json with a stable code, a sentence and a remedy. The central function is New.
package api

import (
	"context"
	"encoding/json"
	"io/fs"
	"log/slog"
	"net/http"
	"slices"
	"sync"
	"time"

	"github.com/labstack/echo/v4"
	"github.com/labstack/echo/v4/middleware"

	"bedwalk/schema"
	"bedwalk/server/access"
	"bedwalk/server/hooks"
	"bedwalk/server/journal"
	"bedwalk/server/live"
	"bedwalk/server/photos"
	"bedwalk/server/view"
)

// Journal is what the api asks of the store. It is an interface because the simulator wraps the store to plant faults.
type Journal interface {
	Push(ctx context.Context, p schema.Push, from journal.Sender) (schema.PushAnswer, error)
	Pull(ctx context.Context, device, epoch string, after int64, limit int, proof string) (schema.Pull, error)
	PullAlive(ctx context.Context, device, epoch string, after int64, limit int, proof string, asked journal.First) (schema.Pull, error)
	Gone(ctx context.Context, asked journal.First, after string) (schema.Gone, error)
	EntriesOfLot(ctx context.Context, lot string, r journal.Reach) (schema.Page, error)
	EntriesOfKeys(ctx context.Context, keys []string, r journal.Reach) (schema.Page, error)
	Compare(ctx context.Context, d schema.Digest) (schema.DigestAnswer, error)
	Writer(ctx context.Context, device string) (inc int, high int64, chain string, err error)
	Incarnation(ctx context.Context, device string) (int, error)
	DecideShown(ctx context.Context, id string, merge bool, person string) error
	Write(ctx context.Context, drafts ...journal.Draft) error
	Import(ctx context.Context, raws []json.RawMessage, standing journal.SenderLookup) (journal.ImportResult, error)
	HandBack(ctx context.Context, by string, h schema.HandBack) (schema.HandedBack, error)
	DecideAll(ctx context.Context, all schema.DecideAll, person string) (schema.DecidedAll, error)
	Seen(ctx context.Context, seen schema.IncidentSeen, person string) error
	QuarantineStates(ctx context.Context, ids []string) ([]schema.QuarantinedNote, error)
	NewID() (string, error)
	OwnDevice(ctx context.Context) (string, error)
	Epoch() string
	Head() int64
	NowMS() int64
	Heard(person string, wall int64)
	ConfirmClock(ctx context.Context, shown int64, by string) error
	Ready(ctx context.Context) error
	Read(ctx context.Context, f func(*journal.Snapshot) error) error
}

// Views is what the supervisor's pages are drawn from. It is an interface because a test puts broken ones in its place.
type Views interface {
	Beds(ctx context.Context, since string) (schema.BedsView, error)
	Bed(ctx context.Context, bed, walk string) (schema.BedView, error)
	Lots(ctx context.Context, ask view.LotsAsk) (schema.LotsPage, error)
	History(ctx context.Context, lot, walk, before string) (schema.HistoryPage, error)
	Day(ctx context.Context, ask view.DayAsk) (schema.DayView, error)
	Names(ctx context.Context) (schema.NamesView, error)
	Lot(ctx context.Context, lot string) (schema.LotView, error)
	Summaries(ctx context.Context, lots []string) (map[string]schema.LotSummary, error)
	Plan(ctx context.Context) (schema.PlanView, error)
	Supply(ctx context.Context) (schema.SupplyView, error)
	Right(ctx context.Context) (schema.RightView, error)
	Tomorrow(ctx context.Context) (schema.TomorrowView, error)
	Cooler(ctx context.Context) (schema.CoolerView, error)
	Routes(ctx context.Context) (schema.RoutesView, error)
	Applications(ctx context.Context) (schema.ApplicationLog, error)
	Work(ctx context.Context) (schema.WorkView, error)
	Attention(ctx context.Context) (schema.AttentionView, error)
	Try(ctx context.Context, ask schema.TryAsk) (schema.TryView, error)
	Cultivars(ctx context.Context) (schema.CultivarsView, error)
	Scouts(ctx context.Context) (schema.ScoutsView, error)
	FieldBriefing(ctx context.Context, person string) (schema.FieldBriefing, error)
	Phones(ctx context.Context) (schema.PhonesView, error)
	Quarantine(ctx context.Context, device string, before int64) (schema.QuarantinePage, error)
	Site(ctx context.Context) (name, zone string, err error)
	PersonName(ctx context.Context, person string) (string, error)
	People(ctx context.Context) ([]schema.Person, error)
	Observations(ctx context.Context, only view.Filter, page func() error, each func(view.PotRow) error) error
}

// Options are what the api is put together from.
type Options struct {
	Journal Journal
	Views   Views
	Gate    *access.Gate
	Hub     *live.Hub
	Photos  *photos.Store
	Hooks   *hooks.Hooks
	// App is the built phone app, nil or without index.html when it was not built.
	App fs.FS
	// Origins are origins that are ours besides the one that a request came to, as behind a proxy.
	Origins []string
	// Secure marks cookies for HTTPS only.
	Secure bool
	// Strict tells browsers to come by HTTPS alone from now on (RFC 6797).
	Strict bool
	// Address is how people reach the server, for pairing links ("https://beds.example").
	Address string
	Build   string
	Now     func() time.Time
	Log     *slog.Logger
	// Before is called before each request of the api, and its error answers it; nil for nothing.
	Before func(ctx context.Context) error
	// BackUp makes a backup where the server keeps them; nil where it has no place for them.
	BackUp func(ctx context.Context) (schema.BackupMade, error)
	// Group shows several nurseries to whoever has a link of them; nil where the server has one.
	Group func(ctx context.Context, secret string) (schema.GroupView, error)
	// Observe is called after each request with its method, its route ("" where there is none), its status and its time; nil for nobody.
	Observe func(method, route string, status int, took time.Duration)
}

// server holds the handlers' dependencies.
type server struct {
	Options
	paces *paces
	// began is when the server was put together.
	began time.Time
	// cross keeps out the pages of other sites.
	cross *http.CrossOriginProtection
	// newcomers is held while a person is written down who was invited from the terminal.
	newcomers sync.Mutex
	// document is the OpenAPI document, made when it is first asked for.
	document func() ([]byte, error)
	// page is the same document for people.
	page func() ([]byte, error)
	// zipped holds the app's text files by name as gzip, each made when it is first asked for.
	zipped sync.Map
}

// New puts the routes together.
func New(o Options) http.Handler {
	if o.Now == nil {
		o.Now = time.Now
	}
	if o.Observe == nil {
		o.Observe = func(string, string, int, time.Duration) {}
	}
	s := &server{Options: o, paces: newPaces(o.Now), began: o.Now(), cross: o.crossOrigin(), document: sync.OnceValues(document)}
	s.page = sync.OnceValues(func() ([]byte, error) {
		raw, err := s.document()
		if err != nil {
			return nil, err
		}
		return referenceOf(raw)
	})
	e := echo.New()
	e.HideBanner, e.HidePort = true, true
	e.HTTPErrorHandler = handleError(o.Log)
	e.IPExtractor = addressOf(o.Origins)
	e.Use(briefID, middleware.RequestID(), s.logged, survive, s.headers, s.sameOrigin, s.upToDate)

	for _, r := range slices.Concat(routes, hookRoutes) {
		e.Add(r.method, r.path, func(c echo.Context) error { return r.handle(s, c) }, s.guards(r.open)...)
	}
	e.Any("/api", func(echo.Context) error { return echo.ErrNotFound })
	e.Any("/api/*", func(echo.Context) error { return echo.ErrNotFound })
	app := s.app()
	e.GET("/*", app)
	e.HEAD("/*", app)
	return e
}

// addressOf says where a request comes from: guesses are counted by it. Whoever is connected can write what they like into X-Forwarded-For; so
// it is believed only of a proxy on this machine, and only where one was announced: the last address that no proxy of ours added counts.
func addressOf(origins []string) echo.IPExtractor {
	if len(origins) == 0 {
		return echo.ExtractIPDirect()
	}
	return echo.ExtractIPFromXFFHeader(echo.TrustLoopback(true), echo.TrustLinkLocal(false), echo.TrustPrivateNet(false))
}
