package api_test

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"time"

	"bedwalk/schema"
	"bedwalk/server/access"
	"bedwalk/server/api"
	"bedwalk/server/testphone"
)

func (s *site) invite(role string) string {
	s.Helper()
	code, _, err := s.gate.Invite(s.Context(), access.Pairing{Person: testphone.ID("p"), Name: "P", Role: role})
	if err != nil {
		s.Fatal(err)
	}
	return code
}

func (s *site) redeem(code string) answer {
	s.Helper()
	return s.do("", "POST", "/api/pair", `{"code":"`+code+`","name":"n"}`)
}

func (s *site) redeemFails(code string, status int, reason string) {
	s.Helper()
	r := s.redeem(code)
	if p := problem(s.T, r); r.status != status || p.Code != reason {
		s.Fatalf("code %q was answered %d %s, want %d %s", code, r.status, r.body, status, reason)
	}
}

func TestACodePairsOneDeviceOnceAndInTime(t *testing.T) {
	s := newSite(t)
	code := s.invite("scout")
	typed := strings.ToLower(strings.ReplaceAll(code, "-", " "))
	r := s.redeem(typed)
	if r.status != 200 {
		t.Fatalf("as typed by hand: %d %s", r.status, r.body)
	}
	cookie := r.header.Get("Set-Cookie")
	for _, want := range []string{"HttpOnly", "SameSite=Strict", "Path=/", "Max-Age=34560000"} {
		if !strings.Contains(cookie, want) {
			t.Errorf("the cookie lacks %s: %s", want, cookie)
		}
	}
	s.redeemFails(code, 410, "code_used")
	late := s.invite("scout")
	s.clock = s.clock.Add(access.PairingLife + time.Second)
	s.redeemFails(late, 410, "code_old")
	s.redeemFails("", 400, "message")
}

func TestAWrongCharacterIsDistinguishedFromAWrongCode(t *testing.T) {
	s := newSite(t)
	code := s.invite("scout")
	wrong := "2" + code[1:]
	if code[0] == '2' {
		wrong = "3" + code[1:]
	}
	s.redeemFails(wrong, 400, "code_mistyped")
	other := newSite(t).invite("scout")
	s.redeemFails(other, 404, "code_unknown")
	if r := s.redeem(code); r.status != 200 {
		t.Fatalf("the right code after two wrong ones: %d %s", r.status, r.body)
	}
}

func TestGuessedCodesAreSlowedDownAndARightOneMustWaitToo(t *testing.T) {
	s := newSite(t)
	good := s.invite("scout")
	foreign := newSite(t)
	for range 10 {
		s.redeemFails(foreign.invite("scout"), 404, "code_unknown")
	}
	s.redeemFails(foreign.invite("scout"), 429, "too_many_guesses")
	s.redeemFails(good, 429, "too_many_guesses")
	s.clock = s.clock.Add(2 * time.Minute)
	if r := s.redeem(good); r.status != 200 {
		t.Fatalf("two minutes later: %d %s", r.status, r.body)
	}
}

func TestBehindAProxyGuessesAreCountedByWhoMadeThemAndNobodyCanNameAnother(t *testing.T) {
	s, foreign := newSite(t), newSite(t)
	guess := func(s *site, from string) int {
		t.Helper()
		return s.do("", "POST", "/api/pair", `{"code":"`+foreign.invite("scout")+`","name":"n"}`, "X-Forwarded-For: "+from).status
	}
	for range 10 {
		// What the guesser wrote there itself stands left of what the proxy adds.
		if got := guess(s, "203.0.113.9, 203.0.113.1"); got != 404 {
			t.Fatalf("a guess was answered %d", got)
		}
	}
	for from, want := range map[string]int{"203.0.113.1": 429, "198.51.100.7, 203.0.113.1": 429, "203.0.113.9": 404, "203.0.113.2": 404} {
		if got := guess(s, from); got != want {
			t.Errorf("from %s: %d, want %d", from, got, want)
		}
	}
	// Where no proxy was announced, the header is whatever the guesser likes.
	bare := newSite(t, func(o *api.Options) { o.Origins = nil })
	for i := range 11 {
		if got, want := guess(bare, fmt.Sprintf("203.0.113.%d", i)), 404+(i/10)*25; got != want {
			t.Errorf("guess %d without a proxy: %d, want %d", i, got, want)
		}
	}
}

