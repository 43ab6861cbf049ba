package journal_test

import (
	"errors"
	"os"
	"path/filepath"
	"testing"
	"time"

	"bedwalk/server/db"
	"bedwalk/server/journal"
	"bedwalk/server/store/lite"
	"bedwalk/server/testphone"
)

// While one program opens the journal, another may be taking notes. Whatever the moment, that is no loss, and begins no
// epoch: phones would all have to ask where they stand.
func TestANoteThatComesWhileTheJournalIsOpenedBeginsNoEpoch(t *testing.T) {
	b := newBench(t)
	phone := testphone.New("a")
	phone.Plant()
	b.push(phone.All(1))
	epoch := b.store.Epoch()
	statements, moments := 1, 0
	for n := 1; n <= statements; n++ {
		var faults db.Faults
		d, err := db.Open(t.Context(), db.Options{Path: b.db.Path(), Wrap: faults.Wrap})
		if err != nil {
			t.Fatal(err)
		}
		from := len(phone.Raw) + 1
		phone.Note("note", "", "", map[string]string{"words": "dry"})
		came, settled := false, false
		faults.DoAt(n, func() error {
			// What it writes itself, it writes when it knows its epoch; nobody else could write then.
			if !settled {
				came = true
				b.push(phone.All(from))
			}
			return nil
		})
		now := func() time.Time {
			settled = true
			return b.clock
		}
		second, err := journal.Open(t.Context(), journal.Options{Site: lite.Journal(d), Dir: d.Dir(), Now: now})
		if err != nil {
			t.Fatal(err)
		}
		statements = max(statements, faults.Seen())
		if second.Epoch() != epoch {
			t.Fatalf("a note before statement %d of %d began an epoch", n, statements)
		}
		if err := errors.Join(second.Close(), d.Close()); err != nil {
			t.Fatal(err)
		}
		if came {
			moments++
		} else {
			b.push(phone.All(from))
		}
	}
	if moments < 3 {
		t.Fatalf("only %d moments were tried", moments)
	}
}

func TestAJournalOpenedBesideAnotherBeginsNothing(t *testing.T) {
	b := newBench(t)
	phone := testphone.New("a")
	phone.Plant()
	b.push(phone.All(1))
	// As after a restored backup: whoever holds the folder would begin an epoch.
	if err := os.WriteFile(filepath.Join(b.dir, journal.HeadFile), []byte("500\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	before, err := os.ReadFile(filepath.Join(b.dir, journal.SidecarFile))
	if err != nil {
		t.Fatal(err)
	}
	d, err := db.Open(t.Context(), db.Options{Path: b.db.Path(), Beside: true})
	if err != nil {
		t.Fatal(err)
	}
	defer d.Close()
	beside, err := journal.Open(t.Context(), journal.Options{Site: lite.Journal(d), Dir: d.Dir(), Beside: true})
	if err != nil {
		t.Fatal(err)
	}
	defer beside.Close()
	after, err := os.ReadFile(filepath.Join(b.dir, journal.SidecarFile))
	if err != nil || string(before) != string(after) || beside.Epoch() != b.store.Epoch() || beside.Head() != b.store.Head() {
		t.Fatalf("%v: %s became %s; epoch %s, head %d", err, before, after, beside.Epoch(), beside.Head())
	}
}

func TestNoEmptyNurseryIsBegunWhereNotesWere(t *testing.T) {
	b := newBench(t)
	phone := testphone.New("a")
	phone.Plant()
	b.push(phone.All(1))
	epoch := b.store.Epoch()
	b.stop()
	if err := journal.CheckBeside(b.dir); err != nil {
		t.Fatalf("a sound folder is faulted: %v", err)
	}
	for _, end := range []string{"", "-wal", "-shm"} {
		if err := os.RemoveAll(filepath.Join(b.dir, db.File+end)); err != nil {
			t.Fatal(err)
		}
	}
	if err := journal.CheckBeside(b.dir); !errors.Is(err, journal.ErrEmptied) {
		t.Fatalf("got %v", err)
	}
	d, err := db.Open(t.Context(), db.Options{Path: filepath.Join(b.dir, db.File)})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := journal.Open(t.Context(), journal.Options{Site: lite.Journal(d), Dir: d.Dir()}); !errors.Is(err, journal.ErrEmptied) {
		t.Fatalf("an empty database beside a head was opened: %v", err)
	}
	store, err := journal.Open(t.Context(), journal.Options{Site: lite.Journal(d), Dir: d.Dir(), StartEmpty: true})
	if err != nil {
		t.Fatal(err)
	}
	if store.Epoch() == epoch || store.Head() != 0 {
		t.Fatalf("epoch %s, head %d", store.Epoch(), store.Head())
	}
	if err := errors.Join(store.Close(), d.Close()); err != nil {
		t.Fatal(err)
	}
	b.start()
}

func TestAFolderIsEmptiedAlsoWhenTheHeadFileIsGoneOrACopyWasSaved(t *testing.T) {
	for name, files := range map[string]map[string]string{
		"a history of epochs alone": {journal.SidecarFile: `[{"epoch":"a","parent":"","forked_at":0,"began_at":1}]`},
		"a head file of no number":  {journal.SidecarFile: `[{"epoch":"a","parent":"","forked_at":0,"began_at":1}]`, journal.HeadFile: "?"},
		"an empty database":         {db.File: "", journal.HeadFile: "0000000000000000007\n"},
		"a rescued copy":            {"rescued-20260101-000000.db": "x"},
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			for file, content := range files {
				if err := os.WriteFile(filepath.Join(dir, file), []byte(content), 0o600); err != nil {
					t.Fatal(err)
				}
			}
			if err := journal.CheckBeside(dir); !errors.Is(err, journal.ErrEmptied) {
				t.Fatalf("got %v", err)
			}
		})
	}
	// A first start that was killed before anybody wrote.
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, journal.HeadFile), []byte("0000000000000000000\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := journal.CheckBeside(dir); err != nil {
		t.Fatal(err)
	}
	if err := journal.CheckBeside(t.TempDir()); err != nil {
		t.Fatalf("an empty folder is faulted: %v", err)
	}
}
