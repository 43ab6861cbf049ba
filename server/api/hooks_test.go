package api_test

import (
	"context"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"testing"

	"bedwalk/schema"
	"bedwalk/server/hooks"
)

// madeHook adds a webhook past the routes, and gives its id.
func (s *site) madeHook(url string) string {
	s.Helper()
	id, _, err := s.hooks.Make(s.Context(), hooks.Hook{Name: "office", URL: url, Events: hooks.Events})
	if err != nil {
		s.Fatal(err)
	}
	return id
}

func TestAnOwnerAloneSeesAndChangesWebhooksAndNobodySeesASecretTwice(t *testing.T) {
	came := 0
	receiver := httptest.NewServer(http.HandlerFunc(func(http.ResponseWriter, *http.Request) { came++ }))
	defer receiver.Close()
	s := newSite(t)
	owner, boss := s.pair("owner"), s.pair("supervisor")
	ask := s.json(schema.HookAsk{Name: "office", URL: receiver.URL + "/path-secret", Events: []string{hooks.WalkEnded}})
	refused(t, "a supervisor's webhook", s.do(boss.cookie, "POST", "/api/hooks", ask), 403, "not_allowed")
	var made, fresh schema.HookSecret
	s.do(owner.cookie, "POST", "/api/hooks", ask).read(t, &made)
	path := "/api/hooks/" + made.ID
	for _, action := range []string{"/switch", "/secret", "/test", "/remove"} {
		refused(t, "a supervisor at "+action, s.do(boss.cookie, "POST", path+action, `{"on":false}`), 403, "not_allowed")
		refused(t, "no such webhook at "+action, s.do(owner.cookie, "POST", "/api/hooks/none"+action, `{"on":false}`), 404, "no_such_hook")
	}
	var try schema.HookTry
	s.do(owner.cookie, "POST", path+"/test", "").read(t, &try)
	if !try.OK || try.Status != 200 || came != 1 {
		t.Errorf("the test: %+v, %d came", try, came)
	}
	s.do(owner.cookie, "POST", path+"/secret", "").read(t, &fresh)
	r := s.do(owner.cookie, "GET", "/api/hooks", "")
	if !strings.HasPrefix(made.Secret, "whsec_") || fresh.Secret == made.Secret {
		t.Errorf("the secrets are %q and %q", made.Secret, fresh.Secret)
	}
	for _, where := range []string{string(r.body), s.log.String()} {
		for _, secret := range []string{made.Secret[6:20], fresh.Secret[6:20]} {
			if strings.Contains(where, secret) {
				t.Error("a secret is given again, or logged")
			}
		}
	}
	if strings.Contains(s.log.String(), "path-secret") {
		t.Error("the log has the webhook's address")
	}
	refused(t, "an address of clouds' metadata", s.do(owner.cookie, "POST", "/api/hooks",
		`{"name":"x","url":"http://169.254.169.254/","events":["walk.ended"]}`), 400, "hook_address")
	refused(t, "no such event", s.do(owner.cookie, "POST", "/api/hooks", `{"name":"x","url":"https://office.example/","events":["rain"]}`), 400, "no_such_event")
	refused(t, "no name", s.do(owner.cookie, "POST", "/api/hooks", `{"name":" ","url":"https://office.example/","events":["walk.ended"]}`), 400, "message")
}

func TestAWebhookThatWasSwitchedOffForFailingStandsInTheAttentionList(t *testing.T) {
	gone := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { w.WriteHeader(http.StatusGone) }))
	defer gone.Close()
	s := newSite(t)
	owner, scout := s.pair("owner"), s.pair("scout")
	n := s.plant(owner, scout)
	id := s.madeHook(gone.URL)
	attention := func() (found []schema.AttentionItem) {
		var view schema.AttentionView
		s.do(owner.cookie, "GET", "/api/views/attention", "").read(t, &view)
		return slices.DeleteFunc(view.Items, func(i schema.AttentionItem) bool { return i.Code != schema.AttentionWebhook })
	}
	if got := attention(); len(got) != 0 {
		t.Errorf("before: %+v", got)
	}
	scout.Note("walk_end", "", n.Bed, schema.WalkEnd{Walk: n.Walk, Bed: n.Bed, Why: "enough"})
	s.push(scout, scout.All(1))
	if err := s.hooks.Look(t.Context()); err != nil {
		t.Fatal(err)
	}
	if _, err := s.hooks.Deliver(context.Background()); err != nil {
		t.Fatal(err)
	}
	if got := attention(); len(got) != 1 || got[0].Devices[0] != "office" || got[0].CanSettle {
		t.Errorf("after it failed: %+v", got)
	}
	if r := s.do(owner.cookie, "POST", "/api/hooks/"+id+"/switch", `{"on":true}`); r.status != 200 {
		t.Fatalf("switching it on: %d", r.status)
	}
	if got := attention(); len(got) != 0 {
		t.Errorf("switched on again: %+v", got)
	}
}
