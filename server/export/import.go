package export

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"

	"bedwalk/schema"
	"bedwalk/server/backup"
	"bedwalk/server/db"
	"bedwalk/server/journal"
	"bedwalk/server/store/lite"
)

// format is raised when an export has something that an import of before would not understand.
const format = 1

// header is the first line of the state file. Head is the position up to which the notes are there.
type header struct {
	Format int   `json:"format"`
	Head   int64 `json:"head"`
}

// halfDir is where, inside the data folder, the database is made until it is whole.
const halfDir = "import.half"

// Reasons for which nothing is imported.
var (
	ErrDamaged = errors.New("the export is not as it was written; copy it again from where it was made, or make another with bedwalk export")
	ErrNewer   = errors.New("the export was made by a newer Bedwalk; import it with that version or a newer one")
	ErrOlder   = errors.New("the export was made by a Bedwalk that wrote no " + stateFile + "; export again with this version, or restore a backup")
	ErrInUse   = errors.New("there is a nursery already; import makes a new data folder, name one with --data")
	ErrAnother = errors.New("the data folder belonged to another nursery than the export's; name a new one with --data")
)

// Import makes a data folder's database and pictures of an export: checked against its list of sums, written, and checked as "verify"
// does, before anything gets its name. The folder has to be held by the caller.
func Import(ctx context.Context, folder, data string) (made Made, err error) {
	made.Path = folder
	// A log of writes without its database is one too: SQLite would write it into whatever gets the database's name.
	for _, end := range []string{"", "-wal"} {
		if _, err := os.Lstat(filepath.Join(data, db.File+end)); !errors.Is(err, fs.ErrNotExist) {
			return made, errors.Join(fmt.Errorf("%s: %w", filepath.Join(data, db.File+end), ErrInUse), err)
		}
	}
	if made.Photos, err = checkSums(ctx, folder); err != nil {
		return made, err
	}
	state, head, err := readState(folder)
	if err != nil {
		return made, err
	}
	if another, err := journal.OfAnother(data, state); err != nil || another {
		return made, errors.Join(err, fmt.Errorf("%s: %w", data, ErrAnother))
	}
	half := filepath.Join(data, halfDir)
	if err := errors.Join(os.RemoveAll(half), os.MkdirAll(half, 0o750)); err != nil {
		return made, err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(half)) }()
	if err := refill(ctx, filepath.Join(half, db.File), folder, state, &made.Notes); err != nil {
		return made, err
	}
	if int64(made.Notes) != head {
		return made, fmt.Errorf("it has %d notes, and says that they go up to position %d: %w", made.Notes, head, ErrDamaged)
	}
	if _, err := backup.CopyPhotos(filepath.Join(folder, photosDir), filepath.Join(data, photosDir)); err != nil {
		return made, fmt.Errorf("copy the pictures: %w", err)
	}
	return made, db.Place(filepath.Join(half, db.File), filepath.Join(data, db.File))
}

func refill(ctx context.Context, file, folder string, state []journal.StateRow, count *int) (err error) {
	d, err := db.Open(ctx, db.Options{Path: file})
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, d.Close()) }()
	err = journal.Refill(ctx, lite.Journal(d), d.Dir(), state, func(each func(journal.Placed) error) error {
		return eachLine(filepath.Join(folder, notesFile), func(line []byte) error {
			var one journal.Placed
			if err := json.Unmarshal(line, &one); err != nil {
				return fmt.Errorf("line %d of %s: %w: %w", *count+1, notesFile, err, ErrDamaged)
			}
			*count++
			return each(one)
		})
	})
	if errors.Is(err, journal.ErrNotWhole) {
		return fmt.Errorf("%w: %w", err, ErrDamaged)
	}
	if err != nil {
		return err
	}
	found, err := backup.Verify(ctx, d)
	if errors.Is(err, backup.ErrUnsound) {
		return fmt.Errorf("%s: %w", found.Complaints[0], ErrDamaged)
	}
	return err
}

