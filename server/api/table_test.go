package api_test

import (
	"strings"
	"testing"

	"bedwalk/schema"
	"bedwalk/server/testphone"
)

// row is one request and what must, and must not, come back.
type row struct {
	name, as, method, path, body string
	headers                      []string
	status                       int
	has, lacks                   []string
}

func TestRequestsAreAnsweredByWhatTheyAre(t *testing.T) {
	s := newSite(t)
	who := map[string]*paired{"scout": s.pair("scout"), "supervisor": s.pair("supervisor"), "owner": s.pair("owner")}
	me := who["scout"]
	n := s.plant(who["owner"], me)
	for row := range 7 {
		me.See(n, row+1, 1, 200, 40)
	}
	s.push(me, me.All(1))
	push := func(change func(*schema.Push)) string {
		p := me.Batch(1, 2)
		change(&p)
		return s.json(p)
	}
	batch := func(entry string) string {
		return `{"v":1,"device":"` + me.Device + `","inc":1,"epoch":"","from":9,"chain":"","session":"s","sent_wall":0,"sent_mono":0,"pending":0,"entries":[` + entry + `]}`
	}
	other := "Origin: https://elsewhere.example"
	for _, r := range []row{
		{name: "who am I, never paired", method: "GET", path: "/api/me", status: 204, lacks: []string{"{"}},
		{name: "the journal, never paired", method: "GET", path: "/api/pull", status: 401, has: []string{`"code":"not_paired"`, "Ask the supervisor"}},
		{name: "who am I, with a made-up token", method: "GET", path: "/api/me", headers: []string{"Cookie: bedwalk=AAAA"}, status: 401, has: []string{"not_paired"}},
		{name: "who am I", as: "scout", method: "GET", path: "/api/me", status: 200, has: []string{`"role":"scout"`, `"site_name":"Testing House"`, `"high":8`}, lacks: []string{"token"}},
		{name: "no such address", as: "scout", method: "GET", path: "/api/nothing", status: 404, has: []string{"no_such_address"}},
		{name: "wrong method", as: "scout", method: "DELETE", path: "/api/me", status: 404, has: []string{"no_such_address"}},
		{name: "the interface's description", method: "GET", path: "/api/openapi.json", status: 200, has: []string{`"openapi"`}},

		{name: "malformed JSON", as: "scout", method: "POST", path: "/api/push", body: `{"v":1,`, status: 400, has: []string{"malformed_json", "near byte"}},
		{name: "NaN", as: "scout", method: "POST", path: "/api/push", body: batch(`{"x":NaN}`), status: 400, has: []string{"malformed_json", "as a JSON string"}},
		{name: "two values", as: "scout", method: "POST", path: "/api/push", body: batch(`{}`) + `{}`, status: 400, has: []string{"malformed_json"}},
		{name: "nested 20,000 deep", as: "scout", method: "POST", path: "/api/push", body: batch(strings.Repeat("[", 20000) + strings.Repeat("]", 20000)), status: 400, has: []string{"malformed_json"}},
		{name: "a field of the wrong type", as: "scout", method: "POST", path: "/api/push", body: `{"v":"one"}`, status: 400, has: []string{"wrong_type", "Field \\\"v\\\""}},
		{name: "no entries", as: "scout", method: "POST", path: "/api/push", body: push(func(p *schema.Push) { p.Entries = p.Entries[:0] }), status: 400, has: []string{`"code":"message"`, "entries"}},
		{name: "501 entries", as: "scout", method: "POST", path: "/api/push", body: batch(strings.Repeat(`{},`, 500) + `{}`), status: 400, has: []string{"500"}},
		{name: "a broken chain hash", as: "scout", method: "POST", path: "/api/push", body: push(func(p *schema.Push) { p.Chain = "xyz" }), status: 400, has: []string{"chain"}},
		{name: "10 MB", as: "scout", method: "POST", path: "/api/push", body: strings.Repeat("x", 10<<20), status: 413, has: []string{"body_too_large", "1048576", "fewer entries"}},
		{name: "a gzip bomb", as: "scout", method: "POST", path: "/api/push", body: zipped(strings.Repeat(" ", 50<<20)), headers: []string{"Content-Encoding: gzip"}, status: 413, has: []string{"inflated_too_large", "2097152"}},
		{name: "truncated gzip", as: "scout", method: "POST", path: "/api/push", body: zipped(push(func(*schema.Push) {}))[:100], headers: []string{"Content-Encoding: gzip"}, status: 400, has: []string{"cut_off", "nothing of it was kept"}},
		{name: "no gzip at all", as: "scout", method: "POST", path: "/api/push", body: push(func(*schema.Push) {}), headers: []string{"Content-Encoding: gzip"}, status: 400, has: []string{"bad_gzip"}},
		{name: "damaged gzip", as: "scout", method: "POST", path: "/api/push", body: damaged(zipped(push(func(*schema.Push) {}))), headers: []string{"Content-Encoding: gzip"}, status: 400, has: []string{"nothing of it was kept"}},
		{name: "another encoding", as: "scout", method: "POST", path: "/api/push", body: "x", headers: []string{"Content-Encoding: br"}, status: 415, has: []string{"content_encoding"}},
		{name: "another content type", as: "scout", method: "POST", path: "/api/push", body: "v=1", headers: []string{"Content-Type: application/x-www-form-urlencoded"}, status: 415, has: []string{"content_type"}},
		{name: "another device's batch", as: "supervisor", method: "POST", path: "/api/push", body: push(func(*schema.Push) {}), status: 403, has: []string{"other_device"}},
		{name: "a wrong epoch", as: "scout", method: "POST", path: "/api/push", body: push(func(p *schema.Push) { p.Epoch = "0123456789abcdef" }), status: 409, has: []string{`"code":"rewind"`, `"forked_at":0`, s.store.Epoch()}},
		{name: "a gap", as: "scout", method: "POST", path: "/api/push", body: push(func(p *schema.Push) { p.From = 12 }), status: 409, has: []string{`"code":"gap"`, `"high":8`}},
		{name: "a batch of another history", as: "scout", method: "POST", path: "/api/push", body: batch(`{"x":1}`), status: 409, has: []string{`"code":"fork"`, `"inc":2`}},
		{name: "a repeat", as: "scout", method: "POST", path: "/api/push", body: push(func(*schema.Push) {}), status: 200, has: []string{`"high":8`}},
		{name: "a push from another site's page", as: "scout", method: "POST", path: "/api/push", body: push(func(*schema.Push) {}), headers: []string{other}, status: 403, has: []string{"other_origin"}},
		{name: "a push that the browser calls cross-site", as: "scout", method: "POST", path: "/api/push", body: push(func(*schema.Push) {}), headers: []string{"Sec-Fetch-Site: cross-site"}, status: 403, has: []string{"other_origin"}},
		{name: "a push through the proxy's origin", as: "scout", method: "POST", path: "/api/push", body: push(func(*schema.Push) {}), headers: []string{"Origin: https://beds.example"}, status: 200},

		{name: "a pull", as: "scout", method: "GET", path: "/api/pull?epoch=&after=0&limit=10", status: 200, has: []string{`"head":16`, `"cultivar":"=Ruddy"`}},
		{name: "a pull past the end of another epoch", as: "scout", method: "GET", path: "/api/pull?epoch=ffff&after=5", status: 409, has: []string{"rewind"}},
		{name: "a pull after minus one", as: "scout", method: "GET", path: "/api/pull?after=-1", status: 400, has: []string{"parameter", "0 or more"}},
		{name: "a digest of another device", as: "supervisor", method: "POST", path: "/api/digest", body: `{"device":"` + me.Device + `","epoch":"x","position":0,"lots":[],"pending":0,"photos":0,"sent_wall":0}`, status: 403, has: []string{"other_device"}},
		{name: "a digest", as: "scout", method: "POST", path: "/api/digest", body: `{"device":"` + me.Device + `","epoch":"` + s.store.Epoch() + `","position":16,"lots":[],"pending":0,"photos":0,"sent_wall":0}`, status: 200, has: []string{`"equal":false`, n.Lot}},

		{name: "the beds, for a scout", as: "scout", method: "GET", path: "/api/views/beds", status: 403, has: []string{"not_allowed"}},
		{name: "the beds", as: "supervisor", method: "GET", path: "/api/views/beds", status: 200, has: []string{`"site":"Testing House"`, `"name":"E1"`, `"tag":"T-1"`, `"pots":50`}},
		{name: "the beds, for an owner", as: "owner", method: "GET", path: "/api/views/beds", status: 200},
		{name: "a bed", as: "supervisor", method: "GET", path: "/api/views/beds/" + n.Bed, status: 200, has: []string{`"house_name":"East"`}},
		{name: "no such bed", as: "supervisor", method: "GET", path: "/api/views/beds/" + n.Lot, status: 404, has: []string{"no_such_thing"}},
		{name: "no such walk", as: "supervisor", method: "GET", path: "/api/views/beds/" + n.Bed + "?walk=zz", status: 404, has: []string{"no_such_thing"}},
		{name: "the lots", as: "supervisor", method: "GET", path: "/api/views/lots", status: 200, has: []string{`"tag":"T-1"`}},
		{name: "a lot", as: "supervisor", method: "GET", path: "/api/views/lots/" + n.Lot, status: 200, has: []string{`"history":{"lines":[{`, `"by_span":{"` + n.Span + `":50}`}},
		{name: "the scouts", as: "supervisor", method: "GET", path: "/api/views/scouts", status: 200, has: []string{`"drifts"`}},
		{name: "what the walks say, for a scout", as: "scout", method: "GET", path: "/api/views/field-briefing", status: 200, has: []string{`"beds":[`, `"made_at"`}, lacks: []string{"drifts"}},
		{name: "what the walks say, unpaired", method: "GET", path: "/api/views/field-briefing", status: 401},
		{name: "the phones", as: "supervisor", method: "GET", path: "/api/views/phones", status: 200, has: []string{`"phone of a scout"`}, lacks: []string{"token"}},

		{name: "pairing somebody new", as: "supervisor", method: "POST", path: "/api/pairings", body: `{"name":"Ida","role":"scout"}`, status: 200, has: []string{`/pair/`, `"role":"scout"`}},
		{name: "pairing nobody", as: "supervisor", method: "POST", path: "/api/pairings", body: `{"role":"scout"}`, status: 400, has: []string{"names nobody"}},
		{name: "pairing a stranger's id", as: "supervisor", method: "POST", path: "/api/pairings", body: `{"person":"` + testphone.ID("x") + `","role":"scout"}`, status: 404, has: []string{"no_such_person"}},
		{name: "pairing a king", as: "supervisor", method: "POST", path: "/api/pairings", body: `{"name":"Ida","role":"king"}`, status: 400, has: []string{"role"}},
		{name: "a supervisor pairing an owner", as: "supervisor", method: "POST", path: "/api/pairings", body: `{"name":"Ida","role":"owner"}`, status: 403, has: []string{"Only an owner"}},
		{name: "pairing by a scout", as: "scout", method: "POST", path: "/api/pairings", body: `{"name":"Ida","role":"scout"}`, status: 403, has: []string{"not_allowed"}},
		{name: "revoking oneself", as: "supervisor", method: "POST", path: "/api/devices/" + who["supervisor"].Device + "/revoke", status: 409, has: []string{"own_device"}},
		{name: "revoking nobody", as: "supervisor", method: "POST", path: "/api/devices/nobody/revoke", status: 404, has: []string{"no_such_device"}},
		{name: "deciding about nothing", as: "supervisor", method: "POST", path: "/api/quarantine/77", body: `{"decision":"merge"}`, status: 404, has: []string{"no_such_entry"}},
		{name: "deciding about a word", as: "supervisor", method: "POST", path: "/api/quarantine/abc", body: `{"decision":"merge"}`, status: 404, has: []string{"no_such_entry"}},
		{name: "deciding otherwise", as: "supervisor", method: "POST", path: "/api/quarantine/1", body: `{"decision":"burn"}`, status: 400, has: []string{"not one of: merge, leave"}},
		{name: "a file that is none", as: "supervisor", method: "POST", path: "/api/in/unsent", body: `{"bedwalk":"diary"}`, status: 400, has: []string{"not_unsent"}},

		{name: "the CSV of a word", as: "supervisor", method: "GET", path: "/api/out/observations.csv?bed=E1", status: 400, has: []string{"parameter", "bed"}},
		{name: "the CSV from no day", as: "supervisor", method: "GET", path: "/api/out/observations.csv?from=May", status: 400, has: []string{"2026-03-14"}},
		{name: "the CSV for a scout", as: "scout", method: "GET", path: "/api/out/observations.csv", status: 403},

		{name: "the app", method: "GET", path: "/", status: 200, has: []string{"<!doctype html>"}},
		{name: "a page of the app", method: "GET", path: "/beds/x", status: 200, has: []string{"<!doctype html>"}},
		{name: "a file of an older build", method: "GET", path: "/assets/main-x0.js", status: 404, lacks: []string{"<!doctype"}},
		{name: "outside the app", method: "GET", path: "/../../etc/passwd", status: 200, has: []string{"<!doctype html>"}, lacks: []string{"root:"}},
	} {
		t.Run(r.name, func(t *testing.T) {
			cookie := ""
			if r.as != "" {
				cookie = who[r.as].cookie
			}
			got := s.do(cookie, r.method, r.path, r.body, r.headers...)
			if got.status != r.status {
				t.Fatalf("got %d, want %d: %.300s", got.status, r.status, got.body)
			}
			if got.status >= 400 {
				problem(t, got)
			}
			for _, text := range r.has {
				if !strings.Contains(string(got.body), text) {
					t.Errorf("lacks %q: %.500s", text, got.body)
				}
			}
			for _, text := range r.lacks {
				if strings.Contains(string(got.body), text) {
					t.Errorf("has %q: %.500s", text, got.body)
				}
			}
		})
	}
	if s.store.Head() != 17 {
		t.Errorf("the journal has %d entries, want the owner's 8, the scout's 8 and the one new person", s.store.Head())
	}
}

// problem fails unless an answer is a whole problem document.
func problem(t *testing.T, a answer) schema.Problem {
	t.Helper()
	if kind := a.header.Get("Content-Type"); kind != schema.ContentProblem {
		t.Fatalf("the error is %q: %.200s", kind, a.body)
	}
	var p schema.Problem
	a.read(t, &p)
	if p.Status != a.status || p.Code == "" || p.Detail == "" || p.Remedy == "" || p.Title == "" || p.Type == "" {
		t.Fatalf("the problem is not whole: %s", a.body)
	}
	return p
}

func damaged(text string) string {
	raw := []byte(text)
	for i := 20; i < 40; i++ {
		raw[i] ^= 0xff
	}
	return string(raw)
}
