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
	"bedwalk/server/store/lite"
	"bedwalk/server/view"
)

// parts are what every command on a data folder works with.
type parts struct {
	hold   *db.Hold
	db     *db.DB
	store  *journal.Store
	gate   *access.Gate
	photos *photos.Store
	views  *view.Views
}

// open puts the parts together on a data folder, which is made when it is not there, and holds it for a command until
// they are closed.
func open(ctx context.Context, data, command string, startEmpty bool) (*parts, error) {
	hold, err := holdFolder(data, command)
	if err != nil {
		return nil, err
	}
	p, err := openHeld(ctx, data, hold, startEmpty)
	if err != nil {
		return nil, errors.Join(err, hold.Release())
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

func openHeld(ctx context.Context, data string, hold *db.Hold, startEmpty bool) (*parts, error) {
	if !startEmpty {
		if err := journal.CheckBeside(data); err != nil {
			return nil, err
		}
	}
	d, err := db.Open(ctx, db.Options{Path: filepath.Join(data, db.File), Hold: hold})
	if err != nil {
		return nil, err
	}
	store, err := journal.Open(ctx, journal.Options{Site: lite.Journal(d), Dir: d.Dir(), StartEmpty: startEmpty})
	if err != nil {
		return nil, errors.Join(err, d.Close())
	}
	pictures, err := photos.Open(filepath.Join(data, backup.PhotosDir), time.Now)
	if err != nil {
		return nil, errors.Join(err, store.Close(), d.Close())
	}
	p := &parts{hold: hold, db: d, store: store, photos: pictures}
	p.join()
	if err := p.gate.HeedRevoked(ctx); err != nil {
		return nil, errors.Join(err, store.Close(), d.Close())
	}
	return p, nil
}

// openBeside is for commands that work beside a running server, or without one: the folder is not held, no epoch is
// begun, no table changed, and the journal is only read.
func openBeside(ctx context.Context, data string) (*parts, error) {
	path, err := existing(data)
	if err != nil {
		return nil, err
	}
	d, err := db.Open(ctx, db.Options{Path: path, Beside: true})
	if errors.Is(err, db.ErrOlder) {
		// Unless nobody serves: then its tables may be brought up to date.
		d, err = upToDate(ctx, data, path)
	}
	if err != nil {
		return nil, err
	}
	return beside(ctx, d)
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

func upToDate(ctx context.Context, data, path string) (d *db.DB, err error) {
	hold, err := db.HoldDir(data, "tables")
	if err != nil {
		return nil, fmt.Errorf("%w; %w", db.ErrOlder, err)
	}
	defer func() { err = errors.Join(err, hold.Release()) }()
	return db.Open(ctx, db.Options{Path: path})
}

func beside(ctx context.Context, d *db.DB) (*parts, error) {
	store, err := journal.Open(ctx, journal.Options{Site: lite.Journal(d), Dir: d.Dir(), Beside: true})
	if err != nil {
		return nil, errors.Join(err, d.Close())
	}
	p := &parts{db: d, store: store}
	p.join()
	return p, nil
}

func (p *parts) join() {
	p.gate = access.New(access.Options{Store: lite.Access(p.db), Dir: p.db.Dir()})
	p.views = view.New(p.store, p.gate)
}

func (p *parts) Close() error { return errors.Join(p.store.Close(), p.db.Close(), p.hold.Release()) }
