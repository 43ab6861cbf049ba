package killtest

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"sync"

	"bedwalk/server/realrun"
)

// SharedPlan says what a drill of two servers on one database does. Store and Site are as bedwalk serve takes them; the site must be new. Folder must be
// empty.
type SharedPlan struct {
	Binary, Folder, Store, Site string
	Seed                        uint64
	Kills, Phones               int
}

// Shared are the figures of such a drill: how often one of the servers was killed, how many notes were acknowledged, how many pushes were answered by
// another server than the phone's last one, and how many got no answer.
type Shared struct{ Kills, Acked, Moved, Unanswered int }

// KillOneOfTwo kills one of two servers again and again while phones push to either, each phone to the other where one does not answer. The phones never
// wait for the killed one.
func KillOneOfTwo(ctx context.Context, plan SharedPlan) (s Shared, err error) {
	d := &sharedDrill{plan: plan}
	for i := range d.programs {
		d.programs[i] = &realrun.Program{
			Binary: plan.Binary, Data: filepath.Join(plan.Folder, fmt.Sprint("data", i)), Flags: []string{"--store", plan.Store, "--site", plan.Site, "--new-site"},
		}
		defer func() { err = errors.Join(err, d.programs[i].Kill()) }()
		if err := d.start(ctx, i); err != nil {
			return s, err
		}
	}
	owner, scouts, err := d.programs[0].Phones(ctx, plan.Phones)
	if err != nil {
		return s, err
	}
	owner.Plant(beds)
	if err := owner.Push(ctx, 1, len(owner.Raw)); err != nil {
		return s, err
	}
	if err := d.killWhile(ctx, owner, scouts); err != nil {
		return s, fmt.Errorf("seed %d: %w", plan.Seed, err)
	}
	all := append(scouts, owner)
	for i := range d.programs {
		for _, phone := range all {
			phone.Program = d.at(i)
			if err := drain(ctx, phone); err != nil {
				return s, err
			}
		}
		if err := pulledOnce(ctx, all); err != nil {
			return s, fmt.Errorf("server %d: %w", i, err)
		}
	}
	s = d.figures
	for _, phone := range all {
		s.Acked += phone.Acked
	}
	_, err = d.programs[0].Run(ctx, "verify", "--store", plan.Store, "--site", plan.Site)
	return s, err
}

type sharedDrill struct {
	plan     SharedPlan
	programs [2]*realrun.Program

	mu      sync.Mutex
	urls    [2]string
	figures Shared
}

func (d *sharedDrill) start(ctx context.Context, i int) error {
	if err := d.programs[i].Start(ctx); err != nil {
		return err
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	d.urls[i] = d.programs[i].URL()
	return nil
}

// at is a server as a phone knows it: by its address.
func (d *sharedDrill) at(i int) *realrun.Program {
	d.mu.Lock()
	defer d.mu.Unlock()
	return realrun.At(d.urls[i], "")
}

// killWhile kills the servers in turn while the scouts push, each after some more pushes, and has the scouts end when all kills are done.
func (d *sharedDrill) killWhile(ctx context.Context, owner *realrun.Phone, scouts []*realrun.Phone) error {
	chance := rand.New(rand.NewPCG(d.plan.Seed, 0))
	begun, over := make(chan struct{}), make(chan struct{})
	faults := make([]error, len(scouts))
	var phones sync.WaitGroup
	for i, phone := range scouts {
		phones.Go(func() {
			faults[i] = d.pushes(ctx, phone, owner.Device, rand.New(rand.NewPCG(d.plan.Seed, uint64(i)+1)), begun, over)
		})
	}
	gone := make(chan struct{})
	go func() { phones.Wait(); close(gone) }()
	var err error
	for n := 0; n < d.plan.Kills && err == nil; n++ {
		for range 1 + chance.IntN(2*len(scouts)) {
			select {
			case <-begun:
			case <-gone:
			}
		}
		err = errors.Join(d.programs[n%2].Kill(), d.start(ctx, n%2))
		d.figures.Kills++
	}
	close(over)
	<-gone
	return errors.Join(append(faults, err)...)
}

// pushes has a scout note and push until the drill is over. What got no answer is sent to the other server.
func (d *sharedDrill) pushes(ctx context.Context, phone *realrun.Phone, planter string, chance *rand.Rand, begun chan<- struct{}, over <-chan struct{}) error {
	for at := chance.IntN(2); ; {
		select {
		case <-over:
			return nil
		case begun <- struct{}{}:
		}
		if phone.Acked == len(phone.Raw) {
			phone.Observe(chance, planter, beds, 1+chance.IntN(40))
		}
		from, to := phone.Acked+1, len(phone.Raw)
		phone.Program = d.at(at)
		err := phone.Push(ctx, from, to)
		if err == nil {
			err = allMerged(phone, from, to)
		}
		switch {
		case err != nil && (isRefusal(err) || ctx.Err() != nil):
			return err
		case err != nil, chance.IntN(3) == 0:
			d.mu.Lock()
			if d.figures.Moved++; err != nil {
				d.figures.Unanswered++
			}
			d.mu.Unlock()
			at = 1 - at
		}
	}
}