// readState reads what the journal has beside its notes. The errors are ErrOlder, ErrNewer and ErrDamaged.
func readState(folder string) (state []journal.StateRow, head int64, err error) {
	var first header
	begun := false
	err = eachLine(filepath.Join(folder, stateFile), func(line []byte) error {
		numbers := json.NewDecoder(bytes.NewReader(line))
		numbers.UseNumber()
		if !begun {
			begun = true
			return numbers.Decode(&first)
		}
		var row journal.StateRow
		if err := numbers.Decode(&row); err != nil {
			return err
		}
		state = append(state, row)
		return nil
	})
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, 0, ErrOlder
	case err == nil && (first.Format > format || journal.StateFold(state) > schema.FoldVersion):
		return nil, 0, ErrNewer
	case err == nil && first.Format < 1:
		err = errors.New("its first line names no format")
	}
	if err != nil {
		return nil, 0, fmt.Errorf("read %s: %w: %w", stateFile, err, ErrDamaged)
	}
	return state, first.Head, nil
}

// eachLine visits the lines of a file, however long they are.
func eachLine(file string, visit func([]byte) error) error {
	f, err := os.Open(file)
	if err != nil {
		return err
	}
	defer f.Close()
	lines := bufio.NewReader(f)
	for {
		line, err := lines.ReadBytes('\n')
		if errors.Is(err, io.EOF) && len(line) == 0 {
			return nil
		}
		if errors.Is(err, io.EOF) {
			return fmt.Errorf("the last line of %s is cut off: %w", filepath.Base(file), ErrDamaged)
		}
		if err != nil {
			return fmt.Errorf("read %s: %w", file, err)
		}
		if err := visit(line); err != nil {
			return err
		}
	}
}

// checkSums holds every file of an export against its list, and counts the pictures. A picture that is not on the list is refused too,
// since it would be copied.
func checkSums(ctx context.Context, folder string) (pictures int, err error) {
	listed := map[string]string{}
	err = eachLine(filepath.Join(folder, sumsFile), func(line []byte) error {
		sum, name, ok := strings.Cut(strings.TrimRight(string(line), "\r\n"), "  ")
		if !ok || !filepath.IsLocal(filepath.FromSlash(name)) {
			return fmt.Errorf("%s has a line that is none: %w", sumsFile, ErrDamaged)
		}
		listed[name] = sum
		return nil
	})
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return 0, fmt.Errorf("%s has no %s; name the folder that bedwalk export wrote: %w", folder, sumsFile, ErrDamaged)
	case err != nil:
		return 0, err
	}
	for _, name := range []string{notesFile, stateFile} {
		// Of an older build the list names no state, and there is none.
		if _, err := os.Lstat(filepath.Join(folder, name)); listed[name] == "" && (name == notesFile || err == nil) {
			return 0, fmt.Errorf("%s does not name %s: %w", sumsFile, name, ErrDamaged)
		}
	}
	for name, want := range listed {
		if err := ctx.Err(); err != nil {
			return 0, err
		}
		have, err := backup.HashOf(filepath.Join(folder, filepath.FromSlash(name)))
		switch {
		case errors.Is(err, fs.ErrNotExist):
			return 0, fmt.Errorf("%s is missing: %w", name, ErrDamaged)
		case err != nil:
			return 0, fmt.Errorf("read %s: %w", name, err)
		case have != want || strings.HasPrefix(name, photosDir+"/") && path.Base(name) != want:
			return 0, fmt.Errorf("%s was changed or cut off: %w", name, ErrDamaged)
		}
	}
	err = eachPicture(folder, func(name string) error {
		if pictures++; listed[name] == "" {
			return fmt.Errorf("%s does not name %s: %w", sumsFile, name, ErrDamaged)
		}
		return nil
	})
	return pictures, err
}

// eachPicture visits the pictures of an export by their names within it, with slashes.
func eachPicture(folder string, visit func(name string) error) error {
	root := filepath.Join(folder, photosDir)
	return filepath.WalkDir(root, func(at string, entry fs.DirEntry, err error) error {
		switch {
		case errors.Is(err, fs.ErrNotExist) && at == root:
			return nil
		case err != nil || entry.IsDir():
			return err
		}
		name, err := filepath.Rel(folder, at)
		if err != nil {
			return err
		}
		return visit(filepath.ToSlash(name))
	})
}

// pictures puts the pictures on the list of sums.
func (w *writer) pictures() error {
	return eachPicture(w.folder, func(name string) (err error) {
		w.sums[name], err = backup.HashOf(filepath.Join(w.folder, filepath.FromSlash(name)))
		return err
	})
}
