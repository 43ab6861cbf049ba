package api_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"bedwalk/schema"
	"bedwalk/server/testphone"
)

// closed plants the nursery with a lot that is shipped, has no pots and no stretch of bed, and three notes of it; then so many days pass.
func (s *site) closed(p *paired, days int) (lot string) {
	s.Helper()
	lot = testphone.ID("closed lot")
	tag, cultivar, day := "C-7", "Rose Tide", "2001-09-01"
	p.Note("lot", lot, "", schema.Lot{Writes: schema.Writes{Of: lot}, Tag: &tag, Cultivar: &cultivar, ShippedOn: &day})
	p.Note("count", lot, "", schema.Count{Lot: lot, Change: 30, Reason: "potted"})
	p.Note("count", lot, "", schema.Count{Lot: lot, Change: -30, Reason: "shipped"})
	for range 3 {
		p.Note("note", lot, "", schema.Note{Lot: lot, Words: "looks well"})
	}
	s.push(p, p.All(1))
	s.clock = s.clock.Add(time.Duration(days) * 24 * time.Hour)
	return lot
}

func TestAFirstPullLeavesOutAClosedLotAndIsToldWhatOverHTTP(t *testing.T) {
	for _, days := range []int{29, 31} {
		s := newSite(t)
		desk, phone := s.pair("owner"), s.pair("scout")
		s.plant(desk, phone)
		lot := s.closed(phone, days)
		want := 3
		if days < 30 {
			want = 0
		}
		var held []schema.Pulled
		alive, after, first := "1", int64(0), (*schema.FirstPull)(nil)
		for more := true; more; {
			var page schema.Pull
			s.do(phone.cookie, "GET", fmt.Sprintf("/api/pull?epoch=%s&after=%d&limit=4&alive=%s", s.store.Epoch(), after, alive), "").read(t, &page)
			held, more = append(held, page.Items...), page.More
			if first = page.First; first == nil {
				t.Fatal("nothing says how far the first pull is")
			}
			alive, after = first.Resume, first.Passed
		}
		if left := int(s.store.Head()) - len(held); left != want {
			t.Fatalf("after %d days %d notes are left out, want %d", days, left, want)
		}
		// With the proof a cursor at a note that is not held is believed.
		if len(first.Proof) != 32+schema.ReceiptChars {
			t.Errorf("the proof is %q", first.Proof)
		}
		var gone schema.Gone
		s.do(phone.cookie, "GET", "/api/gone?alive="+alive, "").read(t, &gone)
		if want == 0 {
			if len(gone.Lots) != 0 {
				t.Fatalf("nothing was left out, but %+v", gone)
			}
			continue
		}
		if len(gone.Lots) != 1 || gone.Lots[0].Lot != lot || gone.Lots[0].Count != 3 || gone.Lots[0].Records != 3 || gone.UpTo != s.store.Head() || gone.MadeAt == 0 {
			t.Fatalf("gone are %+v", gone)
		}
		if got, want := gone.Lots[0].Summary, (schema.LotSummary{Tag: "C-7", Cultivar: "Rose Tide", ShippedOn: "2001-09-01", Shipped: 30}); got != want {
			t.Errorf("the summary is %+v, want %+v", got, want)
		}
		// The lot comes back whole, in pages: what is held of it and what is gone.
		var items []schema.Pulled
		for more, after := true, int64(0); more; {
			var page schema.Page
			s.do(phone.cookie, "GET", fmt.Sprintf("/api/lots/%s/entries?epoch=%s&upto=%d&after=%d&limit=2", lot, s.store.Epoch(), s.store.Head(), after), "").read(t, &page)
			if len(page.Receipts) != schema.ReceiptChars*len(page.Items) {
				t.Fatalf("%d characters of receipts for %d entries", len(page.Receipts), len(page.Items))
			}
			items, more = append(items, page.Items...), page.More
			after = items[len(items)-1].Position
		}
		if len(items) != 6 {
			t.Fatalf("%d entries of the lot, want 6", len(items))
		}
		var page schema.Page
		s.do(phone.cookie, "GET", fmt.Sprintf("/api/entries?epoch=%s&upto=%d&key=lot:%s&key=stock:%s&key=nothing", s.store.Epoch(), s.store.Head(), lot, lot), "").read(t, &page)
		if len(page.Items) != 3 || page.More {
			t.Fatalf("%d entries of the two records, more %v; want 3", len(page.Items), page.More)
		}
	}
}

