package journal_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"testing"
	"time"

	"bedwalk/schema"
	"bedwalk/server/db"
	"bedwalk/server/journal"
	"bedwalk/server/store/lite"
	"bedwalk/server/testphone"
)

const (
	hours = time.Hour
	days  = 24 * hours
	years = 365 * days
)

// clocked is a store on a machine whose clock can be set (ahead) apart from the time that really passes (b.clock).
type clocked struct {
	*bench
	ahead time.Duration
	phone *testphone.Phone
	sent  int
}

func newClocked(t *testing.T, ahead time.Duration) *clocked {
	c := &clocked{bench: &bench{T: t, dir: testphone.Ready(t), clock: time.UnixMilli(1_700_000_000_000)}, ahead: ahead, phone: testphone.New("a")}
	c.start()
	t.Cleanup(func() { c.stop() })
	return c
}

func (c *clocked) start() {
	c.Helper()
	var err error
	if c.db, err = db.Open(c.Context(), db.Options{Path: c.dir + "/" + db.File}); err != nil {
		c.Fatal(err)
	}
	c.store, err = journal.Open(c.Context(), journal.Options{
		Site: lite.Journal(c.db), Dir: c.db.Dir(), Now: func() time.Time { return c.clock.Add(c.ahead) }, Mono: func() int64 { return c.clock.UnixMilli() },
	})
	if err != nil {
		c.Fatal(err)
	}
}

// passes lets real time pass while the server runs, or is off.
func (c *clocked) passes(d time.Duration) { c.clock = c.clock.Add(d) }

func (c *clocked) off(d time.Duration) {
	c.stop()
	c.passes(d)
	c.start()
}

// note writes one note now and pushes all that was not acknowledged. It is the server's answer to the newest.
func (c *clocked) note() (schema.Stamp, error) {
	c.phone.Wall = c.clock.UnixMilli()
	c.phone.Note("note", "", "", schema.Note{Words: "dry"})
	push := c.phone.All(c.sent + 1)
	push.SentWall, push.Session = c.clock.UnixMilli(), "another"
	answer, err := c.store.Push(c.Context(), push, journal.Sender{Device: "a"})
	if err != nil {
		return schema.Stamp{}, err
	}
	c.sent = len(c.phone.Raw)
	return answer.Given[len(answer.Given)-1].Stamp, nil
}

// right fails unless a note is stamped with the real time.
func (c *clocked) right() {
	c.Helper()
	st, err := c.note()
	if err != nil {
		c.Fatalf("no stamp is given: %v", err)
	}
	if off := st.At - c.clock.UnixMilli(); off < -5*60_000 || off > 5*60_000 {
		c.Fatalf("stamped %s off", time.Duration(off)*time.Millisecond)
	}
}

// refuses fails unless a note gets no stamp, while everything that was pushed before can be read.
func (c *clocked) refuses(why string) {
	c.Helper()
	head := c.store.Head()
	_, err := c.note()
	var r *schema.Problem
	if !errors.As(err, &r) || r.Code != journal.CodeClock || r.Detail == "" || r.Remedy == "" {
		c.Fatalf("a clock that is %s was answered with %v", why, err)
	}
	view, err := c.store.Clock(c.Context())
	if err != nil || view.Doubt != why {
		c.Fatalf("the desk is told %+v, %v, want %s", view, err, why)
	}
	if n := len(c.pullAll()); int64(n) != head || c.store.Head() != head {
		c.Fatalf("%d notes are pulled of %d", n, head)
	}
	if c.sent > 0 {
		repeat := c.phone.Batch(1, c.sent)
		if _, err := c.store.Push(c.Context(), repeat, journal.Sender{Device: "a"}); err != nil {
			c.Fatalf("what needs no stamp was not acknowledged again: %v", err)
		}
	}
	if c.incidents("server_clock") == 0 {
		c.Fatal("nobody is told")
	}
}

// hear lets phones speak whose clocks are ahead of the real time.
func (c *clocked) hear(ahead ...time.Duration) {
	for i, d := range ahead {
		c.store.Heard(fmt.Sprintf("person %d", i), c.clock.Add(d).UnixMilli())
	}
}

func TestAClockThatJumpsWhileTheServerRunsGivesNoStampUntilItIsRight(t *testing.T) {
	for _, jump := range []time.Duration{10 * time.Minute, 3 * hours, 40 * days, 10 * years, -10 * time.Minute, -3 * hours, -40 * days, -10 * years} {
		t.Run(jump.String(), func(t *testing.T) {
			c := newClocked(t, 0)
			c.right()
			c.passes(hours)
			c.ahead = jump
			c.refuses(schema.ClockJumped)
			if off := time.UnixMilli(c.store.NowMS()).Sub(c.clock); off < -time.Second || off > time.Second {
				t.Errorf("beds are judged by a time that is %s off", off)
			}
			c.passes(hours)
			c.refuses(schema.ClockJumped)
			c.ahead = 0
			c.right()
		})
	}
}

