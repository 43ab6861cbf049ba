package sim

import "container/heap"

// Times of the simulated world, in milliseconds.
const (
	second = int64(1000)
	minute = 60 * second
	hour   = 60 * minute
	day    = 24 * hour
	year   = 365 * day

	// dawn is when a simulation begins: 2026-03-30 06:00 UTC.
	dawn = int64(1774850400000)
)

// agenda is the virtual clock: what happens next, in order of time and then of planning.
type agenda struct {
	now   int64
	count int
	queue events
}

type event struct {
	at   int64
	nth  int
	what func()
}

type events []event

func (e events) Len() int { return len(e) }
func (e events) Less(i, j int) bool {
	return e[i].at < e[j].at || e[i].at == e[j].at && e[i].nth < e[j].nth
}
func (e events) Swap(i, j int) { e[i], e[j] = e[j], e[i] }
func (e *events) Push(x any) {
	if one, ok := x.(event); ok {
		*e = append(*e, one)
	}
}
func (e *events) Pop() any {
	last := (*e)[len(*e)-1]
	*e = (*e)[:len(*e)-1]
	return last
}

// after plans what happens in some milliseconds.
func (a *agenda) after(ms int64, what func()) {
	a.count++
	heap.Push(&a.queue, event{a.now + max(ms, 0), a.count, what})
}

// step moves to the next event and lets it happen; false when there is none before until.
func (a *agenda) step(until int64) bool {
	if len(a.queue) == 0 || a.queue[0].at > until {
		return false
	}
	next, _ := heap.Pop(&a.queue).(event)
	a.now = next.at
	next.what()
	return true
}
