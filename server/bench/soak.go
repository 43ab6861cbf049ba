package main

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"sync"
	"sync/atomic"
	"time"

	"github.com/gorilla/websocket"
	"golang.org/x/sync/errgroup"

	"bedwalk/server/live"
	"bedwalk/server/realrun"
)

type soakCommand struct {
	Binary  string  `help:"The program to measure." type:"path" required:""`
	Phones  int     `help:"Phones that return at once." default:"300"`
	Notes   int     `help:"Notes that each of them has to send." default:"2000"`
	Photos  int     `help:"Photos that each of them has to send after its notes." default:"3"`
	Sockets int     `help:"Connections that are open and hear of news." default:"10000"`
	Minutes float64 `help:"How long phones work on after that." default:"5"`
}

// photoBytes is the size of a photo as the app makes it.
const photoBytes = 150 << 10

// Run measures a crowd of open pages, a weekend's return and minutes of work, one after another on one nursery.
func (c *soakCommand) Run(ctx context.Context) (err error) {
	folder, err := os.MkdirTemp("", "bedwalk-soak-")
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(folder)) }()
	s := &soak{soakCommand: c, program: &realrun.Program{
		Binary: c.Binary, Data: filepath.Join(folder, "data"), Flags: []string{"--most-open", strconv.Itoa(c.Sockets + 1)},
	}}
	if err := s.program.Start(ctx); err != nil {
		return err
	}
	defer func() { err = errors.Join(err, s.program.Kill()) }()
	// A device may have some connections, so that many of them take many devices.
	devices := max(c.Phones, (c.Sockets+live.DefaultLimits.Device-1)/live.DefaultLimits.Device)
	if s.owner, s.phones, err = s.program.Phones(ctx, devices); err != nil {
		return err
	}
	s.owner.Plant(beds)
	if err := s.owner.Push(ctx, 1, len(s.owner.Raw)); err != nil {
		return err
	}
	for _, step := range []func(context.Context) error{s.idle, s.weekend, s.work} {
		if err := step(ctx); err != nil {
			return err
		}
	}
	return nil
}

type soak struct {
	*soakCommand
	program *realrun.Program
	owner   *realrun.Phone
	phones  []*realrun.Phone
}

// weekend has all phones send at once what they noted, and then their photos. The order of service: when each has its first answer, and when
// it is through with its notes. The last may be through long after the first, but none may wait for its first answer until another is through.
func (s *soak) weekend(ctx context.Context) error {
	crew := s.phones[:s.Phones]
	push := pushCommand{Notes: s.Notes, Seed: 1}
	load, err := push.pack(s.owner, crew)
	if err != nil {
		return err
	}
	if err := tellMemory(s.program, "memory before the return"); err != nil {
		return err
	}
	top, stop := s.watchMemory(ctx)
	var mu sync.Mutex
	var batches, photos, first, notes, all []time.Duration
	var again atomic.Int64
	put := func(list *[]time.Duration, took time.Duration) { mu.Lock(); *list = append(*list, took); mu.Unlock() }
	began := time.Now()
	group, run := errgroup.WithContext(ctx)
	for i, phone := range crew {
		group.Go(func() error {
			for n, body := range load.bodies[i] {
				asked := time.Now()
				if err := insist(run, &again, func() error { _, err := phone.Send(run, body); return err }); err != nil {
					return fmt.Errorf("phone %d, batch %d: %w", i+1, n+1, err)
				}
				put(&batches, time.Since(asked))
				if n == 0 {
					put(&first, time.Since(began))
				}
			}
			put(&notes, time.Since(began))
			chance := rand.New(rand.NewPCG(2, uint64(i)))
			for range s.Photos {
				raw := make([]byte, photoBytes)
				for at := range raw {
					raw[at] = byte(chance.Uint32())
				}
				// It begins as a JPEG does (ISO/IEC 10918-1, B.1.1.3: SOI, then a marker).
				copy(raw, "\xff\xd8\xff\xe0")
				asked := time.Now()
				if err := insist(run, &again, func() error { return phone.Photo(run, raw) }); err != nil {
					return fmt.Errorf("phone %d: %w", i+1, err)
				}
				put(&photos, time.Since(asked))
			}
			put(&all, time.Since(began))
			return nil
		})
	}
	err = group.Wait()
	stop()
	if err != nil {
		return err
	}
	if err := s.owner.Refresh(ctx); err != nil {
		return err
	}
	if have := s.owner.Me.Head - int64(len(s.owner.Raw)); have < int64(load.notes) {
		return fmt.Errorf("of %d notes that were answered the server has %d", load.notes, have)
	}
	var errs []error
	for _, one := range []struct {
		name, unit string
		value      float64
	}{
		{"returned: notes", "notes", float64(load.notes)}, {"requests sent again", "requests", float64(again.Load())},
		{"returned: notes a second", "notes/s", float64(load.notes) / slices.Max(notes).Seconds()},
		{"longest answer to a batch", "ms", quantile(batches, 1)}, {"answer to a batch, p95", "ms", quantile(batches, 0.95)},
		{"longest photo", "ms", longest(photos)},
		{"order: first phone has its first answer", "ms", quantile(first, 0)}, {"order: last phone has its first answer", "ms", quantile(first, 1)},
		{"order: first phone is through with its notes", "ms", quantile(notes, 0)}, {"order: half are", "ms", quantile(notes, 0.5)},
		{"order: last is", "ms", quantile(notes, 1)}, {"order: last has sent its photos", "ms", quantile(all, 1)},
	} {
		errs = append(errs, tell(one.name, one.unit, one.value))
	}
	if *top > 0 {
		errs = append(errs, tell("most memory meanwhile", "MB", *top))
	}
	return errors.Join(append(errs, tellMemory(s.program, "memory after the return"))...)
}