func TestAClockThatIsSlewedIsBelieved(t *testing.T) {
	c := newClocked(t, 0)
	c.right()
	for range 60 {
		c.passes(days)
		// 500 ppm, the most that NTP slews by (RFC 5905).
		c.ahead += days / 2000
		c.taken(c.ahead)
	}
}

// taken is right for a clock that is known to be off.
func (c *clocked) taken(off time.Duration) {
	c.Helper()
	if _, err := c.note(); err != nil {
		c.Fatalf("a clock that was slewed by %s gives no stamp: %v", off, err)
	}
}

func TestOnlyMostOfThreePeoplesPhonesMoveAClockThatJumped(t *testing.T) {
	c := newClocked(t, 0)
	c.right()
	c.ahead = 3 * hours
	c.refuses(schema.ClockJumped)
	c.hear(3 * hours)
	c.refuses(schema.ClockJumped)
	c.hear(3*hours, 0, 0)
	c.refuses(schema.ClockJumped)
	for range 5 {
		// One person with many phones is one voice.
		c.store.Heard("liar", c.clock.Add(3*hours).UnixMilli())
	}
	c.refuses(schema.ClockJumped)

	// The machine slept, or its monotonic clock stood still: it is the clock that is right.
	c = newClocked(t, -3*hours)
	c.taken(-3 * hours)
	c.ahead = 0
	c.refuses(schema.ClockJumped)
	c.hear(0, time.Minute, -40*days)
	c.right()
}

func TestThreePeoplesPhonesShakeAClockThatWasWrongFromTheStart(t *testing.T) {
	c := newClocked(t, 3*hours)
	c.taken(3 * hours)
	c.hear(0, 0)
	c.taken(3 * hours)
	c.hear(0, 0, 3*hours)
	c.refuses(schema.ClockPhones)
	c.ahead = 0
	c.right()
}

func TestAfterAStartTheLastStampAndPhonesAreAsked(t *testing.T) {
	c := newClocked(t, 0)
	c.right()
	c.off(time.Minute)
	c.right()
	c.off(14 * hours)
	c.refuses(schema.ClockUnproven)
	c.hear(2 * hours)
	c.refuses(schema.ClockUnproven)
	c.hear(2*hours, 0)
	c.refuses(schema.ClockUnproven)
	c.hear(0)
	c.right()
	// Two years of standstill, as after a clock that is two years ahead: one phone's word is not enough.
	c.off(2 * years)
	c.hear(0)
	c.refuses(schema.ClockUnproven)
	c.hear(0, 0)
	c.right()
	c.ahead = -2 * years
	c.off(hours)
	c.refuses(schema.ClockBehind)
	c.hear(-2*years, -2*years)
	c.refuses(schema.ClockBehind)
	c.ahead = 0
	c.hear(0, 0)
	c.right()
}

func TestAnOwnersWordSettlesTheClockThatTheyLookedAt(t *testing.T) {
	c := newClocked(t, 0)
	c.right()
	c.off(2 * years)
	c.refuses(schema.ClockUnproven)
	if err := c.store.ConfirmClock(c.Context(), c.clock.Add(-hours).UnixMilli(), "Owner"); !errors.Is(err, journal.ErrOtherClock) {
		t.Fatalf("got %v", err)
	}
	c.refuses(schema.ClockUnproven)
	if err := c.store.ConfirmClock(c.Context(), c.clock.UnixMilli(), "Owner"); err != nil {
		t.Fatal(err)
	}
	c.right()
	c.hear(hours, hours, hours)
	c.right()
	c.ahead = 10 * years
	c.refuses(schema.ClockJumped)
}

// What a wrong clock gave before this rule, or before phones had spoken, does not bind those who write later.
func TestThereIsAWayBackFromStampsOfAClockThatWasTenYearsAhead(t *testing.T) {
	for _, way := range []string{"phones", "owner"} {
		t.Run(way, func(t *testing.T) {
			c := newClocked(t, 10*years)
			c.taken(10 * years)
			c.ahead = 0
			c.off(hours)
			c.refuses(schema.ClockBehind)
			if way == "phones" {
				c.hear(0, 0, 0)
			} else if err := c.store.ConfirmClock(c.Context(), c.clock.UnixMilli(), "Owner"); err != nil {
				t.Fatal(err)
			}
			c.right()
			c.pullAll()
			c.right()
			if off := time.UnixMilli(c.store.NowMS()).Sub(c.clock); off > time.Minute {
				t.Fatalf("beds are judged by a time that is %s ahead", off)
			}
			c.off(time.Minute)
			c.right()
			c.sound()
		})
	}
}

func TestWhatIsWrittenBeforeTheClockIsBelievedMovesNoLaterStamp(t *testing.T) {
	b, p := newBench(t), testphone.New("a")
	p.Plant()
	b.push(p.All(1))
	right := b.clock
	b.stop()
	b.clock = right.Add(20 * 24 * time.Hour)
	b.start()
	if _, err := b.store.Incarnation(t.Context(), "a"); err != nil {
		t.Fatal(err)
	}
	b.stop()
	b.clock = right.Add(time.Minute)
	b.start()
	from := len(p.Raw) + 1
	p.Note("note", "", "", schema.Note{Words: "a minute later"})
	if at := b.push(p.All(from)).Given[0].Stamp.At; at > b.clock.UnixMilli() {
		t.Errorf("stamped %d ms ahead", at-b.clock.UnixMilli())
	}
}

