package backup

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"strings"

	"filippo.io/age"
)

// send brings a file to a place, encrypted if there are keys: by way of a file beside half, which is in a folder of our own.
func send(ctx context.Context, from, name, half string, to Place, keys Keys) error {
	if len(keys) > 0 {
		sealed := half + sealedEnd
		defer os.Remove(sealed)
		if err := seal(from, sealed, keys); err != nil {
			return fmt.Errorf("encrypt the backup: %w", err)
		}
		from = sealed
	}
	return to.Put(ctx, name, from)
}

// sendPhotos brings the pictures to a place that it lacks, and counts them.
func sendPhotos(ctx context.Context, from, half string, to Place, keys Keys) (sent int, err error) {
	there, err := to.Names(ctx, PhotosDir+"/")
	if err != nil {
		return 0, err
	}
	known := map[string]bool{}
	for _, name := range there {
		known[name] = true
	}
	err = eachPhoto(from, func(below string) error {
		name := path.Join(PhotosDir, filepath.ToSlash(below)) + keys.ending()
		if known[name] {
			return nil
		}
		sent++
		return send(ctx, filepath.Join(from, below), name, half, to, keys)
	})
	return sent, err
}

// Local is a backup as a file on this machine: where it is, if it is in a folder and not encrypted, else in a folder that is made below
// another ("" for the system's), with the pictures below pictures or beside it for "". Done deletes what was fetched, but not pictures
// elsewhere. The errors are Fetch's.
func Local(ctx context.Context, at Place, name string, secrets []age.Identity, below, pictures string) (file string, done func() error, err error) {
	if _, isFolder := at.(Folder); isFolder && !strings.HasSuffix(name, sealedEnd) {
		return at.At(name), func() error { return nil }, nil
	}
	work, err := os.MkdirTemp(below, "bedwalk-*.half")
	if err != nil {
		return "", nil, err
	}
	done = func() error { return os.RemoveAll(work) }
	if file, err = Fetch(ctx, at, name, secrets, work, cmp.Or(pictures, work)); err != nil {
		return "", nil, errors.Join(err, done())
	}
	return file, done, nil
}

// Fetch brings a backup from a place into a folder and the pictures that are there below another, decrypted, and says where the database
// is. A picture that does not have the bytes that its name promises is ErrUnsealed.
func Fetch(ctx context.Context, from Place, name string, secrets []age.Identity, folder, pictures string) (file string, err error) {
	file = filepath.Join(folder, strings.TrimSuffix(path.Base(name), sealedEnd))
	if err := fetch(ctx, from, name, secrets, file); err != nil {
		return "", err
	}
	all, err := from.Names(ctx, PhotosDir+"/")
	if err != nil {
		return "", err
	}
	root := filepath.Join(pictures, PhotosDir)
	for _, one := range all {
		err := fetchPicture(ctx, from, one, secrets, root)
		switch {
		case errors.Is(err, ErrOtherKey):
			return "", fmt.Errorf("picture %s was sent before the server had its present key: give one file with the lines of both keys (%w)", from.At(one), err)
		case errors.Is(err, ErrUnsealed):
			return "", fmt.Errorf("picture %s is damaged: delete it there, and the backup is fetched without it (%w)", from.At(one), err)
		case err != nil:
			return "", fmt.Errorf("picture %s: %w", from.At(one), err)
		}
	}
	return file, nil
}

// pictureName is how a picture is called: by the SHA-256 of its bytes.
var pictureName = regexp.MustCompile(`^[0-9a-f]{64}$`)

func fetchPicture(ctx context.Context, from Place, name string, secrets []age.Identity, root string) error {
	sum := strings.TrimSuffix(path.Base(name), sealedEnd)
	// What is called otherwise is another's, or a copy that was cut off.
	if !pictureName.MatchString(sum) {
		return nil
	}
	target := filepath.Join(root, sum[:2], sum)
	if _, err := os.Stat(target); err == nil {
		return nil
	}
	half := target + ".half"
	defer os.Remove(half)
	if err := fetch(ctx, from, name, secrets, half); err != nil {
		return err
	}
	have, err := HashOf(half)
	if err != nil {
		return err
	}
	if have != sum {
		return ErrUnsealed
	}
	return place(half, target)
}

// fetch brings one file from a place, decrypted if it is encrypted.
func fetch(ctx context.Context, from Place, name string, secrets []age.Identity, to string) error {
	if err := os.MkdirAll(filepath.Dir(to), 0o750); err != nil {
		return err
	}
	if !strings.HasSuffix(name, sealedEnd) {
		return from.Get(ctx, name, to)
	}
	if len(secrets) == 0 {
		return ErrNoKey
	}
	sealed := to + sealedEnd
	defer os.Remove(sealed)
	if err := from.Get(ctx, name, sealed); err != nil {
		return err
	}
	return unseal(sealed, to, secrets)
}

// Find is the backup that an address names, else the newest of the place that it is, with its name there.
func Find(ctx context.Context, address string, open func(string) (Place, error)) (at Place, name string, err error) {
	if under, base := path.Dir(filepath.ToSlash(address)), path.Base(filepath.ToSlash(address)); isBackup(base) || strings.HasSuffix(base, ".db") {
		if strings.Contains(address, "://") {
			under = strings.TrimSuffix(address, "/"+base)
		}
		at, err = open(filepath.FromSlash(under))
		return at, base, err
	}
	if at, err = open(address); err != nil {
		return nil, "", err
	}
	if name, _, err = Newest(ctx, at); err == nil && name == "" {
		err = fmt.Errorf("there is no backup in %s whose name says when it was made", at.At(""))
	}
	return at, name, err
}

func isBackup(name string) bool {
	_, ok := whenMade(name)
	return ok
}
