package api_test

import (
	"encoding/base64"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"bedwalk/schema"
	"bedwalk/server/access"
	"bedwalk/server/testphone"
)

// made makes a reading key as whoever has a cookie.
func (s *site) made(cookie string, ask schema.ReadingKeyAsk) (made schema.ReadingKeyMade) {
	s.Helper()
	r := s.do(cookie, "POST", "/api/keys", s.json(ask))
	if r.status != 200 {
		s.Fatalf("making a key: %d %s", r.status, r.body)
	}
	r.read(s.T, &made)
	return made
}

func (s *site) key(cookie string, ask schema.ReadingKeyAsk) string {
	s.Helper()
	return s.made(cookie, ask).Key
}

func (s *site) keyID(cookie string, ask schema.ReadingKeyAsk) string {
	s.Helper()
	return s.made(cookie, ask).ID
}

func bearer(key string) string { return "Authorization: Bearer " + key }

func basic(name, password string) string {
	return "Authorization: Basic " + base64.StdEncoding.EncodeToString([]byte(name+":"+password))
}

// refused fails unless an answer is a problem of this status and code that says what to do.
func refused(t *testing.T, what string, a answer, status int, code string) {
	t.Helper()
	if a.status != status {
		t.Errorf("%s is answered %d, want %d: %.200s", what, a.status, status, a.body)
		return
	}
	if p := problem(t, a); p.Code != code {
		t.Errorf("%s is refused as %s, want %s", what, p.Code, code)
	}
}

func TestAReadingKeyReadsViewsAndTablesAndNothingElse(t *testing.T) {
	s := newSite(t)
	owner, scout := s.pair("owner"), s.pair("scout")
	n := s.plant(owner, scout)
	scout.See(n, 1, 1, 200, 40)
	s.push(scout, scout.All(1))
	key := s.key(owner.cookie, schema.ReadingKeyAsk{Name: "office"})
	reads := map[string]bool{}
	for _, route := range routesOf(t, s.handler) {
		if !strings.HasPrefix(route.Path, "/api/") || route.Path == "/api/*" || route.Path == "/api/openapi.json" || route.Path == "/api/pair" {
			continue
		}
		if s.lets("", route, bearer(key)) == "yes" {
			if route.Method != "GET" {
				t.Errorf("a reading key is let in at %s %s", route.Method, route.Path)
			}
			reads[route.Path] = true
		}
	}
	for path := range reads {
		if !strings.HasPrefix(path, "/api/views/") && !strings.HasPrefix(path, "/api/out/") && !strings.HasPrefix(path, "/api/reference") {
			t.Errorf("a reading key is let in at %s", path)
		}
	}
	for _, path := range []string{
		"/api/pull", "/api/live", "/api/me", "/api/entries?key=bed:" + n.Bed, "/api/lots/" + n.Lot + "/entries", "/api/gone?alive=1", "/api/photos/" + strings.Repeat("0", 64),
		"/api/out/notes.jsonl", "/api/views/phones", "/api/views/field-briefing", "/api/views/work", "/api/views/quarantine/" + scout.Device, "/api/keys", "/api/hooks",
	} {
		refused(t, path, s.do("", "GET", path, "", bearer(key)), 403, "not_allowed")
	}
	refused(t, "a push", s.do("", "POST", "/api/push", s.json(scout.All(1)), bearer(key)), 403, "not_allowed")
	for _, path := range []string{"/api/views/beds", "/api/views/lots/" + n.Lot, "/api/out/csv/pots", "/api/out/json/lot", "/api/out/observations.csv"} {
		want := s.do(owner.cookie, "GET", path, "")
		for _, header := range []string{bearer(key), basic("anything", key)} {
			got := s.do("", "GET", path, "", header)
			if got.status != 200 || len(got.body) != len(want.body) {
				t.Errorf("%s by %s: %d, %d bytes; an owner gets %d", path, header[:22], got.status, len(got.body), len(want.body))
			}
		}
	}
}

