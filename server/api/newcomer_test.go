package api_test

import (
	"testing"

	"bedwalk/schema"
	"bedwalk/server/access"
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
