package main

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"time"

	"golang.org/x/sync/errgroup"

	"bedwalk/server/db"
	"bedwalk/server/realrun"
	"bedwalk/server/testpg"
)

type pushCommand struct {
	Binary  string `help:"The program to measure; built when it is not given." type:"path"`
	Runs    int    `help:"How often everything is measured." default:"5"`
	Devices int    `help:"Phones that push at once." default:"20"`
	Notes   int    `help:"Notes of each phone." default:"5000"`
	Seed    uint64 `help:"Seed of the notes' values." default:"1"`
}

// A phone sends at most this many notes, or this many bytes of them, in a batch.
const (
	batchNotes = 500
	batchBytes = 256 << 10
	beds       = 40
)

func (c *pushCommand) Run(ctx context.Context) (err error) {
	folder, err := os.MkdirTemp("", "bedwalk-bench-")
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(folder)) }()
	if c.Binary == "" {
		if c.Binary, err = realrun.Build(ctx, folder); err != nil {
			return err
		}
	}
	url, err := testpg.StartOnDisk()
	if err != nil && !errors.Is(err, testpg.ErrMissing) {
		return err
	}
	all := map[string]*figure{}
	var names []string
	add := func(name, unit string, value float64) {
		if all[name] == nil {
			all[name] = &figure{Name: name, Unit: unit}
			names = append(names, name)
		}
		all[name].Runs = append(all[name].Runs, value)
	}
	for i := range c.Runs {
		if err := c.once(ctx, filepath.Join(folder, fmt.Sprint(i)), add); err != nil {
			return err
		}
		if url == "" {
			continue
		}
		if err := c.inPostgres(ctx, filepath.Join(folder, fmt.Sprint("postgres", i)), url, add); err != nil {
			return err
		}
	}
	for _, name := range names {
		if err := all[name].print(); err != nil {
			return err
		}
	}
	return nil
}

// once is one run: a fresh program and data folder, all phones at once, then the same rows into bare tables.
func (c *pushCommand) once(ctx context.Context, data string, add func(name, unit string, value float64)) (err error) {
	program := &realrun.Program{Binary: c.Binary, Data: data}
	load, rate, err := c.pushed(ctx, program, func(name, unit string, value float64) { add("push"+name, unit, value) })
	if err != nil {
		return err
	}
	add("wire", "bytes/note", float64(load.packed)/float64(load.notes))
	add("plain", "bytes/note", float64(load.plain)/float64(load.notes))
	if err := c.rest(filepath.Join(data, db.File), load.notes, add); err != nil {
		return err
	}
	raw, err := rawRates(ctx, filepath.Join(data, db.File), data+"-raw")
	if err != nil {
		return err
	}
	add("raw_journal", "rows/s", raw.journal.rate)
	add("raw_whole", "notes/s", raw.whole.rate)
	if raw.whole.cpu > 0 {
		add("raw_whole_cpu", "µs/note", raw.whole.cpu)
	}
	add("push_to_raw_journal", "ratio", rate/raw.journal.rate)
	add("push_to_raw_whole", "ratio", rate/raw.whole.rate)
	return errors.Join(os.RemoveAll(data), os.RemoveAll(data+"-raw"))
}

// pushed starts a program, has all phones push at once, asks for nothing new, and stops the program.
func (c *pushCommand) pushed(ctx context.Context, program *realrun.Program, add func(name, unit string, value float64)) (all *load, rate float64, err error) {
	if err := program.Start(ctx); err != nil {
		return nil, 0, err
	}
	defer func() { err = errors.Join(err, program.Kill()) }()
	owner, scouts, err := program.Phones(ctx, c.Devices)
	if err != nil {
		return nil, 0, err
	}
	owner.Plant(beds)
	if err := owner.Push(ctx, 1, len(owner.Raw)); err != nil {
		return nil, 0, err
	}
	if all, err = c.pack(owner, scouts); err != nil {
		return nil, 0, err
	}
	began := time.Now()
	took, through, err := all.send(ctx)
	if err != nil {
		return nil, 0, err
	}
	rate = float64(all.notes) / time.Since(began).Seconds()
	add("", "notes/s", rate)
	add("_batch_p50", "ms", quantile(took, 0.5))
	add("_batch_p99", "ms", quantile(took, 0.99))
	add("_last_to_first", "ratio", quantile(through, 1)/quantile(through, 0))
	if err := idle(ctx, scouts[0], add); err != nil {
		return nil, 0, err
	}
	if err := program.Stop(); err != nil {
		return nil, 0, err
	}
	// Pairing and a look at the head are in it too, which is little beside the notes.
	add("_cpu", "µs/note", float64(program.CPU().Microseconds())/float64(all.notes))
	return all, rate, nil
}