func TestAReadingKeyReadsAboutPeopleOnlyWhereThatWasChosen(t *testing.T) {
	s := newSite(t)
	boss := s.pair("supervisor")
	plain := s.key(boss.cookie, schema.ReadingKeyAsk{Name: "plain"})
	chosen := s.key(boss.cookie, schema.ReadingKeyAsk{Name: "chosen", People: true})
	for _, path := range []string{"/api/views/scouts", "/api/views/day", "/api/out/csv/person", "/api/out/json/person"} {
		refused(t, path, s.do("", "GET", path, "", bearer(plain)), 403, "not_allowed")
		if r := s.do("", "GET", path, "", bearer(chosen)); r.status != 200 {
			t.Errorf("%s with a key that reads about people: %d", path, r.status)
		}
	}
	refused(t, "a key for the table of people that reads nothing about them",
		s.do(boss.cookie, "POST", "/api/keys", `{"name":"x","table":"person"}`), 403, "not_allowed")
}

func TestAKeyInAnAddressReadsItsOneTableAndNoOtherKeyBelongsThere(t *testing.T) {
	s := newSite(t)
	owner, scout := s.pair("owner"), s.pair("scout")
	s.plant(owner, scout)
	all := s.key(owner.cookie, schema.ReadingKeyAsk{Name: "all"})
	lots := s.key(owner.cookie, schema.ReadingKeyAsk{Name: "lots", Table: "lot"})
	r := s.do("", "GET", "/api/out/csv/lot?key="+lots, "")
	// The cultivar is "=Ruddy": the table that a spreadsheet fetches by itself is no way around what keeps formulas out.
	if r.status != 200 || !strings.Contains(string(r.body), ",'=Ruddy,") {
		t.Errorf("the address: %d %s", r.status, r.body)
	}
	for name, want := range map[string]string{
		"Cache-Control": "no-store", "Referrer-Policy": "no-referrer", "Content-Type": "text/csv; charset=utf-8; header=present", "X-Content-Type-Options": "nosniff",
	} {
		if got := r.header.Get(name); got != want {
			t.Errorf("%s is %q, want %q", name, got, want)
		}
	}
	if r := s.do("", "GET", "/api/out/csv/lot", "", basic("excel", lots)); r.status != 200 {
		t.Errorf("as a password: %d", r.status)
	}
	refused(t, "another table", s.do("", "GET", "/api/out/csv/bed?key="+lots, ""), 403, "not_allowed")
	refused(t, "the same table as JSON", s.do("", "GET", "/api/out/json/lot?key="+lots, ""), 403, "not_allowed")
	refused(t, "a view", s.do("", "GET", "/api/views/beds?key="+lots, ""), 403, "not_allowed")
	refused(t, "the journal", s.do("", "GET", "/api/pull?key="+lots, ""), 401, "not_paired")
	refused(t, "a key for everything in an address", s.do("", "GET", "/api/out/csv/lot?key="+all, ""), 400, "key_in_address")
	refused(t, "a key in an address, even in a browser that is paired", s.do(owner.cookie, "GET", "/api/out/csv/lot?key="+lots[:40], ""), 401, "key_mistyped")
}

