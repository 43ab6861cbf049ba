package live_test

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"bedwalk/schema"
	"bedwalk/server/live"
)

func serve(t *testing.T, h *live.Hub) (dial func() *websocket.Conn) {
	t.Helper()
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if err := h.Serve(w, r, "d"); err != nil {
			http.Error(w, err.Error(), http.StatusTeapot)
		}
	}))
	t.Cleanup(server.Close)
	return func() *websocket.Conn {
		t.Helper()
		c, _, err := websocket.DefaultDialer.DialContext(t.Context(), "ws"+strings.TrimPrefix(server.URL, "http"), nil)
		if err != nil {
			t.Fatal(err)
		}
		if err := c.SetReadDeadline(time.Now().Add(2 * time.Minute)); err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { c.Close() })
		return c
	}
}

func anyOrigin(*http.Request) bool { return true }

func TestAnAppThatJoinsHearsAtOnceWhereTheServerIs(t *testing.T) {
	h := live.New(live.Limits{All: 10, Device: 10}, anyOrigin)
	h.Nudge(schema.Nudge{Epoch: "e", Head: 41})
	c := serve(t, h)()
	var n schema.Nudge
	if err := c.ReadJSON(&n); err != nil || n.Head != 41 || n.Epoch != "e" {
		t.Fatalf("heard %+v, %v", n, err)
	}
}

func TestASlowAppMissesNudgesInBetweenButNeverTheLast(t *testing.T) {
	h := live.New(live.Limits{All: 10, Device: 10}, anyOrigin)
	c := serve(t, h)()
	const last = 200_000
	for head := int64(1); head <= last; head++ {
		h.Nudge(schema.Nudge{Head: head})
	}
	before := int64(-1)
	for before < last {
		var n schema.Nudge
		if err := c.ReadJSON(&n); err != nil {
			t.Fatal(err)
		}
		if n.Head <= before {
			t.Fatalf("heard %d after %d", n.Head, before)
		}
		before = n.Head
	}
}

func TestOfTwoWritersAtOnceTheEarlierDoesNotTakeTheLatersPlace(t *testing.T) {
	h := live.New(live.Limits{All: 10, Device: 10}, anyOrigin)
	for _, n := range []schema.Nudge{{Epoch: "e", Head: 7}, {Epoch: "e", Head: 6}} {
		h.Nudge(n)
	}
	c := serve(t, h)()
	var n schema.Nudge
	if err := c.ReadJSON(&n); err != nil || n.Head != 7 {
		t.Fatalf("heard %+v, %v", n, err)
	}
	// A restored server is at an earlier position, in another epoch.
	h.Nudge(schema.Nudge{Epoch: "restored", Head: 3})
	if err := c.ReadJSON(&n); err != nil || n.Head != 3 {
		t.Fatalf("heard %+v, %v", n, err)
	}
}

func TestStoppingSaysGoodbyeAndWaitsUntilAllHaveGone(t *testing.T) {
	h := live.New(live.Limits{All: 10, Device: 10}, anyOrigin)
	dial := serve(t, h)
	c := dial()
	var n schema.Nudge
	if err := c.ReadJSON(&n); err != nil {
		t.Fatal(err)
	}
	h.Close()
	if h.Open() != 0 {
		t.Fatalf("%d connections are still open", h.Open())
	}
	if _, _, err := c.ReadMessage(); !websocket.IsCloseError(err, websocket.CloseGoingAway) {
		t.Fatalf("ended by %v", err)
	}
}

func TestADeviceThatIsShutOutWhileItJoinsIsDroppedToo(t *testing.T) {
	var h *live.Hub
	// The origin is asked for while the connection is being opened.
	h = live.New(live.Limits{All: 10, Device: 10}, func(*http.Request) bool {
		h.Drop("d")
		return true
	})
	c := serve(t, h)()
	for {
		if _, _, err := c.ReadMessage(); err != nil {
			if !websocket.IsCloseError(err, websocket.CloseGoingAway) {
				t.Fatalf("ended by %v", err)
			}
			return
		}
	}
}

func TestConnectionsAreLimitedInAll(t *testing.T) {
	h := live.New(live.Limits{All: 1, Device: 10}, anyOrigin)
	first := serve(t, h)()
	var n schema.Nudge
	if err := first.ReadJSON(&n); err != nil {
		t.Fatal(err)
	}
	w := httptest.NewRecorder()
	if err := h.Serve(w, httptest.NewRequest("GET", "/", nil), "other"); err != live.ErrFull {
		t.Fatalf("got %v, want ErrFull", err)
	}
}