func TestAPhoneWhosePairingAnswerWasLostAsksAgainAndAnotherPhoneGetsNothing(t *testing.T) {
	s := newSite(t)
	ask := func(code, secret string) answer {
		return s.do("", "POST", "/api/pair", s.json(schema.PairAsk{Code: code, Name: "n", Secret: secret}))
	}
	code, mine, others := s.invite("scout"), strings.Repeat("0a", 32), strings.Repeat("0b", 32)
	lost := ask(code, mine)
	again := ask(code, mine)
	if lost.status != 200 || again.status != 200 || lost.header.Get("Set-Cookie") != again.header.Get("Set-Cookie") {
		t.Fatalf("got %d, then %d: %s", lost.status, again.status, again.body)
	}
	for _, secret := range []string{others, ""} {
		if r := ask(code, secret); r.status != 410 || r.header.Get("Set-Cookie") != "" || problem(t, r).Code != "code_used" {
			t.Fatalf("another phone got %d %s", r.status, r.body)
		}
	}
	if r := ask(s.invite("scout"), "short"); r.status != 400 {
		t.Fatalf("a secret that can be guessed got %d", r.status)
	}
}

func TestASupervisorNeitherRevokesAnOwnerNorPairsADeviceInAnOwnersName(t *testing.T) {
	s := newSite(t)
	owner, boss, scout := s.pair("owner"), s.pair("supervisor"), s.pair("scout")
	// The owner is in the journal under a name, or nobody could be paired as that person.
	owner.Note("person", "", "", map[string]any{"of": owner.Person, "name": "Ada", "role": "owner"})
	s.push(owner, owner.All(1))
	revoke := func(by, whom *paired) answer {
		return s.do(by.cookie, "POST", "/api/devices/"+whom.Device+"/revoke", "")
	}
	if r := revoke(boss, owner); r.status != 403 || problem(t, r).Code != "not_allowed" {
		t.Fatalf("revoking the owner: %d %s", r.status, r.body)
	}
	if r := s.do(owner.cookie, "GET", "/api/me", ""); r.status != 200 {
		t.Fatalf("the owner is shut out: %d", r.status)
	}
	for _, role := range []string{"scout", "supervisor", "owner"} {
		body := `{"person":"` + owner.Person + `","role":"` + role + `"}`
		if r := s.do(boss.cookie, "POST", "/api/pairings", body); r.status != 403 || problem(t, r).Code != "not_allowed" {
			t.Errorf("a %s's device in the owner's name: %d %s", role, r.status, r.body)
		}
		if r := s.do(owner.cookie, "POST", "/api/pairings", body); r.status != 200 {
			t.Errorf("the owner's own further device: %d %s", r.status, r.body)
		}
	}
	if r := revoke(boss, scout); r.status != 200 {
		t.Errorf("revoking a scout: %d %s", r.status, r.body)
	}
	if r := revoke(owner, boss); r.status != 200 {
		t.Errorf("an owner revoking a supervisor: %d %s", r.status, r.body)
	}
}

