package main

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bedwalk/server/db"
	"bedwalk/server/journal"
	"bedwalk/server/testphone"
)

// inFolder is a nursery in a file.
func inFolder(data string) nurseryFlag { return nurseryFlag{dataFlag: dataFlag{data}} }

// serving is a data folder as a running server has it: held, with a small nursery in it.
func serving(t *testing.T) (data string, p *parts) {
	t.Helper()
	data = t.TempDir()
	p, err := open(t.Context(), inFolder(data), "serve", false, false)
	if err != nil {
		t.Fatal(err)
	}
	phone := testphone.New("a")
	phone.Plant()
	if _, err := p.store.Push(t.Context(), phone.All(1), journal.Sender{Device: "a"}); err != nil {
		t.Fatal(err)
	}
	return data, p
}

func TestWhatWouldReplaceOrShareTheDataOfARunningServerIsRefused(t *testing.T) {
	data, p := serving(t)
	defer p.Close()
	folder := t.TempDir()
	if err := (&backupCommand{nurseryFlag: inFolder(data), To: folder}).Run(t.Context()); err != nil {
		t.Fatal(err)
	}
	backups, err := filepath.Glob(filepath.Join(folder, "*.db"))
	if err != nil || len(backups) != 1 {
		t.Fatalf("%v, %v", backups, err)
	}
	link := filepath.Join(t.TempDir(), "link")
	if err := os.Symlink(data, link); err != nil {
		t.Fatal(err)
	}
	for name, run := range map[string]func() error{
		"serve": func() error {
			return (&serveCommand{nurseryFlag: inFolder(data), Listen: "127.0.0.1:0"}).Run(t.Context())
		},
		"serve by a link": func() error {
			return (&serveCommand{nurseryFlag: inFolder(link), Listen: "127.0.0.1:0"}).Run(t.Context())
		},
		"restore":           func() error { return (&restoreCommand{dataFlag: dataFlag{data}, From: backups[0]}).Run(t.Context()) },
		"restore by a link": func() error { return (&restoreCommand{dataFlag: dataFlag{link}, From: backups[0]}).Run(t.Context()) },
		"demo":              func() error { return (&demoCommand{dataFlag: dataFlag{data}, Seed: 1}).Run(t.Context()) },
	} {
		if err := run(); !errors.Is(err, db.ErrHeld) || !strings.Contains(err.Error(), "bedwalk serve (process ") {
			t.Errorf("%s: got %v", name, err)
		}
	}
	if err := p.file.Present(); err != nil {
		t.Error(err)
	}
}

func TestPairBackupAndVerifyChangeNothingOfTheJournalBesideARunningServer(t *testing.T) {
	data, p := serving(t)
	defer p.Close()
	epoch, head := p.store.Epoch(), p.store.Head()
	phone := testphone.New("b")
	// A busy server: each pairing meets another state of the journal.
	for range 45 {
		from := len(phone.Raw) + 1
		phone.Note("note", "", "", map[string]string{"words": "dry"})
		if _, err := p.store.Push(t.Context(), phone.All(from), journal.Sender{Device: "b"}); err != nil {
			t.Fatal(err)
		}
		head++
		if err := (&pairCommand{nurseryFlag: inFolder(data), Role: "scout", Person: "New"}).Run(t.Context()); err != nil {
			t.Fatal(err)
		}
	}
	for name, run := range map[string]func() error{
		"backup": func() error { return (&backupCommand{nurseryFlag: inFolder(data), To: t.TempDir()}).Run(t.Context()) },
		"verify": func() error { return (&verifyCommand{nurseryFlag: inFolder(data)}).Run(t.Context()) },
	} {
		if err := run(); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	if p.store.Head() != head || p.store.Epoch() != epoch {
		t.Fatalf("head %d became %d, epoch %s became %s", head, p.store.Head(), epoch, p.store.Epoch())
	}
	if err := p.Close(); err != nil {
		t.Fatal(err)
	}
	again, err := open(t.Context(), inFolder(data), "serve", false, false)
	if err != nil {
		t.Fatal(err)
	}
	defer again.Close()
	if again.store.Epoch() != epoch || again.store.Head() != head {
		t.Fatalf("after a restart the epoch is %s and the head %d", again.store.Epoch(), again.store.Head())
	}
}

func TestAPairingWorksWithoutAServerAndIsRefusedWhereThereIsNoNursery(t *testing.T) {
	data, p := serving(t)
	if err := p.Close(); err != nil {
		t.Fatal(err)
	}
	if err := (&pairCommand{nurseryFlag: inFolder(data), Role: "scout"}).Run(t.Context()); err != nil {
		t.Fatal(err)
	}
	typo := filepath.Join(t.TempDir(), "typo")
	if err := (&pairCommand{nurseryFlag: inFolder(typo), Role: "scout"}).Run(t.Context()); err == nil || !strings.Contains(err.Error(), "--data") {
		t.Fatalf("got %v", err)
	}
	if _, err := os.Stat(typo); !errors.Is(err, os.ErrNotExist) {
		t.Fatalf("a folder was made: %v", err)
	}
}

func TestServeBeginsNoEmptyNurseryWhereNotesWere(t *testing.T) {
	data, p := serving(t)
	if err := p.Close(); err != nil {
		t.Fatal(err)
	}
	if err := os.Remove(filepath.Join(data, db.File)); err != nil {
		t.Fatal(err)
	}
	err := (&serveCommand{nurseryFlag: inFolder(data), Listen: "127.0.0.1:0"}).Run(t.Context())
	if !errors.Is(err, journal.ErrEmptied) || !strings.Contains(err.Error(), "restore") || !strings.Contains(err.Error(), "--start-empty") {
		t.Fatalf("got %v", err)
	}
	if _, err := os.Stat(filepath.Join(data, db.File)); !errors.Is(err, os.ErrNotExist) {
		t.Fatalf("a database was made all the same: %v", err)
	}
	for name, run := range map[string]func() error{
		"pair":   func() error { return (&pairCommand{nurseryFlag: inFolder(data), Role: "scout"}).Run(t.Context()) },
		"demo":   func() error { return (&demoCommand{dataFlag: dataFlag{data}, Seed: 1}).Run(t.Context()) },
		"verify": func() error { return (&verifyCommand{nurseryFlag: inFolder(data)}).Run(t.Context()) },
	} {
		if err := run(); !errors.Is(err, journal.ErrEmptied) {
			t.Errorf("%s: got %v", name, err)
		}
	}
	empty, err := open(t.Context(), inFolder(data), "serve", false, true)
	if err != nil {
		t.Fatal(err)
	}
	defer empty.Close()
	if empty.store.Head() != 0 {
		t.Fatalf("head %d", empty.store.Head())
	}
}
