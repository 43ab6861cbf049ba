package api_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
	"sync/atomic"
	"testing"

	"github.com/gorilla/websocket"
	"golang.org/x/sync/errgroup"

	"bedwalk/schema"
	"bedwalk/server/testphone"
)

// A crew comes back into range at the end of its shift: so many phones, each with so many batches of so many notes.
const (
	crowd        = 20
	crowdBatches = 4
	crowdNotes   = 20
	// A phone that is through goes on with new notes until the last one is through. That so many batches of others are
	// answered while one waits for its answer is starving. How long it takes says nothing, nor how many batches one gets
	// in while another is not given the processor to send its own: both are the machine's load.
	crowdMost = 50 * crowd
)

// crowded is one phone of the crowd: the answers to its notes, and what it has pulled.
type crowded struct {
	*paired
	site   *site
	walk   testphone.Nursery
	epoch  string
	given  []schema.Given
	pulled []schema.Pulled
	// sentAt is how many batches had been answered when it sent the one that it waits for, -1 while it waits for none.
	sentAt atomic.Int64
}

// ear listens for one phone from the beginning: a connection that nobody reads gives no sign of life, and on a slow
// machine is dropped for that.
type ear struct {
	conn *websocket.Conn
	head chan int64
}

func (s *site) open(p *paired) *ear {
	s.Helper()
	e := &ear{s.listen(p), make(chan int64, 1)}
	go func() {
		defer close(e.head)
		for {
			var n schema.Nudge
			if err := e.conn.ReadJSON(&n); err != nil {
				return
			}
			select {
			case <-e.head:
			default:
			}
			e.head <- n.Head
		}
	}()
	return e
}

// hears waits for a nudge of at least some head.
func (e *ear) hears(t *testing.T, head int64) {
	t.Helper()
	for n := range e.head {
		if n >= head {
			return
		}
	}
	t.Fatalf("the connection was dropped before it heard of %d", head)
}

func TestTwentyPhonesAtOnceLoseNothingRepeatNothingAndNobodyStarves(t *testing.T) {
	s := newSite(t)
	desk := s.pair("supervisor")
	n := desk.Plant()
	s.push(desk, desk.All(1))
	var phones []*crowded
	var ears []*ear
	for range crowd {
		c := &crowded{paired: s.pair("scout"), site: s, walk: n, epoch: s.store.Epoch()}
		c.walk.Walk = testphone.ID("walk " + c.Device)
		c.StartWalk(c.walk)
		c.sentAt.Store(-1)
		phones, ears = append(phones, c), append(ears, s.open(c.paired))
	}
	var through atomic.Int32
	var answered atomic.Int64
	var group errgroup.Group
	for _, c := range phones {
		group.Go(func() error {
			for batch := 1; through.Load() < crowd; batch++ {
				for _, other := range phones {
					if at := other.sentAt.Load(); at >= 0 && answered.Load()-at > crowdMost {
						return fmt.Errorf("%s waits for an answer while %d batches of others were answered", other.Device, answered.Load()-at)
					}
				}
				if err := c.sync(batch, &answered); err != nil {
					return fmt.Errorf("%s: %w", c.Device, err)
				}
				if batch == crowdBatches {
					through.Add(1)
				}
			}
			return nil
		})
	}
	if err := group.Wait(); err != nil {
		t.Fatal(err)
	}
	wrote := len(desk.Raw)
	for _, c := range phones {
		wrote += len(c.Raw)
	}
	if s.store.Head() != int64(wrote) {
		t.Fatalf("the journal has %d notes of %d", s.store.Head(), wrote)
	}
	for i, c := range phones {
		if err := c.pull(); err != nil {
			t.Fatal(err)
		}
		ears[i].hears(t, s.store.Head())
	}
	all := phones[0].pulled
	haveAll(t, all, phones)
	digest, err := testphone.Digest("", s.store.Epoch(), all)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range phones {
		if !slices.EqualFunc(c.pulled, all, samePulled) {
			t.Errorf("%s pulled other notes than %s", c.Device, phones[0].Device)
		}
		digest.Device = c.Device
		var answer schema.DigestAnswer
		if s.do(c.cookie, "POST", "/api/digest", s.json(digest)).read(t, &answer); !answer.Equal {
			t.Errorf("%s does not hold what the server holds: %+v", c.Device, answer)
		}
	}
}

func samePulled(a, b schema.Pulled) bool {
	return a.Position == b.Position && a.Stamp == b.Stamp && bytes.Equal(a.Entry, b.Entry)
}

// sync notes some pots, sends them, every third time once more as when the answer was lost on its way, and pulls what
// others sent meanwhile.
func (c *crowded) sync(batch int, answered *atomic.Int64) error {
	from := len(c.given) + 1
	for i := range crowdNotes {
		c.See(c.walk, 1+i%10, 1+i%5, 180+batch, 40)
	}
	c.sentAt.Store(answered.Load())
	answer, err := c.site.tryPush(c.paired, c.All(from))
	if err != nil {
		return err
	}
	c.sentAt.Store(-1)
	answered.Add(1)
	for _, given := range answer.Given {
		if given.State != "merged" {
			return fmt.Errorf("a note is %+v", given)
		}
	}
	c.given = append(c.given, answer.Given...)
	if batch%3 == 0 {
		again, err := c.site.tryPush(c.paired, c.All(from))
		if err != nil {
			return err
		}
		for i, given := range again.Given {
			if given.Position != answer.Given[i].Position || given.Stamp != answer.Given[i].Stamp {
				return fmt.Errorf("a repeat of %+v was answered %+v", answer.Given[i], given)
			}
		}
	}
	return c.pull()
}

// pull fetches all that comes after what it has.
func (c *crowded) pull() error {
	for {
		after := int64(0)
		if n := len(c.pulled); n > 0 {
			after = c.pulled[n-1].Position
		}
		r, err := c.site.ask(c.cookie, "GET", fmt.Sprintf("/api/pull?epoch=%s&after=%d", c.epoch, after), "")
		if err != nil {
			return err
		}
		var page schema.Pull
		if r.status != 200 {
			return fmt.Errorf("pull: %d %s", r.status, r.body)
		}
		if err := json.Unmarshal(r.body, &page); err != nil {
			return err
		}
		if c.pulled = append(c.pulled, page.Items...); !page.More {
			return nil
		}
	}
}

// haveAll fails unless every position was pulled once, and every phone's notes once, in their order, where they were said
// to stand.
func haveAll(t *testing.T, pulled []schema.Pulled, phones []*crowded) {
	t.Helper()
	for i, item := range pulled {
		if item.Position != int64(i+1) {
			t.Fatalf("position %d was pulled as number %d", item.Position, i+1)
		}
	}
	for _, c := range phones {
		last := int64(0)
		for i, given := range c.given {
			if given.Position <= last || given.Position > int64(len(pulled)) {
				t.Fatalf("note %d of %s stands at %d, the one before at %d", i+1, c.Device, given.Position, last)
			}
			last = given.Position
			if !samePulled(pulled[last-1], schema.Pulled{Position: last, Stamp: given.Stamp, Entry: c.Raw[i]}) {
				t.Fatalf("another note was pulled at %d than note %d of %s", last, i+1, c.Device)
			}
		}
	}
}
