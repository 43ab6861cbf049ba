// Package killtest drills the real program for the worst days: killed without warning while phones push, a full disk,
// and a disk that is gone and comes back from a backup.
//
// Each drill is a plain function that returns figures, and an error as soon as a promise is broken; tests run small
// ones, the command drill runs large ones and prints the figures. The seed chooses the moment of a kill and the machine's
// speed shifts it; the verdict depends on neither. The central function is KillLoop.
package killtest

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"sync"
	"sync/atomic"
	"time"

	"bedwalk/server/realrun"
)

// KillPlan says what a kill loop does. Folder must be empty and used by nothing else.
type KillPlan struct {
	Binary, Folder string
	Seed           uint64
	Kills, Phones  int
}

// Killed are the figures of a kill loop.
type Killed struct {
	// Kills is the number survived, Between of them while at least one push was on its way. AtStart counts those that
	// hit a program as it started; they are not part of Kills.
	Kills, Between, AtStart int
	// Acked is the number of notes acknowledged, all there after each restart; Unanswered, of those that a killed server
	// had stored without answering, and that were then answered as repeats.
	Acked, Unanswered int
	// Checks is how often the whole database was checked: SQLite's integrity check, every acknowledged note in its place
	// with its bytes, none twice, chains, digests and records computed again.
	Checks int
}

// beds is the size of the drills' nursery.
const beds = 6

// KillLoop kills the program again and again while phones push, starts it again, and checks that nothing was lost.
func KillLoop(ctx context.Context, plan KillPlan) (k Killed, err error) {
	l := &killLoop{plan: plan, chance: rand.New(rand.NewPCG(plan.Seed, 0)), program: &realrun.Program{Binary: plan.Binary, Data: plan.Folder + "/data"}}
	defer func() { err = errors.Join(err, l.program.Kill()) }()
	if err := l.program.Start(ctx); err != nil {
		return k, err
	}
	if err := l.settle(ctx); err != nil {
		return k, err
	}
	for k.Kills < plan.Kills {
		if err := l.round(ctx, &k); err != nil {
			return k, fmt.Errorf("seed %d, kill %d: %w", plan.Seed, k.Kills+1, err)
		}
	}
	return k, l.finish(ctx, &k)
}

type killLoop struct {
	plan    KillPlan
	chance  *rand.Rand
	program *realrun.Program
	all     []*realrun.Phone
	chances []*rand.Rand
	// The others walk the planter's beds.
	planter string
}

// settle pairs the phones and plants the nursery.
func (l *killLoop) settle(ctx context.Context) error {
	owner, scouts, err := l.program.Phones(ctx, l.plan.Phones)
	if err != nil {
		return err
	}
	owner.Plant(beds)
	l.planter = owner.Device
	l.all = append(scouts, owner)
	for i := range l.all {
		l.chances = append(l.chances, rand.New(rand.NewPCG(l.plan.Seed, uint64(i)+1)))
	}
	return owner.Push(ctx, 1, len(owner.Raw))
}

// round is one life of the program: phones push, it is killed, its files are checked as the kill left them, it is started again
// and asked what it has.
func (l *killLoop) round(ctx context.Context, k *Killed) error {
	between, err := l.pushUntilKilled(ctx)
	if err != nil {
		return err
	}
	k.Kills++
	if between {
		k.Between++
	}
	if l.chance.IntN(6) == 0 {
		if _, err := l.program.Spawn(); err != nil {
			return err
		}
		time.Sleep(time.Duration(l.chance.IntN(60)) * time.Millisecond)
		if err := l.program.Kill(); err != nil {
			return err
		}
		k.AtStart++
	}
	if err := checkCopy(ctx, l.program, l.plan.Folder+"/copy", l.all, atLeastAcked); err != nil {
		return err
	}
	k.Checks++
	if err := l.program.Start(ctx); err != nil {
		return err
	}
	k.Acked = 0
	for _, phone := range l.all {
		if err := phone.Refresh(ctx); err != nil {
			return err
		}
		if phone.Me.High < int64(phone.Acked) {
			return fmt.Errorf("%s was acknowledged up to %d, but the server says %d", phone.Device, phone.Acked, phone.Me.High)
		}
		k.Unanswered += int(phone.Me.High) - phone.Acked
		k.Acked += phone.Acked
	}
	return nil
}

// pushUntilKilled lets all phones push at once and kills the program at a moment that the seed chooses: some time after
// a certain number of pushes has begun.
func (l *killLoop) pushUntilKilled(ctx context.Context) (between bool, err error) {
	var dead atomic.Bool
	var onTheWay atomic.Int64
	begun := make(chan struct{})
	gone := make(chan struct{})
	faults := make([]error, len(l.all))
	var phones sync.WaitGroup
	for i, phone := range l.all {
		phones.Go(func() {
			for !dead.Load() {
				from := phone.Acked + 1
				if len(phone.Raw) < from {
					phone.Observe(l.chances[i], l.planter, beds, 1+l.chances[i].IntN(60))
				}
				onTheWay.Add(1)
				select {
				case begun <- struct{}{}:
				case <-gone:
				}
				// The same notes, divided otherwise than last time: what was stored and not answered is repeated in part.
				to := from + l.chances[i].IntN(len(phone.Raw)-from+1)
				err := phone.Push(ctx, from, to)
				onTheWay.Add(-1)
				if err == nil {
					err = allMerged(phone, from, to)
				} else if dead.Load() && !isRefusal(err) {
					return
				}
				if err != nil {
					faults[i] = err
					return
				}
			}
		})
	}
	all := make(chan struct{})
	go func() { phones.Wait(); close(all) }()
	for range 1 + l.chance.IntN(3*len(l.all)) {
		select {
		case <-begun:
		case <-all:
		}
	}
	close(gone)
	time.Sleep(time.Duration(l.chance.IntN(20_000)) * time.Microsecond)
	dead.Store(true)
	between = onTheWay.Load() > 0
	err = l.program.Kill()
	<-all
	return between, errors.Join(append(faults, err)...)
}

// finish sends all that is pending and checks everything once more over HTTP.
func (l *killLoop) finish(ctx context.Context, k *Killed) error {
	k.Acked = 0
	for _, phone := range l.all {
		if err := drain(ctx, phone); err != nil {
			return err
		}
		k.Acked += phone.Acked
	}
	if err := pulledOnce(ctx, l.all); err != nil {
		return err
	}
	if err := l.program.Stop(); err != nil {
		return err
	}
	k.Checks++
	return checkCopy(ctx, l.program, l.plan.Folder+"/copy", l.all, exactlyAcked)
}
