package main

import (
	"context"
	"errors"
	"path/filepath"
	"strings"
	"testing"

	"bedwalk/schema"
	"bedwalk/server/access"
	"bedwalk/server/hooks"
	"bedwalk/server/journal"
	"bedwalk/server/move"
	"bedwalk/server/store/pg"
	"bedwalk/server/testphone"
)

// answered is where a phone's notes lie by the server's answer.
type answered struct {
	epoch string
	head  int64
}

// copied is a phone that goes on writing while its nursery is copied to and fro.
type copied struct {
	phone *testphone.Phone
	n     testphone.Nursery
}

// goesOn opens the nursery as a server does, has the phone send what it has noted since, and gives the answer.
func (c *copied) goesOn(t *testing.T, at nurseryFlag) answered {
	t.Helper()
	p, err := open(t.Context(), at, "serve", false, false)
	if err != nil {
		t.Fatal(err)
	}
	defer p.Close()
	from := len(c.phone.Raw) + 1
	for row := range 4 {
		c.phone.See(c.n, 1+row, 1+len(c.phone.Raw)%5, 90+row, 5)
	}
	push := c.phone.All(from)
	push.Epoch = p.store.Epoch()
	answer, err := p.store.Push(t.Context(), push, journal.Sender{Device: "a"})
	if err != nil {
		t.Fatal(err)
	}
	for _, given := range answer.Given {
		if given.State != "merged" {
			t.Errorf("%+v", given)
		}
	}
	if device, err := p.gate.Devices(t.Context()); err != nil || len(device) != 1 || device[0].ID != "0a" {
		t.Errorf("devices %+v, %v", device, err)
	}
	list, err := hooks.New(hooks.Options{DB: p.hooks, Journal: p.store}).List(t.Context())
	if err != nil || len(list) != 1 || list[0].Name != "office \x00" {
		t.Errorf("webhooks %+v, %v", list, err)
	}
	return answered{epoch: p.store.Epoch(), head: answer.Head}
}

func TestACopyThereAndBackIsEqualAndNoPhoneCanTell(t *testing.T) {
	base := inBase(t)
	folder := inFolder(base.Data)
	p, err := open(t.Context(), folder, "serve", false, false)
	if err != nil {
		t.Fatal(err)
	}
	c := &copied{phone: testphone.New("a")}
	c.n = c.phone.Plant()
	held := testphone.New("b")
	held.Note("observation", testphone.ID("a lot that nobody wrote"), c.n.Bed, c.n.Pot(1, 1, 100, 5))
	for _, phone := range []*testphone.Phone{c.phone, held} {
		if _, err := p.store.Push(t.Context(), phone.All(1), journal.Sender{Device: phone.Device}); err != nil {
			t.Fatal(err)
		}
	}
	webhooks := hooks.New(hooks.Options{DB: p.hooks, Journal: p.store, Beds: func(ctx context.Context) (schema.BedsView, error) { return p.views.Beds(ctx, "") }})
	_, _, err = webhooks.Make(t.Context(), hooks.Hook{Name: "office \x00", URL: "https://office.example/", Events: []string{hooks.WalkEnded}})
	if err := errors.Join(err, p.store.File(t.Context(), "a", "fork", "a phone was copied"), p.gate.Enrol(t.Context(), access.Device{ID: "0a", Name: "Phone \x00", Role: access.Scout})); err != nil {
		t.Fatal(err)
	}
	p.Close()
	first := c.goesOn(t, folder)

	if err := (&copyCommand{nurseryFlag: base, NewSite: true}).Run(t.Context()); err != nil {
		t.Fatal(err)
	}
	if _, err := openBeside(t.Context(), folder); err == nil {
		t.Error("the file is served still")
	}
	second := c.goesOn(t, base)
	if second.epoch != first.epoch || second.head != first.head+4 {
		t.Errorf("in the database %+v; before %+v", second, first)
	}
	if err := (&verifyCommand{nurseryFlag: base}).Run(t.Context()); err != nil {
		t.Error(err)
	}
	if err := (&copyCommand{nurseryFlag: base}).Run(t.Context()); err == nil {
		t.Error("a nursery is copied over another")
	}

	if err := (&copyCommand{nurseryFlag: base, Back: true}).Run(t.Context()); err != nil {
		t.Fatal(err)
	}
	without := base
	without.Data = t.TempDir()
	if _, err := open(t.Context(), without, "serve", false, false); !errors.Is(err, pg.ErrMovedAway) || !strings.Contains(err.Error(), folder.Data) {
		t.Errorf("the database is served still: %v", err)
	}
	third := c.goesOn(t, folder)
	if third.epoch != first.epoch || third.head != second.head+4 {
		t.Errorf("in a file again %+v; before %+v", third, second)
	}
	if err := (&verifyCommand{nurseryFlag: folder}).Run(t.Context()); err != nil {
		t.Error(err)
	}
	// What the database still has is worthless, and is written over.
	if err := (&copyCommand{nurseryFlag: base}).Run(t.Context()); err != nil {
		t.Fatal(err)
	}
	if fourth := c.goesOn(t, base); fourth.epoch != first.epoch || fourth.head != third.head+4 {
		t.Errorf("in the database again %+v; before %+v", fourth, third)
	}
}

