package sim

// A simulated day: so long, and then quiet for at most mostRounds.
const (
	morning = 70 * minute
	// pause is the mean time between two notes on one phone.
	pause = 4 * minute
)

// Run runs one simulation. The error tells of a fault of the simulator or its host, and not of a broken promise: those
// stand in the result.
func Run(o Options) (Result, error) {
	w, err := newWorld(o)
	if err != nil {
		return Result{}, err
	}
	defer w.host.Close()
	w.start()
	w.people()
	w.plan(morning)
	w.goOn(w.now+morning, func() bool { return false })
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
	w.result.Hours = float64(w.now-dawn) / float64(hour)
	return w.result, w.failed
}

// goOn lets time pass until then, or until enough is true, which is asked now and then.
func (w *world) goOn(until int64, enough func() bool) {
	for steps := 0; !w.over && w.agenda.step(until); steps++ {
		if steps%10 == 9 && enough() {
			return
		}
	}
}

func (w *world) people() {
	for i := range 3 + w.IntN(2) {
		device := w.id()[:16]
		p := newPhone(w, string(rune('A'+i)), device, w.id())
		if w.chance(35) {
			w.count(ClockOff)
			p.skew = []int64{-year, year, -3 * minute, 45 * minute, -dawn, 2 * hour}[w.IntN(6)]
		}
		w.phones = append(w.phones, p)
	}
	// Whoever kills the owner's phone here has no nursery to simulate.
	w.quiet = true
	w.found(w.phones[0])
	w.quiet = false
	for _, p := range w.phones {
		w.live(p)
	}
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

// calm ends all mishaps: nobody writes any more, links are whole, the server stands.
func (w *world) calm() {
	if w.over {
		return
	}
	w.trace("it is quiet")
	w.quiet = true
	w.host.Arm(ServerFault{})
	w.start()
	for _, p := range w.phones {
		if !p.online {
			p.heal()
		}
	}
}
