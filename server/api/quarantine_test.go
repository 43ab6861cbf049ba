package api_test

import (
	"fmt"
	"strings"
	"testing"

	"bedwalk/schema"
	"bedwalk/server/testphone"
)

// The Phones page shows 200 notes in all. An honest one among five hundred of its own phone was kept, and could be neither
// seen nor decided without deciding on all.
func TestAnHonestNoteAmongFiveHundredOfItsPhoneIsFoundPageByPageAndDecidedAlone(t *testing.T) {
	s := newSite(t)
	desk, scout := s.pair("supervisor"), s.pair("scout")
	n := s.plant(desk, scout)
	s.push(scout, scout.All(1))
	from := len(scout.Raw) + 1
	bad := func(count int) {
		for range count {
			scout.See(n, 1, 1, 4000, 40)
		}
	}
	bad(3)
	honest := scout.Note("house", "", "", map[string]any{"of": testphone.ID("new house"), "name": "West"})
	bad(497)
	s.push(scout, scout.Batch(from, from+299))
	s.push(scout, scout.All(from+300))
	for _, one := range s.held(desk) {
		if one.Kind == "house" {
			t.Fatal("the honest note stands among the newest 200: this tries nothing")
		}
	}
	page := func(before int64) (v schema.QuarantinePage) {
		address := "/api/views/quarantine/" + scout.Device
		if before > 0 {
			address += fmt.Sprintf("?before=%d", before)
		}
		r := s.do(desk.cookie, "GET", address, "")
		if r.status != 200 {
			t.Fatalf("%s: %d %s", address, r.status, r.body)
		}
		r.read(t, &v)
		return v
	}
	seen := map[string]bool{}
	var found schema.QuarantinedView
	var last int64
	for before, pages := int64(0), 0; ; pages++ {
		v := page(before)
		if v.Device != scout.Device || v.DeviceName != "phone of a scout" || v.Count < 501 || pages > 20 {
			t.Fatalf("page %d is of %q (%s), %d of %d", pages, v.Device, v.DeviceName, len(v.Quarantined), v.Count)
		}
		for _, one := range v.Quarantined {
			if seen[one.ID] {
				t.Fatalf("%s is on two pages", one.ID)
			}
			seen[one.ID] = true
			if one.Kind == "house" {
				found, last = one, before
			}
		}
		if v.Older == 0 {
			break
		}
		before = v.Older
		if pages == 2 {
			// What arrives meanwhile moves no page.
			at := len(scout.Raw) + 1
			bad(5)
			s.push(scout, scout.All(at))
		}
	}
	if len(seen) != 501 || found.ID == "" {
		t.Fatalf("%d notes on all pages, the honest one is %+v", len(seen), found)
	}
	if r := s.do(desk.cookie, "POST", "/api/quarantine/"+found.ID, `{"decision":"merge"}`); r.status != 200 {
		t.Fatalf("merging it: %d %s", r.status, r.body)
	}
	v := page(last)
	for _, one := range v.Quarantined {
		if one.ID == found.ID {
			t.Fatal("it still waits")
		}
	}
	if v.Count != 505 {
		t.Fatalf("%d wait, want the bad ones alone", v.Count)
	}
	if r := s.do(scout.cookie, "POST", "/api/quarantine", s.json(schema.QuarantineAsk{IDs: []string{honest}})); !strings.Contains(string(r.body), `"state":"merged"`) {
		t.Fatalf("its writer hears %s", r.body)
	}
}

func TestAPageOfTheQuarantineIsForSupervisorsAndItsCursorIsANumber(t *testing.T) {
	s := newSite(t)
	desk, scout := s.pair("supervisor"), s.pair("scout")
	for _, cursor := range []string{"0", "-1", "x", "1.5", "99999999999999999999"} {
		r := s.do(desk.cookie, "GET", "/api/views/quarantine/"+scout.Device+"?before="+cursor, "")
		if r.status != 400 || problem(t, r).Code != "before" {
			t.Errorf("before=%s: %d %s", cursor, r.status, r.body)
		}
	}
	if r := s.do(scout.cookie, "GET", "/api/views/quarantine/"+scout.Device, ""); r.status != 403 {
		t.Errorf("a scout's phone reads it: %d", r.status)
	}
	for _, device := range []string{scout.Device, "nobody"} {
		r := s.do(desk.cookie, "GET", "/api/views/quarantine/"+device, "")
		if r.status != 200 || !strings.Contains(string(r.body), `"quarantined":[]`) || !strings.Contains(string(r.body), `"count":0`) {
			t.Errorf("a phone of which nothing waits: %d %s", r.status, r.body)
		}
	}
}