func TestAnOlderFileIsNotCopiedOverNotesThatItLacks(t *testing.T) {
	base := inBase(t)
	p := withWalk(t, inFolder(base.Data), false)
	p.Close()
	if err := (&copyCommand{nurseryFlag: base, NewSite: true}).Run(t.Context()); err != nil {
		t.Fatal(err)
	}
	aside, err := filepath.Glob(filepath.Join(base.Data, putAway+"-*"))
	if err != nil || len(aside) != 1 {
		t.Fatalf("%v, %v", aside, err)
	}
	if p, err = open(t.Context(), base, "serve", false, false); err != nil {
		t.Fatal(err)
	}
	phone := testphone.New("b")
	phone.Plant()
	_, err = p.store.Push(t.Context(), phone.All(1), journal.Sender{Device: "b"})
	head := p.store.Head()
	if err := errors.Join(err, p.Close()); err != nil {
		t.Fatal(err)
	}
	// As it stands when a copy back was cut off before its file had its place.
	d, err := pg.Open(t.Context(), pg.Options{URL: base.Store, Site: base.Site})
	if err != nil {
		t.Fatal(err)
	}
	defer d.Close()
	counts, err := d.Counts(t.Context())
	if err := errors.Join(err, d.Move(t.Context(), filepath.Join(base.Data, "bedwalk.db"), counts)); err != nil {
		t.Fatal(err)
	}
	if err := (&copyCommand{nurseryFlag: base}).Run(t.Context()); err == nil || !strings.Contains(err.Error(), filepath.Join(base.Data, "bedwalk.db")) || !strings.Contains(err.Error(), `begins with "copied"`) {
		t.Errorf("without the file: %v", err)
	}
	older := base
	older.Data = aside[0]
	if err := (&copyCommand{nurseryFlag: older}).Run(t.Context()); !errors.Is(err, move.ErrLacks) {
		t.Errorf("the error is %v", err)
	}
	if err := pg.Journal(d).Read(t.Context(), func(snap journal.Snap) error {
		is, err := snap.Head()
		if is != head {
			t.Errorf("the database ends at %d, and ended at %d", is, head)
		}
		return err
	}); err != nil {
		t.Error(err)
	}
}

func TestWhatStandsAgainstACopyIsSaidAndNothingIsDone(t *testing.T) {
	base := inBase(t)
	for _, one := range []struct {
		copy  copyCommand
		words string
	}{
		{copyCommand{nurseryFlag: inFolder(base.Data)}, "--store"},
		{copyCommand{nurseryFlag: base, NewSite: true}, "there is no nursery in"},
		{copyCommand{nurseryFlag: nurseryFlag{dataFlag{t.TempDir()}, "postgres://bedwalk@127.0.0.1:1/x", ""}}, "see that PostgreSQL runs there"},
	} {
		if err := one.copy.Run(t.Context()); err == nil || !strings.Contains(err.Error(), one.words) {
			t.Errorf("%q does not say %q", err, one.words)
		}
	}
	folder, p := serving(t)
	defer p.Close()
	if err := (&copyCommand{nurseryFlag: nurseryFlag{dataFlag{folder}, base.Store, base.Site}}).Run(t.Context()); err == nil || !strings.Contains(err.Error(), "stop that first") {
		t.Errorf("of a nursery that is served: %v", err)
	}
	served, err := open(t.Context(), base, "serve", false, false)
	if err != nil {
		t.Fatal(err)
	}
	defer served.Close()
	back := copyCommand{nurseryFlag: nurseryFlag{dataFlag{t.TempDir()}, base.Store, base.Site}, Back: true}
	if err := back.Run(t.Context()); !errors.Is(err, pg.ErrHeld) {
		t.Errorf("from a site that is served: %v", err)
	}
	back.Data = folder
	p.Close()
	served.Close()
	if err := back.Run(t.Context()); !errors.Is(err, move.ErrThere) {
		t.Errorf("over a file: %v", err)
	}
}

func TestACopyThatWasCutOffIsServedByNobodyAndMadeAgain(t *testing.T) {
	base := inBase(t)
	p := withWalk(t, inFolder(base.Data), false)
	p.Close()
	// As it stands when the program is killed between the copy and the file's going.
	d, err := pg.Open(t.Context(), pg.Options{URL: base.Store, Site: base.Site, New: true})
	if err != nil {
		t.Fatal(err)
	}
	counts, err := d.Counts(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(d.Move(t.Context(), unfinished, counts), pg.Journal(d).Write(t.Context(), func(tx journal.Tx) error { return tx.Set("half", "1") }), d.Close()); err != nil {
		t.Fatal(err)
	}
	without := base
	without.Data = t.TempDir()
	if _, err := open(t.Context(), without, "serve", false, false); !errors.Is(err, pg.ErrMovedAway) || !strings.Contains(err.Error(), "run bedwalk copy again") {
		t.Errorf("half a copy is served: %v", err)
	}
	if err := (&copyCommand{nurseryFlag: base}).Run(t.Context()); err != nil {
		t.Fatal(err)
	}
	p, err = open(t.Context(), base, "serve", false, false)
	if err != nil {
		t.Fatal(err)
	}
	defer p.Close()
	if p.store.Head() != 18 {
		t.Errorf("it ends at %d", p.store.Head())
	}
}
