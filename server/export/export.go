// Package export writes everything that a nursery has into files of open formats, which need no Bedwalk to be read: each note as it
// was written, tables of what stands now, the pictures, and a dictionary of all columns. The central function is All.
package export

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/csv"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path"
	"path/filepath"
	"strconv"
	"time"

	"bedwalk/schema"
	"bedwalk/server/journal"
	"bedwalk/server/view"
)

// Names within the folder.
const (
	notesFile  = "notes.jsonl"
	stateFile  = "state.jsonl"
	potsFile   = "pots.csv"
	notesDir   = "notes"
	nowDir     = "now"
	photosDir  = "photos"
	aboutFile  = "READ-ME.txt"
	dictionary = "dictionary.csv"
	sumsFile   = "SHA256SUMS"
)

// notesAtOnce is how many positions are read in one transaction: an export may take as long as it does, and keeps nobody waiting.
const notesAtOnce = 2000

// ErrThere says that the folder has something in it already.
var ErrThere = errors.New("the folder is not empty; name another, since an export is never mixed with other files")

// Journal is what is read of the notes.
type Journal interface {
	Read(ctx context.Context, f func(*journal.Snapshot) error) error
}

// Pots is what is read of the pots.
type Pots interface {
	Observations(ctx context.Context, only view.Filter, page func() error, each func(view.PotRow) error) error
}

// Source is where everything comes from.
type Source struct {
	Journal Journal
	Pots    Pots
	// Photos copies all pictures to a folder and counts them.
	Photos func(to string) (int, error)
	Build  string
}

// Made says what was written.
type Made struct {
	Path          string
	Notes, Photos int
}

// All writes a folder, which must not be there or be empty. It gets its name when it is whole: one that broke off ends in ".half",
// and the next export begins it again.
func All(ctx context.Context, from Source, folder string, now time.Time) (made Made, err error) {
	made.Path = folder
	if there, err := os.ReadDir(folder); err == nil && len(there) > 0 {
		return made, fmt.Errorf("%s: %w", folder, ErrThere)
	}
	half := filepath.Clean(folder) + ".half"
	if err := os.RemoveAll(half); err != nil {
		return made, err
	}
	for _, dir := range []string{half, filepath.Join(half, notesDir), filepath.Join(half, nowDir)} {
		if err := os.MkdirAll(dir, 0o750); err != nil {
			return made, fmt.Errorf("make the folder: %w", err)
		}
	}
	w := &writer{folder: half, sums: map[string]string{}}
	head, err := w.now(ctx, from.Journal)
	if err != nil {
		return made, err
	}
	if made.Notes, err = w.notes(ctx, from.Journal, head); err != nil {
		return made, err
	}
	if err := w.pots(ctx, from.Pots); err != nil {
		return made, err
	}
	if made.Photos, err = from.Photos(filepath.Join(half, photosDir)); err != nil {
		return made, fmt.Errorf("copy the pictures: %w", err)
	}
	if err := w.pictures(); err != nil {
		return made, err
	}
	if err := w.explain(head, made, from.Build, now); err != nil {
		return made, err
	}
	// An empty folder of that name may be there, as the one that a person made to put the export in.
	if err := os.Remove(folder); err != nil && !errors.Is(err, os.ErrNotExist) {
		return made, err
	}
	return made, os.Rename(half, folder)
}

// writer writes files of the folder, and remembers the sum of each.
type writer struct {
	folder string
	sums   map[string]string
}

// output is a file that is being written.
type output struct {
	io.Writer
	close func() error
}

// open begins a file; its name has slashes on every system, as the list of sums has them.
func (w *writer) open(name string) (*output, error) {
	f, err := os.OpenFile(filepath.Join(w.folder, filepath.FromSlash(name)), os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o640)
	if err != nil {
		return nil, err
	}
	sum := sha256.New()
	return &output{io.MultiWriter(f, sum), func() error {
		w.sums[name] = hex.EncodeToString(sum.Sum(nil))
		return errors.Join(f.Sync(), f.Close())
	}}, nil
}

// table is a CSV (RFC 4180) that is being written.
type table struct {
	*csv.Writer
	to *output
}

func (w *writer) table(name string, columns []string) (*table, error) {
	to, err := w.open(name)
	if err != nil {
		return nil, err
	}
	t := &table{csv.NewWriter(to), to}
	t.UseCRLF = true
	return t, t.Write(columns)
}

func (t *table) close() error {
	t.Flush()
	return errors.Join(t.Error(), t.to.close())
}

