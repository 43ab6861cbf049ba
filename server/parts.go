package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"bedwalk/server/access"
	"bedwalk/server/db"
	"bedwalk/server/journal"
	"bedwalk/server/keep"
	"bedwalk/server/photos"
	"bedwalk/server/view"
)

// parts are what every command on a data folder works with.
type parts struct {
	db     *db.DB
	store  *journal.Store
	gate   *access.Gate
	photos *photos.Store
	desk   *view.Desk
}

// open puts the parts together on a data folder, which is made when it is not there.
func open(ctx context.Context, data string) (*parts, error) {
	if err := os.MkdirAll(data, 0o750); err != nil {
		return nil, fmt.Errorf("make the data folder: %w; choose a folder that this user may write to with --data", err)
	}
	d, err := db.Open(ctx, db.Options{Path: filepath.Join(data, db.File)})
	if err != nil {
		return nil, err
	}
	store, err := journal.Open(ctx, journal.Options{DB: d})
	if err != nil {
		return nil, errors.Join(err, d.Close())
	}
	pictures, err := photos.Open(filepath.Join(data, keep.PhotosDir), time.Now)
	if err != nil {
		return nil, errors.Join(err, store.Close(), d.Close())
	}
	gate := access.New(access.Options{DB: d})
	if err := gate.HeedRevoked(ctx); err != nil {
		return nil, errors.Join(err, store.Close(), d.Close())
	}
	return &parts{db: d, store: store, gate: gate, photos: pictures, desk: view.New(store, gate)}, nil
}

// openExisting is open for commands that make no sense on an empty folder.
func openExisting(ctx context.Context, data string) (*parts, error) {
	if _, err := os.Stat(filepath.Join(data, db.File)); err != nil {
		return nil, fmt.Errorf("there is no nursery in %s; name the folder that the server uses with --data, or begin a new nursery there with bedwalk serve --data %s", data, data)
	}
	return open(ctx, data)
}

func (p *parts) Close() error { return errors.Join(p.store.Close(), p.db.Close()) }
