package sim

import (
	"math/rand/v2"
	"slices"
)

// What happens to several servers of one nursery and to the database below them. Phones come to any that runs, and must notice no more than a retry.

// planServers spreads it over the day, where there are several.
func (w *world) planServers(length int64) {
	host, ok := w.host.(Servers)
	if !ok || w.over {
		return
	}
	// Its own chance: days on one server stay as they are.
	roll := rand.New(rand.NewPCG(w.opts.Seed, 0x73657276657273))
	some := func(most int, what func()) {
		for range 1 + roll.IntN(most) {
			w.mishap(roll.Int64N(length), what)
		}
	}
	some(3, func() { w.killOne(host) })
	some(4, func() { w.standStill(host, Moment(roll.IntN(4)), minute+roll.Int64N(10*minute)) })
	for _, kind := range []FaultKind{Unheard, Unsent} {
		some(2, func() { w.arm(kind) })
	}
	if roll.IntN(2) == 0 {
		w.mishap(roll.Int64N(length), func() { w.failOver(host, 0, nil) })
	}
	if roll.IntN(3) > 0 {
		w.mishap(roll.Int64N(length), func() { w.follow(host, minute+roll.Int64N(15*minute)) })
	}
	w.revives(host, roll)
}

// revives starts what has ended, as services do.
func (w *world) revives(host Servers, roll *rand.Rand) {
	w.mishap(minute+roll.Int64N(3*minute), func() {
		if w.stands() {
			w.try(host.Revive)
		}
		w.revives(host, roll)
	})
}

func (w *world) try(do func() error) {
	if err := do(); err != nil {
		w.broken(err)
	}
}

func (w *world) killOne(host Servers) {
	if w.stands() {
		w.count(OneKilled)
		w.try(host.KillOne)
	}
}

func (w *world) standStill(host Servers, at Moment, ms int64) {
	if !w.stands() {
		return
	}
	w.count(StoodStill)
	host.StandStill(at)
	w.after(ms, func() { w.goesOn(host) })
}

// goesOn lets the server that stood still go on. It may take now what it was asked long ago.
func (w *world) goesOn(host Servers) {
	for _, a := range w.hanging {
		w.unheard(a)
	}
	w.hanging = nil
	w.try(host.GoOn)
}

// follow lets a standby take over that has what the database has now, some time later.
func (w *world) follow(host Servers, ms int64) {
	if !w.stands() {
		return
	}
	ids := w.idsAtServer()
	number, err := host.Follow()
	if err != nil {
		w.broken(err)
		return
	}
	as, others := backup{number, ids, w.revokedNow()}, w.replaced()
	w.mishap(ms, func() {
		if w.replaced() == others {
			w.failOver(host, number, &as)
		}
	})
}

// replaced counts how often another database took the place of the servers' own.
func (w *world) replaced() int {
	f := w.result.Faults
	return f[Restored] + f[FailedOver] + f[FailedBehind]
}

// failOver lets a standby take over under the running servers; as is what it has, nil for everything.
func (w *world) failOver(host Servers, number int, as *backup) {
	if !w.stands() {
		return
	}
	epoch, _ := host.Where()
	now := w.idsAtServer()
	if as == nil {
		w.count(FailedOver)
	} else {
		w.count(FailedBehind)
		w.backAt(*as, now, false)
	}
	w.passed = append(w.passed, epoch)
	w.try(func() error { return host.FailOver(number) })
}

// allServers has all of them run again, once it is quiet.
func (w *world) allServers() {
	if host, ok := w.host.(Servers); ok {
		w.goesOn(host)
		if w.up {
			w.try(host.Revive)
		}
	}
}

// checkEpoch: no epoch goes on that a standby has ended, whether or not it lacked anything.
func (w *world) checkEpoch(s atServer) {
	w.checked(NewEpoch)
	if slices.Contains(w.passed, s.Epoch) {
		w.violated(NewEpoch, "the server is in the epoch %s, and since then another database took the place of its own", s.Epoch)
	}
}
