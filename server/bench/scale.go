package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math/rand/v2"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"golang.org/x/time/rate"

	"bedwalk/schema"
	"bedwalk/server/db"
	"bedwalk/server/realrun"
	"bedwalk/server/testphone"
)

type scaleCommand struct {
	Binary  string `help:"The program to measure." type:"path" required:""`
	Beds    int    `help:"Beds of the demo nursery." default:"40"`
	Seasons int    `help:"Seasons of the demo nursery." default:"1"`
	Times   int    `help:"How often each request is measured." default:"20"`
	Keep    string `help:"A folder that the nursery's data are left in; none: they go with the bench." type:"path"`
}

// views are what the pages ask for. The heaviest comes last.
var views = []struct{ name, path string }{
	{"beds", "/api/views/beds"}, {"bed", "/api/views/beds/%s"}, {"lots", "/api/views/lots"}, {"lot", "/api/views/lots/%s"},
	{"phones", "/api/views/phones"}, {"briefing", "/api/views/field-briefing"}, {"scouts", "/api/views/scouts"},
}

// Run fills a nursery of a size with the real program, serves it, and measures what a grower's pages and phones ask of it.
func (c *scaleCommand) Run(ctx context.Context) (err error) {
	folder := c.Keep
	if folder == "" {
		if folder, err = os.MkdirTemp("", "bedwalk-scale-"); err != nil {
			return err
		}
		defer func() { err = errors.Join(err, os.RemoveAll(folder)) }()
	}
	s := &scale{scaleCommand: c, pace: rate.NewLimiter(10, 20), program: &realrun.Program{Binary: c.Binary, Data: filepath.Join(folder, "data")}}
	defer func() { err = errors.Join(err, s.program.Kill()) }()
	for _, step := range []func(context.Context) error{s.fill, s.pair, s.start, s.pages, s.sync} {
		if err := step(ctx); err != nil {
			return err
		}
	}
	return tell("longest request", "ms", float64(s.longest.Milliseconds()))
}

// scale is one nursery under measurement.
type scale struct {
	*scaleCommand
	program *realrun.Program
	phone   *realrun.Phone
	notes   int64
	// bed and lot are some of the nursery's; lots are all.
	bed, lot string
	lots     []schema.LotBrief
	// walk is of the pots that the bench notes; their lot stands from row on.
	walk testphone.Nursery
	row  int
	// longest is the request that took longest of all.
	longest time.Duration
	// pace keeps below what the server allows one device, or the bench would measure its refusals.
	pace *rate.Limiter
}

func tell(name, unit string, value float64) error {
	return figure{Name: name, Unit: unit, Runs: []float64{value}}.print()
}

func (s *scale) fill(ctx context.Context) error {
	began := time.Now()
	if _, err := s.program.Run(ctx, "demo", "--beds", strconv.Itoa(s.Beds), "--seasons", strconv.Itoa(s.Seasons)); err != nil {
		return err
	}
	return tell("fill", "s", time.Since(began).Seconds())
}

// pair makes an owner's device, which may ask for everything.
func (s *scale) pair(ctx context.Context) error {
	if err := s.program.Start(ctx); err != nil {
		return err
	}
	said, err := s.program.Run(ctx, "pair", "--role", "owner")
	if err != nil {
		return err
	}
	if s.phone, err = s.program.Pair(ctx, strings.TrimSpace(said[strings.LastIndex(said, "/")+1:])); err != nil {
		return err
	}
	if err := s.phone.Refresh(ctx); err != nil {
		return err
	}
	s.notes = s.phone.Me.Head
	info, err := os.Stat(filepath.Join(s.program.Data, db.File))
	if err != nil {
		return err
	}
	return errors.Join(tell("notes", "notes", float64(s.notes)), tell("at rest", "bytes", float64(info.Size())), s.program.Stop())
}