func TestAWrongOrRevokedReadingKeyIsAnsweredByWhatIsWrongWithIt(t *testing.T) {
	s := newSite(t)
	owner, boss := s.pair("owner"), s.pair("supervisor")
	made := s.made(boss.cookie, schema.ReadingKeyAsk{Name: "office", Table: "pots"})
	other := newSite(t)
	foreign := other.key(other.pair("owner").cookie, schema.ReadingKeyAsk{Name: "elsewhere", Table: "pots"})
	get := func(key string) answer { return s.do("", "GET", "/api/out/csv/pots?key="+key, "") }
	refused(t, "no key", s.do("", "GET", "/api/out/csv/pots", ""), 401, "not_paired")
	refused(t, "a key that was cut off", get(made.Key[:len(made.Key)-1]), 401, "key_mistyped")
	refused(t, "another server's key", get(foreign), 401, "key_unknown")
	if r := get("x"); r.header.Get("WWW-Authenticate") == "" {
		t.Error("a program that is refused learns not that it may ask for a key")
	}
	if r := get(made.Key); r.status != 200 {
		t.Fatalf("the key: %d %s", r.status, r.body)
	}
	refused(t, "revoking as a scout", s.do(s.pair("scout").cookie, "POST", "/api/keys/"+made.ID+"/revoke", ""), 403, "not_allowed")
	if r := s.do(owner.cookie, "POST", "/api/keys/"+made.ID+"/revoke", ""); r.status != 200 {
		t.Fatalf("revoking: %d", r.status)
	}
	refused(t, "a revoked key", get(made.Key), 401, "key_revoked")
	refused(t, "revoking nothing", s.do(owner.cookie, "POST", "/api/keys/none/revoke", ""), 404, "no_such_key")

	s.clock = s.clock.Add(time.Minute)
	second := s.made(boss.cookie, schema.ReadingKeyAsk{Name: "office", Table: "pots"})
	refused(t, "a second key of the name", s.do(owner.cookie, "POST", "/api/keys", `{"name":"office"}`), 409, "name_taken")
	refused(t, "a key without a name", s.do(owner.cookie, "POST", "/api/keys", `{"name":"  "}`), 400, "message")
	refused(t, "a key for no table", s.do(owner.cookie, "POST", "/api/keys", `{"name":"b","table":"notes"}`), 404, "no_such_table")
	if r := s.do(owner.cookie, "POST", "/api/devices/"+boss.Device+"/revoke", ""); r.status != 200 {
		t.Fatalf("revoking the maker's device: %d", r.status)
	}
	refused(t, "a key whose maker was shut out", get(second.Key), 401, "key_without_maker")
	var list schema.ReadingKeys
	s.do(owner.cookie, "GET", "/api/keys", "").read(t, &list)
	if len(list.Keys) != 2 || !list.Keys[0].Orphaned || list.Keys[0].Revoked != 0 || list.Keys[1].Revoked == 0 || list.Keys[1].UsedAt == 0 {
		t.Errorf("the list is %+v", list)
	}
}

func TestGuessedReadingKeysAreSlowedDownAndStopNoProgramThatWasLetIn(t *testing.T) {
	s, other := newSite(t), newSite(t)
	owner := s.pair("owner")
	used := s.key(owner.cookie, schema.ReadingKeyAsk{Name: "in use"})
	fresh := s.key(owner.cookie, schema.ReadingKeyAsk{Name: "never used"})
	if r := s.do("", "GET", "/api/views/names", "", bearer(used)); r.status != 200 {
		t.Fatalf("the key: %d", r.status)
	}
	foreign := other.key(other.pair("owner").cookie, schema.ReadingKeyAsk{Name: "elsewhere"})
	for range 10 {
		refused(t, "a wrong key", s.do("", "GET", "/api/views/names", "", bearer(foreign)), 401, "key_unknown")
	}
	refused(t, "the eleventh", s.do("", "GET", "/api/views/names", "", bearer(foreign)), 429, "too_many_guesses")
	refused(t, "a right one meanwhile", s.do("", "GET", "/api/views/names", "", bearer(fresh)), 429, "too_many_guesses")
	if r := s.do("", "GET", "/api/views/names", "", bearer(used)); r.status != 200 {
		t.Errorf("a program that was let in before: %d", r.status)
	}
	// Pairing is counted apart.
	if r := s.redeem(s.invite("scout")); r.status != 200 {
		t.Errorf("pairing meanwhile: %d", r.status)
	}
	s.clock = s.clock.Add(2 * time.Minute)
	if r := s.do("", "GET", "/api/views/names", "", bearer(fresh)); r.status != 200 {
		t.Errorf("two minutes later: %d", r.status)
	}
}

