package journal

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"sync"
	"time"

	"bedwalk/schema"
)

// ErrOtherClock says that the clock is not what somebody confirmed who looked at it a moment ago.
var ErrOtherClock = schema.NewProblem(http.StatusConflict, "other_clock", "The server's clock has changed since this page was made.",
	"Load it again and compare once more.")

const (
	// jumped is by how much (in ms) the clock may part from what is expected of it, besides a thousandth of the time that
	// passed: clocks that are kept right are slewed by at most half of that (RFC 5905 names 500 ppm).
	jumped = 5 * 60 * 1000
	// longIdle is after how long without a stamp (in ms) one phone's word is not enough: thirty days.
	longIdle = 30 * 24 * 60 * 60 * 1000
	// heardFor is how long (in ms) a phone's word about the time is believed: an hour.
	heardFor = 60 * 60 * 1000
	// quorum is how many people's phones must have spoken before they outvote a clock: of three, one liar moves nothing.
	quorum = 3
)

// incidentClock is the code of the incident that is open while no stamp is given.
const incidentClock = "server_clock"

// clock decides whether the machine's clock may be believed. While running it is held against a clock that nobody can
// set; after a start against the last stamp that was given and against what phones say, one voice a person. Times are
// milliseconds.
type clock struct {
	mu   sync.Mutex
	wall func() int64
	mono func() int64
	// last is the last stamp given before this start, or where there was none the time of the journal's first start; 0 at that.
	last int64
	// anchored is true once the clock was believed: at fromMono of the other clock it showed fromWall.
	anchored           bool
	fromWall, fromMono int64
	// doubt is why no stamp is given, "" when one is.
	doubt string
	// sure is set by an owner's word: phones alone do not shake the clock then, a jump does.
	sure   bool
	phones map[string]voice
}

// voice is what a person's phone last said: its clock less the server's monotonic one, and when it said so by that one.
type voice struct{ offset, at int64 }

// hear takes what a phone's clock shows.
func (c *clock) hear(person string, wall int64) {
	c.mu.Lock()
	defer c.mu.Unlock()
	now := c.mono()
	c.phones[person] = voice{wall - now, now}
}

// check says whether a stamp may be given, and since when that is so again: doubt is "" if it may, and settled is true
// when the clock is believed by this very look.
func (c *clock) check() (doubt string, settled bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	before := c.doubt != "" || !c.anchored
	c.doubt = c.judge(c.wall(), c.mono())
	return c.doubt, before && c.doubt == ""
}

func (c *clock) judge(wall, mono int64) string {
	_, voices, agree := c.say(wall, mono)
	if voices >= quorum && 2*agree > voices && (c.doubt != "" || !c.anchored) {
		c.anchor(wall, mono)
		return ""
	}
	if !c.anchored {
		return c.judgeStart(wall, mono, voices, agree)
	}
	switch {
	case !c.steady(wall, mono):
		c.sure = false
		return schema.ClockJumped
	case voices >= quorum && 2*agree < voices && !c.sure:
		return schema.ClockPhones
	}
	return ""
}

func (c *clock) judgeStart(wall, mono int64, voices, agree int) string {
	idle := wall - c.last
	need := 1
	if idle > longIdle {
		need = 2
	}
	switch {
	case c.last > 0 && idle < -jumped:
		return schema.ClockBehind
	case c.last > 0 && idle > jumped && (agree < need || agree <= voices-agree):
		return schema.ClockUnproven
	}
	c.anchor(wall, mono)
	return ""
}

// say is the median of what people's phones show now, how many spoke of late, and how many of them agree with wall.
func (c *clock) say(wall, mono int64) (median int64, voices, agree int) {
	var all []int64
	for person, v := range c.phones {
		if mono-v.at > heardFor {
			delete(c.phones, person)
			continue
		}
		all = append(all, v.offset+mono)
		if within(v.offset+mono-wall, jumped) {
			agree++
		}
	}
	if len(all) == 0 {
		return 0, 0, 0
	}
	slices.Sort(all)
	return all[len(all)/2], len(all), agree
}

