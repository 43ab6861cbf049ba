package main

import (
	"errors"
	"strings"
	"testing"

	"bedwalk/schema"
	"bedwalk/server/store/pg"
	"bedwalk/server/testpg"
)

// says is what a command prints that must not fail.
func says(t *testing.T, run func() error) string {
	t.Helper()
	said, err := printed(t, run)
	if err != nil {
		t.Fatal(err)
	}
	return said
}

// aGroupSeesTheNurseriesOfItsLinkAndNoOther is one of TestNurseriesAtOneAddressAreApart.
func aGroupSeesTheNurseriesOfItsLinkAndNoOther(t *testing.T, a *address) {
	at := groupFlag{a.command.Store}
	link := func(of ...string) (bearer, id string) {
		t.Helper()
		said := says(t, func() error {
			return (&groupLinkCommand{groupFlag: at, Of: of, For: "Mara Lind", URL: "https://beds.example/"}).Run(t.Context())
		})
		_, rest, ok := strings.Cut(said, "https://beds.example/group#")
		secret, rest, _ := strings.Cut(rest, "\n")
		_, id, _ = strings.Cut(rest, "--id ")
		id, _, _ = strings.Cut(id, " ")
		if !ok || id == "" {
			t.Fatalf("printed %q", said)
		}
		return "Authorization: Bearer " + secret, id
	}
	both, id := link("south", "north", "south")
	alone, _ := link("south")

	var view schema.GroupView
	if status, why, _ := a.ask("GET", "/api/group", "", &view, both); status != 200 || view.For != "Mara Lind" || len(view.Nurseries) != 2 {
		t.Fatalf("%d %s %+v", status, why, view)
	}
	for i, site := range []string{"north", "south"} {
		one := view.Nurseries[i]
		if one.Site != site || one.Away != "" || one.Brief == nil || one.Brief.Name != "Testing House" || one.Brief.Beds != 1 || (one.Brief.WalkedAt > 0) != (i == 0) {
			t.Errorf("%+v of %+v", one.Brief, one)
		}
	}
	if status, why, _ := a.ask("GET", "/api/group", "", &view, alone); status != 200 || len(view.Nurseries) != 1 || view.Nurseries[0].Site != "south" {
		t.Errorf("the link of one: %d %s %+v", status, why, view)
	}

	// It opens nothing else, and nothing else opens it: not a phone's cookie, not a reading key, not the secret with a letter more or less.
	for _, path := range []string{"/api/pull", "/api/views/beds", "/api/out/csv/pots"} {
		if status, why, _ := a.ask("GET", path, "", nil, both); status != 401 {
			t.Errorf("%s opens with a link: %d %s", path, status, why)
		}
	}
	_, cookie := a.pair(0, "owner")
	for what, headers := range map[string][]string{
		"nothing": nil, "an owner's cookie": {cookie}, "a letter less": {both[:len(both)-1]}, "a letter more": {both + "A"}, "another letter": {both[:len(both)-1] + "_"},
	} {
		if status, why, _ := a.ask("GET", "/api/group", "", nil, headers...); status != 401 || why != "link_unknown" {
			t.Errorf("%s: %d %s", what, status, why)
		}
	}
	// A browser that is paired with one of them sees both all the same.
	if status, why, _ := a.ask("GET", "/api/group", "", &view, both, cookie); status != 200 || len(view.Nurseries) != 2 {
		t.Errorf("in a browser that is paired: %d %s", status, why)
	}

	// One nursery may end it by itself; revoked in all, it shows nothing.
	if err := pg.Links(a.served[0].parts.base).Revoke(t.Context(), id, 1); err != nil {
		t.Fatal(err)
	}
	if status, why, _ := a.ask("GET", "/api/group", "", &view, both); status != 200 || len(view.Nurseries) != 1 || view.Nurseries[0].Site != "south" {
		t.Errorf("revoked in one: %d %s %+v", status, why, view)
	}
	list := func() string { return says(t, func() error { return (&groupListCommand{at}).Run(t.Context()) }) }
	if said := list(); strings.Count(said, "\n") != 2 || strings.Count(said, "shows south") != 2 || strings.Contains(said, "used never") {
		t.Errorf("listed as %s", said)
	}
	if said := says(t, func() error { return (&groupRevokeCommand{at, id}).Run(t.Context()) }); !strings.Contains(said, "Mara Lind") {
		t.Errorf("printed %s", said)
	}
	if status, why, _ := a.ask("GET", "/api/group", "", nil, both); status != 403 || why != "link_revoked" {
		t.Errorf("revoked: %d %s", status, why)
	}
	if said := list(); strings.Count(said, "revoked") != 1 {
		t.Errorf("listed as %s", said)
	}
	if err := (&groupRevokeCommand{at, "0"}).Run(t.Context()); err == nil || !strings.Contains(err.Error(), "bedwalk group list") {
		t.Errorf("no such link: %v", err)
	}
}

func TestALinkIsMadeInAllOfItsNurseriesOrInNone(t *testing.T) {
	at := inBase(t)
	p := withWalk(t, at, true)
	defer p.Close()
	err := (&groupLinkCommand{groupFlag: groupFlag{at.Store}, Of: []string{at.Site, testpg.Site()}, For: "Mara"}).Run(t.Context())
	if !errors.Is(err, pg.ErrNoSite) {
		t.Errorf("a nursery that is not there: %v", err)
	}
	if all, err := pg.Links(p.base).All(t.Context()); err != nil || len(all) != 0 {
		t.Errorf("%+v, %v", all, err)
	}
}
