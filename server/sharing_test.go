package main

import (
	"context"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"

	"bedwalk/schema"
	"bedwalk/server/access"
	"bedwalk/server/backup"
	"bedwalk/server/journal"
	"bedwalk/server/sharing"
	"bedwalk/server/store/pg"
	"bedwalk/server/testphone"
)

// sharer is a server with what it is made of.
type sharer struct {
	*sharing.Server
	parts *parts
}

func sharerOf(p *parts) *sharer {
	return &sharer{&sharing.Server{Base: p.base, Store: p.store, Gate: p.gate, Tell: func(int64) {}}, p}
}

// together are servers of one nursery in a database, each with a folder of its own.
func together(t *testing.T) [2]*sharer {
	t.Helper()
	at := inBase(t)
	var all [2]*sharer
	for i := range all {
		p, err := open(t.Context(), at, "serve", true, false)
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { p.Close() })
		all[i] = sharerOf(p)
		at.Data = t.TempDir()
	}
	return all
}

// push is what a request of a phone does at a server.
func (s *sharer) push(ctx context.Context, phone *testphone.Phone, from int) error {
	if err := s.Look(ctx); err != nil {
		return err
	}
	push := phone.All(from)
	push.Epoch = s.parts.store.Epoch()
	answer, err := s.parts.store.Push(ctx, push, journal.Sender{Device: phone.Device})
	if err != nil {
		return err
	}
	for _, given := range answer.Given {
		if given.State != "merged" {
			return fmt.Errorf("%+v", given)
		}
	}
	return nil
}

func TestAPhoneIsTakenByEitherOfTwoServers(t *testing.T) {
	servers := together(t)
	a, b := servers[0], servers[1]
	if a.parts.store.Epoch() != b.parts.store.Epoch() {
		t.Fatal("two servers began two epochs")
	}
	var heard []int64
	b.Tell = func(head int64) { heard = append(heard, head) }
	phone := testphone.New("a")
	n := phone.Plant()
	if err := a.push(t.Context(), phone, 1); err != nil {
		t.Fatal(err)
	}
	for range 2 {
		if err := b.Look(t.Context()); err != nil {
			t.Fatal(err)
		}
	}
	if head := a.parts.store.Head(); len(heard) != 1 || heard[0] != head || b.parts.store.Head() != head {
		t.Errorf("the other heard %v, is at %d; want %d", heard, b.parts.store.Head(), head)
	}
	// The same phone goes on at the other, and what it reads at the first has no hole.
	for i := range 6 {
		phone.See(n, 1+i, 1, 100, 5)
		if err := servers[(i+1)%2].push(t.Context(), phone, len(phone.Raw)); err != nil {
			t.Fatal(err)
		}
	}
	if err := a.Look(t.Context()); err != nil {
		t.Fatal(err)
	}
	page, err := a.parts.store.Pull(t.Context(), "a", a.parts.store.Epoch(), 0, 0, "")
	if err != nil || len(page.Items) != len(phone.Raw) || page.Head != int64(len(phone.Raw)) {
		t.Fatalf("%d of %d notes, %v", len(page.Items), len(phone.Raw), err)
	}
	// A phone that has read to the end at one of them is not set back by the other, which has not heard of it yet.
	last := page.Items[len(page.Items)-1]
	phone.See(n, 8, 2, 100, 5)
	if err := b.push(t.Context(), phone, len(phone.Raw)); err != nil {
		t.Fatal(err)
	}
	if _, err := a.parts.store.Pull(t.Context(), "a", a.parts.store.Epoch(), last.Position+1, 0, ""); err != nil {
		t.Errorf("pulled beyond what this server remembers: %v", err)
	}
}