// insist sends again where the connection breaks, as a phone does: the server may have closed one that was idle just as it is used.
func insist(ctx context.Context, again *atomic.Int64, send func() error) error {
	for try := 1; ; try++ {
		err := send()
		var refused *realrun.Refused
		if err == nil || try == 3 || errors.As(err, &refused) || ctx.Err() != nil {
			return err
		}
		again.Add(1)
	}
}

func longest(took []time.Duration) float64 {
	if len(took) == 0 {
		return 0
	}
	return quantile(took, 1)
}

// watchMemory looks at the memory twice a second until it is stopped; then top is the most that it saw, 0 where nothing says.
func (s *soak) watchMemory(ctx context.Context) (top *float64, stop func()) {
	top = new(float64)
	ctx, cancel := context.WithCancel(ctx)
	var done sync.WaitGroup
	done.Go(func() {
		tick := time.NewTicker(500 * time.Millisecond)
		defer tick.Stop()
		for {
			if mb, _, err := residentMB(s.program.PID()); err == nil {
				*top = max(*top, mb)
			}
			select {
			case <-ctx.Done():
				return
			case <-tick.C:
			}
		}
	})
	return top, func() { cancel(); done.Wait() }
}

// idle opens all connections, and measures when the last of them has heard of a new note.
func (s *soak) idle(ctx context.Context) error {
	before, _, err := residentMB(s.program.PID())
	if err != nil {
		return err
	}
	conns := make([]*websocket.Conn, s.Sockets)
	defer func() {
		for _, conn := range conns {
			if conn != nil {
				_ = conn.Close()
			}
		}
	}()
	group, run := errgroup.WithContext(ctx)
	group.SetLimit(64)
	for i := range conns {
		group.Go(func() (err error) {
			conns[i], err = s.phones[i%len(s.phones)].Listen(run)
			return err
		})
	}
	if err := group.Wait(); err != nil {
		return fmt.Errorf("open %d connections: %w (see ulimit -n)", s.Sockets, err)
	}
	if err := s.owner.Refresh(ctx); err != nil {
		return err
	}
	head := s.owner.Me.Head + 1
	heard := make([]time.Duration, s.Sockets)
	var began time.Time
	var listening errgroup.Group
	for i, conn := range conns {
		listening.Go(func() error {
			for {
				var nudge struct{ Head int64 }
				if err := conn.ReadJSON(&nudge); err != nil {
					return err
				}
				if nudge.Head >= head {
					heard[i] = time.Since(began)
					return nil
				}
			}
		})
	}
	from := len(s.owner.Raw) + 1
	s.owner.Observe(rand.New(rand.NewPCG(3, 3)), s.owner.Device, beds, 1)
	began = time.Now()
	if err := s.owner.Push(ctx, from, from); err != nil {
		return err
	}
	took := time.Since(began)
	if err := listening.Wait(); err != nil {
		return err
	}
	after, known, err := residentMB(s.program.PID())
	if err != nil {
		return err
	}
	errs := []error{
		tell("open connections", "sockets", float64(s.Sockets)), tell("answer to a push among them", "ms", float64(took.Milliseconds())),
		tell("the last of them has heard", "ms", quantile(heard, 1)),
	}
	if known && s.Sockets > 0 {
		errs = append(errs, tell("memory a connection", "KB", (after-before)*1024/float64(s.Sockets)), tell("memory with all of them", "MB", after))
	}
	return errors.Join(errs...)
}

// work has twenty phones note a pot, pull and ask for a view now and then, and looks at the memory meanwhile: flat is a last quarter that
// has no more than the second one.
func (s *soak) work(ctx context.Context) error {
	var memory []float64
	var took []time.Duration
	chance := rand.New(rand.NewPCG(4, 4))
	crew := append([]*realrun.Phone{s.owner}, s.phones[:min(20, len(s.phones))]...)
	notes := 0
	for end := time.Now().Add(time.Duration(s.Minutes * float64(time.Minute))); time.Now().Before(end) && ctx.Err() == nil; {
		for _, phone := range crew {
			from, asked := len(phone.Raw)+1, time.Now()
			phone.Observe(chance, s.owner.Device, beds, 5)
			body, err := phone.Body(from, len(phone.Raw))
			if err != nil {
				return err
			}
			if _, err := phone.Send(ctx, body); err != nil {
				return err
			}
			took = append(took, time.Since(asked))
			notes += 5
			if _, err := phone.Pull(ctx, max(0, phone.Me.Head-100)); err != nil {
				return err
			}
		}
		var beds any
		if err := s.owner.Ask(ctx, "GET", "/api/views/beds", nil, &beds); err != nil {
			return err
		}
		mb, known, err := residentMB(s.program.PID())
		if err != nil {
			return err
		}
		if known {
			memory = append(memory, mb)
		}
	}
	if len(took) == 0 {
		return ctx.Err()
	}
	errs := []error{
		tell("work: minutes", "min", s.Minutes), tell("work: notes", "notes", float64(notes)),
		tell("work: answer to a push, p95", "ms", quantile(took, 0.95)), tell("work: longest answer", "ms", quantile(took, 1)),
	}
	if n := len(memory) / 4; n > 0 {
		second, last := slices.Max(memory[n:2*n]), slices.Max(memory[3*n:])
		errs = append(errs, tell("work: most memory in the second quarter", "MB", second), tell("work: most memory in the last quarter", "MB", last), tell("work: last to second", "ratio", last/second))
	}
	return errors.Join(errs...)
}
