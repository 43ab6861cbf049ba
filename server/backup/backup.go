// Package backup makes backups while the server runs, checks data, and restores a backup.
//
// A backup is one database file, copied as of one moment and checked before it gets its name, with the pictures beside
// it. Restoring never deletes: what was there is moved to a folder. Package journal makes phones notice a restored
// backup and send again what it lacks. The central functions are Backup, Verify and Restore.
package backup

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"bedwalk/server/db"
	"bedwalk/server/journal"
)

// PhotosDir is the folder of pictures, in a data directory and in a folder of backups.
const PhotosDir = "photos"

// ErrUnsound is returned when a check found something; the complaints say what.
var ErrUnsound = errors.New("the data is not sound")

// Made describes a finished backup.
type Made struct {
	Path     string
	Position int64
	Bytes    int64
	Photos   int
}

// Source is what a backup is made of: a nursery that can be copied as a whole, of one moment, into a new file, and the folder with its pictures.
type Source interface {
	CopyTo(ctx context.Context, path string) error
	Dir() string
}

// Save copies the database of an open store to a place, and the pictures that the place lacks, each encrypted if there are keys. Phones
// hear of it only when everything is in place. A place with another nursery's backups is ErrAnother.
func Save(ctx context.Context, d Source, store *journal.Store, to Place, keys Keys, now time.Time) (m Made, err error) {
	name := "bedwalk-" + now.UTC().Format(stamped) + ".db" + keys.ending()
	m.Path = to.At(name)
	there, err := to.Names(ctx, name)
	if err != nil {
		return m, err
	}
	if len(there) > 0 {
		return m, fmt.Errorf("%s already exists; wait a second and try again", m.Path)
	}
	// Where it stays as it is, it is made where it stays; else in the data folder, since what is not encrypted yet must not be elsewhere.
	folder, isFolder := to.(Folder)
	stays := isFolder && len(keys) == 0
	if !stays {
		folder = Folder(d.Dir())
	}
	if err := os.MkdirAll(string(folder), 0o750); err != nil {
		return m, fmt.Errorf("make the folder for backups: %w", err)
	}
	if err := claim(ctx, d.Dir(), to); err != nil {
		return m, err
	}
	half := folder.At(name + ".half")
	defer os.Remove(half)
	if err := os.Remove(half); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return m, err
	}
	if err := d.CopyTo(ctx, half); err != nil {
		return m, fmt.Errorf("copy the database: %w", err)
	}
	if m.Position, err = checkCopy(ctx, half); err != nil {
		return m, err
	}
	info, err := os.Stat(half)
	if err != nil {
		return m, err
	}
	m.Bytes = info.Size()
	pictures := filepath.Join(d.Dir(), PhotosDir)
	if stays {
		m.Photos, err = CopyPhotos(pictures, folder.At(PhotosDir))
	} else {
		m.Photos, err = sendPhotos(ctx, pictures, half, to, keys)
	}
	if err != nil {
		return m, fmt.Errorf("copy the pictures: %w", err)
	}
	if stays {
		err = place(half, m.Path)
	} else {
		err = send(ctx, half, name, half, to, keys)
	}
	if err != nil {
		return m, err
	}
	return m, store.BackedUp(ctx, m.Position)
}

// checkCopy opens a copied database, runs SQLite's check and gives its head.
func checkCopy(ctx context.Context, path string) (head int64, err error) {
	copied, err := db.OpenAsItIs(path)
	if err != nil {
		return 0, err
	}
	defer copied.Close()
	complaints, err := copied.Intact(ctx)
	if err != nil {
		return 0, fmt.Errorf("check %s: %w", path, err)
	}
	if len(complaints) > 0 {
		return 0, fmt.Errorf("%w: %s: %s", ErrUnsound, path, complaints[0])
	}
	return copied.Head(ctx)
}

