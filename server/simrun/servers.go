package simrun

import (
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"time"

	"bedwalk/schema"
	"bedwalk/server/access"
	"bedwalk/server/backup"
	"bedwalk/server/journal"
	"bedwalk/server/store/pg"
	"bedwalk/sync/fold"
	"bedwalk/sync/sim"
)

// servers are two servers of one nursery in a database of PostgreSQL, behind one address.
type servers struct {
	dir       string
	clock     func() int64
	mono      func() int64
	random    io.Reader
	roll      *rand.Rand
	base      *database
	line      *line
	all       [2]*server
	fault     sim.ServerFault
	still     standing
	meanwhile func()
	plant     string
	committed committed
}

// OpenServers gives two servers that have folders in parent.
func OpenServers(parent string) sim.Opener { return openServers(parent, "") }

func openServers(parent, plant string) sim.Opener {
	return func(clock, mono func() int64, chance func([]byte)) (sim.Host, error) {
		dir, err := os.MkdirTemp(parent, "servers-*")
		if err != nil {
			return nil, err
		}
		var seed [8]byte
		chance(seed[:])
		h := &servers{
			dir: dir, clock: clock, mono: mono, random: &oneByOne{from: reader(chance)}, line: &line{}, plant: plant,
			roll: rand.New(rand.NewPCG(binary.LittleEndian.Uint64(seed[:]), 0)),
		}
		for i := range h.all {
			h.all[i] = &server{of: h, dir: filepath.Join(dir, fmt.Sprint("data", i))}
			err = errors.Join(err, os.Mkdir(h.all[i].dir, 0o750))
		}
		if err == nil {
			h.base, err = newDatabase(context.Background())
		}
		return h, err
	}
}

// oneByOne lets several goroutines read.
type oneByOne struct {
	mu   sync.Mutex
	from io.Reader
}

func (o *oneByOne) Read(into []byte) (int, error) {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.from.Read(into)
}

func (h *servers) now() time.Time { return time.UnixMilli(h.clock()) }

// running are those that run and do not stand still.
func (h *servers) running() (all []*server) {
	for _, s := range h.all {
		if s.runs() && s != h.still.of {
			all = append(all, s)
		}
	}
	return all
}

// spared runs what no fault is meant for but that the database is away.
func (h *servers) spared(run func() error) error {
	before := h.line.arm(lineFaults{away: h.fault.Kind == sim.DatabaseAway})
	err := run()
	h.line.arm(before)
	return err
}

// Start starts all of them; some may be kept from it.
func (h *servers) Start() error {
	err := h.startAll()
	if len(h.running()) > 0 {
		return nil
	}
	return err
}

func (h *servers) startAll() error {
	if err := h.settles(); err != nil {
		return err
	}
	return h.spared(func() (err error) {
		for _, s := range h.all {
			if !s.runs() {
				err = errors.Join(err, s.start(context.Background()))
			}
		}
		return err
	})
}

// Revive is sim.Servers'. One whose database was replaced under it ends first, as the program does. The database may still be away.
func (h *servers) Revive() error {
	for _, s := range h.running() {
		if s.base.Present() != nil {
			if err := s.stop(); err != nil {
				return err
			}
		}
	}
	if err := h.startAll(); err != nil && h.fault.Kind != sim.DatabaseAway {
		return err
	}
	return nil
}

// hears is a nudge that a server hears, or that it looks without one.
func (h *servers) hears(s *server) error {
	if h.deaf() {
		return nil
	}
	return h.spared(func() error { return s.shared.Hear(context.Background()) })
}

func (h *servers) Stop() (err error) {
	if h.still.of != nil {
		h.still.ends = true
		err = h.GoOn()
	}
	for _, s := range h.all {
		err = errors.Join(err, s.stop())
	}
	return err
}

func (h *servers) Close() error {
	return errors.Join(h.Stop(), h.base.close(context.Background()), os.RemoveAll(h.dir))
}

// KillOne is sim.Servers'.
func (h *servers) KillOne() error {
	up := h.running()
	if len(up) < 2 {
		return nil
	}
	for _, s := range up {
		// What the other did a while ago it has heard of.
		_ = h.hears(s)
	}
	return up[h.roll.IntN(len(up))].stop()
}

func (h *servers) Arm(fault sim.ServerFault) {
	h.fault = fault
	var faults lineFaults
	switch fault.Kind {
	case sim.FailStatement:
		faults.failAt = fault.Statement
	case sim.DatabaseAway:
		faults.away = true
	}
	h.line.arm(faults)
}

