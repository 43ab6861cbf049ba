package api_test

import (
	"errors"
	"strings"
	"testing"
	"time"

	"bedwalk/schema"
	"bedwalk/server/access"
	"bedwalk/server/testphone"
)

// A code from the terminal names somebody whom the journal does not know: the server writes them down when it is used.
func TestACodeFromTheTerminalBringsItsPersonAndTheNursery(t *testing.T) {
	s := newSite(t)
	redeem := func(name, role string) (me schema.Me) {
		code, _, err := s.gate.Invite(t.Context(), access.Pairing{Name: name, Role: role, MadeBy: "terminal"})
		if err != nil {
			t.Fatal(err)
		}
		r := s.do("", "POST", "/api/pair", `{"code":"`+code+`","name":"office"}`)
		if r.status != 200 {
			t.Fatalf("pairing: %d %s", r.status, r.body)
		}
		r.read(t, &me)
		if again := s.do("", "POST", "/api/pair", `{"code":"`+code+`","name":"office"}`); again.status == 200 {
			t.Error("the code was good twice")
		}
		return me
	}
	owner := redeem("Owner", "owner")
	if owner.Person == "" || owner.PersonName != "Owner" || owner.SiteName != "Nursery" || s.store.Head() != 2 {
		t.Fatalf("%+v, head %d", owner, s.store.Head())
	}
	first, second := redeem("Ada", "scout"), redeem("Ada", "scout")
	if first.Person == "" || first.Person == owner.Person || second.Person != first.Person || second.Device == first.Device || s.store.Head() != 3 {
		t.Fatalf("%+v, %+v, head %d", first, second, s.store.Head())
	}
}

// A server that was off for an hour believes its clock once a phone has shown the same time; and where no phone is paired
// yet, as after the demo was filled, the first one is let in by what the server itself writes down.
func TestThePhoneThatIsPairedFirstAfterAStartMakesTheClockBelieved(t *testing.T) {
	folder := testphone.Folder(t)
	was := openSite(t, folder)
	boss := was.pair("owner")
	boss.Plant()
	was.push(boss, boss.All(1))
	if err := errors.Join(was.store.Close(), was.db.Close()); err != nil {
		t.Fatal(err)
	}
	s := openSiteAt(t, folder, was.clock.Add(time.Hour))
	code, _, err := s.gate.Invite(t.Context(), access.Pairing{Name: "Cleo", Role: "scout", MadeBy: "terminal"})
	if err != nil {
		t.Fatal(err)
	}
	r := s.do("", "POST", "/api/pair", `{"code":"`+code+`","name":"phone"}`)
	if r.status != 200 {
		t.Fatalf("pairing: %d %s", r.status, r.body)
	}
	var me schema.Me
	r.read(t, &me)
	if me.SiteName == "" || me.TimeZone != "America/New_York" {
		t.Errorf("it is given the nursery %q in %q", me.SiteName, me.TimeZone)
	}
	cookie, _, _ := strings.Cut(r.header.Get("Set-Cookie"), ";")
	fresh := &paired{testphone.New(me.Device), cookie, "scout"}
	fresh.Person = me.Person
	items := s.pulled(fresh).Items
	// What the server wrote meanwhile stands at the last time that it was sure of.
	if own := items[len(items)-1]; len(items) != 9 || own.Stamp.At > items[7].Stamp.At {
		t.Errorf("%d notes, the last %+v after %+v", len(items), own.Stamp, items[7].Stamp)
	}
	fresh.Note("note", "", "", schema.Note{Words: "here"})
	push := fresh.All(1)
	push.SentWall = s.clock.UnixMilli()
	if given := s.push(fresh, push).Given[0]; given.State != "merged" {
		t.Errorf("its first note is %+v", given)
	}
}
