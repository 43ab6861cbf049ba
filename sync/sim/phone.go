package sim

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"

	"bedwalk/sync/journal"
)

// phone is one device of the world: its clocks, its cookie, its link, and its app's last state. The app is a real
// one, behind Apps.
type phone struct {
	world *world
	name  string
	// saved are the notes that its app reported as saved and that it has not lost with its storage; meant are those of
	// which nobody knows whether they were saved.
	saved, meant map[string]bool
	// kept are notes that could not be saved and that the app promised to save at its next start.
	kept map[string]bool

	// The clocks: wall is off by skew; mono counts from when the app started, and stops in sleep
	// (asleep is since when, 0 for awake). Steps counts how often the wall clock was set.
	skew      int64
	steps     int
	startedAt int64
	slept     int64
	asleep    int64

	// dead is true from when the app was killed at work until somebody starts it again.
	dead bool
	// emptied is true for a phone whose storage was cleared.
	emptied bool
	// had are the notes that were seen on its storage, on a day of own houses.
	had map[string]bool
	// went are those of its own that it had let go, with where its cursor stood when they were last seen to be gone.
	went    map[string]int64
	online  bool
	revoked bool
	// older is true while its app is a version behind.
	older  bool
	full   bool
	token  string
	device string
	person string
	role   string
	// code is the newest pairing code that it was given, and when.
	code   string
	codeAt int64
	// pairing is true from when the server has said that it does not know the phone until it is paired again.
	pairing bool

	// run counts the app's starts, wake its plans to be woken.
	run, wake int
	now       Reply
	// disk is what its storage held when it was last read.
	disk    storage
	walk    string
	walkBed string
}

func newPhone(w *world, name, person, role string) *phone {
	return &phone{world: w, name: name, person: person, role: role, online: true, had: map[string]bool{}, went: map[string]int64{}, saved: map[string]bool{}, meant: map[string]bool{}, kept: map[string]bool{}}
}

func (p *phone) wall() int64 { return max(p.world.now+p.skew, 0) }

func (p *phone) mono() int64 {
	at := p.world.now
	if p.asleep > 0 {
		at = p.asleep
	}
	return at - p.startedAt - p.slept
}

// does makes something happen to the app, and handles what it does then.
func (p *phone) does(c Command) Reply {
	w := p.world
	c.Phone, c.At, c.Wall, c.Mono = p.name, w.now, p.wall(), p.mono()
	reply, err := w.opts.Apps.Do(c)
	if err != nil {
		w.broken(fmt.Errorf("phone %s, %s: %w", p.name, c.Do, err))
		return reply
	}
	if len(reply.Wrong) > 0 {
		w.violated(NoError, "%s did not catch an error: %s", p.name, reply.Wrong[0])
	}
	return reply
}

// acts is does for what the running app does.
func (p *phone) acts(c Command) Reply {
	w := p.world
	if p.dead && c.Do != "start" {
		return p.now
	}
	reply := p.does(c)
	if w.over {
		return reply
	}
	was := p.now
	p.now = reply
	if reply.Writer != nil {
		p.device = reply.Writer.Device
	}
	w.checkCursor(p, was, reply)
	w.checkGone(p, was)
	if reply.First && !was.First {
		w.cutInFirst(p)
	}
	if reply.Died {
		w.count(KilledAtWork)
		p.run++
		p.dead = true
		run := p.run
		w.after(second+w.below(minute), func() {
			if p.run == run {
				p.restart()
			}
		})
		return reply
	}
	run := p.run
	for _, a := range reply.Asks {
		a.sentAt = w.now
		w.carryOver(p, a, func(got *answer) {
			if p.run == run {
				p.acts(Command{Do: "answer", Ask: a.ID, Answer: got, Kill: p.deadly(1)})
			}
		})
	}
	p.plan()
	return reply
}

// deadly returns after how many steps the app dies, mostly 0.
func (p *phone) deadly(percent int) int {
	if p.world.quiet || !p.world.chance(percent) {
		return 0
	}
	return 1 + p.world.IntN(60)
}

// plan wakes the app when its next timer is due.
func (p *phone) plan() {
	p.wake++
	wake, run := p.wake, p.run
	if p.now.Next == 0 {
		return
	}
	p.world.after(p.now.Next-p.world.now, func() {
		if p.wake == wake && p.run == run {
			p.acts(Command{Do: "time"})
		}
	})
}

// restart starts the app again: what was in its memory is gone, what was on its storage is not.
func (p *phone) restart() {
	w := p.world
	p.run++
	p.dead = false
	p.startedAt, p.slept, p.asleep = w.now, 0, 0
	w.trace("%s starts", p.name)
	p.acts(Command{Do: "start", Seed: w.Uint32(), Older: p.older})
	if w.over {
		return
	}
	if !p.full {
		for id := range p.kept {
			p.saved[id] = true
		}
		clear(p.kept)
	}
	w.checkStart(p)
}

// wakes notifies the app of an event that it listens for.
func (p *phone) wakes(reason string) { p.acts(Command{Do: "wake", Reason: reason}) }

// save makes somebody note something. A kill in between leaves the whole note or nothing.
func (p *phone) save(notes ...note) {
	w := p.world
	if p.dead {
		return
	}
	for i := range notes {
		if notes[i].ID == "" {
			notes[i].ID = w.id()
		}
		w.means(p, notes[i])
		p.meant[notes[i].ID] = true
	}
	run := p.run
	reply := p.acts(Command{Do: "save", Notes: notes, Kill: p.deadly(3)})
	if w.over || reply.Died && !reply.Said || !reply.Died && p.run != run {
		return
	}
	var not *struct{ Code, Kept string }
	if err := json.Unmarshal(reply.Gave, &not); len(reply.Gave) > 0 && err != nil {
		w.broken(err)
		return
	}
	for _, n := range notes {
		if not != nil {
			w.trace("%s could not save %s: %s, kept %s", p.name, n.ID[:6], not.Code, not.Kept)
			if not.Kept == "stash" && n.Spoil == "" && n.V == 0 {
				p.kept[n.ID] = true
			}
			continue
		}
		p.saved[n.ID] = true
		delete(p.meant, n.ID)
	}
	if not == nil {
		w.checkSaved(p, notes)
	}
}

// reads returns all that is on the phone's storage. The result is valid until the next call.
func (p *phone) reads() storage {
	reply := p.does(Command{Do: "read"})
	s := &p.disk
	if reply.Entries.Whole {
		*s = storage{rows: map[string]row{}, records: map[string]record{}}
	}
	for _, r := range reply.Entries.Put {
		raw, err := journal.Canonical(r.Raw)
		if err == nil {
			r.entry, err = journal.Parse(raw)
		}
		if err != nil {
			p.world.broken(fmt.Errorf("%s has an entry %s that cannot be read: %w", p.name, r.ID, err))
			return *s
		}
		r.Raw = raw
		s.rows[r.ID] = r
	}
	for _, id := range reply.Entries.Gone {
		delete(s.rows, id)
	}
	if len(reply.Entries.Put)+len(reply.Entries.Gone) > 0 {
		s.byKey = map[string][]row{}
		for _, id := range slices.Sorted(maps.Keys(s.rows)) {
			for _, key := range s.rows[id].Keys {
				s.byKey[key] = append(s.byKey[key], s.rows[id])
			}
		}
	}
	for _, r := range reply.Records.Put {
		s.records[r.Key] = r
	}
	for _, key := range reply.Records.Gone {
		delete(s.records, key)
	}
	return *s
}

// storage is what reads returns.
type storage struct {
	rows    map[string]row
	records map[string]record
	byKey   map[string][]row
}
