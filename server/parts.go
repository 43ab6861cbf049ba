package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"bedwalk/server/access"
	"bedwalk/server/backup"
	"bedwalk/server/db"
	"bedwalk/server/journal"
	"bedwalk/server/photos"
	"bedwalk/server/view"
)

// parts are what every command on a nursery works with. Dir is its data folder.
type parts struct {
	place
	dir    string
	hold   *db.Hold
	store  *journal.Store
	gate   *access.Gate
	photos *photos.Store
	views  *view.Views
}

// open puts the parts together on a data folder, which is made when it is not there, and holds it for a command until
// they are closed.
func open(ctx context.Context, at nurseryFlag, command string, isNew, startEmpty bool) (*parts, error) {
	hold, err := holdFolder(at.Data, command)
	if err != nil {
		return nil, err
	}
	p := &parts{dir: at.Data, hold: hold}
	if err := p.openHeld(ctx, at, isNew, startEmpty); err != nil {
		return nil, errors.Join(err, p.Close())
	}
	return p, nil
}

// holdFolder holds a data folder, which is made when it is not there, for a command.
func holdFolder(data, command string) (*db.Hold, error) {
	if err := os.MkdirAll(data, 0o750); err != nil {
		return nil, fmt.Errorf("make the data folder: %w; choose a folder that this user may write to with --data", err)
	}
	return db.HoldDir(data, command)
}

func (p *parts) openHeld(ctx context.Context, at nurseryFlag, isNew, startEmpty bool) (err error) {
	if at.Store != "" {
		p.place, err = at.database(ctx, isNew, false)
		if err == nil {
			err = p.base.Hold(ctx, false)
		}
	} else if p.place, err = fileIn(ctx, at.Data, p.hold, startEmpty); err == nil {
		p.dir = p.file.Dir()
	}
	if err != nil {
		return err
	}
	o := journal.Options{Site: p.journal, Dir: p.dir, StartEmpty: startEmpty}
	if p.base != nil {
		o.Shared, o.Replaced = true, p.base.Replaced()
	}
	if p.store, err = journal.Open(ctx, o); err != nil {
		return err
	}
	if p.base != nil {
		if err := p.base.Served(ctx); err != nil {
			return err
		}
	}
	if p.photos, err = photos.Open(filepath.Join(p.dir, backup.PhotosDir), time.Now); err != nil {
		return err
	}
	p.join()
	return p.gate.HeedRevoked(ctx)
}

func fileIn(ctx context.Context, data string, hold *db.Hold, startEmpty bool) (place, error) {
	if !startEmpty {
		if err := journal.CheckBeside(data); err != nil {
			return place{}, err
		}
	}
	d, err := db.Open(ctx, db.Options{Path: filepath.Join(data, db.File), Hold: hold})
	if err != nil {
		return place{}, err
	}
	return inFile(d), nil
}

// openBeside is openAsItIs, but that tables of an older build are brought up to date where nobody serves.
func openBeside(ctx context.Context, at nurseryFlag) (*parts, error) {
	p, err := openAsItIs(ctx, at)
	if at.Store != "" || !errors.Is(err, db.ErrOlder) {
		return p, err
	}
	if err := upToDate(ctx, at.Data); err != nil {
		return nil, err
	}
	return openAsItIs(ctx, at)
}

// openAsItIs is for commands that work beside a running server, or without one: the folder is not held, no epoch is
// begun, no table changed, and the journal is only read.
func openAsItIs(ctx context.Context, at nurseryFlag) (*parts, error) {
	if at.Store != "" {
		n, err := at.database(ctx, false, true)
		if err != nil {
			return nil, err
		}
		return beside(ctx, n, at.Data)
	}
	path, err := existing(at.Data)
	if err != nil {
		return nil, err
	}
	d, err := db.Open(ctx, db.Options{Path: path, Beside: true})
	if err != nil {
		return nil, err
	}
	return beside(ctx, inFile(d), d.Dir())
}

func existing(data string) (path string, err error) {
	path = filepath.Join(data, db.File)
	if _, err := os.Stat(path); err != nil {
		if gone := journal.CheckBeside(data); gone != nil {
			return "", gone
		}
		return "", fmt.Errorf("there is no nursery in %s; name the folder that the server uses with --data, or begin a new nursery there with bedwalk serve --data %s", data, data)
	}
	return path, nil
}

func upToDate(ctx context.Context, data string) (err error) {
	hold, err := db.HoldDir(data, "tables")
	if err != nil {
		return fmt.Errorf("%w; %w", db.ErrOlder, err)
	}
	defer func() { err = errors.Join(err, hold.Release()) }()
	d, err := db.Open(ctx, db.Options{Path: filepath.Join(data, db.File)})
	if err != nil {
		return err
	}
	return d.Close()
}

func beside(ctx context.Context, n place, dir string) (*parts, error) {
	store, err := journal.Open(ctx, journal.Options{Site: n.journal, Dir: dir, Beside: true})
	if err != nil {
		return nil, errors.Join(err, n.Close())
	}
	p := &parts{place: n, dir: dir, store: store}
	p.join()
	return p, nil
}

func (p *parts) join() {
	p.gate = access.New(access.Options{Store: p.access, Dir: p.dir})
	p.views = view.New(p.store, p.gate)
}

// Close closes what is open, and lets the folder go.
func (p *parts) Close() (err error) {
	if p.store != nil {
		err = p.store.Close()
	}
	return errors.Join(err, p.place.Close(), p.hold.Release())
}
