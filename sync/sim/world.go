package sim

import (
	"crypto/sha256"
	"fmt"
	"math/rand/v2"
)

// Options describe one simulation. The same options give the same run, to the byte.
type Options struct {
	Seed uint64
	Open Opener
	Apps Apps
	// Trace, when set, receives a line for each thing that happens.
	Trace func(line string)
}

// Violation is a promise that was broken.
type Violation struct {
	Checker string
	At      int64
	Detail  string
}

func (v Violation) String() string {
	return fmt.Sprintf("%s: %s (at %d s)", v.Checker, v.Detail, (v.At-dawn)/second)
}

// Result is what one simulation did and found.
type Result struct {
	Seed       uint64
	Violations []Violation
	Faults     map[FaultKind]int
	Checks     map[string]int
	// Saved counts notes reported as saved; Acknowledged those that the server acknowledged; Merged those in its journal at
	// the end; Aside those in quarantine; Lost those that nobody could bring back, because no phone and no backup had
	// them any more (storage cleared or set back before they were sent).
	Saved, Acknowledged, Merged, Aside, Lost int
	// Rounds is how many rounds it took, once it was quiet, until everything was equal.
	Rounds int
	Hours  float64
}

// world is one running simulation.
type world struct {
	// older is the chance of a day of older apps, nil on any other.
	older *rand.Rand
	agenda
	*rand.Rand
	opts   Options
	host   Host
	phones []*phone
	result Result
	up     bool
	// lost is true from when the server's files were taken away under it until others are in their place; copied is the
	// number of the copy that it then made of what it had open.
	lost   bool
	copied int
	quiet  bool
	over   bool

	// skew is how far the server's wall clock is off; set is how often it was set.
	skew, set int64
	// large is true on a day with hundreds of notes from its beginning.
	large bool
	// pages is the size that pages are cut to, 0 for as they are.
	pages int
	notes ledger
	// backups holds, by number, the ids that were at the server then; gone those that a restore took away.
	backups []backup
	gone    map[string]bool
	// reported is up to where each device has reported what it holds, since the database was last replaced by a copy.
	reported map[string]int64
	// pushes are requests that were answered well, to be sent again all at once.
	pushes  []Request
	digests int
	// hanging are requests that got no answer since a server last stood still: it may still take them. passed are epochs that a standby has ended.
	hanging []ask
	passed  []string
	// right holds, by key, of which entries a record was last found equal to the naive one, and which record, as a hash.
	right   map[string][sha256.Size]byte
	failed  error
	nursery nursery
}

func newWorld(o Options) (*world, error) {
	w := &world{
		opts: o, Rand: rand.New(rand.NewPCG(o.Seed, 0x6265647761)), notes: ledger{}, gone: map[string]bool{}, reported: map[string]int64{}, right: map[string][sha256.Size]byte{},
		result: Result{Seed: o.Seed, Faults: map[FaultKind]int{}, Checks: map[string]int{}},
	}
	w.now = dawn
	random := rand.New(rand.NewPCG(o.Seed, 0x73657276))
	host, err := o.Open(func() int64 { return w.now + w.skew }, func() int64 { return w.now }, func(into []byte) {
		for i := range into {
			into[i] = byte(random.Uint32())
		}
	})
	if err != nil {
		return nil, err
	}
	w.host = host
	_, err = o.Apps.Do(Command{Do: "day"})
	return w, err
}

func (w *world) below(n int64) int64 {
	if n <= 0 {
		return 0
	}
	return w.Int64N(n)
}

func (w *world) chance(percent int) bool { return w.IntN(100) < percent }

func (w *world) id() string { return fmt.Sprintf("%016x%016x", w.Uint64(), w.Uint64()) }

func (w *world) count(kind FaultKind) {
	w.result.Faults[kind]++
	w.trace("fault: %s", kind)
}

func (w *world) trace(format string, args ...any) {
	if w.opts.Trace != nil {
		w.opts.Trace(fmt.Sprintf("%9.1fs ", float64(w.now-dawn)/1000) + fmt.Sprintf(format, args...))
	}
}

func (w *world) violated(checker, format string, args ...any) {
	v := Violation{checker, w.now, fmt.Sprintf(format, args...)}
	w.trace("VIOLATED %s", v)
	w.result.Violations = append(w.result.Violations, v)
	w.over = true
}

// broken ends the simulation because of a fault of this package.
func (w *world) broken(err error) {
	if w.failed == nil {
		w.failed = err
	}
	w.over = true
}