func TestNoReadingKeyStandsInTheLog(t *testing.T) {
	s := newSite(t)
	owner := s.pair("owner")
	made := s.made(owner.cookie, schema.ReadingKeyAsk{Name: "office", Table: "pots"})
	all := s.key(owner.cookie, schema.ReadingKeyAsk{Name: "all"})
	for _, path := range []string{"/api/out/csv/pots", "/api/out/csv/lot", "/api/views/beds", "/api/pull", "/api/nothing", "/page", "/api/out/csv/"} {
		for _, key := range []string{made.Key, all, made.Key + "x"} {
			s.do("", "GET", path+"?key="+key, "")
			s.do("", "GET", path, "", bearer(key))
			s.do("", "GET", path, "", basic("n", key))
		}
	}
	log := s.log.String()
	for _, secret := range []string{made.Key, all, made.Key[14:30], all[13:30], base64.StdEncoding.EncodeToString([]byte("n:" + all))} {
		if strings.Contains(log, secret) {
			t.Errorf("the log has %s", secret)
		}
	}
	if !strings.Contains(log, "key="+made.ID) || !strings.Contains(log, "route=/api/out/csv/:id") {
		t.Error("the log does not say by which key something was read")
	}
}

func TestATableThatHasNotChangedIsNotSentAgain(t *testing.T) {
	s := newSite(t)
	owner, scout := s.pair("owner"), s.pair("scout")
	n := s.plant(owner, scout)
	key := bearer(s.key(owner.cookie, schema.ReadingKeyAsk{Name: "office"}))
	tags := map[string]bool{}
	for _, path := range []string{"/api/out/csv/pots", "/api/out/csv/lot", "/api/out/json/lot", "/api/out/json/pots"} {
		first := s.do("", "GET", path, "", key)
		tag := first.header.Get("ETag")
		if first.status != 200 || tag == "" || tags[tag] {
			t.Fatalf("%s: %d, tag %s", path, first.status, tag)
		}
		tags[tag] = true
		for _, named := range []string{tag, "W/" + tag, `"other", ` + tag, "*"} {
			if again := s.do("", "GET", path, "", key, "If-None-Match: "+named); again.status != 304 || len(again.body) > 0 || again.header.Get("ETag") != tag {
				t.Errorf("%s with %s: %d", path, named, again.status)
			}
		}
		if other := s.do("", "GET", path, "", key, `If-None-Match: "other"`); other.status != 200 {
			t.Errorf("%s with another tag: %d", path, other.status)
		}
		scout.See(n, len(tags), 1, 200, 40)
		s.push(scout, scout.All(1))
		if after := s.do("", "GET", path, "", key, "If-None-Match: "+tag); after.status != 200 || after.header.Get("ETag") == tag {
			t.Errorf("%s after a note: %d", path, after.status)
		}
	}
}

// A proxy before the server may ask for a password of its own, which browsers then send with every request.
func TestAPasswordOfAProxyIsNoReadingKey(t *testing.T) {
	s := newSite(t)
	owner := s.pair("owner")
	proxys := basic("nursery", "secret")
	for path, want := range map[string]int{"/api/views/beds": 200, "/api/me": 200, "/api/out/csv/lot": 200, "/api/pull": 200} {
		if r := s.do(owner.cookie, "GET", path, "", proxys); r.status != want {
			t.Errorf("%s: %d, want %d", path, r.status, want)
		}
	}
	if r := s.do("", "GET", "/api/me", "", proxys); r.status != 204 {
		t.Errorf("a browser that was never paired: %d", r.status)
	}
}

func TestAReadingKeyThatWasRevokedAfterTheBackupStaysRevokedWhenItIsRestored(t *testing.T) {
	folder := testphone.Ready(t)
	was := openSite(t, folder)
	owner := was.pair("owner")
	made := was.made(owner.cookie, schema.ReadingKeyAsk{Name: "office"})
	copied := was.copiesItsDisk()
	was.do(owner.cookie, "POST", "/api/keys/"+made.ID+"/revoke", "")
	raw, err := os.ReadFile(filepath.Join(folder, access.RevokedFile))
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(copied, access.RevokedFile), raw, 0o600); err != nil {
		t.Fatal(err)
	}
	s := openSite(t, copied)
	refused(t, "the key after the restore", s.do("", "GET", "/api/views/names", "", bearer(made.Key)), 401, "key_revoked")
}
