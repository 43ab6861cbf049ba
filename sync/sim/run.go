package sim

import "fmt"

// A simulated day: its length, and then quiet for at most mostRounds.
const (
	morning = 70 * minute
	// pause is the mean time between two notes on one phone.
	pause = 4 * minute
	// settling is the time for the phones to be paired and the first notes to be everywhere.
	settling = 10 * minute
)

// Run runs one simulation. The error means a fault of the simulator, its host or its driver, and not a broken
// promise: those are in the result.
func Run(o Options) (Result, error) {
	w, err := newWorld(o)
	if err != nil {
		return Result{}, err
	}
	defer w.host.Close()
	w.people()
	begin := w.now
	w.plan(morning)
	w.planServers(morning)
	w.goOn(begin+morning, func() bool { return false })
	w.calm()
	calm := w.now
	w.goOn(calm+mostRounds*longestRest, w.settled)
	w.result.Rounds = int((w.now - calm + longestRest - 1) / longestRest)
	if !w.over {
		w.checkServer()
	}
	if !w.over {
		w.checkEnd()
	}
	if !w.over {
		w.checkAtOnce()
	}
	w.result.Hours = float64(w.now-dawn) / float64(hour)
	return w.result, w.failed
}

// goOn lets time pass until then, or until enough, called now and then, returns true.
func (w *world) goOn(until int64, enough func() bool) {
	for steps := 0; !w.over && w.agenda.step(until); steps++ {
		if steps%10 == 9 && enough() {
			return
		}
	}
}

// people pairs the phones and lets the owner enter the nursery. There are no mishaps yet: without the owner's phone
// there would be no nursery to simulate.
func (w *world) people() {
	w.quiet = true
	w.start()
	w.olderApps()
	for i, role := range []string{"owner", "supervisor", "scout", "scout"}[:3+w.IntN(2)] {
		p := newPhone(w, string(rune('A'+i)), w.id(), role)
		if w.chance(35) {
			w.count(ClockOff)
			p.skew = []int64{-year, year, -3 * minute, 45 * minute, -dawn, 2 * hour}[w.IntN(6)]
		}
		w.phones = append(w.phones, p)
		p.older = w.older != nil && (i == 1 || i > 1 && w.older.IntN(2) == 0)
		p.restart()
		w.pair(p)
	}
	w.goOn(w.now+settling, func() bool { return false })
	for _, p := range w.phones {
		if p.device == "" && !w.over {
			w.broken(fmt.Errorf("phone %s was not paired", p.name))
		}
	}
	if w.over {
		return
	}
	w.found(w.phones[0])
	w.fillBook()
	w.lastSeason()
	w.ownHouses()
	w.inviteLiar()
	w.writesLater()
	w.quiet = false
	if !w.large && w.chance(50) {
		w.count(SmallPages)
		w.pages = 3 + w.IntN(20)
	}
	for _, p := range w.phones {
		w.live(p)
	}
}

// fillBook lets some days begin with as many notes as a real nursery has: hundreds, now and then thousands, so that
// batches and pages have their real sizes and a void may come hundreds of notes late.
func (w *world) fillBook() {
	most := 0
	switch roll := w.IntN(100); {
	case roll < 2:
		most = 2000
	case roll < 12:
		most = 300
	}
	if w.large = most > 0; w.large {
		w.count(LargeDay)
	}
	const together = 50
	for saved := 0; saved < most && !w.over; saved += together {
		var notes []note
		for range together {
			notes = append(notes, w.observe(w.phones[0]))
			notes[len(notes)-1].V = 0
		}
		w.phones[0].save(notes...)
	}
}

// pair gives a phone a code for its person, and types it in. Where the answer is lost on the way, the same code is typed
// again while it is valid.
func (w *world) pair(p *phone) {
	if w.over || !w.up {
		return
	}
	if p.code == "" || w.now-p.codeAt > 8*minute {
		code, err := w.host.Invite(p.person, "Person "+p.name, p.role)
		if err != nil {
			w.trace("no code for %s: %v", p.name, err)
			return
		}
		p.code, p.codeAt = code, w.now
	}
	p.acts(Command{Do: "pair", Code: p.code})
}

// pairAgain pairs a phone that the server no longer knows, or whose storage was cleared. It is tried until it
// succeeds, as people do.
func (w *world) pairAgain(p *phone) {
	if p.pairing {
		return
	}
	p.pairing, p.code = true, ""
	w.count(PairedAgain)
	token := p.token
	var try func()
	try = func() {
		if p.token != token {
			p.pairing, p.revoked = false, false
			return
		}
		w.pair(p)
		w.after(minute+w.below(minute), try)
	}
	w.after(w.below(5*minute), try)
}

// live lets somebody write on a phone until it is quiet.
func (w *world) live(p *phone) {
	w.after(w.below(2*pause), func() {
		if w.quiet {
			return
		}
		w.act(p)
		w.live(p)
	})
}

// calm ends all mishaps: nobody writes any more, links work, the server runs.
func (w *world) calm() {
	if w.over {
		return
	}
	w.trace("it is quiet")
	w.quiet = true
	w.host.Arm(ServerFault{})
	w.allServers()
	// Somebody sets the server's clock right; phones wait for that.
	w.clockRight()
	w.putBack()
	w.start()
	w.clockRight()
	for _, p := range w.phones {
		if p.full {
			p.fill(false)
		}
		if !p.online {
			p.heal()
		}
		w.update(p, 0)
	}
}