func (h *servers) Backup() (int, error) {
	up := h.running()
	if len(up) == 0 {
		return 0, errors.New("no server runs")
	}
	if err := h.settles(); err != nil {
		return 0, err
	}
	n, err := h.Follow()
	if err != nil {
		return 0, err
	}
	for i, s := range h.all {
		if err := os.CopyFS(h.folder(n, i), os.DirFS(s.dir)); err != nil {
			return 0, err
		}
	}
	_, head, err := h.base.where(context.Background())
	if err != nil {
		return 0, err
	}
	return n, up[0].store.BackedUp(context.Background(), head)
}

func (h *servers) folder(n, i int) string {
	return filepath.Join(h.dir, fmt.Sprintf("copy%d-%d", n, i))
}

// Follow is sim.Servers'.
func (h *servers) Follow() (int, error) { return h.base.copied(context.Background()) }

// Restore is sim.Host's. Where all was set back nobody sees by the database that it is another.
func (h *servers) Restore(n int, whole bool) (err error) {
	ctx := context.Background()
	if err := h.base.replace(ctx, n); err != nil || !whole {
		return err
	}
	for i, s := range h.all {
		if err := errors.Join(os.RemoveAll(s.dir), os.CopyFS(s.dir, os.DirFS(h.folder(n, i)))); err != nil {
			return err
		}
	}
	as, err := pg.Open(ctx, pg.Options{URL: h.base.url})
	if err != nil {
		return err
	}
	return errors.Join(as.Served(ctx), as.Close())
}

// FailOver is sim.Servers'. A server that stands still has lost its transaction.
func (h *servers) FailOver(to int) (err error) {
	for _, s := range h.running() {
		_ = h.hears(s)
	}
	if to == 0 {
		if to, err = h.Follow(); err != nil {
			return err
		}
	}
	if err := h.base.replace(context.Background(), to); err != nil {
		return err
	}
	for _, s := range h.running() {
		// Each of its connections is cut, and found to be so when it is used.
		for s.base.Present() == nil && h.hears(s) != nil {
		}
	}
	return nil
}

func (h *servers) Invite(person, name, role string) (code string, err error) {
	up := h.running()
	if len(up) == 0 {
		return "", errors.New("no server runs")
	}
	if err := h.settles(); err != nil {
		return "", err
	}
	code, _, err = up[h.roll.IntN(len(up))].gate.Invite(context.Background(), access.Pairing{Person: person, Name: name, Role: role})
	return code, err
}

// ConfirmClock is sim.Host's, at each server: what an owner says they do not tell each other.
func (h *servers) ConfirmClock() error {
	if err := h.settles(); err != nil {
		return err
	}
	return h.spared(func() (err error) {
		for _, s := range h.running() {
			err = errors.Join(err, s.store.ConfirmClock(context.Background(), h.clock(), "the owner"))
		}
		return err
	})
}

func (h *servers) Where() (epoch string, head int64) {
	epoch, head, err := h.base.where(context.Background())
	if err != nil {
		return "", 0
	}
	return epoch, head
}

func (h *servers) Dump() (d sim.Dump, err error) {
	ctx := context.Background()
	open, err := pg.Open(ctx, pg.Options{URL: h.base.url, Beside: true, Patient: true})
	if err != nil {
		return d, err
	}
	defer func() { err = errors.Join(err, open.Close()) }()
	site := pg.Journal(open)
	store, err := journal.Open(ctx, journal.Options{Site: site, Dir: h.dir, Beside: true})
	if err != nil {
		return d, err
	}
	d = sim.Dump{Epoch: store.Epoch(), Head: store.Head(), Records: map[string][]byte{}, Reports: map[string]sim.Report{}}
	if err := store.Read(ctx, func(snap *journal.Snapshot) error {
		return snap.All(func(r schema.Record) (err error) {
			d.Records[r.Key], err = fold.Text(r)
			return err
		})
	}); err != nil {
		return d, err
	}
	reports, err := store.Reports(ctx)
	if err != nil {
		return d, err
	}
	for device, r := range reports {
		d.Reports[device] = sim.Report{Position: r.EqualTo, Equal: r.Equal == "equal", Pending: r.Pending}
	}
	if d.Merged, err = h.base.kept(ctx, `select 0, 'merged', '', w.device, w.inc, e.seq, e.at, e.quality, e.at_from, e.at_to, e.position, e.received_at, e.bytes
		from bedwalk.notes e join bedwalk.writers w on w.n = e.writer order by e.position`); err != nil {
		return d, err
	}
	if d.Aside, err = h.base.kept(ctx, `select q.n, q.state, q.faults, w.device, w.inc, q.seq, q.at, q.quality, q.at_from, q.at_to, q.position, q.received_at, q.bytes
		from bedwalk.quarantine q join bedwalk.writers w on w.n = q.writer order by q.n`); err != nil {
		return d, err
	}
	checked, err := backup.VerifySite(ctx, site, h.dir)
	if errors.Is(err, backup.ErrUnsound) {
		err = nil
	}
	d.Complaints = slices.Clone(checked.Complaints)
	return d, err
}