func (s *scale) start(ctx context.Context) error {
	// The demo has stored no scores: at its first start every walk is measured, as after a change of the measures.
	if _, err := s.startsWith(ctx, "nothing stored"); err != nil {
		return err
	}
	if err := errors.Join(s.rests(ctx), s.program.Stop()); err != nil {
		return err
	}
	beds, err := s.startsWith(ctx, "as on any day")
	if err != nil {
		return err
	}
	for next := ""; ; {
		var page schema.LotsPage
		if err := s.phone.Ask(ctx, http.MethodGet, "/api/views/lots?after="+next, nil, &page); err != nil {
			return err
		}
		s.lots = append(s.lots, page.Lots...)
		if next = page.Next; next == "" {
			break
		}
	}
	if len(s.lots) == 0 || len(beds.Houses) == 0 || len(beds.Houses[0].Beds) < 2 {
		return errors.New("the demo has no lots or no beds")
	}
	bed := beds.Houses[0].Beds[1]
	if len(bed.Spans) == 0 {
		return errors.New("the demo's second bed is empty")
	}
	s.bed, s.lot = bed.ID, s.lots[len(s.lots)/2].ID
	s.walk.Bed, s.walk.Lot, s.row = bed.ID, bed.Spans[0].Lot, bed.Spans[0].FromRow
	return tellMemory(s.program, "server memory, warm")
}

// startsWith measures a start until a desk that opens has its list of beds.
func (s *scale) startsWith(ctx context.Context, what string) (beds schema.BedsView, err error) {
	began := time.Now()
	if err := errors.Join(s.program.Start(ctx), s.phone.Refresh(ctx)); err != nil {
		return beds, err
	}
	if err := tell("start to first answer, "+what, "s", time.Since(began).Seconds()); err != nil {
		return beds, err
	}
	asked := time.Now()
	if err := s.phone.Ask(ctx, http.MethodGet, "/api/views/beds", nil, &beds); err != nil {
		return beds, err
	}
	s.longest = max(s.longest, time.Since(asked))
	err = errors.Join(tell("start to first Beds, "+what, "s", time.Since(began).Seconds()), s.processor("start to first Beds, "+what+", processor"))
	return beds, err
}

// processor tells how much processor time the program has taken so far, where the system says so: that does not depend on what else runs.
func (s *scale) processor(name string) error {
	seconds, known, err := processorSeconds(s.program.PID())
	if err != nil || !known {
		return err
	}
	return tell(name, "s", seconds)
}

// rests waits until the program has measured what it measures in the background: until it takes next to no processor time.
func (s *scale) rests(ctx context.Context) error {
	before := -1.0
	for range 300 {
		now, known, err := processorSeconds(s.program.PID())
		if err != nil || !known || now-before < 0.1 {
			return err
		}
		before = now
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(2 * time.Second):
		}
	}
	return errors.New("the server still works in the background ten minutes after its start")
}

// pages measures each view with nothing new and after one new note, and "me" while the heaviest is made.
func (s *scale) pages(ctx context.Context) error {
	for _, v := range views {
		path := v.path
		switch v.name {
		case "bed":
			path = fmt.Sprintf(path, s.bed)
		case "lot":
			path = fmt.Sprintf(path, s.lot)
		}
		var body json.RawMessage
		get := func() error { return s.phone.Ask(ctx, http.MethodGet, path, nil, &body) }
		if v.name == "beds" {
			// A desk asks for all of it once, and from then on for what has changed since its version.
			if err := get(); err != nil {
				return err
			}
			if err := tell("beds, size", "bytes", float64(len(body))); err != nil {
				return err
			}
			get = func() (err error) {
				body, err = s.since(ctx, path, body)
				return err
			}
		}
		if err := errors.Join(s.timed(ctx, v.name+", nothing new", get, nil), s.timed(ctx, v.name+", after one note", get, func() error { return s.note(ctx) })); err != nil {
			return err
		}
		size := "size"
		if v.name == "beds" {
			size = "change"
		}
		if err := tell(v.name+", "+size, "bytes", float64(len(body))); err != nil {
			return err
		}
	}
	if err := s.meBeside(ctx, views[len(views)-1].path); err != nil {
		return err
	}
	return errors.Join(tellMemory(s.program, "server memory, after all views"), s.processor("all views, processor"))
}

// since asks for what has changed in a view since an earlier answer.
func (s *scale) since(ctx context.Context, path string, earlier json.RawMessage) (change json.RawMessage, err error) {
	var has struct{ Version string }
	if err := json.Unmarshal(earlier, &has); err != nil {
		return nil, err
	}
	err = s.phone.Ask(ctx, http.MethodGet, path+"?since="+url.QueryEscape(has.Version), nil, &change)
	return change, err
}

