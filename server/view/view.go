// Package view makes what the supervisor's screens are drawn from: beds, lots, scouts and phones, each computed from
// the records of one moment and never written down.
//
// It is the one place that gathers a schema.BedInput from records (who stands where, what is booked, what the walk
// saw) for package bed to judge. What was judged once is remembered by its input, so a screen costs what changed since
// the last one. The central type is Desk.
package view

import (
	"context"
	"net/http"
	"slices"
	"strings"
	"sync"
	"time"

	"bedwalk/schema"
	"bedwalk/server/access"
	"bedwalk/server/journal"
)

// ErrNoSuch says that there is no bed, walk or lot of that id.
var ErrNoSuch = schema.NewProblem(http.StatusNotFound, "no_such_thing", "Nothing here has this id.",
	"Go back to the list and choose again.")

// Views makes views. Its methods are safe for many goroutines.
type Views struct {
	journal *journal.Store
	gate    *access.Gate

	mu     sync.Mutex
	epoch  string
	n      *nursery
	beds   map[string]*bedState
	drifts driftsKept
}

// driftsKept are the drifts of one state of the journal.
type driftsKept struct {
	n    *nursery
	head int64
	all  []schema.Drift
}

// New makes a desk.
func New(j *journal.Store, g *access.Gate) *Views {
	return &Views{journal: j, gate: g, beds: map[string]*bedState{}}
}

// fresh brings what is remembered up to the journal's head and runs f on it, all of one moment.
func (d *Views) fresh(ctx context.Context, f func(*journal.Snapshot) error) error {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.journal.Read(ctx, func(snap *journal.Snapshot) error {
		if epoch := d.journal.Epoch(); d.n == nil || d.epoch != epoch || snap.Head < d.n.head {
			n, err := loadNursery(snap)
			if err != nil {
				return err
			}
			d.n, d.epoch, d.beds = n, epoch, map[string]*bedState{}
		} else if snap.Head > d.n.head {
			if err := d.catchUp(snap); err != nil {
				return err
			}
		}
		return f(snap)
	})
}

// catchUp reads what changed since the remembered head, and marks the beds that it touches.
func (d *Views) catchUp(snap *journal.Snapshot) error {
	var changed []journal.Changed
	if err := snap.ChangedSince(d.n.head, func(c journal.Changed) { changed = append(changed, c) }); err != nil {
		return err
	}
	before, after := d.n, d.n
	if slices.ContainsFunc(changed, func(c journal.Changed) bool { return !ofOneBed(c.Key) }) {
		var err error
		if after, err = loadRegisters(snap); err != nil {
			return err
		}
		after.applications = before.applications
	}
	stale := map[string]bool{}
	for _, c := range changed {
		stale[c.Bed] = true
		switch kindOf(c.Key) {
		case "profile":
			for id := range d.beds {
				stale[id] = true
			}
		case "lot", "span", "booking", "stock":
			before.addBedsOf(c.Lot, stale)
			after.addBedsOf(c.Lot, stale)
		case "fact":
			if err := after.takeFact(snap, c.Key); err != nil {
				return err
			}
		}
	}
	for id := range stale {
		if b, ok := d.beds[id]; ok {
			b.stale = true
		}
	}
	after.head = snap.Head
	d.n = after
	return nil
}

// ofOneBed is true for records that change nothing beyond the bed that they are of.
func ofOneBed(key string) bool {
	switch kindOf(key) {
	case "walk", "pot", "fact":
		return true
	}
	return false
}

func nameOf(key string) string {
	_, name, _ := strings.Cut(key, ":")
	return name
}

func kindOf(key string) string {
	kind, _, _ := strings.Cut(key, ":")
	return kind
}

// now is the server's time.
func (d *Views) now() time.Time { return time.UnixMilli(d.journal.NowMS()) }

// Warm computes every bed once, so that the first screen after a start need not wait for it.
func (d *Views) Warm(ctx context.Context) error {
	_, err := d.Beds(ctx)
	return err
}

// SiteName is the nursery's name, "" before anybody gave it one.
func (d *Views) SiteName(ctx context.Context) (name string, err error) {
	err = d.fresh(ctx, func(*journal.Snapshot) error {
		name = d.n.site
		return nil
	})
	return name, err
}

// PersonName is somebody's name, "" for nobody.
func (d *Views) PersonName(ctx context.Context, person string) (name string, err error) {
	err = d.fresh(ctx, func(*journal.Snapshot) error {
		name = d.n.people[person]
		return nil
	})
	return name, err
}
