package main

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/alecthomas/kong"

	"bedwalk/schema"
	"bedwalk/server/access"
	"bedwalk/server/db"
	"bedwalk/server/hooks"
	"bedwalk/server/journal"
	"bedwalk/server/store/pg"
	"bedwalk/server/testpg"
	"bedwalk/server/testphone"
)

// inBase is a site of its own in the tests' database, with a folder for what goes with it.
func inBase(t *testing.T) nurseryFlag {
	return nurseryFlag{dataFlag: dataFlag{t.TempDir()}, Store: testpg.URL(t), Site: testpg.Site()}
}

// walked puts a small nursery and a walk of twelve pots into a journal, and returns its bed.
func walked(t *testing.T, p *parts) testphone.Nursery {
	t.Helper()
	phone := testphone.New("a")
	n := phone.Plant()
	for row := range 10 {
		phone.See(n, row+1, 1+row%5, 100+row, 5)
	}
	answer, err := p.store.Push(t.Context(), phone.All(1), journal.Sender{Device: "a"})
	if err != nil {
		t.Fatal(err)
	}
	for _, given := range answer.Given {
		if given.State != "merged" {
			t.Fatalf("%+v", given)
		}
	}
	return n
}

// withWalk is a nursery as a server has it, with that walk in it.
func withWalk(t *testing.T, at nurseryFlag, isNew bool) *parts {
	t.Helper()
	p, err := open(t.Context(), at, "serve", isNew, false)
	if err != nil {
		t.Fatal(err)
	}
	walked(t, p)
	return p
}

func TestANurseryInADatabaseIsServedAsOneInAFile(t *testing.T) {
	at := inBase(t)
	p, err := open(t.Context(), at, "serve", true, false)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { p.Close() }()
	n := walked(t, p)
	beds, err := p.views.Beds(t.Context(), "")
	if err != nil || beds.Head != 18 || len(beds.Houses) != 1 || len(beds.Houses[0].Beds) != 1 || beds.Houses[0].Beds[0].ID != n.Bed {
		t.Errorf("%+v, %v", beds, err)
	}
	page, err := p.views.History(t.Context(), n.Lot, "", "")
	if err != nil || len(page.Lines) == 0 {
		t.Errorf("%+v, %v", page, err)
	}
	told := hooks.New(hooks.Options{DB: p.hooks, Journal: p.store, Beds: func(ctx context.Context) (schema.BedsView, error) { return p.views.Beds(ctx, "") }})
	id, _, err := told.Make(t.Context(), hooks.Hook{Name: "office \x00", URL: "https://office.example/", Events: hooks.Events})
	if err != nil {
		t.Fatal(err)
	}
	head := p.store.Head()
	if err := errors.Join(told.Look(t.Context()), told.Remove(t.Context(), id)); err != nil {
		t.Error(err)
	}
	if size, err := p.Size(t.Context()); err != nil || size == 0 {
		t.Errorf("%d bytes, %v", size, err)
	}
	exported := filepath.Join(t.TempDir(), "exported")
	for what, run := range map[string]func() error{
		"pair":   func() error { return (&pairCommand{nurseryFlag: at, Role: "scout", Person: "Wren"}).Run(t.Context()) },
		"verify": func() error { return (&verifyCommand{nurseryFlag: at}).Run(t.Context()) },
		"export": func() error { return (&exportCommand{at, exported}).Run(t.Context()) },
	} {
		if err := run(); err != nil {
			t.Errorf("%s: %v", what, err)
		}
	}
	if err := (&importCommand{dataFlag{t.TempDir()}, exported}).Run(t.Context()); err != nil {
		t.Errorf("an export of it cannot be imported: %v", err)
	}
	// A backup is a file, and makes a nursery in one.
	kept, restored := t.TempDir(), t.TempDir()
	if err := (&backupCommand{nurseryFlag: at, To: kept}).Run(t.Context()); err != nil {
		t.Fatal(err)
	}
	if _, err := p.store.Refresh(t.Context()); err != nil || p.store.BackedUpTo() != head {
		t.Errorf("backed up to %d, %v; want %d", p.store.BackedUpTo(), err, head)
	}
	if err := (&restoreCommand{dataFlag: dataFlag{restored}, From: kept}).Run(t.Context()); err != nil {
		t.Fatal(err)
	}
	if err := (&verifyCommand{nurseryFlag: inFolder(restored)}).Run(t.Context()); err != nil {
		t.Errorf("a backup of it is not sound: %v", err)
	}
	epoch := p.store.Epoch()
	if err := p.Close(); err != nil {
		t.Fatal(err)
	}
	// Copied into the database it is still a restored backup, and begins an epoch as one in a file does.
	again := nurseryFlag{dataFlag{restored}, at.Store, testpg.Site()}
	if err := (&copyCommand{nurseryFlag: again, NewSite: true}).Run(t.Context()); err != nil {
		t.Fatal(err)
	}
	if p, err = open(t.Context(), again, "serve", false, false); err != nil {
		t.Fatal(err)
	}
	if p.store.Epoch() == epoch {
		t.Error("a restored backup goes on in the epoch of the notes that it may lack")
	}
	if err := p.Close(); err != nil {
		t.Fatal(err)
	}
	// Started again, and from another machine's folder, it is on the same line of history.
	for range 2 {
		if p, err = open(t.Context(), at, "serve", false, false); err != nil {
			t.Fatal(err)
		}
		if p.store.Epoch() != epoch || p.store.Head() != head {
			t.Errorf("epoch %s at %d; want %s at %d", p.store.Epoch(), p.store.Head(), epoch, head)
		}
		if devices, err := p.gate.Devices(t.Context()); err != nil || len(devices) != 0 {
			t.Errorf("%v, %v", devices, err)
		}
		if err := p.Close(); err != nil {
			t.Fatal(err)
		}
		at.Data = t.TempDir()
	}
}