// meBeside measures "me" while a view is made again after a new note.
func (s *scale) meBeside(ctx context.Context, path string) error {
	var took []time.Duration
	for range s.Times {
		if err := s.note(ctx); err != nil {
			return err
		}
		made := make(chan error, 1)
		go func() {
			var body json.RawMessage
			made <- s.phone.Ask(ctx, http.MethodGet, path, nil, &body)
		}()
		for done := false; !done; {
			if err := s.pace.Wait(ctx); err != nil {
				return err
			}
			began := time.Now()
			if err := s.phone.Refresh(ctx); err != nil {
				return err
			}
			took = append(took, time.Since(began))
			s.longest = max(s.longest, took[len(took)-1])
			select {
			case err := <-made:
				if done = true; err != nil {
					return err
				}
			default:
			}
		}
	}
	return tell("me while Scouts is made, p95", "ms", quantile(took, 0.95))
}

// sync measures pushes, a day's pull and a digest at a new head.
func (s *scale) sync(ctx context.Context) error {
	if err := s.timed(ctx, "push of 1 note", func() error { return s.note(ctx) }, nil); err != nil {
		return err
	}
	chance := rand.New(rand.NewPCG(1, uint64(s.notes)))
	if err := s.timed(ctx, "push of 60 notes", func() error {
		from := len(s.phone.Raw) + 1
		for range 60 {
			s.write(chance)
		}
		return s.phone.Push(ctx, from, len(s.phone.Raw))
	}, nil); err != nil {
		return err
	}
	// A day of a season of 26 weeks, as the demo has it.
	day := s.notes / int64(s.Seasons) / (26 * 7)
	if err := s.timed(ctx, "pull of a day", func() error {
		for after := s.notes - day; after < s.notes; {
			page, err := s.phone.Pull(ctx, after)
			if err != nil {
				return err
			}
			if len(page.Items) == 0 {
				return fmt.Errorf("nothing came after position %d of %d", after, s.notes)
			}
			after = page.Items[len(page.Items)-1].Position
		}
		return nil
	}, nil); err != nil {
		return err
	}
	return s.timed(ctx, "digest at a new head", func() error { return s.digest(ctx) }, func() error { return s.note(ctx) })
}

// digest asks as a phone does that has everything. The sums are not the nursery's: that costs the server the same, and the
// names of all lots that differ besides.
func (s *scale) digest(ctx context.Context) error {
	d := schema.Digest{
		Device: s.phone.Device, Epoch: s.phone.Epoch, Position: s.phone.Me.Head, Records: strings.Repeat("0", 64), SentWall: time.Now().UnixMilli(),
	}
	for _, lot := range s.lots {
		d.Lots = append(d.Lots, schema.LotDigest{Lot: lot.ID, Count: 1, Sum: testphone.ID(lot.ID)})
	}
	raw, err := json.Marshal(d)
	if err != nil {
		return err
	}
	var answer schema.DigestAnswer
	return s.phone.Ask(ctx, http.MethodPost, "/api/digest", raw, &answer)
}

// note pushes one new note and learns the new head.
func (s *scale) note(ctx context.Context) error {
	from := len(s.phone.Raw) + 1
	s.write(rand.New(rand.NewPCG(uint64(from), 1)))
	return errors.Join(s.phone.Push(ctx, from, len(s.phone.Raw)), s.phone.Refresh(ctx))
}

// write notes one more pot of a walk that is under way.
func (s *scale) write(chance *rand.Rand) {
	if s.walk.Walk == "" {
		s.walk.Walk = testphone.ID("walk " + s.phone.Device)
		s.phone.StartWalk(s.walk)
	}
	s.phone.See(s.walk, s.row+chance.IntN(5), 1+chance.IntN(3), 250+chance.IntN(80), 20+chance.IntN(30))
}

// timed measures something some times, each after what comes before it, and tells the time that 95 % of them keep, and the longest.
func (s *scale) timed(ctx context.Context, name string, what, before func() error) error {
	took := make([]time.Duration, s.Times)
	for i := range took {
		// At most four requests a time: what comes before, and what is measured.
		if err := s.pace.Wait(ctx); err != nil {
			return err
		}
		if before != nil {
			if err := before(); err != nil {
				return err
			}
		}
		began := time.Now()
		if err := what(); err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		took[i] = time.Since(began)
		s.longest = max(s.longest, took[i])
	}
	return errors.Join(tell(name+", p95", "ms", quantile(took, 0.95)), tell(name+", longest", "ms", quantile(took, 1)))
}