// A phone writes the server time that it receives into its notes, as a time before which they cannot have been made.
func TestPhonesReceiveNoTimeThatIsInDoubt(t *testing.T) {
	told := func(t *testing.T, c *clocked, latest time.Time) {
		t.Helper()
		page, err := c.store.Pull(c.Context(), "a", c.store.Epoch(), 0, 1, "")
		if err != nil {
			t.Fatal(err)
		}
		again, err := c.store.Push(c.Context(), c.phone.Batch(1, c.sent), journal.Sender{Device: "a"})
		if err != nil {
			t.Fatal(err)
		}
		for by, at := range map[string]int64{"pull": page.ServerNow, "push": again.ServerNow} {
			if ahead := time.UnixMilli(at).Sub(latest); ahead > 0 {
				t.Errorf("a %s receives a time that lies %s after what is sure", by, ahead)
			}
			if at < page.Items[0].Stamp.At {
				t.Errorf("a %s receives a time before that of the notes that it gets", by)
			}
		}
	}
	t.Run("started with a clock that is ahead", func(t *testing.T) {
		c := newClocked(t, 0)
		c.right()
		c.ahead = 7 * time.Minute
		c.off(time.Minute)
		told(t, c, c.clock)
		c.refuses(schema.ClockUnproven)
		c.passes(time.Minute)
		told(t, c, c.clock)
	})
	t.Run("jumped, and nobody has looked at it since", func(t *testing.T) {
		c := newClocked(t, 0)
		c.right()
		c.passes(time.Minute)
		c.ahead = 7 * time.Minute
		told(t, c, c.clock)
	})
	t.Run("phones show another time", func(t *testing.T) {
		c := newClocked(t, 3*hours)
		c.taken(3 * hours)
		last := c.clock.Add(c.ahead)
		c.hear(0, 0, 3*hours)
		c.refuses(schema.ClockPhones)
		c.passes(time.Minute)
		told(t, c, last)
	})
	t.Run("believed", func(t *testing.T) {
		c := newClocked(t, 0)
		c.right()
		c.passes(hours)
		page, err := c.store.Pull(c.Context(), "a", c.store.Epoch(), 0, 1, "")
		if err != nil || page.ServerNow != c.clock.UnixMilli() {
			t.Errorf("a phone receives %d (%v), want the time itself, %d", page.ServerNow, err, c.clock.UnixMilli())
		}
	})
}

// The day of seed 22: the clock jumped while the server ran, and the first thing asked of it was no push but a write that
// gives no stamp. It must not move the mark of the last stamp, by which the next start would believe the clock.
func TestAWriteThatGivesNoStampAfterAJumpMovesNoLaterStart(t *testing.T) {
	c := newClocked(t, 0)
	c.right()
	c.ahead = 3 * time.Hour
	c.passes(time.Minute)
	if ahead := time.UnixMilli(c.store.NowMS()).Sub(c.clock); ahead > time.Minute {
		t.Errorf("before anybody has looked at the clock, the time to go by lies %s ahead", ahead)
	}
	if _, err := c.store.Incarnation(t.Context(), "a"); err != nil {
		t.Fatal(err)
	}
	c.off(time.Minute)
	c.refuses(schema.ClockUnproven)
}

// Simulated day 3 of two servers: a note was handed back while the clock was doubted, and waits since a time that never was.
func TestWhatWaitsSinceATimeOfADoubtedClockIsNoDamage(t *testing.T) {
	c := newClocked(t, 0)
	c.right()
	c.ahead = 3 * time.Hour
	c.off(time.Minute)
	c.refuses(schema.ClockUnproven)
	stranger := testphone.New("lost")
	stranger.Note("note", "", "", schema.Note{Words: "nobody has seen it"})
	got := c.handBack("a", schema.HandBack{Entries: []json.RawMessage{stranger.Raw[0]}, Receipts: []schema.Receipt{{Position: 1, Receipt: "AAAAAA"}}})
	if got.Quarantined != 1 {
		t.Fatalf("handed back: %+v", got)
	}
	c.sound()
	c.ahead = 0
	c.off(time.Minute)
	c.right()
	c.sound()
}

// Simulated day 42: an empty journal was restored from its backup, the clock was three hours behind by then, and the first note got
// its time from that.
func TestAnEmptyJournalRemembersWhenItWasFirstServed(t *testing.T) {
	c := newClocked(t, 0)
	c.ahead = -3 * time.Hour
	c.off(time.Hour)
	c.refuses(schema.ClockBehind)
	c.ahead = 3 * time.Hour
	c.off(time.Hour)
	c.refuses(schema.ClockUnproven)
	c.ahead = 0
	c.hear(0)
	c.right()
}
