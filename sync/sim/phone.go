package sim

import (
	"fmt"

	"bedwalk/schema"
	"bedwalk/sync/journal"
)

// phone is one device: its disk, its clocks, and what its app is doing. It follows pwa/src/journal; a change there
// belongs here too.
type phone struct {
	world *world
	name  string
	disk  *disk
	// saved are the notes that this phone called saved and has not lost with its storage.
	saved map[string]bool

	// The clocks: wall is off by skew; mono counts from when the app started, and stops in sleep.
	skew      int64
	startedAt int64
	slept     int64
	session   string
	sessions  int

	online  bool
	running bool
	revoked bool
	// pairedAt is when the server gave it its token.
	pairedAt int64

	greeted  bool
	failures int
	again    bool
	mends    int
	told     string
	readFor  int64
	asking   int
	wake     int
	most     int
	walk     string
	walkBed  string
	out      error
	// lag is disk.lag as of the last whole transaction, for the checker.
	lag int64
}

func newPhone(w *world, name, device, person string) *phone {
	p := &phone{world: w, name: name, disk: newDisk(), saved: map[string]bool{}, online: true, pairedAt: w.now, readFor: -1}
	p.disk.writer = writer{device: device, inc: 1, person: person, floor: w.host.clock()}
	p.restart()
	return p
}

// restart starts the app anew: what was in its memory is gone, what was on its disk is not.
func (p *phone) restart() {
	p.sessions++
	p.session = fmt.Sprintf("%sx%d", p.name, p.sessions)
	p.startedAt, p.slept = p.world.now, 0
	p.running, p.greeted, p.again, p.told, p.failures = false, false, false, "", 0
	p.asking++
	p.wake++
	p.readFor = -1
	p.world.checkLag(p)
	p.carry("start")
}

func (p *phone) wall() int64 { return max(p.world.now+p.skew, 0) }

func (p *phone) mono() int64 { return max(p.world.now-p.startedAt-p.slept, 0) }

// draft is a note as its writer means it, before it has a number.
type draft struct {
	kind, lot, bed string
	body           object
	v              int
	spoil          func([]byte) []byte
}

// save puts a note on the disk and says so, in one transaction. A kill before its end leaves nothing.
func (p *phone) save(d draft) {
	w := p.world
	if w.chance(3) && !w.quiet {
		w.count(KilledInSave)
		p.restart()
		return
	}
	body, err := journal.Of(d.body)
	if err != nil {
		w.broken(err)
		return
	}
	writer := p.disk.writer
	r, err := p.disk.chained(schema.Entry{
		ID: w.id(), Device: writer.device, Incarnation: writer.inc, Seq: writer.seq + 1, V: max(d.v, schema.Version), Kind: d.kind,
		Person: writer.person, Lot: d.lot, Bed: d.bed, Wall: p.wall(), Session: p.session, Mono: p.mono(), Floor: writer.floor, Body: body,
	}, d.spoil)
	if err != nil {
		w.broken(err)
		return
	}
	p.disk.rows[r.entry.ID] = r
	p.saved[r.entry.ID] = true
	w.wrote(p, r)
	w.checkSaved(p, r)
	p.carry("saved")
}

// heard keeps the newest server time seen: no later note of this phone can be older.
func (p *phone) heard(now int64) {
	p.disk.writer.floor = max(p.disk.writer.floor, now)
}

// moveCursor is the one way in which the cursor moves.
func (p *phone) moveCursor(to cursor, mended bool) {
	p.world.checkCursor(p, p.disk.cursor, to, mended)
	p.disk.cursor = to
}
