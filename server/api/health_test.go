package api_test

import (
	"net/http"
	"os"
	"strings"
	"testing"
	"time"

	"bedwalk/schema"
	"bedwalk/server/api"
	"bedwalk/server/db"
)

func TestWhateverWatchesTheServerLearnsThatItRunsAndWhetherItTakesNotes(t *testing.T) {
	s := newSite(t)
	for _, path := range []string{"/healthz", "/readyz"} {
		var health schema.Health
		s.do("", "GET", path, "").read(t, &health)
		if health.Build != "test" || health.Since != s.clock.UnixMilli() {
			t.Errorf("%s: %+v", path, health)
		}
	}
	if err := os.Remove(s.db.Path()); err != nil {
		t.Fatal(err)
	}
	if r := s.do("", "GET", "/readyz", ""); r.status != http.StatusServiceUnavailable || !strings.Contains(string(r.body), db.ErrGone.Error()[:20]) {
		t.Errorf("without its file: %d %s", r.status, r.body)
	}
	if r := s.do("", "GET", "/healthz", ""); r.status != http.StatusOK {
		t.Errorf("the program still runs: %d %s", r.status, r.body)
	}
}

func TestAServerWhoseClockJumpedTakesNoNotesAndSaysSo(t *testing.T) {
	s := newSite(t)
	if r := s.do("", "GET", "/readyz", ""); r.status != http.StatusOK {
		t.Fatalf("before: %d %s", r.status, r.body)
	}
	s.clock, s.jumped = s.clock.Add(time.Hour), time.Hour
	if r := s.do("", "GET", "/readyz", ""); r.status != http.StatusServiceUnavailable || !strings.Contains(string(r.body), "clock") {
		t.Errorf("after an hour's jump: %d %s", r.status, r.body)
	}
}

func TestARequestKeepsAProxysNameForItIfThatIsShortAndPlain(t *testing.T) {
	observed := map[string]int{}
	s := newSite(t, func(o *api.Options) {
		o.Observe = func(method, route string, status int, _ time.Duration) { observed[method+" "+route]++ }
	})
	for brought, stays := range map[string]bool{"web-1.3f_9": true, "": false, "two\twords": false, strings.Repeat("x", 65): false, "a\"b": false} {
		request, err := http.NewRequest(http.MethodGet, s.http.URL+"/healthz", http.NoBody)
		if err != nil {
			t.Fatal(err)
		}
		request.Header.Set("X-Request-Id", brought)
		answer, err := http.DefaultClient.Do(request)
		if err != nil {
			t.Fatal(err)
		}
		answer.Body.Close()
		given := answer.Header.Get("X-Request-Id")
		if stays != (given == brought) || given == "" {
			t.Errorf("%q is called %q", brought, given)
		}
		if !strings.Contains(s.log.String(), "id="+given) {
			t.Errorf("%q is not in the log", given)
		}
	}
	if observed["GET /healthz"] != 5 {
		t.Errorf("observed: %v", observed)
	}
}
