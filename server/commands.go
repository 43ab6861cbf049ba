package main

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"time"

	"bedwalk/fixtures/nursery"
	"bedwalk/server/backup"
	"bedwalk/server/db"
	"bedwalk/server/demo"
	"bedwalk/server/export"
	"bedwalk/server/journal"
)

type demoCommand struct {
	dataFlag
	Seed     uint64 `help:"Another seed makes another nursery." default:"1"`
	Today    string `help:"The demo's today (2026-11-25); the real date unless given." placeholder:"DATE"`
	Large    bool   `help:"Make 400 beds with four seasons of notes (about 900,000): takes minutes, and 1 GB of disk."`
	Beds     *int   `help:"Number of beds, in steps of 40, up to 1000; 40 unless given, 400 with --large." placeholder:"N"`
	Finished *int   `help:"Number of earlier seasons in short, with twelve lots each, up to 4; 2 unless given, 0 with --large or more seasons." placeholder:"N"`
	Seasons  *int   `help:"Number of seasons, up to 10: all but the last are shipped; 1 unless given, 4 with --large." placeholder:"N"`
}

// size is the size of the nursery by the flags. The error says which sizes there are.
func (c *demoCommand) size() (nursery.Size, error) {
	s := nursery.Size{Beds: nursery.BlockBeds, Seasons: 1}
	if c.Large {
		s = nursery.Size{Beds: 400, Seasons: 4}
	}
	if c.Beds != nil {
		s.Beds = *c.Beds
	}
	if c.Seasons != nil {
		s.Seasons = *c.Seasons
	}
	if s.Seasons == 1 && s.Beds == nursery.BlockBeds {
		s.Finished = 2
	}
	if c.Finished != nil {
		s.Finished = *c.Finished
	}
	return s, s.Check()
}

func (c *demoCommand) Run(ctx context.Context) (err error) {
	today := time.Now()
	if c.Today != "" {
		if today, err = time.ParseInLocation(time.DateOnly, c.Today, time.Local); err != nil {
			return fmt.Errorf("--today %q is not a date; write it as 2026-11-25", c.Today)
		}
	}
	size, err := c.size()
	if err != nil {
		return err
	}
	hold, err := holdFolder(c.Data, "demo")
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, hold.Release()) }()
	if err := journal.CheckBeside(c.Data); err != nil {
		return err
	}
	d, err := db.Open(ctx, db.Options{Path: filepath.Join(c.Data, db.File), Hold: hold})
	if err != nil {
		return err
	}
	began, shown := time.Now(), -1
	err = demo.Fill(ctx, d, demo.Options{Seed: c.Seed, Today: today, Size: size, Progress: func(season, done, all int) {
		part := done * 10 / all
		if part == shown {
			return
		}
		shown = part
		which := ""
		if size.Seasons > 1 {
			which = fmt.Sprintf("season %d of %d: ", season, size.Seasons)
		}
		fmt.Printf("%s%3d %%  %d of %d notes\n", which, part*10, done, all)
	}})
	if err := errors.Join(err, d.Close()); err != nil {
		return err
	}
	fmt.Printf("The demo nursery is in %s (%s). Serve it with: bedwalk serve --data %s\n", c.Data, time.Since(began).Round(100*time.Millisecond), c.Data)
	return nil
}

type exportCommand struct {
	nurseryFlag
	To string `help:"A new folder." required:"" type:"path" placeholder:"DIR"`
}

func (c *exportCommand) Run(ctx context.Context) error {
	p, err := openBeside(ctx, c.nurseryFlag)
	if err != nil {
		return err
	}
	defer p.Close()
	made, err := export.All(ctx, export.Source{
		Journal: p.store, Pots: p.views, Build: build(),
		Photos: func(to string) (int, error) { return backup.CopyPhotos(filepath.Join(c.Data, backup.PhotosDir), to) },
	}, c.To, time.Now())
	if err != nil {
		return fmt.Errorf("nothing was exported: %w", err)
	}
	fmt.Printf("%s has %d notes and %d pictures; its READ-ME.txt says what is in which file.\n", made.Path, made.Notes, made.Photos)
	if lacks := p.store.Head() - int64(made.Notes); lacks > 0 {
		fmt.Printf("Not in it are up to %d more: they came in meanwhile, or cannot be read; bedwalk verify names those.\n", lacks)
	}
	return nil
}
