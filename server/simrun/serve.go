package simrun

import (
	"context"
	"errors"
	"slices"
	"sync"
	"time"

	"bedwalk/sync/sim"
)

// How requests come to several servers, of which one may stand still.

// longest is how many requests others answer before a server goes on that stands still in a write.
const longest = 4

// Serve is sim.Host's: the request comes to any of those that run, also to one that stands still.
func (h *servers) Serve(r sim.Request) (sim.Response, error) {
	var up []*server
	for _, s := range h.all {
		if s.runs() {
			up = append(up, s)
		}
	}
	if len(up) == 0 {
		return sim.Response{}, sim.ErrDied
	}
	s := up[h.roll.IntN(len(up))]
	if s == h.still.of {
		return sim.Response{}, sim.ErrNoAnswer
	}
	got, err := h.serveAt(s, r)
	if err != nil {
		return got, err
	}
	for _, other := range h.running() {
		if other != s && h.roll.IntN(2) == 0 {
			_ = h.hears(other)
		}
	}
	return got, h.ends(s)
}

// ends is what becomes of a server after an answer. A death is one that nobody hears of but by no answer; one whose database is another is started again.
func (h *servers) ends(s *server) error {
	if s.died {
		if err := s.stop(); err != nil {
			return err
		}
		return sim.ErrNoAnswer
	}
	if s.base.Present() != nil {
		return h.Revive()
	}
	return nil
}

func (h *servers) serveAt(s *server, r sim.Request) (sim.Response, error) {
	read, err := h.prepares(s, r)
	if err != nil {
		return sim.Response{}, err
	}
	defer func() { h.meanwhile = nil }()
	answered, stood := make(chan sim.Response, 1), make(chan struct{})
	// While one stands still no other does.
	holds := h.holds()
	h.still.watch(stood)
	go func() { answered <- ask(s.handler, r) }()
	for {
		select {
		case got := <-answered:
			h.still.watch(nil)
			got.Meanwhile = read()
			return got, h.passes()
		case <-stood:
			h.still.done = answered
			var err error
			if h.still.moment == sim.TooLong {
				err = h.base.giveUp(context.Background())
			}
			return sim.Response{}, errors.Join(err, sim.ErrNoAnswer)
		case <-time.After(time.Millisecond):
			if !holds {
				continue
			}
			waits, err := h.base.waits(context.Background())
			if err == nil && waits {
				// Whose message would be lost now is anybody's guess.
				h.line.arm(lineFaults{away: h.fault.Kind == sim.DatabaseAway})
				holds, err = false, h.GoOn()
			}
			if err != nil {
				return sim.Response{}, err
			}
		}
	}
}

// holds is true while a server stands still with a transaction open, for which every other writer waits.
func (h *servers) holds() bool { return h.still.of != nil && h.still.moment == sim.InIt }

// settles has it go on, before something that nobody should wait for.
func (h *servers) settles() error {
	if h.holds() {
		return h.GoOn()
	}
	return nil
}

// passes counts what was answered meanwhile, and has it go on before the database would give its transaction up.
func (h *servers) passes() error {
	if !h.holds() {
		return nil
	}
	if h.still.served++; h.still.served < longest {
		return nil
	}
	return h.GoOn()
}

// prepares has another server answer r.Meanwhile while the write of r is open, and returns what gives its answer.
func (h *servers) prepares(s *server, r sim.Request) (read func() *sim.Response, err error) {
	none := func() *sim.Response { return nil }
	if r.Meanwhile == nil {
		return none, nil
	}
	if err := h.settles(); err != nil {
		return none, err
	}
	at := s
	for _, other := range h.running() {
		if other != s {
			at = other
		}
	}
	// That a phone was seen is written once a minute, which would have to wait for the batch.
	_ = h.spared(func() error {
		ask(at.handler, sim.Request{Method: "GET", Path: "/api/me", Token: r.Meanwhile.Token})
		return nil
	})
	answered := make(chan sim.Response, 1)
	var one *sim.Response
	began := false
	h.meanwhile = func() {
		began = true
		_ = h.spared(func() error {
			go func() { answered <- ask(at.handler, *r.Meanwhile) }()
			for {
				select {
				case got := <-answered:
					one = &got
					return nil
				case <-time.After(time.Millisecond):
					// It has something to write after all, and waits for what waits for it.
					if waits, err := h.base.waits(context.Background()); err != nil || waits {
						return err
					}
				}
			}
		})
	}
	return func() *sim.Response {
		if began && one == nil {
			<-answered
		}
		return one
	}, nil
}

// standing is a server that stands still: armed says that the next write is to, at a moment; of is who does since it closed since, and goes on once on is
// closed, to its end where ends is true. done gives the answer that nobody waits for, and served counts what others answered meanwhile.
type standing struct {
	mu        sync.Mutex
	armed     bool
	moment    sim.Moment
	of        *server
	since, on chan struct{}
	ends      bool
	done      <-chan sim.Response
	served    int
}

// watch says that a request is served, in which a server may come to stand still, or with nil that none is.
func (st *standing) watch(since chan struct{}) {
	st.mu.Lock()
	defer st.mu.Unlock()
	st.since = since
}

// StandStill is sim.Servers'.
func (h *servers) StandStill(at sim.Moment) {
	if h.still.of == nil {
		h.still.armed, h.still.moment = true, at
	}
}

// stands has a server stand still, where it is to at one of these moments. Its error is the server's end.
func (h *servers) stands(s *server, moments ...sim.Moment) error {
	st := &h.still
	st.mu.Lock()
	if !st.armed || st.since == nil || !slices.Contains(moments, st.moment) || len(h.running()) < 2 {
		st.mu.Unlock()
		return nil
	}
	on := make(chan struct{})
	st.armed, st.of, st.on, st.served, s.spared = false, s, on, 0, true
	close(st.since)
	st.since = nil
	st.mu.Unlock()
	<-on
	if st.ends {
		return sim.ErrDied
	}
	return nil
}

// GoOn is sim.Servers': whoever stands still goes on to the end of what it was asked. Nobody waits for its answer any more.
func (h *servers) GoOn() error {
	st := &h.still
	st.armed = false
	s := st.of
	if s == nil {
		return nil
	}
	close(st.on)
	<-st.done
	st.mu.Lock()
	st.of, st.ends, s.spared = nil, false, false
	st.mu.Unlock()
	if st.moment == sim.InIt {
		return nil
	}
	return h.ended(s)
}

// ended is ends without anybody who waits.
func (h *servers) ended(s *server) error {
	if err := h.ends(s); !errors.Is(err, sim.ErrNoAnswer) {
		return err
	}
	return nil
}

func (h *servers) AtOnce(all []sim.Request) []sim.Response {
	up := h.running()
	answers := make([]sim.Response, len(all))
	var wait sync.WaitGroup
	for i := range all {
		wait.Go(func() { answers[i] = ask(up[i%len(up)].handler, all[i]) })
	}
	wait.Wait()
	return answers
}
