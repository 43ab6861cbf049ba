package main

import (
	"log/slog"
	"net"
	"strings"
	"testing"

	"bedwalk/server/access"
	"bedwalk/server/api"
	"bedwalk/server/secure"
	"bedwalk/server/store/pg"
)

func TestOneNurseryThatCannotBeOpenedLeavesTheOthers(t *testing.T) {
	a := twoNurseries(t)
	_, north := a.pair(0, access.Scout)
	_, south := a.pair(1, access.Scout)
	code := a.invite(0, access.Scout)
	// What is moved under a running server is answered for by nobody, and the others go on.
	base := a.served[0].parts.base
	counts, err := base.Counts(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	other, err := pg.Open(t.Context(), pg.Options{URL: a.command.Store, Site: "north", Moved: true})
	if err != nil {
		t.Fatal(err)
	}
	defer other.Close()
	if err := other.Move(t.Context(), "in a file elsewhere", counts); err != nil {
		t.Fatal(err)
	}
	check := func(a *address, of, why string) {
		t.Helper()
		if status, code, _ := a.ask("GET", "/api/pull", "", nil, north); status != 503 || code != why {
			t.Errorf("%s: the phone of the one that was moved: %d %s", of, status, code)
		}
		if status, code, _ := a.ask("GET", "/api/pull", "", nil, south); status != 200 {
			t.Errorf("%s: the other's phone: %d %s", of, status, code)
		}
		for path, want := range map[string]int{"/readyz": 200, "/api/me": 204} {
			if status, code, _ := a.ask("GET", path, "", nil); status != want {
				t.Errorf("%s: %s of a stranger: %d %s", of, path, status, code)
			}
		}
	}
	check(a, "while serving", "data_gone")
	text, err := printed(t, func() error {
		return a.command.announce(t.Context(), a.nurseries, &net.TCPAddr{IP: net.IPv4(127, 0, 0, 1), Port: 1}, &secure.TLSMode{})
	})
	if err != nil || !strings.Contains(text, "bedwalk pair --store ADDRESS --site \"south\" --data") {
		t.Errorf("announced: %v\n%s", err, text)
	}
	if err := a.nurseries.Close(); err != nil {
		t.Fatal(err)
	}
	a.served = nil
	again := atOneAddress(t, a.command)
	if len(again.served) != 1 || again.served[0].parts.base.Name() != "south" || len(again.away) != 1 {
		t.Fatalf("served %d, away %v", len(again.served), again.away)
	}
	check(again, "started again", "nursery_away")
	if status, why, _ := again.ask("POST", "/api/pair", `{"code":"`+code+`","name":"phone"}`, nil); status != 503 || why != "nursery_away" {
		t.Errorf("a code of a nursery that is not served: %d %s", status, why)
	}
	// It is tried again: in vain as long as it is away, and once it is back its phone is answered without another start.
	try := func() []*served {
		return again.tryAway(t.Context(), again.command, api.Options{Build: "test"}, slog.New(slog.DiscardHandler))
	}
	if opened := try(); len(opened) != 0 || len(again.away) != 1 {
		t.Errorf("opened %d although it is away", len(opened))
	}
	counts, err = other.Counts(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if err := other.Move(t.Context(), "", counts); err != nil {
		t.Fatal(err)
	}
	if opened := try(); len(opened) != 1 || opened[0].parts.base.Name() != "north" || len(again.away) != 0 {
		t.Fatalf("opened %d, away %v", len(opened), again.away)
	}
	for of, cookie := range map[string]string{"north": north, "south": south} {
		if status, code, _ := again.ask("GET", "/api/pull", "", nil, cookie); status != 200 {
			t.Errorf("once north is back, the phone of %s: %d %s", of, status, code)
		}
	}
	if opened := try(); len(opened) != 0 {
		t.Errorf("opened %d once more", len(opened))
	}
}
