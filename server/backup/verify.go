package backup

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"filippo.io/age"

	"bedwalk/server/access"
	"bedwalk/server/db"
	"bedwalk/server/journal"
	"bedwalk/server/store/lite"
)

// Checked is what a check of a database and of the pictures beside it found. The data is sound when there are no complaints.
type Checked struct {
	journal.Verified
	Pictures int
}

// Verify checks the file with SQLite's own check, then computes everything again from the entries, and hashes every
// picture beside the file. It writes nothing. The error is ErrUnsound when there is a complaint.
func Verify(ctx context.Context, d *db.DB) (c Checked, err error) {
	complaints, err := d.Intact(ctx)
	if err != nil {
		return c, err
	}
	if len(complaints) > 0 {
		c.Complaints = complaints
		return c, ErrUnsound
	}
	return VerifySite(ctx, lite.Journal(d), d.Dir())
}

// VerifySite is Verify of a nursery wherever its notes lie, with the pictures in a folder.
func VerifySite(ctx context.Context, site journal.Site, dir string) (c Checked, err error) {
	if c.Verified, err = journal.Verify(ctx, site); err != nil {
		return c, err
	}
	pictures, wrong, err := checkPictures(ctx, filepath.Join(dir, PhotosDir))
	if err != nil {
		return c, err
	}
	c.Pictures, c.Complaints = pictures, append(c.Complaints, wrong...)
	if len(c.Complaints) > 0 {
		return c, ErrUnsound
	}
	return c, nil
}

// Differences says where the files beside a database (epochs.json, head, receipt.keys, revoked.json) differ from it, and what
// to do. None of it makes the data unsound. What a running server writes meanwhile is not a difference: only what is found twice
// counts. It writes nothing. The error is that of a file that cannot be read.
func Differences(ctx context.Context, d *db.DB) ([]string, error) {
	return DifferencesOf(ctx, lite.Journal(d), lite.Access(d), d.Dir())
}

// DifferencesOf is Differences of a nursery wherever its notes lie.
func DifferencesOf(ctx context.Context, site journal.Site, gate access.Store, dir string) ([]string, error) {
	once := func() ([]string, error) {
		ofJournal, err := journal.Differences(ctx, site, dir)
		ofAccess, bad := access.Differences(ctx, gate, dir)
		return append(ofJournal, ofAccess...), errors.Join(err, bad)
	}
	first, err := once()
	if err != nil || len(first) == 0 {
		return first, err
	}
	second, err := once()
	return slices.DeleteFunc(second, func(one string) bool { return !slices.Contains(first, one) }), err
}

// VerifyBackup runs Verify on the newest backup of a place and returns where it is. What is encrypted or elsewhere is fetched into a folder
// for the time, with all pictures.
func VerifyBackup(ctx context.Context, at Place, secrets []age.Identity) (path string, c Checked, err error) {
	name, _, err := Newest(ctx, at)
	if err != nil {
		return "", c, err
	}
	if name == "" {
		return "", c, fmt.Errorf("there is no backup in %s whose name says when it was made; name the place that backups are written to", at.At(""))
	}
	path = at.At(name)
	file, done, err := Local(ctx, at, name, secrets, "", "")
	if err != nil {
		return path, c, err
	}
	defer func() { err = errors.Join(err, done()) }()
	d, err := db.OpenAsItIs(file)
	if err != nil {
		return path, c, err
	}
	c, err = Verify(ctx, d)
	return path, c, errors.Join(err, d.Close())
}

// checkPictures hashes every picture of a folder. A picture that a note names and that is missing is not a fault: it may
// still be on its phone.
func checkPictures(ctx context.Context, folder string) (n int, complaints []string, err error) {
	err = filepath.WalkDir(folder, func(path string, entry fs.DirEntry, err error) error {
		if errors.Is(err, fs.ErrNotExist) && path == folder {
			return nil
		}
		if err != nil {
			return err
		}
		if err := ctx.Err(); err != nil {
			return err
		}
		if entry.IsDir() {
			if entry.Name() == "parts" && filepath.Dir(path) == folder {
				return fs.SkipDir
			}
			return nil
		}
		// The next backup makes a copy that was cut off again; what is encrypted is hashed when it is fetched.
		if strings.HasSuffix(path, ".half") || strings.HasSuffix(path, sealedEnd) {
			return nil
		}
		n++
		wrong, err := checkPicture(folder, path)
		if wrong != "" {
			complaints = append(complaints, wrong)
		}
		return err
	})
	return n, complaints, err
}

func checkPicture(folder, path string) (wrong string, err error) {
	name, err := HashOf(path)
	if err != nil {
		return "", fmt.Errorf("read the picture %s: %w", path, err)
	}
	if path == filepath.Join(folder, name[:2], name) {
		return "", nil
	}
	return fmt.Sprintf("the picture %s does not have the bytes that its name promises; replace it with the one of the same name from a backup, "+
		"or delete it and send it again from its phone", path), nil
}

// HashOf is the SHA-256 of a file in hexadecimal digits, which is how pictures are named.
func HashOf(path string) (string, error) {
	f, err := os.Open(path)
	if err != nil {
		return "", err
	}
	defer f.Close()
	hash := sha256.New()
	if _, err := io.Copy(hash, f); err != nil {
		return "", err
	}
	return hex.EncodeToString(hash.Sum(nil)), nil
}