// now writes a table for each kind of thing that people describe (lots, beds, bookings), as it stands, and says up to which position.
func (w *writer) now(ctx context.Context, from Journal) (head int64, err error) {
	err = from.Read(ctx, func(snap *journal.Snapshot) error {
		head = snap.Head
		if err := w.state(snap); err != nil {
			return err
		}
		for _, kind := range registers() {
			if err := w.register(snap, kind); err != nil {
				return fmt.Errorf("write the table of kind %s: %w", kind.Name, err)
			}
		}
		return nil
	})
	return head, err
}

// jsonLines writes values one a line (jsonlines.org), a note's own bytes unescaped, or they would not be those that were written.
func jsonLines(to io.Writer) *json.Encoder {
	lines := json.NewEncoder(to)
	lines.SetEscapeHTML(false)
	return lines
}

// state writes what the journal has beside its notes, of the same moment as the position that it ends at.
func (w *writer) state(snap *journal.Snapshot) error {
	to, err := w.open(stateFile)
	if err != nil {
		return err
	}
	lines := jsonLines(to)
	err = lines.Encode(header{Format: format, Head: snap.Head})
	if err == nil {
		err = snap.State(func(row journal.StateRow) error { return lines.Encode(row) })
	}
	return errors.Join(err, to.close())
}

func (w *writer) register(snap *journal.Snapshot, kind schema.Kind) error {
	to, err := w.open(path.Join(nowDir, kind.Name+".csv"))
	if err != nil {
		return err
	}
	return errors.Join(writeRegister(snap, kind, to), to.close())
}

// notes writes every note up to a position twice: exactly, as JSON lines (jsonlines.org), and by kind as tables for spreadsheets.
func (w *writer) notes(ctx context.Context, from Journal, head int64) (count int, err error) {
	exact, err := w.open(notesFile)
	if err != nil {
		return 0, err
	}
	byKind := map[string]*table{}
	defer func() {
		// Of a full disk each of them tells; the first is enough.
		for _, t := range byKind {
			err = cmp.Or(err, t.close())
		}
		err = cmp.Or(err, exact.close())
	}()
	lines := jsonLines(exact)
	err = eachPage(ctx, from, head, func(page []journal.Placed, entries []schema.Entry) error {
		for i, one := range page {
			if err := errors.Join(lines.Encode(one), w.noteRow(byKind, one, entries[i])); err != nil {
				return err
			}
		}
		count += len(page)
		return nil
	})
	return count, err
}

// eachPage reads the notes up to a position, some at a time: nobody waits for a slow reader.
func eachPage(ctx context.Context, from Journal, head int64, f func([]journal.Placed, []schema.Entry) error) error {
	for after := int64(0); after < head; after += notesAtOnce {
		var page []journal.Placed
		var entries []schema.Entry
		if err := from.Read(ctx, func(snap *journal.Snapshot) (err error) {
			page, entries, err = snap.PlacedAfter(after, min(after+notesAtOnce, head))
			return err
		}); err != nil {
			return err
		}
		if err := f(page, entries); err != nil {
			return err
		}
	}
	return nil
}

// noteRow writes a note into the table of its kind. One of a kind that this build does not know stands in the exact file alone.
func (w *writer) noteRow(byKind map[string]*table, one journal.Placed, e schema.Entry) (err error) {
	kind, known := schema.KindOf(e.Kind)
	if !known {
		return nil
	}
	fields := fieldsOf(kind.Body)
	t := byKind[kind.Name]
	if t == nil {
		if t, err = w.table(path.Join(notesDir, kind.Name+".csv"), noteColumns(fields)); err != nil {
			return err
		}
		byKind[kind.Name] = t
	}
	var body map[string]json.RawMessage
	if err := json.Unmarshal(e.Body, &body); err != nil {
		return fmt.Errorf("read the note at position %d: %w", one.Position, err)
	}
	instant := func(ms int64) string { return time.UnixMilli(ms).UTC().Format(time.RFC3339) }
	cells := []string{
		strconv.FormatInt(one.Position, 10), e.ID, instant(one.Stamp.At), instant(one.Stamp.From), instant(one.Stamp.To), string(one.Stamp.Quality),
		Cell(e.Person), Cell(e.Device), Cell(e.Lot), Cell(e.Bed),
	}
	for _, field := range fields {
		cells = append(cells, cellOf(body[field]))
	}
	return t.Write(cells)
}

// pots writes a row for every pot that was looked at, as its notes and corrections add up.
func (w *writer) pots(ctx context.Context, from Pots) error {
	t, err := w.table(potsFile, PotColumns)
	if err != nil {
		return err
	}
	err = from.Observations(ctx, view.Filter{}, func() error { return nil }, func(r view.PotRow) error { return t.Write(PotCells(r)) })
	return errors.Join(err, t.close())
}
