package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"strings"
	"time"

	"bedwalk/server/access"
	"bedwalk/server/backup"
	"bedwalk/server/db"
	"bedwalk/server/store/lite"
)

// keyFlag encrypts backups, secretFlag opens them.
type keyFlag struct {
	BackupKey string `help:"Encrypt backups for this key: the line age1... that bedwalk key printed, or a file with it." placeholder:"KEY"`
}

type secretFlag struct {
	Key string `help:"The file that bedwalk key wrote, for an encrypted backup." type:"existingfile" placeholder:"FILE"`
}

// openPlace is the place at an address, with the key of a bucket from the environment.
func openPlace(address string) (backup.Place, error) {
	return backup.OpenPlace(address, os.Getenv, nil)
}

func (k keyFlag) place(address string) (backup.Place, backup.Keys, error) {
	keys, err := backup.ReadKeys(k.BackupKey)
	if err != nil {
		return nil, nil, err
	}
	at, err := openPlace(address)
	return at, keys, err
}

type keyCommand struct {
	To string `help:"A new file for the secret half. Keep it away from the server: anyone who has it can read the backups, and nobody else can." required:"" type:"path" placeholder:"FILE"`
}

func (c *keyCommand) Run() error {
	public, err := backup.NewKey(c.To)
	if err != nil {
		return err
	}
	fmt.Printf("%s\nis the public half: give it to the server with --backup-key. The secret half is in %s: keep it, with a copy, where the server is not. "+
		"Without it an encrypted backup is lost.\n", public, c.To)
	return nil
}

type backupCommand struct {
	nurseryFlag
	To string `help:"Folder for backups, best on another disk, or https://HOST/BUCKET/PREFIX of anything that speaks S3." required:"" placeholder:"PLACE"`
	keyFlag
}

func (c *backupCommand) Run(ctx context.Context) error {
	p, err := openBeside(ctx, c.nurseryFlag)
	if err != nil {
		return err
	}
	defer p.Close()
	to, keys, err := c.place(c.To)
	if err != nil {
		return err
	}
	made, err := backup.Save(ctx, p.source, p.store, to, keys, time.Now())
	if err != nil {
		return err
	}
	fmt.Printf("%s: the journal up to position %d, %d bytes, checked; %d new pictures\n", made.Path, made.Position, made.Bytes, made.Photos)
	return nil
}

type restoreCommand struct {
	dataFlag
	From string `help:"The backup's file, or the folder or bucket that backups are in, for the newest there." required:"" placeholder:"PLACE"`
	secretFlag
}

func (c *restoreCommand) Run(ctx context.Context) (err error) {
	hold, err := holdFolder(c.Data, "restore")
	if err != nil {
		return fmt.Errorf("nothing was restored: %w", err)
	}
	defer func() { err = errors.Join(err, hold.Release()) }()
	file, done, err := c.fetched(ctx)
	if err != nil {
		return fmt.Errorf("nothing was restored: %w", err)
	}
	defer func() { err = errors.Join(err, done()) }()
	revoked, err := c.access(ctx, file)
	if err != nil {
		return err
	}
	aside, head, err := backup.Restore(ctx, c.Data, file, time.Now())
	if err != nil {
		return err
	}
	fmt.Printf("%s now ends at position %d. Start the server: phones send again what it lacks.\n%s\n", c.Data, head, revoked)
	if aside != "" {
		fmt.Printf("What was there before is in %s; delete it when all is well.\n", aside)
	}
	return nil
}

// fetched is the backup as a file on this machine, its pictures in the data folder if they had to be fetched. The caller calls done.
func (c *restoreCommand) fetched(ctx context.Context) (file string, done func() error, err error) {
	secrets, err := backup.ReadSecrets(c.Key)
	if err != nil {
		return "", nil, err
	}
	at, name, err := backup.Find(ctx, c.From, openPlace)
	if err != nil {
		return "", nil, err
	}
	return backup.Local(ctx, at, name, secrets, c.Data, c.Data)
}

// access says what the backup means for phones whose access was taken back after it was made.
func (c *restoreCommand) access(ctx context.Context, file string) (string, error) {
	backup, err := db.OpenAsItIs(file)
	if err != nil {
		return "", err
	}
	defer backup.Close()
	names, listed, err := access.StayRevoked(ctx, lite.Access(backup), c.Data)
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
	nurseryFlag
	Backup string `help:"Check the newest backup in this folder or bucket, and the pictures there, too." placeholder:"PLACE"`
	secretFlag
}

func (c *verifyCommand) Run(ctx context.Context) error {
	what, found, differ, unread, err := c.check(ctx)
	if what == "" {
		return err
	}
	tellChecked(what, found, err)
	for _, one := range differ {
		fmt.Printf("%s: %s.\n", c.Data, one)
	}
	if errors.Is(err, backup.ErrUnsound) && c.Store != "" {
		err = fmt.Errorf("%w; stop the server, and put the last backup back that is sound: the phones send again what it lacks", err)
	} else if errors.Is(err, backup.ErrUnsound) {
		err = fmt.Errorf("%w; stop the server, keep a copy of %s, and restore the last backup that is sound: the phones send again what it lacks", err, c.Data)
	}
	err = errors.Join(err, unread)
	if c.Backup == "" {
		return err
	}
	path, found, bad := c.verifyBackup(ctx)
	tellChecked(path, found, bad)
	if errors.Is(bad, backup.ErrUnsound) {
		bad = fmt.Errorf("the backup %s is not sound: make a new one of data that is, and do not restore this one", path)
	}
	return errors.Join(err, bad)
}

func (c *verifyCommand) verifyBackup(ctx context.Context) (path string, found backup.Checked, err error) {
	at, err := openPlace(c.Backup)
	if err != nil {
		return "", found, err
	}
	secrets, err := backup.ReadSecrets(c.Key)
	if err != nil {
		return "", found, err
	}
	return backup.VerifyBackup(ctx, at, secrets)
}

// check checks the nursery, and says what was checked, nothing where it could not be opened.
func (c *verifyCommand) check(ctx context.Context) (what string, found backup.Checked, differ []string, unread, err error) {
	if c.Store == "" {
		file, err := existing(c.Data)
		if err != nil {
			return "", found, nil, nil, err
		}
		found, differ, unread, err = verifyData(ctx, file)
		return c.Data, found, differ, unread, err
	}
	n, err := c.database(ctx, false, true)
	if err != nil {
		return "", found, nil, nil, err
	}
	defer func() { err = errors.Join(err, n.Close()) }()
	found, err = backup.VerifySite(ctx, n.journal, c.Data)
	differ, unread = backup.DifferencesOf(ctx, n.journal, n.access, c.Data)
	return "Site " + n.base.Name(), found, differ, unread, err
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
