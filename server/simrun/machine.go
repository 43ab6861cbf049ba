// Package simrun puts the real server and the real phones under the simulator: all of the server from its HTTP side
// down to SQLite, with the faults of a bad disk and of sudden deaths in between, on a disk of its own; and the phone's
// own modules in a Node process. It is for tests and for `bedwalk simulate`.
//
// What is simulated, and what is asked of both then, is package sim's. The central types are machine and phones.
package simrun

import (
	"bytes"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"time"

	"bedwalk/server/access"
	"bedwalk/server/api"
	"bedwalk/server/backup"
	"bedwalk/server/db"
	"bedwalk/server/journal"
	"bedwalk/server/live"
	"bedwalk/server/photos"
	"bedwalk/server/store/lite"
	"bedwalk/server/view"
	"bedwalk/sync/sim"
)

// errDisk is what a statement that is made to fail fails with.
var errDisk = errors.New("the disk did not do what it was asked")

// machine is a computer with a disk, and the server on it.
type machine struct {
	dir     string
	clock   func() int64
	mono    func() int64
	random  io.Reader
	faults  db.Faults
	fault   sim.ServerFault
	full    bool
	db      *db.DB
	store   *journal.Store
	gate    *access.Gate
	handler http.Handler
	backups int
	hold    *db.Hold
	// putBack is true when somebody has just put a backup in place, and means even one that is empty.
	putBack bool

	// plant is a planted fault, "" for none; afterwards is what it does when a request has been answered, and lastToken
	// whom the last well answered one was of.
	plant      string
	fate       *rand.Rand
	afterwards func() error
	lastToken  string

	// died is set by a hook at which the process ends; meanwhile is served while the next transaction is open.
	died      bool
	meanwhile func()
}

// Open gives an empty machine whose disk is a new folder in parent.
func Open(parent string) sim.Opener { return openPlanted(parent, "") }

// openPlanted is Open with a planted fault.
func openPlanted(parent, plant string) sim.Opener {
	return func(clock, mono func() int64, chance func([]byte)) (sim.Host, error) {
		dir, err := os.MkdirTemp(parent, "machine-*")
		if err != nil {
			return nil, err
		}
		return &machine{dir: dir, clock: clock, mono: mono, random: reader(chance), plant: plant, fate: rand.New(rand.NewPCG(1, 2))}, os.Mkdir(filepath.Join(dir, "data"), 0o750)
	}
}

type reader func([]byte)

func (r reader) Read(into []byte) (int, error) {
	r(into)
	return len(into), nil
}

func (m *machine) data(file string) string { return filepath.Join(m.dir, "data", file) }

func (m *machine) now() time.Time { return time.UnixMilli(m.clock()) }

func (m *machine) Start() error { return m.spared(m.start) }

// spared runs what no fault is meant for.
func (m *machine) spared(run func() error) error {
	left := m.fault.Statement - m.faults.Seen()
	m.faults.FailAt(0, nil)
	err := run()
	if m.fault.Kind == sim.FailStatement && left > 0 {
		m.fault.Statement = left
		m.faults.FailAt(left, errDisk)
	}
	return err
}

// start puts the parts together as `bedwalk serve` does.
func (m *machine) start() error {
	ctx := context.Background()
	var err error
	if m.hold, err = db.HoldDir(m.data(""), "serve"); err != nil {
		return err
	}
	if m.db, err = db.Open(ctx, db.Options{Path: m.data(db.File), Wrap: m.faults.Wrap, Hold: m.hold}); err != nil {
		return errors.Join(err, m.hold.Release())
	}
	mono := m.mono
	if m.plant == "a jump of the server's clock believed" {
		mono = m.clock
	}
	m.store, err = journal.Open(ctx, journal.Options{
		Site: lite.Journal(m.db), Dir: m.db.Dir(), Now: m.now, Mono: mono, Random: m.random,
		StartEmpty: m.putBack,
		Hooks:      journal.Hooks{BeforeInsert: m.dies(sim.DieBeforeInsert), BeforeCommit: m.beforeCommit, AfterCommit: m.dies(sim.DieAfterCommit)},
	})
	if err != nil {
		err = errors.Join(err, m.db.Close(), m.hold.Release())
		m.store, m.db = nil, nil
		return err
	}
	m.putBack = false
	m.gate = access.New(access.Options{Store: lite.Access(m.db), Dir: m.db.Dir(), Now: m.now, Random: m.random})
	if err := m.gate.HeedRevoked(ctx); err != nil {
		return errors.Join(err, m.Stop())
	}
	pictures, err := photos.Open(m.data(backup.PhotosDir), m.now)
	if err != nil {
		return errors.Join(err, m.Stop())
	}
	var store api.Journal = m.store
	if m.plant != "" {
		store = &planted{Store: m.store, m: m, name: m.plant, random: m.fate, stored: map[string]bool{}}
	}
	options := api.Options{Journal: store, Views: view.New(m.store, m.gate), Gate: m.gate, Photos: pictures, Now: m.now, Log: slog.New(slog.DiscardHandler)}
	options.Hub = live.New(live.DefaultLimits, options.FromUs)
	m.handler = api.New(options)
	return m.setFull()
}