func TestAListThatIsOlderThanARestoreDecidesAboutNoOtherNote(t *testing.T) {
	heldBed := func() (s *site, desk *paired, held schema.QuarantinedView) {
		s = newSite(t)
		desk, scout := s.pair("supervisor"), s.pair("scout")
		bed := testphone.ID(scout.Device)
		scout.Note("bed", "", bed, map[string]any{"of": bed, "name": "E2", "rows": 10, "across": 5})
		s.push(scout, scout.All(1))
		return s, desk, s.held(desk)[0]
	}
	_, _, before := heldBed()
	s, desk, now := heldBed()
	number, _, _ := strings.Cut(before.ID, "-")
	for _, id := range []string{before.ID, number, "+" + now.ID, "0" + now.ID, now.ID + "0", now.ID[:len(now.ID)-1]} {
		if r := s.do(desk.cookie, "POST", "/api/quarantine/"+id, `{"decision":"merge"}`); r.status != 404 || problem(t, r).Code != "no_such_entry" {
			t.Errorf("deciding about %s, where %s is offered: %d %s", id, now.ID, r.status, r.body)
		}
	}
	if r := s.do(desk.cookie, "POST", "/api/quarantine/"+now.ID, `{"decision":"merge"}`); r.status != 200 {
		t.Errorf("what is offered: %d %s", r.status, r.body)
	}
}

func TestBrowsersAreHeldToHTTPSWhereItIsServedAndNowhereElse(t *testing.T) {
	strict := newSite(t, func(o *api.Options) { o.Strict = true })
	for _, one := range []struct {
		s    *site
		host string
		want bool
	}{
		{strict, "beds.example", true}, {strict, "localhost:8443", false}, {strict, "192.0.2.1:8080", false}, {newSite(t), "beds.example", false},
	} {
		got := one.s.do("", "GET", "/api/openapi.json", "", "Host: "+one.host).header.Get("Strict-Transport-Security")
		if (got != "") != one.want || one.want && !strings.HasPrefix(got, "max-age=") {
			t.Errorf("%s: %q", one.host, got)
		}
	}
}

func TestAnIncarnationBeyondTheLastIsRefusedAndStopsNobody(t *testing.T) {
	s := newSite(t)
	boss, scout := s.pair("supervisor"), s.pair("scout")
	n := s.plant(boss, scout)
	for _, inc := range []int{schema.MaxIncarnation + 1, 1 << 53} {
		p := scout.All(1)
		p.Incarnation = inc
		if r := s.do(scout.cookie, "POST", "/api/push", s.json(p)); r.status != 400 || problem(t, r).Code != "message" {
			t.Errorf("incarnation %d got %d %s", inc, r.status, r.body)
		}
	}
	scout.Inc = schema.MaxIncarnation
	scout.Raw, scout.Chains = nil, nil
	scout.StartWalk(n)
	s.push(scout, scout.All(1))
	r := s.do(scout.cookie, "POST", "/api/incarnation", "")
	if p := problem(t, r); r.status != 400 || p.Code != "no_incarnation_left" {
		t.Fatalf("one more than the last: %d %s", r.status, r.body)
	}
	scout.See(n, 1, 1, 200, 40)
	if given := s.push(scout, scout.All(2)).Given[0]; given.State != "merged" {
		t.Errorf("its next note is %+v", given)
	}
}