func TestTwoServersTakeNotesAtOnceAndNothingIsLostOrDoubled(t *testing.T) {
	servers := together(t)
	first := testphone.New("a")
	n := first.Plant()
	if err := servers[0].push(t.Context(), first, 1); err != nil {
		t.Fatal(err)
	}
	const phones, pushes, each = 3, 8, 3
	errs := make(chan error, phones+2)
	var done sync.WaitGroup
	for i := range phones {
		phone := testphone.New(strconv.Itoa(i))
		phone.StartWalk(n)
		done.Go(func() {
			for k := range pushes {
				from := len(phone.Raw) + 1
				if k == 0 {
					from = 1
				}
				for j := range each {
					phone.See(n, 1+k, 1+j, 100+k, 5)
				}
				if err := servers[(i+k)%2].push(t.Context(), phone, from); err != nil {
					errs <- fmt.Errorf("phone %d: %w", i, err)
					return
				}
			}
		})
	}
	// The servers write notes of their own besides.
	for i, s := range servers {
		done.Go(func() {
			for k := range 4 {
				name, role := fmt.Sprintf("Person %d %d", i, k), schema.RoleScout
				if err := s.parts.store.Write(t.Context(), journal.Draft{Kind: "person", Person: testphone.ID(name), Body: schema.Person{Writes: schema.Writes{Of: testphone.ID(name)}, Name: &name, Role: &role}}); err != nil {
					errs <- fmt.Errorf("server %d: %w", i, err)
					return
				}
			}
		})
	}
	done.Wait()
	close(errs)
	for err := range errs {
		t.Error(err)
	}
	want := int64(len(first.Raw) + phones*(1+pushes*each) + 2*4)
	for i, s := range servers {
		if err := s.Look(t.Context()); err != nil || s.parts.store.Head() != want {
			t.Errorf("server %d is at %d, %v; want %d", i, s.parts.store.Head(), err, want)
		}
	}
	found, err := backup.VerifySite(t.Context(), servers[1].parts.journal, t.TempDir())
	if err != nil || int64(found.Entries) != want || found.Quarantined != 0 {
		t.Errorf("%+v, %v", found, err)
	}
	phonesPage, err := servers[0].parts.views.Phones(t.Context())
	if err != nil || len(phonesPage.Incidents) != 0 {
		t.Errorf("incidents %+v, %v", phonesPage.Incidents, err)
	}
}

func TestAPhoneThatOneServerRevokesIsOutAtTheOther(t *testing.T) {
	servers := together(t)
	a, b := servers[0], servers[1]
	code, _, err := a.parts.gate.Invite(t.Context(), access.Pairing{Name: "Wren", Person: "wren", Role: access.Scout})
	if err != nil {
		t.Fatal(err)
	}
	device, token, err := b.parts.gate.Redeem(t.Context(), access.Claim{Code: code, Name: "Phone", Secret: strings.Repeat("0a", 32)})
	if err != nil {
		t.Fatal(err)
	}
	for i, s := range servers {
		if d, err := s.parts.gate.Identify(t.Context(), token); err != nil || d.RevokedAt != 0 {
			t.Errorf("server %d: %+v, %v", i, d, err)
		}
	}
	if err := a.parts.gate.Revoke(t.Context(), device.ID, access.Device{Role: access.Owner}); err != nil {
		t.Fatal(err)
	}
	if err := b.Look(t.Context()); err != nil {
		t.Fatal(err)
	}
	if d, err := b.parts.gate.Identify(t.Context(), token); err != nil || d.RevokedAt == 0 {
		t.Errorf("the other lets it in: %+v, %v", d, err)
	}
}

func TestAnEpochThatOneServerBeginsIsTheOthersToo(t *testing.T) {
	servers := together(t)
	a, b := servers[0], servers[1]
	if err := a.push(t.Context(), firstOf("a"), 1); err != nil {
		t.Fatal(err)
	}
	if err := a.parts.journal.Write(t.Context(), func(tx journal.Tx) error {
		all, err := tx.Epochs()
		return errors.Join(err, tx.PutEpochs(append(all, journal.Epoch{Epoch: "another", Parent: all[len(all)-1].Epoch, ForkedAt: a.parts.store.Head()})))
	}); err != nil {
		t.Fatal(err)
	}
	for i, s := range []*sharer{b, a} {
		if err := s.Look(t.Context()); err != nil || s.parts.store.Epoch() != "another" {
			t.Errorf("server %d is in epoch %s, %v", i, s.parts.store.Epoch(), err)
		}
	}
}

func TestAnEpochBeginsWhereTheDatabaseIsAnotherThanWasServed(t *testing.T) {
	at := inBase(t)
	p := withWalk(t, at, true)
	epoch, head := p.store.Epoch(), p.store.Head()
	if err := p.Close(); err != nil {
		t.Fatal(err)
	}
	conn, err := pgx.Connect(t.Context(), at.Store)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(context.WithoutCancel(t.Context()))
	if _, err := conn.Exec(t.Context(), "update bedwalk.sites set line = 'another' where name = $1", at.Site); err != nil {
		t.Fatal(err)
	}
	// Once, and not again by the next server or the next start.
	var second string
	for i := range 3 {
		if i == 1 {
			at.Data = t.TempDir()
		}
		if p, err = open(t.Context(), at, "serve", false, false); err != nil {
			t.Fatal(err)
		}
		if i == 0 {
			second = p.store.Epoch()
		}
		if p.store.Epoch() == epoch || p.store.Epoch() != second || p.store.Head() != head {
			t.Errorf("start %d: epoch %s at %d; it was %s at %d", i, p.store.Epoch(), p.store.Head(), epoch, head)
		}
		if err := p.Close(); err != nil {
			t.Fatal(err)
		}
	}
}

