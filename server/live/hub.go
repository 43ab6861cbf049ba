// Package live tells open apps that the server has something new, and nothing else: one short message, "the server is
// at position N", after which each app pulls by its own cursor.
//
// Every connection has one writing goroutine and a queue of one: a newer position replaces one that was not yet sent,
// so a slow phone costs nothing, and one that does not even take that within the deadline is dropped. The central type
// is Hub.
package live

import (
	"encoding/json"
	"net/http"
	"sync"
	"time"

	"github.com/gorilla/websocket"

	"bedwalk/schema"
)

// The heartbeat: a ping every PingEvery; a connection from which nothing came for PongWithin is dead.
const (
	PingEvery   = 25 * time.Second
	PongWithin  = 60 * time.Second
	writeWithin = 10 * time.Second
	readLimit   = 512
)

// Errors of a connection that is not taken; nothing was written to it yet.
var (
	ErrFull = schema.NewProblem(http.StatusServiceUnavailable, "too_many_connections", "Too many open connections.",
		"Close other tabs, this one tries again by itself.")
	ErrClosing = schema.NewProblem(http.StatusServiceUnavailable, "closing", "The server is being stopped.",
		"This tab tries again by itself.")
)

// Limits bound the open connections, in all and of one device.
type Limits struct{ All, Device int }

// DefaultLimits fit a nursery with tens of phones and a few desks with many tabs.
var DefaultLimits = Limits{All: 500, Device: 8}

// Hub holds the open connections.
type Hub struct {
	limits   Limits
	upgrader websocket.Upgrader

	mu   sync.Mutex
	last schema.Nudge
	// open has connections from before their handshake until they have ended.
	open    map[*client]bool
	devices map[string]int
	closing bool
	running sync.WaitGroup
}

// New makes a hub. SameOrigin says whether a request's Origin header is one of ours; a page of another site must not
// listen with the visitor's cookie.
func New(limits Limits, sameOrigin func(*http.Request) bool) *Hub {
	return &Hub{
		limits:  limits,
		open:    map[*client]bool{},
		devices: map[string]int{},
		upgrader: websocket.Upgrader{
			HandshakeTimeout: writeWithin, ReadBufferSize: 512, WriteBufferSize: 512, CheckOrigin: sameOrigin,
			Error: func(http.ResponseWriter, *http.Request, int, error) {},
		},
	}
}

// client is one connection. next holds at most the newest nudge.
type client struct {
	conn   *websocket.Conn
	device string
	next   chan schema.Nudge
	gone   chan struct{}
	once   sync.Once
}

// Serve takes a connection over and returns when it ends. An error means that it was not taken and that the caller
// still answers the request.
func (h *Hub) Serve(w http.ResponseWriter, r *http.Request, device string) error {
	c := &client{device: device, next: make(chan schema.Nudge, 1), gone: make(chan struct{})}
	if err := h.join(c); err != nil {
		return err
	}
	defer h.left(c)
	conn, err := h.upgrader.Upgrade(w, r, nil)
	if err != nil {
		return err
	}
	c.conn = conn
	go c.write()
	c.read()
	c.leave()
	return nil
}

// join counts a connection in before it is opened: an app that knows its connection is open receives everything from
// then on, also that it is dropped.
func (h *Hub) join(c *client) error {
	h.mu.Lock()
	defer h.mu.Unlock()
	switch {
	case h.closing:
		return ErrClosing
	case len(h.open) >= h.limits.All, h.devices[c.device] >= h.limits.Device:
		return ErrFull
	}
	h.open[c] = true
	h.devices[c.device]++
	h.running.Add(1)
	c.offer(h.last)
	return nil
}

func (h *Hub) left(c *client) {
	h.mu.Lock()
	delete(h.open, c)
	if h.devices[c.device]--; h.devices[c.device] == 0 {
		delete(h.devices, c.device)
	}
	h.mu.Unlock()
	h.running.Done()
}

// Nudge tells every open connection. Of two writers that are through at the same moment the earlier may call last; its
// position does not take the place of the later one's.
func (h *Hub) Nudge(n schema.Nudge) {
	h.mu.Lock()
	defer h.mu.Unlock()
	if n.Epoch == h.last.Epoch {
		n.Head = max(n.Head, h.last.Head)
	}
	h.last = n
	for c := range h.open {
		c.offer(n)
	}
}

// Connected is how many devices have a connection open.
func (h *Hub) Connected() int {
	h.mu.Lock()
	defer h.mu.Unlock()
	return len(h.devices)
}

// Drop ends the connections of one device, as when its access is taken back.
func (h *Hub) Drop(device string) {
	h.mu.Lock()
	defer h.mu.Unlock()
	for c := range h.open {
		if c.device == device {
			c.leave()
		}
	}
}

// Close says goodbye on every connection and waits until all have ended.
func (h *Hub) Close() {
	h.mu.Lock()
	h.closing = true
	for c := range h.open {
		c.leave()
	}
	h.mu.Unlock()
	h.running.Wait()
}

// offer replaces what was not sent yet by what is newer. The hub's lock is held, so nobody else offers.
func (c *client) offer(n schema.Nudge) {
	select {
	case <-c.next:
	default:
	}
	c.next <- n
}

func (c *client) leave() { c.once.Do(func() { close(c.gone) }) }

// write is the only goroutine that writes to the connection; it closes it when done, which ends read.
func (c *client) write() {
	defer c.conn.Close()
	ping := time.NewTicker(PingEvery)
	defer ping.Stop()
	for {
		select {
		case n := <-c.next:
			raw, err := json.Marshal(n)
			if err != nil || c.send(websocket.TextMessage, raw) != nil {
				return
			}
		case <-ping.C:
			if c.send(websocket.PingMessage, nil) != nil {
				return
			}
		case <-c.gone:
			_ = c.send(websocket.CloseMessage, websocket.FormatCloseMessage(websocket.CloseGoingAway, ""))
			return
		}
	}
}

func (c *client) send(kind int, raw []byte) error {
	if err := c.conn.SetWriteDeadline(time.Now().Add(writeWithin)); err != nil {
		return err
	}
	return c.conn.WriteMessage(kind, raw)
}

// read waits for pongs and for the end; an app has nothing to say here, and a long message ends the connection.
func (c *client) read() {
	c.conn.SetReadLimit(readLimit)
	alive := func(string) error { return c.conn.SetReadDeadline(time.Now().Add(PongWithin)) }
	c.conn.SetPongHandler(alive)
	for alive("") == nil {
		if _, _, err := c.conn.ReadMessage(); err != nil {
			return
		}
	}
}