// load is every phone's batches, packed before the clock runs.
type load struct {
	phones               []*realrun.Phone
	bodies               [][][]byte
	notes, packed, plain int
}

func (c *pushCommand) pack(owner *realrun.Phone, scouts []*realrun.Phone) (*load, error) {
	l := &load{phones: scouts, bodies: make([][][]byte, len(scouts))}
	var group errgroup.Group
	for i, phone := range scouts {
		group.Go(func() error {
			phone.Observe(rand.New(rand.NewPCG(c.Seed, uint64(i))), owner.Device, beds, c.Notes)
			for from := 1; from <= len(phone.Raw); {
				to := fitting(phone, from)
				body, err := phone.Body(from, to)
				if err != nil {
					return err
				}
				l.bodies[i] = append(l.bodies[i], body)
				from = to + 1
			}
			return nil
		})
	}
	err := group.Wait()
	for i, phone := range scouts {
		l.notes += len(phone.Raw)
		for _, body := range l.bodies[i] {
			l.packed += len(body)
		}
		for _, raw := range phone.Raw {
			l.plain += len(raw)
		}
	}
	return l, err
}

// fitting is the last note that still fits into a batch from a number on.
func fitting(phone *realrun.Phone, from int) (to int) {
	bytes := 0
	for to = from; to <= len(phone.Raw) && to < from+batchNotes; to++ {
		if bytes += len(phone.Raw[to-1]) + 1; bytes > batchBytes && to > from {
			break
		}
	}
	return to - 1
}

// send sends every phone's batches, one after another as its chain demands, and all phones at once. Took is how long each
// batch waited for its answer, through how long each phone needed for all of its batches.
func (l *load) send(ctx context.Context) (took, through []time.Duration, err error) {
	times := make([][]time.Duration, len(l.phones))
	through = make([]time.Duration, len(l.phones))
	all := time.Now()
	group, ctx := errgroup.WithContext(ctx)
	for i, phone := range l.phones {
		group.Go(func() error {
			for _, body := range l.bodies[i] {
				began := time.Now()
				answer, err := phone.Send(ctx, body)
				if err != nil {
					return err
				}
				for _, given := range answer.Given {
					if given.State != "merged" {
						return fmt.Errorf("note %s is %s: %v", given.ID, given.State, given.Faults)
					}
				}
				times[i] = append(times[i], time.Since(began))
			}
			through[i] = time.Since(all)
			return nil
		})
	}
	err = group.Wait()
	for _, one := range times {
		took = append(took, one...)
	}
	return took, through, err
}

// idle is a sync with nothing to do: the phone asks for what comes after the head.
func idle(ctx context.Context, phone *realrun.Phone, add func(name, unit string, value float64)) error {
	if err := phone.Refresh(ctx); err != nil {
		return err
	}
	const times = 50
	took := make([]time.Duration, times)
	for i := range took {
		began := time.Now()
		page, err := phone.Pull(ctx, phone.Me.Head)
		if err != nil {
			return err
		}
		if len(page.Items) != 0 {
			return fmt.Errorf("a pull after the head brought %d notes", len(page.Items))
		}
		took[i] = time.Since(began)
	}
	add("_idle_pull", "ms", quantile(took, 0.5))
	return nil
}

func (c *pushCommand) rest(path string, notes int, add func(name, unit string, value float64)) error {
	info, err := os.Stat(path)
	if err != nil {
		return err
	}
	add("rest", "bytes/note", float64(info.Size())/float64(notes))
	return nil
}
