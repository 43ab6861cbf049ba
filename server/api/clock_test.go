package api_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"bedwalk/schema"
)

func TestAPushIsAskedToWaitForTheClockAndAnOwnerAloneMayConfirmIt(t *testing.T) {
	s := newSite(t)
	boss, lead, scout := s.pair("owner"), s.pair("supervisor"), s.pair("scout")
	s.plant(boss, scout)
	const jump = 3 * time.Hour
	s.clock, s.jumped = s.clock.Add(jump), jump
	from := 1
	scout.Note("note", "", "", schema.Note{Words: "dry"})
	send := func() answer {
		return s.do(scout.cookie, "POST", "/api/push", zipped(s.json(scout.All(from))), "Content-Encoding: gzip")
	}
	r := send()
	if body := string(r.body); r.status != 503 || !strings.Contains(body, `"server_clock"`) || !strings.Contains(body, "Phones page") {
		t.Fatalf("%d %s", r.status, body)
	}
	if r.header.Get("Retry-After") == "" {
		t.Error("the phone does not learn when to try again")
	}
	var view schema.PhonesView
	s.do(lead.cookie, "GET", "/api/views/phones", "").read(t, &view)
	if view.Clock.Doubt != schema.ClockJumped || view.Clock.Now != s.clock.UnixMilli() {
		t.Fatalf("%+v", view.Clock)
	}
	word := fmt.Sprintf(`{"now":%d}`, view.Clock.Now)
	for _, one := range []struct {
		by     *paired
		word   string
		status int
		code   string
	}{{scout, word, 403, "not_allowed"}, {lead, word, 403, "not_allowed"}, {boss, `{"now":1}`, 409, "other_clock"}, {boss, word, 200, ""}} {
		if r := s.do(one.by.cookie, "POST", "/api/clock", one.word); r.status != one.status || !strings.Contains(string(r.body), one.code) {
			t.Fatalf("a %s with %s: %d %s", one.by.role, one.word, r.status, r.body)
		}
	}
	if r := send(); r.status != 200 {
		t.Fatalf("after an owner's word: %d %s", r.status, r.body)
	}
}
