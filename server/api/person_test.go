package api_test

import (
	"fmt"
	"net/http"
	"strings"
	"testing"

	"bedwalk/schema"
	"bedwalk/server/access"
	"bedwalk/server/testphone"
)

// pairAs pairs a browser for a person; cookie is what it has of an earlier pairing, "" for a browser that has none.
func (s *site) pairAs(person, cookie string) *paired {
	s.Helper()
	code, _, err := s.gate.Invite(s.Context(), access.Pairing{Person: person, Name: "scout", Role: access.Scout})
	if err != nil {
		s.Fatal(err)
	}
	r := s.do(cookie, "POST", "/api/pair", `{"code":"`+code+`","name":"phone"}`)
	var me schema.Me
	r.read(s.T, &me)
	fresh, _, _ := strings.Cut(r.header.Get("Set-Cookie"), ";")
	p := testphone.New(me.Device)
	p.Person = me.Person
	return &paired{p, fresh, access.Scout}
}

// noteAs has a phone write one note in somebody's name and send it; it says what became of it.
func (s *site) noteAs(p *paired, person, bed string) string {
	s.Helper()
	e := p.Entry("note", "", bed, schema.Note{Bed: bed, Words: "in a name"})
	e.Person = person
	p.Write(e)
	all := s.push(p, p.All(1)).Given
	given := all[len(all)-1]
	if given.State != "merged" && given.Faults[len(given.Faults)-1].Code == schema.CodePerson {
		return given.State + " for its person"
	}
	return given.State
}

func (s *site) expectAs(p *paired, person, bed, want string) {
	s.Helper()
	if got := s.noteAs(p, person, bed); got != want {
		s.Errorf("a note is %s, want %s", got, want)
	}
}

func TestANoteInAnothersNameIsHeldAndTheRestGoesOn(t *testing.T) {
	s := newSite(t)
	desk, scout := s.pair(access.Owner), s.pair(access.Scout)
	n := s.plant(desk, scout)
	e := scout.Entry("note", "", n.Bed, schema.Note{Bed: n.Bed, Words: "sell them all"})
	e.Person = desk.Person
	scout.Write(e)
	scout.See(n, 1, 1, 200, 40)
	given := s.push(scout, scout.All(1)).Given
	if given[0].State != "merged" || given[1].State != "quarantined" || given[2].State != "merged" {
		t.Fatalf("given %+v", given)
	}
	if fault := given[1].Faults[0]; len(given[1].Faults) != 1 || fault.Code != schema.CodePerson || fault.Sentence() == "" {
		t.Fatalf("held for %+v", given[1].Faults)
	}
	held := s.held(desk)
	if len(held) != 1 || held[0].Faults[0].Code != schema.CodePerson {
		t.Fatalf("the supervisor sees %+v", held)
	}
	if r := s.do(desk.cookie, "POST", "/api/quarantine/"+held[0].ID, `{"decision":"merge"}`); r.status != http.StatusOK {
		t.Fatalf("merging it: %d %s", r.status, r.body)
	}
	// An owner's own phone writes in its own person's name and no other.
	s.expectAs(desk, scout.Person, n.Bed, "quarantined for its person")
	s.expectAs(scout, testphone.ID("nobody"), n.Bed, "quarantined for its person")
}

func TestAPersonWithTwoPhonesWritesOnBoth(t *testing.T) {
	s := newSite(t)
	desk, a := s.pair(access.Owner), s.pair(access.Scout)
	n := s.plant(desk, a)
	b := s.pairAs(a.Person, "")
	s.expectAs(a, a.Person, n.Bed, "merged")
	s.expectAs(b, a.Person, n.Bed, "merged")
}

// A phone that is handed on sends again what a restored server lost of the person before, under its new device.
func TestAPhonePairedAgainWritesInTheNamesThatItWasPairedIn(t *testing.T) {
	s := newSite(t)
	desk, first := s.pair(access.Owner), s.pair(access.Scout)
	n := s.plant(desk, first)
	ann, ben, cleo := first.Person, testphone.ID("Ben"), testphone.ID("Cleo")
	second := s.pairAs(ben, first.cookie)
	s.expectAs(second, ben, n.Bed, "merged")
	s.expectAs(second, ann, n.Bed, "merged")
	s.expectAs(second, cleo, n.Bed, "quarantined for its person")
	third := s.pairAs(cleo, second.cookie)
	for _, person := range []string{ann, ben, cleo} {
		s.expectAs(third, person, n.Bed, "merged")
	}
	// Who only says that it was hers, or has a token that was never given out, was not.
	for _, cookie := range []string{"", "bedwalk=" + strings.Repeat("A", 43), "bedwalk=x"} {
		s.expectAs(s.pairAs(ben, cookie), ann, n.Bed, "quarantined for its person")
	}
	// The first phone's pairing goes on as before, and gains nothing.
	s.expectAs(first, ann, n.Bed, "merged")
	s.expectAs(first, ben, n.Bed, "quarantined for its person")
}

func TestARevokedPairingLendsItsNameToNobody(t *testing.T) {
	s := newSite(t)
	desk, first := s.pair(access.Owner), s.pair(access.Scout)
	n := s.plant(desk, first)
	ann, ben := first.Person, testphone.ID("Ben")
	second := s.pairAs(ben, first.cookie)
	s.expectAs(second, ann, n.Bed, "merged")
	if r := s.do(desk.cookie, "POST", "/api/devices/"+first.Device+"/revoke", ""); r.status != http.StatusOK {
		t.Fatalf("revoking: %d %s", r.status, r.body)
	}
	s.expectAs(second, ann, n.Bed, "quarantined for its person")
	s.expectAs(second, ben, n.Bed, "merged")
	s.expectAs(first, ann, n.Bed, "review")
	// Paired again for the same person, her phone is hers again; for another it brings nothing of the revoked pairing.
	s.expectAs(s.pairAs(ann, first.cookie), ann, n.Bed, "merged")
	s.expectAs(s.pairAs(ben, first.cookie), ann, n.Bed, "quarantined for its person")
	if r := s.do(desk.cookie, "POST", "/api/devices/"+second.Device+"/revoke", ""); r.status != http.StatusOK {
		t.Fatalf("revoking: %d %s", r.status, r.body)
	}
	s.expectAs(second, ben, n.Bed, "review")
}

func TestAFileOfUnsentNotesWritesInNobodyElsesName(t *testing.T) {
	s := newSite(t)
	desk, scout := s.pair(access.Owner), s.pair(access.Scout)
	n := s.plant(desk, scout)
	s.push(scout, scout.All(1))
	for _, person := range []string{desk.Person, scout.Person} {
		e := scout.Entry("note", "", n.Bed, schema.Note{Bed: n.Bed, Words: "by file"})
		e.Person = person
		scout.Write(e)
	}
	file := fmt.Sprintf(`{"bedwalk":"unsent notes","device":%q,"entries":[%s,%s]}`, scout.Device, scout.Raw[1], scout.Raw[2])
	r := s.do(desk.cookie, "POST", "/api/in/unsent", file)
	var taken struct{ Merged, Quarantined int }
	r.read(t, &taken)
	if r.status != http.StatusOK || taken.Merged != 1 || taken.Quarantined != 1 {
		t.Fatalf("%d %s", r.status, r.body)
	}
}
