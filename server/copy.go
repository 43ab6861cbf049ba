package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"bedwalk/server/backup"
	"bedwalk/server/db"
	"bedwalk/server/journal"
	"bedwalk/server/move"
	"bedwalk/server/store/lite"
	"bedwalk/server/store/pg"
)

type copyCommand struct {
	nurseryFlag
	NewSite bool `help:"Copy into another nursery, of the name --site, in a database that has some."`
	Back    bool `help:"Copy from the database into a file in the folder."`
}

// unfinished stands in the database while a copy into it is not whole, or its file not put away.
const unfinished = "a copy of a file that was not finished; run bedwalk copy again"

// putAway is what the name of the folder begins with that a file lies in once it was copied.
const putAway = "copied"

// halfCopy is where, inside the data folder, a file is made until it is whole.
const halfCopy = "copy.half"

func (c *copyCommand) Run(ctx context.Context) (err error) {
	if c.Store == "" {
		return errors.New("name the database with --store postgres://USER@HOST/DATABASE")
	}
	hold, err := holdFolder(c.Data, "copy")
	if err != nil {
		return fmt.Errorf("nothing was copied: %w", err)
	}
	defer func() { err = errors.Join(err, hold.Release()) }()
	d, err := pg.Open(ctx, pg.Options{URL: c.Store, Site: c.Site, New: c.NewSite, Patient: true, Moved: true})
	if err != nil {
		return fmt.Errorf("nothing was copied: --store: %w", err)
	}
	defer func() { err = errors.Join(err, d.Close()) }()
	if err := d.Hold(ctx, true); err != nil {
		return fmt.Errorf("nothing was copied: %w", err)
	}
	if c.Back {
		return c.back(ctx, d)
	}
	return c.forth(ctx, d)
}

// forth copies the file in the folder into the database, and puts it away.
func (c *copyCommand) forth(ctx context.Context, d *pg.DB) error {
	path, err := existing(c.Data)
	if err != nil && d.Moved() != "" {
		return fmt.Errorf("nothing was copied: site %q is %s, and there is no file in %s; name its folder with --data, or where it was put away already, put it back into %s from the folder there whose name begins with %q",
			d.Name(), d.Moved(), c.Data, c.Data, putAway)
	}
	if err != nil {
		return fmt.Errorf("nothing was copied: %w", err)
	}
	file, err := c.whole(ctx, path)
	if err != nil {
		return fmt.Errorf("nothing was copied: %w", err)
	}
	notes, err := fromFile(ctx, file, d)
	if err = errors.Join(err, file.Close()); err != nil {
		return err
	}
	aside, err := backup.PutAside(c.Data, putAway, time.Now())
	if err != nil {
		return fmt.Errorf("put the file away: %w; run bedwalk copy again", err)
	}
	counts, err := d.Counts(ctx)
	if err == nil {
		err = d.Move(ctx, "", counts)
	}
	if err != nil {
		return fmt.Errorf("%w; put the file back from %s and run bedwalk copy again", err, aside)
	}
	fmt.Printf("Site %s has the %d notes of %s, compared row by row and verified. Serve it with: bedwalk serve --data %s --store ADDRESS --site %q\n"+
		"The file is in %s; delete it when all is well.\n", d.Name(), notes, path, c.Data, d.Name(), aside)
	return nil
}

// fromFile copies an open file into the database. Until the file is put away nobody serves the copy.
func fromFile(ctx context.Context, file *db.DB, d *pg.DB) (notes int, err error) {
	from, to := lite.Journal(file), pg.Journal(d)
	switch d.Moved() {
	case "":
		empty, bad := d.Counts(ctx)
		if err = errors.Join(bad, move.Nothing(ctx, to)); err == nil {
			err = d.Move(ctx, unfinished, empty)
		}
	case unfinished:
		// What was half copied is worthless.
	default:
		// What was moved away is worthless where the file has all of it.
		err = move.Covers(ctx, from, to)
	}
	if err != nil {
		return 0, fmt.Errorf("nothing was copied: %w", err)
	}
	if notes, err = move.Copy(ctx, from, to); err == nil {
		err = compared(ctx, from, to)
	}
	if err != nil {
		return 0, fmt.Errorf("the copy is not finished, and nobody serves it; the nursery is still in its file: %w", err)
	}
	return notes, nil
}

