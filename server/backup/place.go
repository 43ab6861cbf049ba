package backup

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"net/http"
	"os"
	"path/filepath"
	"strings"
)

// Place is where backups are kept: a folder (Folder) or a bucket (see OpenPlace). Names within it have slashes.
type Place interface {
	// Names are those of the files whose names begin so. A prefix that ends in a slash names all that is below it.
	Names(ctx context.Context, prefix string) ([]string, error)
	// Put brings a file there; it has its name once it is whole.
	Put(ctx context.Context, name, from string) error
	// Get copies a file from there.
	Get(ctx context.Context, name, to string) error
	Delete(ctx context.Context, name string) error
	// At is how a person finds a file of it.
	At(name string) string
}

// OpenPlace is the place at an address: https://HOST/BUCKET or https://HOST/BUCKET/PREFIX of anything that speaks S3, else a folder. What
// env says under AWS_ACCESS_KEY_ID, AWS_SECRET_ACCESS_KEY and AWS_REGION opens the bucket. Through is nil but in tests.
func OpenPlace(address string, env func(string) string, through http.RoundTripper) (Place, error) {
	if strings.HasPrefix(address, "https://") || strings.HasPrefix(address, "http://") {
		return openBucket(address, env, through)
	}
	// As a folder it would be one of that name on this machine, and nobody would miss the backups before the day they are needed.
	if scheme, _, ok := strings.Cut(address, "://"); ok {
		return nil, fmt.Errorf("nothing can be kept at an address that begins with %s://: write https://HOST/BUCKET/PREFIX for a bucket, or name a folder", scheme)
	}
	folder, err := filepath.Abs(address)
	return Folder(folder), err
}

// Folder is a place on a disk.
type Folder string

// At is Place's.
func (f Folder) At(name string) string { return filepath.Join(string(f), filepath.FromSlash(name)) }

// Names is Place's.
func (f Folder) Names(_ context.Context, prefix string) (names []string, err error) {
	err = filepath.WalkDir(string(f), func(at string, entry fs.DirEntry, err error) error {
		switch {
		case errors.Is(err, fs.ErrNotExist):
			return nil
		case err != nil:
			return err
		}
		below, err := filepath.Rel(string(f), at)
		if err != nil {
			return err
		}
		name := filepath.ToSlash(below)
		switch {
		case !entry.IsDir():
			if strings.HasPrefix(name, prefix) && (strings.HasSuffix(prefix, "/") || !strings.Contains(name, "/")) {
				names = append(names, name)
			}
		case name != "." && !strings.HasPrefix(name+"/", prefix):
			return fs.SkipDir
		}
		return nil
	})
	return names, err
}

// Put is Place's.
func (f Folder) Put(_ context.Context, name, from string) error { return copyFile(from, f.At(name)) }

// Get is Place's.
func (f Folder) Get(_ context.Context, name, to string) error { return copyFile(f.At(name), to) }

// Delete is Place's.
func (f Folder) Delete(_ context.Context, name string) error { return os.Remove(f.At(name)) }