// steady is true while the clock shows what is expected of it since it was believed.
func (c *clock) steady(wall, mono int64) bool {
	passed := mono - c.fromMono
	return within(wall-c.fromWall-passed, jumped+passed/1000)
}

func (c *clock) anchor(wall, mono int64) { c.anchored, c.fromWall, c.fromMono = true, wall, mono }

// now is the time to go by: the machine's clock, or while that is in doubt what it would show if it had not jumped. It is
// 0 where nothing but the last stamp is known.
func (c *clock) now() int64 {
	c.mu.Lock()
	defer c.mu.Unlock()
	switch wall, mono := c.wall(), c.mono(); {
	case c.doubt == "" && c.anchored && c.steady(wall, mono):
		return wall
	case c.anchored:
		return c.fromWall + mono - c.fromMono
	case c.doubt == schema.ClockUnproven && c.wall()-c.last <= longIdle:
		return c.wall()
	}
	return 0
}

// passed is a time that is sure to have passed already: of what the clock shows and what is expected of it the earlier
// one. It is 0 where nothing but the last stamp is known: after a start until the clock is believed, and while phones
// show another time.
func (c *clock) passed() int64 {
	c.mu.Lock()
	defer c.mu.Unlock()
	if !c.anchored || c.doubt == schema.ClockPhones {
		return 0
	}
	return min(c.wall(), c.fromWall+c.mono()-c.fromMono)
}

// believed is true while stamps are given. It looks at the clock itself: it may have jumped since somebody last did.
func (c *clock) believed() bool {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.anchored && c.doubt == "" && c.steady(c.wall(), c.mono())
}

func within(difference, limit int64) bool { return -limit <= difference && difference <= limit }

// Heard takes what a phone's clock shows (milliseconds since 1970) when it speaks to the server. Person is whose phone
// it is: several phones of one person are one voice.
func (s *Store) Heard(person string, wall int64) { s.clocks.hear(person, wall) }

// Clock is how it stands with the server's clock, for the people at the desk.
func (s *Store) Clock(ctx context.Context) (schema.ClockView, error) {
	doubt, err := s.settleClock(ctx)
	s.clocks.mu.Lock()
	defer s.clocks.mu.Unlock()
	wall, mono := s.clocks.wall(), s.clocks.mono()
	median, voices, _ := s.clocks.say(wall, mono)
	return schema.ClockView{Doubt: doubt, Now: wall, Last: s.clock.Load(), Phones: median, People: voices}, err
}

// ConfirmClock takes an owner's word that the clock is right, which showed shown when they looked.
func (s *Store) ConfirmClock(ctx context.Context, shown int64, by string) error {
	c := &s.clocks
	c.mu.Lock()
	wall, mono := c.wall(), c.mono()
	if !within(wall-shown, jumped) {
		c.mu.Unlock()
		return ErrOtherClock
	}
	c.anchor(wall, mono)
	c.doubt, c.sure = "", true
	c.mu.Unlock()
	return errors.Join(s.believe(ctx), s.File(ctx, "", "clock_confirmed", fmt.Sprintf(
		"%s said that the server's clock is right at %s.", by, time.UnixMilli(wall).UTC().Format(time.RFC3339))))
}

// lookAtClock is the first look after a start. A journal without a stamp keeps when it was first served: restored from a backup of
// that time it would else believe any clock.
func (s *Store) lookAtClock(ctx context.Context) error {
	last := s.clock.Load()
	if last == 0 {
		if err := s.site.Read(ctx, func(snap Snap) error {
			first, err := snap.Setting(metaClockFirst)
			last, _ = strconv.ParseInt(first, 10, 64)
			return err
		}); err != nil {
			return err
		}
	}
	s.clocks.last = last
	doubt, err := s.settleClock(ctx)
	if err != nil || doubt != "" || last > 0 {
		return err
	}
	return s.site.Write(ctx, func(tx Tx) error {
		return tx.Set(metaClockFirst, strconv.FormatInt(s.clocks.now(), 10))
	})
}