// dies is a hook at which the process ends, once, when that is armed.
func (m *machine) dies(at sim.FaultKind) func() error {
	return func() error {
		if m.fault.Kind != at {
			return nil
		}
		m.fault, m.died = sim.ServerFault{}, true
		return sim.ErrDied
	}
}

func (m *machine) beforeCommit() error {
	if serve := m.meanwhile; serve != nil {
		m.meanwhile = nil
		serve()
	}
	return m.dies(sim.DieBeforeCommit)()
}

func (m *machine) Stop() error {
	if m.store == nil {
		return nil
	}
	err := errors.Join(m.store.Close(), m.db.Close(), m.hold.Release())
	m.store, m.db, m.handler = nil, nil, nil
	return err
}

func (m *machine) Close() error { return errors.Join(m.Stop(), os.RemoveAll(m.dir)) }

func (m *machine) Arm(fault sim.ServerFault) {
	m.fault, m.full = fault, fault.Kind == sim.DiskFull
	m.faults.FailAt(0, nil)
	if fault.Kind == sim.FailStatement {
		m.faults.FailAt(fault.Statement, errDisk)
	}
	if m.store != nil {
		// The limit cannot be set only where the disk has already failed, and then it is as good as full.
		_ = m.setFull()
	}
}

// setFull lets the database file grow no further, so that SQLite itself meets a full disk; or lets it grow again.
func (m *machine) setFull() error {
	return m.db.Write(context.Background(), func(tx *sql.Tx) error {
		pages := 1 << 30
		if m.full {
			if err := tx.QueryRow("pragma page_count").Scan(&pages); err != nil {
				return err
			}
		}
		_, err := tx.Exec(fmt.Sprintf("pragma max_page_count = %d", pages))
		return err
	})
}

func (m *machine) Serve(r sim.Request) (sim.Response, error) {
	var read *sim.Response
	if r.Meanwhile != nil {
		// That a phone was seen is written once a minute, which would have to wait for the batch.
		_ = m.spared(func() error {
			m.answer(sim.Request{Method: "GET", Path: "/api/me", Token: r.Meanwhile.Token})
			return nil
		})
		m.meanwhile = func() {
			// The statements of the reader are not those that a fault is meant for.
			_ = m.spared(func() error {
				one := m.answer(*r.Meanwhile)
				read = &one
				return nil
			})
		}
	}
	got := m.answer(r)
	m.meanwhile = nil
	got.Meanwhile = read
	if then := m.afterwards; then != nil {
		m.afterwards = nil
		if err := m.spared(then); err != nil {
			return got, err
		}
	}
	if m.died {
		m.died = false
		return got, sim.ErrDied
	}
	return got, nil
}

// answer answers a request, with what a planted fault does to that.
func (m *machine) answer(r sim.Request) sim.Response {
	got := ask(m.handler, r)
	if m.plant == "" {
		return got
	}
	return m.served(r, got)
}

// ask sends a request through a server's whole HTTP side.
func ask(handler http.Handler, r sim.Request) sim.Response {
	asked := httptest.NewRequest(r.Method, "http://beds.test"+r.Path, bytes.NewReader(r.Body))
	for name, value := range r.Headers {
		asked.Header.Set(name, value)
	}
	if r.Token != "" {
		asked.AddCookie(&http.Cookie{Name: cookie, Value: r.Token})
	}
	recorded := httptest.NewRecorder()
	handler.ServeHTTP(recorded, asked)
	result := recorded.Result()
	got := sim.Response{Status: result.StatusCode, Headers: map[string]string{}, Body: recorded.Body.Bytes()}
	for name := range result.Header {
		got.Headers[strings.ToLower(name)] = result.Header.Get(name)
	}
	for _, set := range result.Cookies() {
		if set.Name == cookie {
			got.Token = set.Value
		}
	}
	return got
}

// cookie is the name under which browsers keep a device's token.
const cookie = "bedwalk"

func (m *machine) AtOnce(all []sim.Request) []sim.Response {
	answers := make([]sim.Response, len(all))
	var wait sync.WaitGroup
	for i := range all {
		wait.Go(func() { answers[i] = ask(m.handler, all[i]) })
	}
	wait.Wait()
	return answers
}

func (m *machine) Invite(person, name, role string) (code string, err error) {
	code, _, err = m.gate.Invite(context.Background(), access.Pairing{Person: person, Name: name, Role: role})
	return code, err
}

func (m *machine) ConfirmClock() error {
	return m.spared(func() error { return m.store.ConfirmClock(context.Background(), m.clock(), "the owner") })
}

func (m *machine) Where() (epoch string, head int64) { return m.store.Epoch(), m.store.Head() }
