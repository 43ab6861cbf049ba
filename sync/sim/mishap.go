package sim

import (
	"crypto/sha256"
	"fmt"
	"maps"
	"slices"
)

// plan spreads mishaps over the day. The seed decides how many of each.
func (w *world) plan(length int64) {
	some := func(most int, what func()) {
		for range w.IntN(most + 1) {
			w.mishap(w.below(length), what)
		}
	}
	anyPhone := func(what func(*phone)) func() {
		return func() { what(w.phones[w.IntN(len(w.phones))]) }
	}
	for _, kind := range []FaultKind{DieBeforeInsert, DieBeforeCommit, DieAfterCommit, FailStatement} {
		some(3, func() { w.arm(kind) })
	}
	some(2, w.fillDisk)
	some(2, w.killServer)
	if w.chance(25) {
		w.mishap(w.below(length), w.takeAway)
	}
	if w.chance(20) {
		w.mishap(w.below(length), w.second)
	}
	if w.chance(30) {
		w.mishap(w.below(length), w.jumpClock)
	}
	for at := int64(0); at < length; at += length / 4 {
		w.mishap(at+w.below(length/4), w.backUp)
	}
	if w.chance(60) {
		w.mishap(length/2+w.below(length/2), w.restore)
	}
	some(3, anyPhone((*phone).kill))
	some(1, anyPhone(w.clone))
	some(1, anyPhone(w.setBack))
	some(1, anyPhone(w.step))
	some(2, anyPhone(w.sleep))
	some(1, anyPhone((*phone).fillUp))
	if w.chance(20) {
		w.mishap(w.below(length), func() { w.revoke(w.phones[len(w.phones)-1]) })
	}
	some(1, w.decide)
	some(2, w.cutLinks)
}

// jumpClock sets the server's clock forward or back by minutes to years, and later right again.
func (w *world) jumpClock() {
	w.count(ServerClock)
	w.skew = []int64{7 * minute, 3 * hour, 40 * day, 10 * year, -7 * minute, -3 * hour, -40 * day, -10 * year}[w.IntN(8)]
	w.set++
	w.mishap(w.below(20*minute), w.clockRight)
}

// clockRight is somebody setting the clock right and confirming it, because the server cannot always know that by itself.
func (w *world) clockRight() {
	if w.skew != 0 {
		w.skew = 0
		w.set++
	}
	if !w.up {
		return
	}
	if err := w.host.ConfirmClock(); err != nil {
		w.trace("the clock is not confirmed: %v", err)
	}
}

// mishap plans something that no longer happens once it is quiet.
func (w *world) mishap(ms int64, what func()) {
	w.after(ms, func() {
		if !w.quiet {
			what()
		}
	})
}

func (w *world) arm(kind FaultKind) {
	w.count(kind)
	w.host.Arm(ServerFault{Kind: kind, Statement: 1 + w.IntN(25)})
}

// fillDisk lets every write fail for some minutes; what is on the disk stays readable.
func (w *world) fillDisk() {
	kind := DiskFull
	if _, ok := w.host.(Servers); ok {
		kind = DatabaseAway
	}
	w.count(kind)
	w.host.Arm(ServerFault{Kind: kind})
	w.after(minute+w.below(20*minute), func() { w.host.Arm(ServerFault{}) })
}

func (w *world) killServer() {
	if w.stands() {
		w.count(ServerKilled)
		w.stop()
		w.after(w.below(10*minute), w.start)
	}
}

func (w *world) stop() {
	w.up = false
	if err := w.host.Stop(); err != nil {
		w.broken(err)
	}
}

// serverDied handles a death that the server met by itself.
func (w *world) serverDied() {
	w.up = false
	if err := w.host.Stop(); err != nil {
		w.broken(err)
	}
	w.trace("the server died")
	w.after(w.below(3*minute), w.start)
}

func (w *world) start() {
	if w.up || w.over {
		return
	}
	if w.lost {
		w.putBack()
		return
	}
	if err := w.host.Start(); err != nil {
		if w.quiet {
			w.broken(err)
			return
		}
		// It met a fault on its disk, and somebody starts it again.
		w.trace("the server does not start: %v", err)
		w.after(minute, w.start)
		return
	}
	w.up = true
	w.trace("the server is up")
	w.checkServer()
}

// decide lets the supervisor decide on the quarantined notes, through the routes of the supervisor's page.
func (w *world) decide() {
	if !w.stands() {
		return
	}
	s, ok := w.dump()
	if !ok {
		return
	}
	for _, k := range s.Aside {
		if k.State != "quarantined" && k.State != "review" || !w.chance(50) || !w.stands() {
			continue
		}
		word := []string{"merge", "leave"}[w.IntN(2)]
		known := w.notes[idOf(k.Raw)]
		w.serve(Request{Method: "POST", Path: "/api/quarantine/" + k.shownAs(), Token: w.phones[0].token,
			Headers: map[string]string{"content-type": jsonType}, Body: []byte(`{"decision":"` + word + `"}`)}, func(got Response) {
			w.trace("%s %s number %d: %d", word, k.State, k.Number, got.Status)
			if got.Status == 200 && word == "merge" && known != nil {
				known.promoted = true
			}
		})
	}
}