func TestWhatIsAskedOfAFirstPullIsRefusedWithACodeAndARemedy(t *testing.T) {
	s := newSite(t)
	desk, phone := s.pair("owner"), s.pair("scout")
	s.plant(desk, phone)
	lot := s.closed(phone, 31)
	here := "epoch=" + s.store.Epoch()
	for path, want := range map[string]string{
		"/api/pull?alive=banana":                                                 "400 parameter",
		"/api/pull?alive=1-2":                                                    "400 parameter",
		"/api/pull?alive=-1-5-e":                                                 "400 parameter",
		"/api/pull?alive=+1-5-e":                                                 "400 parameter",
		"/api/pull?alive=1-5-":                                                   "400 parameter",
		"/api/pull?alive=" + strings.Repeat("9", 4000):                           "400 parameter",
		"/api/pull?alive=1&after=2":                                              "400 parameter",
		"/api/pull?after=0&alive=9-5-0000000000000000":                           "409 first_pull_over",
		"/api/pull?alive=9999-5-" + s.store.Epoch():                              "409 first_pull_over",
		"/api/pull?alive=1&houses=east":                                          "400 parameter",
		"/api/pull?alive=1&houses=" + strings.Repeat(testphone.ID("h")+",", 101): "400 parameter",
		"/api/gone?alive=1&houses=own,own":                                       "400 parameter",
		"/api/pull?alive=1-5-" + s.store.Epoch() + "-east":                       "400 parameter",
		"/api/pull?alive=1-5-" + s.store.Epoch() + "-m" + testphone.ID("b") + "." + testphone.ID("b"): "400 parameter",
		// As an earlier release began it, whose rule of other houses was another.
		"/api/pull?alive=1-5-" + s.store.Epoch() + "-" + testphone.ID("b"): "400 parameter",
		"/api/gone": "400 parameter",
		"/api/gone?alive=9999-5-" + s.store.Epoch():                  "409 first_pull_over",
		"/api/lots/" + lot + "/entries?" + here:                      "400 parameter",
		"/api/lots/" + lot + "/entries?upto=x&" + here:               "400 parameter",
		"/api/lots/" + lot + "/entries?upto=3":                       "409 rewind",
		"/api/lots/" + lot + "/entries?upto=9999&" + here:            "409 rewind",
		"/api/lots/nothing'--/entries?upto=3&" + here:                "404 no_such_lot",
		"/api/lots/" + lot[:31] + "/entries?upto=3&" + here:          "404 no_such_lot",
		"/api/entries?upto=3&" + here:                                "400 parameter",
		"/api/entries?upto=3&" + here + strings.Repeat("&key=a", 51): "400 parameter",
		"/api/entries?upto=3&key=bed:x&epoch=0000000000000f":         "409 rewind",
	} {
		r := s.do(phone.cookie, "GET", path, "")
		var p schema.Problem
		r.read(t, &p)
		if got := fmt.Sprint(r.status, " ", p.Code); got != want || p.Detail == "" || p.Remedy == "" || len(r.body) > 2000 {
			t.Errorf("GET %s: %s, %d bytes, %q %q; want %s", path[:min(len(path), 80)], got, len(r.body), p.Detail, p.Remedy, want)
		}
	}
	// What nobody ever names is no trouble.
	for _, path := range []string{"/api/entries?upto=3&key=&" + here, "/api/entries?upto=3&key=pot:zz'&limit=0&" + here, "/api/gone?alive=1&after=zzz'"} {
		if r := s.do(phone.cookie, "GET", path, ""); r.status != 200 {
			t.Errorf("GET %s: %d %s", path, r.status, r.body)
		}
	}
}

// A scout's phone leaves out what stands in other houses, as the supervisor has said, and receives their sums; nobody else's pull is changed.
func TestAFirstPullLeavesOutOtherHousesOverHTTP(t *testing.T) {
	s := newSite(t)
	desk, phone := s.pair("owner"), s.pair("scout")
	n := s.plant(desk, phone)
	for row := range 3 {
		phone.See(n, row+1, 1, 200, 40)
	}
	s.push(phone, phone.All(1))
	pulled := func(p *paired, query string) (items int, resume string) {
		var page schema.Pull
		s.do(p.cookie, "GET", "/api/pull?after=0&limit=100"+query, "").read(t, &page)
		if page.First != nil {
			resume = page.First.Resume
		}
		return len(page.Items), resume
	}
	head := int(s.store.Head())
	if got, _ := pulled(phone, "&alive=1&houses=own"); got != head {
		t.Fatalf("nobody has said anything: %d of %d notes", got, head)
	}
	west := testphone.ID("west")
	desk.Note("person", "", "", schema.Person{Writes: schema.Writes{Of: phone.Person}, Houses: &[]string{west}})
	s.push(desk, desk.All(len(desk.Raw)))
	head = int(s.store.Head())
	got, resume := pulled(phone, "&alive=1&houses=own")
	if got != head-3 {
		t.Errorf("%d of %d notes, want all but the 3 pots of the other house", got, head)
	}
	for query, want := range map[string]int{"&alive=1": head, "": head, "&alive=1&houses=" + n.House: head, "&alive=1&houses=" + west: head - 3} {
		if got, _ := pulled(phone, query); got != want {
			t.Errorf("%q: %d notes, want %d", query, got, want)
		}
	}
	if got, _ := pulled(desk, "&alive=1&houses=own"); got != head {
		t.Errorf("somebody else has %d of %d notes", got, head)
	}
	var gone schema.Gone
	s.do(phone.cookie, "GET", "/api/gone?alive="+resume, "").read(t, &gone)
	if len(gone.Lots) != 1 || gone.Lots[0].Lot != n.Lot || gone.Lots[0].Count != 3 || gone.Lots[0].Records != 3 || gone.Lots[0].Summary.Tag != "T-1" {
		t.Errorf("gone are %+v", gone)
	}
	// What a phone that has had it longer may let go is as old as backups are kept without gaps.
	if gone.OldUpTo != 0 {
		t.Errorf("%d positions are said to be thirty days old", gone.OldUpTo)
	}
	s.clock = s.clock.Add(31 * 24 * time.Hour)
	s.do(phone.cookie, "GET", "/api/gone?alive=1&houses=own", "").read(t, &gone)
	if int(gone.OldUpTo) != head || len(gone.Lots) != 1 {
		t.Errorf("after a month %d of %d are thirty days old, gone are %d lots", gone.OldUpTo, head, len(gone.Lots))
	}
}