// settleClock looks at the clock, and keeps the incident: open while no stamp is given, over when one is again.
func (s *Store) settleClock(ctx context.Context) (doubt string, err error) {
	doubt, settled := s.clocks.check()
	switch {
	case settled:
		return "", s.believe(ctx)
	case doubt == "" || doubt == schema.ClockUnproven:
		// After every start of some minutes the first phone's word is waited for, which is no trouble.
		return doubt, nil
	case s.clockFiled.Swap(true):
		return doubt, nil
	}
	return doubt, s.File(ctx, "", incidentClock, clockTrouble(doubt))
}

// believe goes on with the clock as it is now. Stamps that lie ahead of it were given by a wrong clock and bind nothing
// any more, or every later note would be stamped like them.
func (s *Store) believe(ctx context.Context) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.clockFiled.Store(false)
	wall := s.clocks.now()
	if ahead := s.clock.Load() - wall; wall > 0 && ahead > jumped {
		if err := s.File(ctx, "", "clock_set_back", fmt.Sprintf("Times up to %s were given while the server's clock was ahead. "+
			"They stay; new notes get the right time.", time.UnixMilli(s.clock.Load()).UTC().Format(time.RFC3339))); err != nil {
			return err
		}
		if err := s.site.Write(ctx, func(tx Tx) error {
			// Another server of the site may have given later times than this one has heard of.
			given, err := timeIn(tx, metaClock)
			if err != nil {
				return err
			}
			return errors.Join(keepAhead(tx, max(s.clock.Load(), given)), tx.Set(metaClock, strconv.FormatInt(wall, 10)))
		}); err != nil {
			return err
		}
		s.clock.Store(wall)
	}
	return s.Over(ctx, "", incidentClock)
}

// keepAhead keeps that something came at a time, ahead of the clock as it is believed now.
func keepAhead(tx Tx, at int64) error {
	was, err := timeIn(tx, metaClockWas)
	if err != nil || at <= was {
		return err
	}
	return tx.Set(metaClockWas, strconv.FormatInt(at, 10))
}

// fileRefusal opens the incident where a push was refused for the clock's sake.
func (s *Store) fileRefusal(ctx context.Context, err error) error {
	refused := (*schema.Problem)(nil)
	if !errors.As(err, &refused) || refused.Code != CodeClock || s.clockFiled.Swap(true) {
		return err
	}
	return errors.Join(err, s.File(ctx, "", incidentClock, refused.Detail))
}

func clockTrouble(doubt string) string {
	switch doubt {
	case schema.ClockBehind:
		return "The server's clock is behind the last time that it gave."
	case schema.ClockPhones:
		return "The phones of three or more people show another time than the server."
	case schema.ClockUnproven:
		return "The server was off, and no phone has shown the same time yet."
	}
	return "The server's clock jumped."
}

func clockRefusal(doubt string) *schema.Problem {
	return &schema.Problem{Status: http.StatusServiceUnavailable, Code: CodeClock, Detail: clockTrouble(doubt) + " No note gets a time from it.",
		Remedy: "The phone keeps its notes and sends again by itself. Set the clock of the server's machine, or let an owner confirm it on the Phones page."}
}

// monotonic gives milliseconds by a clock that nobody can set and that goes on while the machine sleeps, where the
// system has one.
func monotonic() func() int64 {
	if _, ok := sinceBoot(); ok {
		return func() int64 {
			since, _ := sinceBoot()
			return since.Milliseconds()
		}
	}
	began := time.Now()
	return func() int64 { return time.Since(began).Milliseconds() }
}
