// Package demo fills an empty journal with the demo nursery, by the same way as real phones do: each push goes through
// the real store with the server's clock set to when it arrived, so that stamps, digests and reports come out as they
// would have. What is in the nursery is package fixtures/nursery's business. The central function is Fill.
package demo

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"time"

	"bedwalk/fixtures/nursery"
	"bedwalk/schema"
	"bedwalk/server/access"
	"bedwalk/server/db"
	"bedwalk/server/journal"
	"bedwalk/server/store/lite"
)

// ErrNotEmpty protects what is there.
var ErrNotEmpty = errors.New("there is data in this folder already, and the demo never touches it; choose another --data folder, or move this one away")

// Progress receives how many of the entries of a season (the first one is 1) are stored.
type Progress func(season, done, all int)

// Options say which nursery is made.
type Options struct {
	Seed  uint64
	Today time.Time
	Size  nursery.Size
	// Progress may be nil.
	Progress Progress
}

// Fill stores the demo nursery. The error is ErrNotEmpty where there is data already, or of nursery.Size.Check.
func Fill(ctx context.Context, d *db.DB, o Options) error {
	n, err := nursery.NewPlan(o.Seed, o.Today, o.Size)
	if err != nil {
		return err
	}
	// The server's clock only goes forward, as a clock must that stamps are given from.
	clock := n.Devices[0].PairedAt
	now := func() time.Time { return clock }
	store, err := journal.Open(ctx, journal.Options{Site: lite.Journal(d), Dir: d.Dir(), Now: now})
	if err != nil {
		return err
	}
	defer store.Close()
	gate := access.New(access.Options{Store: lite.Access(d), Dir: d.Dir(), Now: now})
	paired, err := gate.Devices(ctx)
	if err != nil {
		return err
	}
	if store.Head() > 0 || len(paired) > 0 {
		return ErrNotEmpty
	}
	senders := map[string]journal.Sender{}
	for _, one := range n.Devices {
		senders[one.ID] = journal.Sender{Device: one.ID, PairedAt: one.PairedAt.UnixMilli(), People: []string{one.Person}}
		if err := gate.Enrol(ctx, access.Device{
			ID: one.ID, Name: one.Name, Person: one.Person, Role: one.Role, PairedAt: one.PairedAt.UnixMilli(), SeenAt: one.PairedAt.UnixMilli(),
		}); err != nil {
			return err
		}
	}
	// Marked before the first push, so that a demo that was cut off half way is known for what it is.
	if err := d.Write(ctx, func(tx *sql.Tx) error {
		_, err := tx.Exec("insert into meta values (?, '')", mark)
		return err
	}); err != nil {
		return err
	}
	season := 0
	for pushes, err := range n.Seasons() {
		if err != nil {
			return fmt.Errorf("make the demo nursery: %w", err)
		}
		season++
		done, all := 0, 0
		for _, a := range pushes {
			all += len(a.Push.Entries)
		}
		for _, a := range pushes {
			clock = a.At
			p := a.Push
			p.Epoch = store.Epoch()
			answer, err := store.Push(ctx, p, senders[p.Device])
			if err != nil {
				return fmt.Errorf("store the demo's push of %s at %s: %w", p.Device, a.At.Format(time.RFC3339), err)
			}
			if err := allMerged(answer); err != nil {
				return err
			}
			if done += len(p.Entries); o.Progress != nil {
				o.Progress(season, done, all)
			}
		}
	}
	return nil
}

// allMerged is false for a demo that is itself faulty: its own tests should have said so.
func allMerged(answer schema.PushAnswer) error {
	for _, given := range answer.Given {
		if given.State != "merged" {
			return fmt.Errorf("the demo has an entry with a fault: %s: %s", given.Faults[0].Field, given.Faults[0].Sentence())
		}
	}
	return nil
}

const mark = "demo"

// Is says whether a database holds the demo.
func Is(ctx context.Context, site journal.Site) (is bool, err error) {
	err = site.Read(ctx, func(snap journal.Snap) error {
		return snap.State([]string{"meta"}, func(one journal.StateRow) error {
			is = is || one.Row["name"] == mark
			return nil
		})
	})
	return is, err
}