// place syncs a finished file to the disk and gives it its name.
func place(from, to string) error {
	f, err := os.OpenFile(from, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	if err := errors.Join(f.Sync(), f.Close()); err != nil {
		return err
	}
	return db.Place(from, to)
}

// eachPhoto visits the pictures of a folder by their paths below it. Uploads that are not whole are not among them.
func eachPhoto(from string, visit func(below string) error) error {
	return filepath.WalkDir(from, func(path string, entry fs.DirEntry, err error) error {
		if errors.Is(err, fs.ErrNotExist) {
			return nil
		}
		if err != nil {
			return err
		}
		if entry.IsDir() {
			if entry.Name() == "parts" {
				return fs.SkipDir
			}
			return nil
		}
		below, err := filepath.Rel(from, path)
		if err != nil {
			return err
		}
		return visit(below)
	})
}

// CopyPhotos copies the pictures that a folder lacks, and counts them.
func CopyPhotos(from, to string) (copied int, err error) {
	err = eachPhoto(from, func(below string) error {
		target := filepath.Join(to, below)
		// A picture is named by its bytes, so one of the same name is the same picture.
		if _, err := os.Stat(target); err == nil {
			return nil
		}
		copied++
		return copyFile(filepath.Join(from, below), target)
	})
	return copied, err
}

func copyFile(from, to string) (err error) {
	if err := os.MkdirAll(filepath.Dir(to), 0o750); err != nil {
		return err
	}
	source, err := os.Open(from)
	if err != nil {
		return err
	}
	defer source.Close()
	half := to + ".half"
	defer os.Remove(half)
	target, err := os.Create(half)
	if err != nil {
		return err
	}
	_, err = io.Copy(target, source)
	if err := errors.Join(err, target.Close()); err != nil {
		return err
	}
	return place(half, to)
}

// Rescue writes what an open database still has to a new, checked file in its data directory, after the database's own files
// were deleted or replaced. It can be restored like a backup, and lacks nothing that was ever acknowledged.
func Rescue(ctx context.Context, d *db.DB, now time.Time) (m Made, err error) {
	if err := os.MkdirAll(d.Dir(), 0o750); err != nil {
		return m, err
	}
	m.Path = filepath.Join(d.Dir(), strings.Replace(db.RescuedFiles, "*", now.UTC().Format(stamped), 1))
	half := m.Path + ".half"
	defer os.Remove(half)
	if err := d.Rescue(ctx, half); err != nil {
		return m, err
	}
	if m.Position, err = checkCopy(ctx, half); err != nil {
		return m, err
	}
	return m, place(half, m.Path)
}

// PutAside moves a data folder's database into a folder of its own there, whose name begins with a word, and returns its path, "" where there is none.
func PutAside(data, word string, now time.Time) (aside string, err error) {
	for _, end := range []string{"", "-wal", "-shm"} {
		path := filepath.Join(data, db.File+end)
		if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if aside == "" {
			aside = filepath.Join(data, word+"-"+now.UTC().Format(stamped))
			if err := os.MkdirAll(aside, 0o750); err != nil {
				return "", err
			}
		}
		if err := os.Rename(path, filepath.Join(aside, db.File+end)); err != nil {
			return aside, err
		}
	}
	return aside, nil
}

// Restore replaces a data directory's database by a backup. What was there is moved into a folder of its own, whose path
// is returned ("" when there was nothing).
func Restore(ctx context.Context, data, backup string, now time.Time) (aside string, head int64, err error) {
	if head, err = checkCopy(ctx, backup); err != nil {
		return "", 0, err
	}
	if err := os.MkdirAll(data, 0o750); err != nil {
		return "", 0, err
	}
	half := filepath.Join(data, db.File+".half")
	defer os.Remove(half)
	if err := copyFile(backup, half); err != nil {
		return "", 0, fmt.Errorf("copy the backup: %w", err)
	}
	if aside, err = PutAside(data, "replaced", now); err != nil {
		return aside, 0, err
	}
	if err := place(half, filepath.Join(data, db.File)); err != nil {
		return aside, 0, err
	}
	_, err = CopyPhotos(filepath.Join(filepath.Dir(backup), PhotosDir), filepath.Join(data, PhotosDir))
	return aside, head, err
}
