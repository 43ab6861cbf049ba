package main

import (
	"context"
	"errors"
	"testing"

	"bedwalk/server/doctor"
	"bedwalk/server/store/pg"
	"bedwalk/server/testpg"
	"bedwalk/server/testphone"
)

// A real standby takes over from a primary that is killed. What was answered while the primary waited for the standby is there; what it answered alone is
// lost, and the phone brings it back.
func TestAStandbyThatIsPromotedHasWhatWasWaitedForAndPhonesBringTheRest(t *testing.T) {
	ctx := t.Context()
	pair, err := testpg.StartPair(ctx)
	if testpg.Skips(err) {
		// Left out where there is no PostgreSQL; the first line of npm test says so.
		t.Skip(err)
	}
	if err != nil {
		t.Fatal(err)
	}
	defer pair.Standby.Close(context.WithoutCancel(ctx))
	defer pair.Primary.Close(context.WithoutCancel(ctx))
	at := nurseryFlag{dataFlag: dataFlag{t.TempDir()}, Store: pair.URL, Site: "north"}
	var folders = [2]string{t.TempDir(), t.TempDir()}
	start := func(i int, isNew bool) *sharer {
		t.Helper()
		at.Data = folders[i]
		p, err := open(ctx, at, "serve", isNew, false)
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { p.Close() })
		return sharerOf(p)
	}
	servers := [2]*sharer{start(0, true), start(1, false)}
	phone := testphone.New("a")
	n := phone.Plant()
	see := func(many int) {
		t.Helper()
		from := len(phone.Raw) + 1
		for range many {
			phone.See(n, 1+len(phone.Raw)%10, 1+len(phone.Raw)%5, 100, 5)
		}
		if err := servers[from%2].push(ctx, phone, from); err != nil {
			t.Fatal(err)
		}
	}
	if err := errors.Join(pair.Wait(ctx), servers[0].push(ctx, phone, 1)); err != nil {
		t.Fatal(err)
	}
	for range 6 {
		see(3)
	}
	followed := func(want doctor.Standby) {
		t.Helper()
		var is doctor.Standby
		if is.Followers, is.Waited, err = servers[0].parts.base.Followers(ctx); err != nil || is != want {
			t.Errorf("%+v, %v; want %+v", is, err, want)
		}
	}
	followed(doctor.Standby{Followers: 1, Waited: true})
	waitedFor := servers[0].parts.store.Epoch()
	safe := int64(len(phone.Raw))
	if err := pair.Part(ctx); err != nil {
		t.Fatal(err)
	}
	followed(doctor.Standby{})
	see(5)
	if err := pair.FailOver(ctx); err != nil {
		t.Fatal(err)
	}
	phone.See(n, 1+len(phone.Raw)%10, 1+len(phone.Raw)%5, 100, 5)
	for i, s := range servers {
		// Its connections are cut, which it finds out one by one; then it takes no more notes.
		for err = nil; !errors.Is(err, pg.ErrSetBack); {
			if err = s.push(ctx, phone, len(phone.Raw)); err == nil {
				t.Fatal("a server went on with a database that had lost notes")
			}
		}
		if err := s.parts.Close(); err != nil {
			t.Error(err)
		}
		servers[i] = start(i, false)
	}
	for _, s := range servers {
		if err := s.Look(ctx); err != nil {
			t.Fatal(err)
		}
		if s.parts.store.Epoch() == waitedFor || s.parts.store.Epoch() != servers[0].parts.store.Epoch() || s.parts.store.Head() != safe {
			t.Errorf("epoch %s (was %s, the other's is %s) at %d, want %d", s.parts.store.Epoch(), waitedFor, servers[0].parts.store.Epoch(), s.parts.store.Head(), safe)
		}
	}
	if err := errors.Join(servers[1].push(ctx, phone, 1), servers[0].push(ctx, phone, 1)); err != nil {
		t.Fatal(err)
	}
	page, err := servers[0].parts.store.Pull(ctx, "a", servers[0].parts.store.Epoch(), 0, 0, "")
	if err != nil || len(page.Items) != len(phone.Raw) || page.Head != int64(len(phone.Raw)) {
		t.Errorf("%d of %d notes, %v", len(page.Items), len(phone.Raw), err)
	}
}