// shownAs is the id under which the supervisor's page shows a quarantined entry.
func (k Kept) shownAs() string {
	hash := sha256.Sum256(k.Raw)
	return fmt.Sprintf("%d-%x", k.Number, hash[:8])
}

// cutLinks cuts some phones off, one by one, and heals them in another order.
func (w *world) cutLinks() {
	order := w.Perm(len(w.phones))
	at := int64(0)
	for _, i := range order[:1+w.IntN(len(order))] {
		p := w.phones[i]
		at += w.below(10 * minute)
		w.mishap(at, func() { w.count(LinkCut); p.online = false })
		w.mishap(20*minute+w.below(hour), p.heal)
	}
}

func (p *phone) heal() {
	p.online = true
	p.wakes("online")
}

func (p *phone) kill() {
	p.world.count(AppKilled)
	p.restart()
}

// fillUp lets every write on the phone's storage fail for some minutes.
func (p *phone) fillUp() {
	p.world.count(PhoneFull)
	p.fill(true)
	p.world.mishap(minute+p.world.below(15*minute), func() { p.fill(false) })
}

func (p *phone) fill(full bool) {
	p.full = full
	p.does(Command{Do: "full", Full: full})
}

// clone copies a phone's storage to another one, and both continue as the same device.
func (w *world) clone(p *phone) {
	if len(w.phones) > 6 || p == w.phones[0] || p.pairing || p.full {
		return
	}
	w.count(PhoneCloned)
	twin := newPhone(w, p.name+"2", p.person, p.role)
	p.does(Command{Do: "copy", To: twin.name})
	twin.older = p.older
	twin.skew, twin.steps, twin.token, twin.device, twin.revoked = p.skew, p.steps, p.token, p.device, p.revoked
	maps.Copy(twin.saved, p.saved)
	maps.Copy(twin.went, p.went)
	twin.walk, twin.walkBed = p.walk, p.walkBed
	w.phones = append(w.phones, twin)
	twin.restart()
	w.live(twin)
}

// setBack replaces a phone's storage by an older state of it, or by nothing at all.
func (w *world) setBack(p *phone) {
	if p == w.phones[0] || p.pairing || p.full {
		return
	}
	if w.chance(40) {
		w.count(PhoneCleared)
		w.clear(p)
		return
	}
	kept := p.name + " before"
	p.does(Command{Do: "copy", To: kept})
	token, device, saved, went := p.token, p.device, maps.Clone(p.saved), maps.Clone(p.went)
	w.mishap(5*minute+w.below(hour), func() {
		if p.pairing || p.full {
			return
		}
		w.count(PhoneSetBack)
		p.does(Command{Do: "end"})
		w.copies(kept, p.name)
		p.empty()
		p.token, p.device, p.saved, p.went = token, device, saved, went
		p.restart()
	})
}

// clear empties a phone's storage; it is paired again then.
func (w *world) clear(p *phone) {
	p.does(Command{Do: "end"})
	w.copies("nobody", p.name)
	p.empty()
	p.emptied = true
	p.restart()
	w.pairAgain(p)
}

// copies replaces one storage by another.
func (w *world) copies(from, to string) {
	if _, err := w.opts.Apps.Do(Command{Do: "copy", Phone: from, To: to}); err != nil {
		w.broken(err)
	}
}

// empty forgets what was only on the phone's storage.
func (p *phone) empty() {
	p.saved, p.meant, p.kept, p.had, p.went = map[string]bool{}, map[string]bool{}, map[string]bool{}, map[string]bool{}, map[string]int64{}
	p.token, p.device, p.walk, p.now = "", "", "", Reply{}
}

func (w *world) step(p *phone) {
	w.count(ClockStepped)
	p.steps++
	p.skew += []int64{-year, year, -hour, hour, -dawn, 7 * minute}[w.IntN(6)]
}

// sleep stops the phone's monotonic clock for a while.
func (w *world) sleep(p *phone) {
	if p.asleep > 0 {
		return
	}
	w.count(PhoneSlept)
	p.asleep = w.now
	run := p.run
	w.after(w.below(hour), func() {
		if p.run == run {
			p.slept, p.asleep = p.slept+w.now-p.asleep, 0
		}
	})
}

// revoke revokes a phone, as the owner does on the Phones page.
func (w *world) revoke(p *phone) {
	if p == w.phones[0] || p.pairing || slices.ContainsFunc(w.phones, func(o *phone) bool { return o != p && o.device == p.device }) {
		return
	}
	s, ok := w.dump()
	if !ok {
		return
	}
	for id := range s.merged {
		if k := w.notes[id]; k != nil {
			k.placed = true
		}
	}
	w.serve(Request{Method: "POST", Path: "/api/devices/" + p.device + "/revoke", Token: w.phones[0].token,
		Headers: map[string]string{"content-type": jsonType}, Body: []byte("{}")}, func(got Response) {
		if p.revoked = got.Status == 200; p.revoked {
			w.count(PhoneRevoked)
			for range 3 {
				w.mishap(w.below(10*minute), func() { w.knock(p) })
			}
		}
	})
}
