package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"bedwalk/server/access"
	"bedwalk/server/backup"
	"bedwalk/server/db"
	"bedwalk/server/hooks"
	"bedwalk/server/journal"
	"bedwalk/server/store/lite"
	"bedwalk/server/store/pg"
)

// nurseryFlag says where a nursery lies: in a data folder, or with its notes in a database and the rest in the folder.
type nurseryFlag struct {
	dataFlag
	Store string `help:"Keep the notes in PostgreSQL at this address, and not in a file of the data folder. Pictures and keys stay in the folder. A password may also stand in PGPASSWORD or in a password file." placeholder:"postgres://USER@HOST/DATABASE"`
	Site  string `help:"Which nursery of the database, where it has several." placeholder:"NAME"`
}

var errSiteAlone = errors.New("--site and --new-site are for --store; a data folder has one nursery")

// Validate is called for each command that has the flags: of a nursery in a file --site would name nothing.
func (f nurseryFlag) Validate() error {
	if f.Store == "" && f.Site != "" {
		return errSiteAlone
	}
	return nil
}

// place is where notes, devices and webhooks lie.
type place struct {
	journal journal.Site
	access  access.Store
	hooks   hooks.DB
	// file is nil where they lie in a database, base where they lie in a file.
	file *db.DB
	base *pg.DB
	// source is what backups are made of.
	source backup.Source
}

func inFile(d *db.DB) place {
	return place{journal: lite.Journal(d), access: lite.Access(d), hooks: hooks.InFile(d), file: d, source: d}
}

func inDatabase(d *pg.DB, from nurseryFlag) place {
	return place{journal: pg.Journal(d), access: pg.Access(d), hooks: pg.Hooks(d), base: d, source: baseSource{from, d.Name()}}
}

// baseSource is a site with its folder.
type baseSource struct {
	at   nurseryFlag
	site string
}

// Dir is backup.Source's.
func (s baseSource) Dir() string { return s.at.Data }

// CopyTo is backup.Source's. The file is what a nursery in a file has, and can be restored as one.
func (s baseSource) CopyTo(ctx context.Context, path string) error {
	d, err := pg.Open(ctx, pg.Options{URL: s.at.Store, Site: s.site, Patient: true})
	if err != nil {
		return err
	}
	defer d.Close()
	_, err = intoFile(ctx, pg.Journal(d), path)
	return err
}

// database opens a nursery in a database, for a server or for a command beside one, which makes nothing there and may take its time. A folder that has a
// nursery of its own is not for its pictures and keys.
func (f nurseryFlag) database(ctx context.Context, isNew, beside bool) (n place, err error) {
	if _, err := os.Stat(filepath.Join(f.Data, db.File)); err == nil {
		return n, fmt.Errorf("%s has a nursery in a file; name another folder for what goes with the database with --data, or serve this one without --store", f.Data)
	}
	d, err := pg.Open(ctx, pg.Options{URL: f.Store, Site: f.Site, New: isNew, Patient: beside, Beside: beside})
	if err != nil {
		return n, fmt.Errorf("--store: %w", err)
	}
	return inDatabase(d, f), nil
}

// Present is nil while the nursery is where it was opened.
func (n place) Present() error { return n.journal.Present() }

// Size is how many bytes it takes on the disk.
func (n place) Size(ctx context.Context) (int64, error) {
	if n.base != nil {
		return n.base.Size(ctx)
	}
	return n.file.Size()
}

// Close closes what is open.
func (n place) Close() (err error) {
	if n.base != nil {
		err = n.base.Close()
	}
	if n.file != nil {
		err = errors.Join(err, n.file.Close())
	}
	return err
}
