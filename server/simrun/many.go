package simrun

import (
	"cmp"
	"fmt"
	"io"
	"os"
	"runtime"
	"slices"
	"sync"
	"time"

	"bedwalk/sync/sim"
)

// Many says which simulations to run: Seeds of them, from seed From on, each on a disk of its own in a folder in Dir
// ("" for memory, where the machine has such a folder, else the temporary folder).
type Many struct {
	Seeds int
	From  uint64
	Dir   string
	// Servers simulates two servers on PostgreSQL in place of one on a file. Its error is testpg.ErrMissing where there is none.
	Servers bool
	// Plant is a planted fault, nil for none.
	Plant *Plant
	// Stop, when set, ends after the first seed that fails.
	Stop bool
	// Pool keeps the phones' processes from one Many to the next; nil has its own.
	Pool *Pool
}

// Summary adds up many simulations.
type Summary struct {
	Results []sim.Result
	Failed  []sim.Result
	Took    time.Duration
	// Servers is that of Many.
	Servers bool
}

// Run runs simulations on all cores; their results do not depend on how many there are. The error is the first fault
// of a machine or of the simulator itself.
func (m Many) Run() (Summary, error) {
	parent, err := os.MkdirTemp(m.dir(), "bedwalk-simulate-*")
	if err != nil {
		return Summary{}, fmt.Errorf("make a folder for the simulated disks: %w", err)
	}
	defer os.RemoveAll(parent)
	if m.Pool == nil {
		m.Pool = &Pool{}
		defer m.Pool.Close()
	}
	began := time.Now()
	var (
		wait  sync.WaitGroup
		mu    sync.Mutex
		next  int
		whole = Summary{Servers: m.Servers}
		first error
	)
	take := func() (uint64, bool) {
		mu.Lock()
		defer mu.Unlock()
		if next >= m.Seeds || first != nil || m.Stop && len(whole.Failed) > 0 {
			return 0, false
		}
		next++
		return m.From + uint64(next-1), true
	}
	for range min(runtime.GOMAXPROCS(0), m.Seeds) {
		wait.Go(func() {
			apps, err := m.Pool.take(m.Plant)
			if err != nil {
				mu.Lock()
				defer mu.Unlock()
				first = err
				return
			}
			defer m.Pool.back(apps)
			for seed, ok := take(); ok; seed, ok = take() {
				result, err := sim.Run(sim.Options{Seed: seed, Open: m.open(parent), Apps: apps})
				mu.Lock()
				if err != nil && first == nil {
					first = fmt.Errorf("seed %d: %w", seed, err)
				}
				whole.Results = append(whole.Results, result)
				if len(result.Violations) > 0 {
					whole.Failed = append(whole.Failed, result)
				}
				mu.Unlock()
			}
		})
	}
	wait.Wait()
	bySeed := func(a, b sim.Result) int { return cmp.Compare(a.Seed, b.Seed) }
	slices.SortFunc(whole.Results, bySeed)
	slices.SortFunc(whole.Failed, bySeed)
	whole.Took = time.Since(began)
	return whole, first
}

func (m Many) open(parent string) sim.Opener {
	if m.Servers {
		return openServers(parent, m.serverFault())
	}
	return openPlanted(parent, m.serverFault())
}

func (m Many) serverFault() string {
	if m.Plant == nil || m.Plant.Phone {
		return ""
	}
	return m.Plant.Name
}

// Day runs one simulation over phones of its own.
func Day(o sim.Options) (sim.Result, error) {
	apps, err := startPhones()
	if err != nil {
		return sim.Result{}, err
	}
	defer apps.Close()
	o.Apps = apps
	return sim.Run(o)
}

// memory is a folder in main memory, where Linux has one. What is simulated is what a process can do to a file, and
// not what a power cut can do to a disk, so nothing is lost by it but time.
const memory = "/dev/shm"

func (m Many) dir() string {
	if m.Dir != "" {
		return m.Dir
	}
	if info, err := os.Stat(memory); err == nil && info.IsDir() {
		return memory
	}
	return os.TempDir()
}

// Print writes what was done and found, in words.
func (s Summary) Print(out io.Writer) {
	if len(s.Results) == 0 {
		fmt.Fprintln(out, "nothing was simulated")
		return
	}
	faults, checks := map[sim.FaultKind]int{}, map[string]int{}
	var sum sim.Result
	promised, late := 0, 0
	for _, r := range s.Results {
		for _, v := range r.Violations {
			switch v.Checker {
			case sim.NeverLost:
				promised++
			case sim.Alive:
				late++
			}
		}
		sum.Saved += r.Saved
		sum.Acknowledged += r.Acknowledged
		sum.Merged += r.Merged
		sum.Aside += r.Aside
		sum.Lost += r.Lost
		sum.Hours += r.Hours
		sum.Rounds = max(sum.Rounds, r.Rounds)
		for kind, n := range r.Faults {
			faults[kind] += n
		}
		for checker, n := range r.Checks {
			checks[checker] += n
		}
	}
	fmt.Fprintf(out, "%d simulated days (seeds %d to %d), %.0f hours of them in %s\n", len(s.Results),
		s.Results[0].Seed, s.Results[len(s.Results)-1].Seed, sum.Hours, s.Took.Round(100*time.Millisecond))
	fmt.Fprintf(out, "notes: %d called saved, %d acknowledged, %d merged at the end, %d kept aside\n", sum.Saved, sum.Acknowledged, sum.Merged, sum.Aside)
	fmt.Fprintf(out, "       %d lost although promised; %d that no phone held any more (its storage was cleared or set back before the server had them for good)\n", promised, sum.Lost)
	if late == 0 {
		fmt.Fprintf(out, "once it was quiet, all queues were empty and all digests equal within %d rounds\n", sum.Rounds)
	}
	fmt.Fprintln(out, "faults injected:")
	for _, kind := range byCount(faults) {
		fmt.Fprintf(out, "  %8d  %s\n", faults[kind], kind)
	}
	fmt.Fprintln(out, "checks made:")
	for _, checker := range byCount(checks) {
		fmt.Fprintf(out, "  %8d  %s\n", checks[checker], checker)
	}
	if len(s.Failed) == 0 {
		fmt.Fprintln(out, "failing seeds: none")
		return
	}
	fmt.Fprintf(out, "failing seeds: %d\n", len(s.Failed))
	flag := ""
	if s.Servers {
		flag = " --servers"
	}
	for _, r := range s.Failed {
		fmt.Fprintf(out, "  seed %d: %s\n    again: bedwalk simulate%s --seeds 1 --from %d --trace\n", r.Seed, r.Violations[0], flag, r.Seed)
	}
}

func byCount[K cmp.Ordered](counts map[K]int) []K {
	var all []K
	for k := range counts {
		all = append(all, k)
	}
	slices.SortFunc(all, func(a, b K) int { return cmp.Or(counts[b]-counts[a], cmp.Compare(a, b)) })
	return all
}