func TestARevokedPhoneIsShutOutButItsNotesAreNotLost(t *testing.T) {
	s := newSite(t)
	scout, boss := s.pair("scout"), s.pair("supervisor")
	n := s.plant(boss, scout)
	s.push(scout, scout.All(1))
	if r := s.do(boss.cookie, "POST", "/api/devices/"+scout.Device+"/revoke", ""); r.status != 200 {
		t.Fatalf("revoking: %d %s", r.status, r.body)
	}
	for _, path := range []string{"/api/me", "/api/pull"} {
		r := s.do(scout.cookie, "GET", path, "")
		if p := problem(t, r); r.status != 403 || p.Code != "revoked" {
			t.Fatalf("%s gave %d %s", path, r.status, r.body)
		}
		// After a restored backup it finds out by this alone what to send again.
		if p := problem(t, r); p.Epoch != s.store.Epoch() || p.Incarnation == nil || *p.Incarnation != 1 || p.High == nil || *p.High != 1 {
			t.Fatalf("%s does not say where the server stands: %s", path, r.body)
		}
	}
	scout.See(n, 1, 1, 200, 40)
	if given := s.push(scout, scout.All(2)).Given[0]; given.State != "review" {
		t.Fatalf("a late note was %+v", given)
	}
	var phones schema.PhonesView
	s.do(boss.cookie, "GET", "/api/views/phones", "").read(t, &phones)
	if len(phones.Quarantined) != 1 || phones.Quarantined[0].State != "review" || phones.Quarantined[0].DeviceName != "phone of a scout" {
		t.Fatalf("the supervisor sees %+v", phones.Quarantined)
	}
	if !json.Valid([]byte(phones.Quarantined[0].Text)) {
		t.Fatalf("the supervisor's page cannot say what the note says: %s", phones.Quarantined[0].Text)
	}
	if r := s.do(boss.cookie, "POST", "/api/quarantine/"+phones.Quarantined[0].ID, `{"decision":"merge"}`); r.status != 200 {
		t.Fatalf("merging: %d %s", r.status, r.body)
	}
	late := scout.See(n, 2, 1, 200, 40)
	s.push(scout, scout.All(3))
	ask := `{"ids":["` + late + `"]}`
	if r := s.do(scout.cookie, "POST", "/api/quarantine", ask); r.status != 200 || !strings.Contains(string(r.body), `"state":"review"`) {
		t.Fatalf("what became of it: %d %s", r.status, r.body)
	}
	s.do(boss.cookie, "GET", "/api/views/phones", "").read(t, &phones)
	if r := s.do(boss.cookie, "POST", "/api/quarantine/"+phones.Quarantined[0].ID, `{"decision":"leave"}`); r.status != 200 {
		t.Fatalf("leaving it out: %d %s", r.status, r.body)
	}
	if r := s.do(scout.cookie, "POST", "/api/quarantine", ask); !strings.Contains(string(r.body), `{"id":"`+late+`","state":"left"`) {
		t.Fatalf("its writer gets %s", r.body)
	}
	var bed schema.BedView
	s.do(boss.cookie, "GET", "/api/views/beds/"+n.Bed, "").read(t, &bed)
	if len(bed.Pots) != 1 {
		t.Fatalf("the bed shows %d pots, want the merged one", len(bed.Pots))
	}
}

func TestADeviceThatAsksWithoutEndIsSlowedDown(t *testing.T) {
	s := newSite(t)
	scout, boss := s.pair("scout"), s.pair("supervisor")
	slowed := 0
	for range 320 {
		if r := s.do(scout.cookie, "GET", "/api/me", ""); r.status == 429 {
			slowed++
			if problem(t, r).Code != "too_fast" || r.header.Get("Retry-After") == "" {
				t.Fatalf("slowed down by %s", r.body)
			}
		}
	}
	if slowed != 20 {
		t.Fatalf("%d of 320 requests at once were refused, want 20", slowed)
	}
	if r := s.do(boss.cookie, "GET", "/api/me", ""); r.status != 200 {
		t.Fatalf("another device is slowed down too: %d", r.status)
	}
}

func TestEveryAnswerSaysWhatItsPageMayDoAndLogsNoCode(t *testing.T) {
	s := newSite(t)
	code := s.invite("scout")
	for _, path := range []string{"/", "/pair/" + code, "/api/me", "/api/nothing"} {
		r := s.do("", "GET", path, "")
		policy := r.header.Get("Content-Security-Policy")
		if !strings.Contains(policy, "script-src 'self'") || strings.Contains(policy, "unsafe-inline") {
			t.Errorf("%s: policy %q", path, policy)
		}
		if r.header.Get("X-Content-Type-Options") != "nosniff" || r.header.Get("Referrer-Policy") != "no-referrer" {
			t.Errorf("%s: headers %v", path, r.header)
		}
	}
	if strings.Contains(s.log.String(), code) {
		t.Error("a pairing code is in the log")
	}
	for path, want := range map[string]string{"/": "no-store", "/assets/main-x1.js": "public, max-age=31536000, immutable", "/sw.js": "no-cache", "/api/me": "no-store"} {
		if got := s.do("", "GET", path, "").header.Get("Cache-Control"); got != want {
			t.Errorf("%s is kept as %q, want %q", path, got, want)
		}
	}
}
