// Package view makes what the supervisor's screens are drawn from: beds, lots, scouts and phones, each computed from
// the records of one moment.
//
// It is the one place that gathers a schema.BedInput from records (who stands where, what is booked, what the walk
// saw) for package bed to judge. What was judged is remembered bed by bed, as numbers and without the pots, and stored
// beside the records (scores.go), so a screen costs what changed since the last one. The central type is Views.
package view

import (
	"context"
	"net/http"
	"strconv"
	"sync"
	"time"

	"bedwalk/schema"
	"bedwalk/server/access"
	"bedwalk/server/journal"
)

// ErrNoSuch says that there is no bed, walk or lot of that id.
var ErrNoSuch = schema.NewProblem(http.StatusNotFound, "no_such_thing", "Nothing here has this id.",
	"Go back to the list and choose again.")

// atOnce is how many views may read the file at once. It is less than there are connections for reading, so that pulls
// and names go on beside the slowest views.
const atOnce = 3

// Views makes views. Its methods are safe for many goroutines. No lock is held while records are read or judged, but
// for one of a bed's own, so that nobody does the same work twice.
type Views struct {
	// FailedHooks lists the webhooks that were switched off because their messages were not taken; nil for none. Set before views are asked for.
	FailedHooks func(ctx context.Context) ([]schema.Hook, error)

	journal *journal.Store
	gate    *access.Gate
	// slots has a place for each view that is reading.
	slots chan struct{}

	// mu is held while the nursery is brought up to date, a matter of milliseconds.
	mu    sync.Mutex
	epoch string
	n     *nursery

	// keeping guards the table of beds and the results below.
	keeping sync.Mutex
	beds    map[string]*keptBed
	drifts  keptDrifts
	rounds  map[string]*roundResult
	// forecasts are by lot.
	forecasts map[string]keptForecast
	// weeks are the numbers of each ship week.
	weeks map[weekOf]keptWeek
	// plan and supply are the last answers to who asked for all lots and all weeks.
	plan   keptOfDay[schema.PlanView]
	supply keptOfDay[schema.SupplyView]
	// seenPots are the pots that the newest whole walk of each bed saw of each lot.
	seenPots map[lotOnBed]seenOn

	// said is what the plan said of lots that have left, on days that are over; saidIn is the epoch that it is of.
	said   map[saidOf]saidThen
	saidIn string

	dayKept keptDay

	// clock is set where a day that is over is computed; the journal's own time else.
	clock func() int64
	given given
}

// keptBed is the newest state of a bed. Whoever computes one holds making; state is read and replaced under Views.keeping.
type keptBed struct {
	making sync.Mutex
	state  *bedState
	// stored is the state that the file has.
	stored *bedState
	// promised is what was promised last of the bed, guarded as state is.
	promised keptPromises
}

// New makes views of a journal.
func New(j *journal.Store, g *access.Gate) *Views {
	return &Views{
		journal: j, gate: g, slots: make(chan struct{}, atOnce), beds: map[string]*keptBed{}, forecasts: map[string]keptForecast{}, seenPots: map[lotOnBed]seenOn{}, weeks: map[weekOf]keptWeek{},
		given: given{began: strconv.FormatInt(time.Now().UnixNano(), 36)},
	}
}

// moment is the journal at one head, with the nursery as it stood then.
type moment struct {
	*Views
	n    *nursery
	snap *journal.Snapshot
}

// at runs f on the newest moment. All that f reads is of that one head.
func (v *Views) at(ctx context.Context, f func(*moment) error) error {
	select {
	case v.slots <- struct{}{}:
	case <-ctx.Done():
		return ctx.Err()
	}
	defer func() { <-v.slots }()
	unlock := sync.OnceFunc(v.mu.Unlock)
	v.mu.Lock()
	defer unlock()
	return v.journal.Read(ctx, func(snap *journal.Snapshot) error {
		n, err := v.upToDate(snap)
		if err != nil {
			return err
		}
		unlock()
		return f(&moment{v, n, snap})
	})
}

// upToDate brings the nursery up to a snapshot's head. It is called with mu held from before the snapshot was begun, so no
// snapshot is older than the nursery, but for a journal that was set back: then everything is forgotten.
func (v *Views) upToDate(snap *journal.Snapshot) (*nursery, error) {
	epoch := v.journal.Epoch()
	switch {
	case v.n == nil || v.epoch != epoch || snap.Head < v.n.head:
		n, beds, err := loadNursery(snap)
		if err != nil {
			return nil, err
		}
		v.n, v.epoch = n, epoch
		v.keeping.Lock()
		v.beds, v.drifts, v.rounds = beds, keptDrifts{}, map[string]*roundResult{}
		v.seenPots = map[lotOnBed]seenOn{}
		v.keeping.Unlock()
	case snap.Head > v.n.head:
		n, err := v.n.after(snap)
		if err != nil {
			return nil, err
		}
		v.n = n
	}
	return v.n, nil
}

// prepare brings every bed up to date, a few beds at a moment: a first time may take long, and nobody is to keep a
// snapshot of the file for so long.
func (v *Views) prepare(ctx context.Context) error {
	var stale []string
	if err := v.at(ctx, func(m *moment) error {
		stale = m.stale()
		return nil
	}); err != nil {
		return err
	}
	const atATime = 8
	for len(stale) > 0 {
		some := stale[:min(atATime, len(stale))]
		stale = stale[len(some):]
		if err := v.at(ctx, func(m *moment) error {
			for _, id := range some {
				if _, err := m.bed(id); err != nil {
					return err
				}
			}
			return nil
		}); err != nil {
			return err
		}
	}
	return nil
}

// whole is at for a view of all beds.
func (v *Views) whole(ctx context.Context, f func(*moment) error) error {
	if err := v.prepare(ctx); err != nil {
		return err
	}
	return v.at(ctx, f)
}

// nowMS is the server's time, ms since 1970.
func (v *Views) nowMS() int64 {
	if v.clock != nil {
		return v.clock()
	}
	return v.journal.NowMS()
}

// Site is the nursery's name and its time zone, "" before anybody gave it one. It waits for no view.
func (v *Views) Site(ctx context.Context) (name, zone string, err error) {
	err = v.journal.Read(ctx, func(snap *journal.Snapshot) error {
		return snap.OfKind("site", func(r schema.Record) error {
			site := shown[schema.Site](r)
			name, zone = valueOr(site.Name, name), valueOr(site.TimeZone, zone)
			return nil
		})
	})
	return name, zone, err
}

// PersonName is somebody's name, "" for nobody. It waits for no view.
func (v *Views) PersonName(ctx context.Context, person string) (name string, err error) {
	err = v.journal.Read(ctx, func(snap *journal.Snapshot) error {
		r, found, err := snap.Record("person:" + person)
		if found {
			name = valueOr(shown[schema.Person](r).Name, "")
		}
		return err
	})
	return name, err
}

// people are everybody's names by id. It waits for no view.
func (v *Views) people(ctx context.Context) (people map[string]string, err error) {
	err = v.journal.Read(ctx, func(snap *journal.Snapshot) error {
		people, err = peopleOf(snap)
		return err
	})
	return people, err
}
