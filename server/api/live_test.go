package api_test

import (
	"errors"
	"net"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"bedwalk/schema"
	"bedwalk/server/live"
)

func (s *site) dial(cookie, origin string) (*websocket.Conn, *http.Response, error) {
	h := http.Header{"Cookie": {cookie}}
	if origin != "" {
		h.Set("Origin", origin)
	}
	return websocket.DefaultDialer.DialContext(s.Context(), "ws"+strings.TrimPrefix(s.http.URL, "http")+"/api/live", h)
}

func (s *site) listen(p *paired) *websocket.Conn {
	s.Helper()
	c, _, err := s.dial(p.cookie, s.http.URL)
	if err != nil {
		s.Fatal(err)
	}
	s.Cleanup(func() { c.Close() })
	return c
}

// hears waits for a nudge of at least some head.
func (s *site) hears(c *websocket.Conn, head int64) {
	s.Helper()
	if err := c.SetReadDeadline(time.Now().Add(2 * time.Minute)); err != nil {
		s.Fatal(err)
	}
	for {
		var n schema.Nudge
		if err := c.ReadJSON(&n); err != nil {
			s.Fatalf("waiting to hear of %d: %v", head, err)
		}
		if n.Head >= head {
			return
		}
	}
}

func TestOpenAppsHearOfNewNotesAndThenSeeThem(t *testing.T) {
	s := newSite(t)
	scout, other, boss := s.pair("scout"), s.pair("scout"), s.pair("supervisor")
	ears := []*websocket.Conn{s.listen(other), s.listen(boss)}
	n := s.plant(boss, scout)
	pot := scout.See(n, 3, 2, 200, 40)
	s.push(scout, scout.All(1))
	for _, c := range ears {
		s.hears(c, 10)
	}
	other.Note("correction", n.Lot, n.Bed, schema.Correction{Pot: pot, Replaces: pot, Now: n.Pot(3, 2, 210, 40)})
	s.push(other, other.All(1))
	s.hears(ears[1], 11)
	var bed schema.BedView
	s.do(boss.cookie, "GET", "/api/views/beds/"+n.Bed, "").read(t, &bed)
	if len(bed.Pots) != 1 || *bed.Pots[0].Now.HeadAMM != 210 {
		t.Fatalf("the supervisor sees %+v", bed.Pots)
	}
}

func TestAWebSocketIsOpenedOnlyForPairedDevicesFromOurOwnPages(t *testing.T) {
	s := newSite(t)
	scout := s.pair("scout")
	for _, one := range []struct {
		name, cookie, origin string
		status               int
	}{
		{"another site's page", scout.cookie, "https://elsewhere.example", 403},
		{"a page without an address", scout.cookie, "null", 403},
		{"nobody", "", s.http.URL, 401},
	} {
		t.Run(one.name, func(t *testing.T) {
			c, response, err := s.dial(one.cookie, one.origin)
			if err == nil {
				c.Close()
				t.Fatal("it was opened")
			}
			if response.StatusCode != one.status {
				t.Fatalf("got %d, want %d", response.StatusCode, one.status)
			}
		})
	}
	if r := s.do(scout.cookie, "GET", "/api/live", ""); r.status != 426 || problem(t, r).Code != "no_websocket" {
		t.Fatalf("a plain request got %d %s", r.status, r.body)
	}
}

func TestARevokedPhoneStopsHearing(t *testing.T) {
	s := newSite(t)
	scout, boss := s.pair("scout"), s.pair("supervisor")
	c := s.listen(scout)
	s.do(boss.cookie, "POST", "/api/devices/"+scout.Device+"/revoke", "")
	_ = c.SetReadDeadline(time.Now().Add(2 * time.Minute))
	for {
		if _, _, err := c.ReadMessage(); err != nil {
			if !websocket.IsCloseError(err, websocket.CloseGoingAway) {
				t.Fatalf("ended by %v", err)
			}
			return
		}
	}
}

func TestADeviceHasSoManyConnectionsAndNoMore(t *testing.T) {
	s := newSite(t)
	scout := s.pair("scout")
	for range live.DefaultLimits.Device {
		s.listen(scout)
	}
	c, response, err := s.dial(scout.cookie, s.http.URL)
	if err == nil {
		c.Close()
		t.Fatal("one more was opened")
	}
	if response.StatusCode != 503 {
		t.Fatalf("got %d", response.StatusCode)
	}
}

func TestAnAppThatTalksTooMuchIsCutOff(t *testing.T) {
	s := newSite(t)
	c := s.listen(s.pair("scout"))
	if err := c.WriteMessage(websocket.TextMessage, []byte(strings.Repeat("x", 5000))); err != nil {
		// Cut off before it had said all.
		return
	}
	// For what has stopped: this end answers pings while it reads, so the heartbeat ends nothing.
	_ = c.SetReadDeadline(time.Now().Add(2 * time.Minute))
	for {
		_, _, err := c.ReadMessage()
		if late := net.Error(nil); errors.As(err, &late) && late.Timeout() {
			t.Fatal("it may go on talking")
		}
		if err != nil {
			// How it ends is not asked: whether the server's goodbye gets through before it hangs up with half the
			// message unread, and within the second that the WebSocket library gives it, is a matter of the load.
			return
		}
	}
}