func TestWhatStandsAgainstServingFromADatabaseIsSaid(t *testing.T) {
	at := inBase(t)
	p := withWalk(t, at, true)
	if err := (&copyCommand{nurseryFlag: nurseryFlag{dataFlag{t.TempDir()}, at.Store, at.Site}, Back: true}).Run(t.Context()); !errors.Is(err, pg.ErrHeld) || !strings.Contains(err.Error(), "stop that first") {
		t.Errorf("a copy of what is served: %v", err)
	}
	p.Close()
	folder := t.TempDir()
	if err := os.WriteFile(filepath.Join(folder, db.File), []byte("x"), 0o600); err != nil {
		t.Fatal(err)
	}
	other := at
	other.Site = testpg.Site()
	beside := at
	beside.Data = folder
	for _, one := range []struct {
		serve serveCommand
		words string
	}{
		{serveCommand{nurseryFlag: beside}, "another folder"},
		{serveCommand{nurseryFlag: other}, "--new-site"},
		{serveCommand{nurseryFlag: nurseryFlag{dataFlag: dataFlag{t.TempDir()}, Store: at.Store}, NewSite: true}, "give it with --site"},
		{serveCommand{nurseryFlag: nurseryFlag{dataFlag: dataFlag{t.TempDir()}, Site: "x"}}, "--store"},
		{serveCommand{nurseryFlag: nurseryFlag{dataFlag: dataFlag{t.TempDir()}, Store: "postgres://bedwalk@127.0.0.1:1/x"}}, "see that PostgreSQL runs there"},
	} {
		one.serve.Listen = "127.0.0.1:0"
		if err := one.serve.Run(t.Context()); err == nil || !strings.Contains(err.Error(), one.words) {
			t.Errorf("%q does not say %q", err, one.words)
		}
	}
	// The folder knows of notes, and the site that it is to be served with has none.
	if _, err := open(t.Context(), nurseryFlag{at.dataFlag, at.Store, other.Site}, "serve", true, false); !errors.Is(err, journal.ErrEmptied) || !strings.Contains(err.Error(), "--site") {
		t.Errorf("the error is %v", err)
	}
}

func TestASiteWithoutADatabaseIsRefusedByEachCommand(t *testing.T) {
	for _, args := range [][]string{{"serve"}, {"pair"}, {"backup", "--to=x"}, {"verify"}, {"export", "--to=x"}, {"copy"}, {"doctor"}} {
		parser, err := kong.New(&commands{}, options(t.Context())...)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := parser.Parse(append(args, "--data="+t.TempDir(), "--site=north")); !errors.Is(err, errSiteAlone) {
			t.Errorf("%s: %v", args[0], err)
		}
	}
}

func TestAPhoneThatIsRevokedInOneNurseryOfADatabaseIsNotInAnother(t *testing.T) {
	var all [2]*parts
	for i := range all {
		p, err := open(t.Context(), inBase(t), "serve", true, false)
		if err != nil {
			t.Fatal(err)
		}
		defer p.Close()
		if err := p.gate.Enrol(t.Context(), access.Device{ID: "0a", Name: "Phone", Role: access.Scout}); err != nil {
			t.Fatal(err)
		}
		all[i] = p
	}
	if err := all[0].gate.Revoke(t.Context(), "0a", access.Device{Role: access.Owner}); err != nil {
		t.Fatal(err)
	}
	for i, p := range all {
		devices, err := p.gate.Devices(t.Context())
		if err != nil || len(devices) != 1 || (devices[0].RevokedAt > 0) != (i == 0) {
			t.Errorf("nursery %d: %+v, %v", i, devices, err)
		}
	}
}
