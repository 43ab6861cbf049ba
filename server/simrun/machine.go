// Package simrun puts the real server under the simulator: the journal store over SQLite, with the faults of a bad
// disk and of sudden deaths in between, on a disk of its own. It is for tests and for `bedwalk simulate`.
//
// What is simulated, and what is asked of the server then, is package sim's. The central type is machine.
package simrun

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"

	"bedwalk/schema"
	"bedwalk/server/db"
	"bedwalk/server/journal"
	"bedwalk/sync/sim"
)

// errDisk is what a statement that is made to fail fails with.
var errDisk = errors.New("the disk did not do what it was asked")

// machine is a computer with a disk, and the server on it.
type machine struct {
	dir     string
	clock   func() int64
	random  io.Reader
	faults  db.Faults
	fault   sim.ServerFault
	full    bool
	db      *db.DB
	store   *journal.Store
	backups int
}

// Open gives an empty machine whose disk is a new folder in parent.
func Open(parent string) sim.Opener {
	return func(clock func() int64, chance func([]byte)) (sim.Host, error) {
		dir, err := os.MkdirTemp(parent, "machine-*")
		if err != nil {
			return nil, err
		}
		return &machine{dir: dir, clock: clock, random: reader(chance)}, os.Mkdir(filepath.Join(dir, "data"), 0o750)
	}
}

type reader func([]byte)

func (r reader) Read(into []byte) (int, error) {
	r(into)
	return len(into), nil
}

func (m *machine) data(file string) string { return filepath.Join(m.dir, "data", file) }

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

func (m *machine) start() error {
	ctx := context.Background()
	var err error
	if m.db, err = db.Open(ctx, db.Options{Path: m.data(db.File), Wrap: m.faults.Wrap}); err != nil {
		return err
	}
	m.store, err = journal.Open(ctx, journal.Options{
		DB: m.db, Now: func() time.Time { return time.UnixMilli(m.clock()) }, Random: m.random,
		Hooks: journal.Hooks{BeforeInsert: m.dies(sim.DieBeforeInsert), BeforeCommit: m.dies(sim.DieBeforeCommit), AfterCommit: m.dies(sim.DieAfterCommit)},
	})
	if err != nil {
		return errors.Join(err, m.db.Close())
	}
	return m.setFull()
}

// dies is a hook at which the process ends, once, when that is armed.
func (m *machine) dies(at sim.FaultKind) func() error {
	return func() error {
		if m.fault.Kind != at {
			return nil
		}
		m.fault = sim.ServerFault{}
		return sim.ErrDied
	}
}

func (m *machine) Stop() error {
	if m.store == nil {
		return nil
	}
	err := errors.Join(m.store.Close(), m.db.Close())
	m.store, m.db = nil, nil
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

func (m *machine) Push(p schema.Push, from sim.Sender) (schema.PushAnswer, error) {
	answer, err := m.store.Push(context.Background(), p, journal.Sender{Device: p.Device, PairedAt: from.PairedAt, Revoked: from.Revoked})
	return answer, refusal(err)
}

func (m *machine) Pull(device, epoch string, after int64, limit int, proof string) (schema.Pull, error) {
	page, err := m.store.Pull(context.Background(), device, epoch, after, limit, proof)
	return page, refusal(err)
}

func (m *machine) Compare(d schema.Digest) (schema.DigestAnswer, error) {
	answer, err := m.store.Compare(context.Background(), d)
	return answer, refusal(err)
}

func (m *machine) Incarnation(device string) (int, error) {
	inc, err := m.store.Incarnation(context.Background(), device)
	return inc, refusal(err)
}

func (m *machine) Writer(device string) (inc int, high int64, err error) {
	inc, high, _, err = m.store.Writer(context.Background(), device)
	return inc, high, refusal(err)
}

func (m *machine) HandBack(raws []json.RawMessage) error {
	_, err := m.store.HandBack(context.Background(), "", schema.HandBack{Epoch: m.store.Epoch(), Entries: raws},
		func(device string) journal.Sender { return journal.Sender{Device: device} })
	return refusal(err)
}

func (m *machine) Decide(aside int64, merge bool) error {
	return refusal(m.store.Decide(context.Background(), aside, merge, strings.Repeat("0", 32)))
}

func (m *machine) Where() (epoch string, head int64) { return m.store.Epoch(), m.store.Head() }

// refusal gives the store's refusals as its HTTP side does.
func refusal(err error) error {
	var r *journal.Refusal
	if !errors.As(err, &r) {
		return err
	}
	p := schema.Problem{Status: 409, Code: r.Code, Title: "Conflict", Detail: r.Detail, Remedy: r.Remedy}
	switch r.Code {
	case journal.CodeGap:
		p.High = &r.High
	case journal.CodeFork:
		p.High, p.Incarnation = &r.High, &r.Incarnation
	case journal.CodeRewind:
		p.Epoch, p.ForkedAt = r.Epoch, &r.ForkedAt
	default:
		p.Status = 400
	}
	return &sim.Problem{Problem: p}
}