func TestTheFolderOfEachServerTakesOverAnEpochThatAnotherBegan(t *testing.T) {
	ats := [2]nurseryFlag{inBase(t)}
	ats[1] = ats[0]
	ats[1].Data = t.TempDir()
	start := func(i int) string {
		p, err := open(t.Context(), ats[i], "serve", true, false)
		if err != nil {
			t.Fatal(err)
		}
		epoch := p.store.Epoch()
		if err := p.Close(); err != nil {
			t.Fatal(err)
		}
		return epoch
	}
	first := start(0)
	if start(1) != first {
		t.Fatal("two servers began two epochs")
	}
	conn, err := pgx.Connect(t.Context(), ats[0].Store)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(context.WithoutCancel(t.Context()))
	if _, err := conn.Exec(t.Context(), "update bedwalk.sites set line = 'another' where name = $1", ats[0].Site); err != nil {
		t.Fatal(err)
	}
	second := start(0)
	if second == first {
		t.Fatal("no epoch began")
	}
	for _, i := range []int{1, 0, 1} {
		if epoch := start(i); epoch != second {
			t.Errorf("server %d began epoch %s", i, epoch)
		}
	}
}

// firstOf is a phone that has planted the small nursery.
func firstOf(device string) *testphone.Phone {
	phone := testphone.New(device)
	phone.Plant()
	return phone
}

func TestAnOlderServerTakesNoNotesBesideANewerOne(t *testing.T) {
	servers := together(t)
	a, b := servers[0], servers[1]
	phone := firstOf("a")
	if err := a.push(t.Context(), phone, 1); err != nil {
		t.Fatal(err)
	}
	// What a newer build writes when it has given all notes their keys.
	if err := b.parts.journal.Write(t.Context(), func(tx journal.Tx) error { return tx.Set("fold", strconv.Itoa(schema.FoldVersion+1)) }); err != nil {
		t.Fatal(err)
	}
	phone.Note("note", "", "", map[string]string{"words": "dry"})
	push := phone.All(len(phone.Raw))
	push.Epoch = a.parts.store.Epoch()
	if _, err := a.parts.store.Push(t.Context(), push, journal.Sender{Device: "a"}); !errors.Is(err, journal.ErrNewerServes) {
		t.Errorf("a push: %v", err)
	}
	if err := a.Look(t.Context()); !errors.Is(err, journal.ErrNewerServes) {
		t.Errorf("a request: %v", err)
	}
	at := nurseryFlag{dataFlag{t.TempDir()}, inBase(t).Store, a.parts.base.Name()}
	if p, err := open(t.Context(), at, "serve", false, false); !errors.Is(err, journal.ErrNewerServes) {
		t.Errorf("a start: %v", err)
		p.Close()
	}
}

// Both take notes while their clocks are ahead; then an owner sets the clock right at the one that has not heard of the other's last note.
func TestALaterTimeThatAnotherServerGaveIsNotForgottenWhenAClockIsSetRight(t *testing.T) {
	at := inBase(t)
	first := openFor(t, at)
	now := time.UnixMilli(1_774_850_400_000)
	var stores [2]*journal.Store
	for i := range stores {
		var err error
		if stores[i], err = journal.Open(t.Context(), journal.Options{Site: pg.Journal(first), Dir: t.TempDir(), Shared: true, Now: func() time.Time { return now }, Mono: func() int64 { return 0 }}); err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { stores[i].Close() })
	}
	note := func(i int, name string) {
		t.Helper()
		role := schema.RoleScout
		if err := stores[i].Write(t.Context(), journal.Draft{Kind: "person", Person: testphone.ID(name), Body: schema.Person{Writes: schema.Writes{Of: testphone.ID(name)}, Name: &name, Role: &role}}); err != nil {
			t.Fatal(err)
		}
	}
	confirm := func(i int) {
		t.Helper()
		if err := stores[i].ConfirmClock(t.Context(), now.UnixMilli(), "the owner"); err != nil {
			t.Fatal(err)
		}
	}
	right := now
	for i, ahead := range []time.Duration{2 * time.Hour, 3 * time.Hour} {
		now = right.Add(ahead)
		confirm(i)
		note(i, fmt.Sprint("Person ", i))
	}
	now = right
	confirm(0)
	if found, err := backup.VerifySite(t.Context(), pg.Journal(first), t.TempDir()); err != nil {
		t.Errorf("%v, %v", found.Complaints, err)
	}
}

func openFor(t *testing.T, at nurseryFlag) *pg.DB {
	t.Helper()
	d, err := pg.Open(t.Context(), pg.Options{URL: at.Store, Site: at.Site, New: true})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { d.Close() })
	return d
}
