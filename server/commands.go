package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"bedwalk/fixtures/nursery"
	"bedwalk/server/access"
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
	if err := os.MkdirAll(c.Data, 0o750); err != nil {
		return err
	}
	hold, err := db.HoldDir(c.Data, "demo")
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

type backupCommand struct {
	dataFlag
	To string `help:"Folder for backups, best on another disk." required:"" type:"path" placeholder:"DIR"`
}

func (c *backupCommand) Run(ctx context.Context) error {
	p, err := openBeside(ctx, c.Data)
	if err != nil {
		return err
	}
	defer p.Close()
	made, err := backup.Save(ctx, p.db, p.store, c.To, time.Now())
	if err != nil {
		return err
	}
	fmt.Printf("%s: the journal up to position %d, %d bytes, checked; %d new pictures\n", made.Path, made.Position, made.Bytes, made.Photos)
	return nil
}

type exportCommand struct {
	dataFlag
	To string `help:"A new folder." required:"" type:"path" placeholder:"DIR"`
}

func (c *exportCommand) Run(ctx context.Context) error {
	p, err := openBeside(ctx, c.Data)
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

type restoreCommand struct {
	dataFlag
	From string `help:"The backup's .db file." required:"" type:"existingfile" placeholder:"FILE"`
}

func (c *restoreCommand) Run(ctx context.Context) (err error) {
	if err := os.MkdirAll(c.Data, 0o750); err != nil {
		return err
	}
	hold, err := db.HoldDir(c.Data, "restore")
	if err != nil {
		return fmt.Errorf("nothing was restored: %w", err)
	}
	defer func() { err = errors.Join(err, hold.Release()) }()
	revoked, err := c.access(ctx)
	if err != nil {
		return err
	}
	aside, head, err := backup.Restore(ctx, c.Data, c.From, time.Now())
	if err != nil {
		return err
	}
	fmt.Printf("%s now ends at position %d. Start the server: phones send again what it lacks.\n%s\n", c.Data, head, revoked)
	if aside != "" {
		fmt.Printf("What was there before is in %s; delete it when all is well.\n", aside)
	}
	return nil
}

// access says what the backup means for phones whose access was taken back after it was made.
func (c *restoreCommand) access(ctx context.Context) (string, error) {
	backup, err := db.OpenAsItIs(c.From)
	if err != nil {
		return "", err
	}
	defer backup.Close()
	names, listed, err := access.StayRevoked(ctx, backup, c.Data)
	switch {
	case err != nil:
		return "", fmt.Errorf("nothing was restored: %w", err)
	case !listed:
		return fmt.Sprintf("There is no %s in %s: a phone that was revoked after this backup can come in again. See the Phones page, and revoke it there.",
			access.RevokedFile, c.Data), nil
	case len(names) > 0:
		return "Revoked since this backup, and still shut out: " + strings.Join(names, ", ") + ".", nil
	}
	return "No phone was revoked since this backup.", nil
}

type verifyCommand struct {
	dataFlag
	Backup string `help:"Check the newest backup in this folder, and the pictures there, too." type:"existingdir" placeholder:"DIR"`
}

func (c *verifyCommand) Run(ctx context.Context) error {
	file, err := existing(c.Data)
	if err != nil {
		return err
	}
	found, differ, unread, err := verifyData(ctx, file)
	tellChecked(c.Data, found, err)
	for _, one := range differ {
		fmt.Printf("%s: %s.\n", c.Data, one)
	}
	if errors.Is(err, backup.ErrUnsound) {
		err = fmt.Errorf("%w; stop the server, keep a copy of %s, and restore the last backup that is sound: the phones send again what it lacks", err, c.Data)
	}
	err = errors.Join(err, unread)
	if c.Backup == "" {
		return err
	}
	path, found, bad := backup.VerifyBackup(ctx, c.Backup)
	tellChecked(path, found, bad)
	if errors.Is(bad, backup.ErrUnsound) {
		bad = fmt.Errorf("the backup %s is not sound: make a new one of data that is, and do not restore this one", path)
	}
	return errors.Join(err, bad)
}

// verifyData checks a data folder's database and compares it with the files beside it; once more where a server was
// started meanwhile. Unread is the error of a file beside it.
func verifyData(ctx context.Context, file string) (found backup.Checked, differ []string, unread, err error) {
	for {
		d, err := db.OpenUntouched(file)
		if err != nil {
			return found, nil, nil, err
		}
		found, err = backup.Verify(ctx, d)
		differ, unread = backup.Differences(ctx, d)
		again := d.Overtaken() && ctx.Err() == nil
		if err = errors.Join(err, d.Close()); !again {
			return found, differ, unread, err
		}
	}
}

func tellChecked(what string, found backup.Checked, err error) {
	for _, complaint := range found.Complaints {
		fmt.Printf("%s: %s\n", what, complaint)
	}
	if err == nil {
		fmt.Printf("%s is sound: %d entries of %d writers, %d records folded again and equal, %d entries waiting for a decision, %d pictures.\n",
			what, found.Entries, found.Writers, found.Records, found.Quarantined, found.Pictures)
	}
}