// whole is a file as a server would serve it, with the newest tables and in an epoch of its own where it is a restored backup. It is read as it is: however
// long that takes, it is one moment.
func (c *copyCommand) whole(ctx context.Context, path string) (*db.DB, error) {
	if err := c.settle(ctx, path, false); err != nil {
		return nil, err
	}
	return db.OpenAsItIs(path)
}

// compared holds a copy against what it was made of, and checks it as "verify" does.
func compared(ctx context.Context, from, to journal.Site) error {
	if err := move.Same(ctx, from, to); err != nil {
		return err
	}
	found, err := journal.Verify(ctx, to)
	if err == nil && len(found.Complaints) > 0 {
		err = fmt.Errorf("%w: %s", backup.ErrUnsound, found.Complaints[0])
	}
	return err
}

// back copies the site into a file in the folder, and writes down in the database that it is there.
func (c *copyCommand) back(ctx context.Context, d *pg.DB) (err error) {
	path := filepath.Join(c.Data, db.File)
	if _, err := os.Stat(path); err == nil {
		return fmt.Errorf("nothing was copied: %s: %w; name another folder with --data", path, move.ErrThere)
	}
	here, err := filepath.Abs(path)
	if err != nil {
		return err
	}
	here = "in the file " + here
	if d.Moved() != "" && d.Moved() != here {
		return fmt.Errorf("nothing was copied: %w: site %q is %s", pg.ErrMovedAway, d.Name(), d.Moved())
	}
	half := filepath.Join(c.Data, halfCopy)
	if err := errors.Join(os.RemoveAll(half), os.MkdirAll(half, 0o750)); err != nil {
		return err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(half)) }()
	counts, err := d.Counts(ctx)
	if err != nil {
		return fmt.Errorf("nothing was copied: %w", err)
	}
	made := filepath.Join(half, db.File)
	notes, err := c.fill(ctx, made, pg.Journal(d))
	if err != nil {
		return fmt.Errorf("nothing was copied: %w", err)
	}
	// From here on nobody serves the database's; run again, this goes on.
	if err := d.Move(ctx, here, counts); err != nil {
		return fmt.Errorf("nothing was copied: %w", err)
	}
	if err := db.Place(made, path); err != nil {
		return fmt.Errorf("%w; run bedwalk copy --back again", err)
	}
	fmt.Printf("%s has the %d notes of site %s, compared row by row and verified. Serve it with: bedwalk serve --data %s\n"+
		"The database keeps its rows, and serves them no more. Pictures stay in the folder that it was served with: where that is another, copy its photos there.\n", path, notes, d.Name(), c.Data)
	return nil
}

// intoFile makes a file of a nursery's rows.
func intoFile(ctx context.Context, from journal.Site, path string) (notes int, err error) {
	file, err := db.Open(ctx, db.Options{Path: path})
	if err != nil {
		return 0, err
	}
	notes, err = move.Copy(ctx, from, lite.Journal(file))
	return notes, errors.Join(err, file.Close())
}

// fill makes a file of a site's rows, and checks it.
func (c *copyCommand) fill(ctx context.Context, path string, from journal.Site) (notes int, err error) {
	if notes, err = intoFile(ctx, from, path); err != nil {
		return 0, err
	}
	made, err := db.OpenAsItIs(path)
	if err != nil {
		return 0, err
	}
	if err := errors.Join(compared(ctx, from, lite.Journal(made)), made.Close()); err != nil {
		return 0, err
	}
	// A folder that knows of no nursery takes over epochs and keys, as if it had served this one.
	return notes, c.settle(ctx, path, true)
}

// settle makes a file and the folder agree on epochs and keys, as a start of a server does.
func (c *copyCommand) settle(ctx context.Context, path string, shared bool) error {
	file, err := db.Open(ctx, db.Options{Path: path})
	if err != nil {
		return err
	}
	store, err := journal.Open(ctx, journal.Options{Site: lite.Journal(file), Dir: c.Data, Shared: shared})
	if err == nil {
		err = store.Close()
	}
	return errors.Join(err, file.Close())
}
