package main

import (
	"context"
	"encoding/json"
	"errors"
	"net/http"
	"os"
	"path/filepath"
	"time"

	"golang.org/x/time/rate"

	"bedwalk/schema"
	"bedwalk/server/realrun"
)

type planCommand struct {
	Binary string `help:"The program to measure." type:"path" required:""`
	Beds   int    `help:"Beds of the demo nursery: 320 have about 500 lots." default:"320"`
	Times  int    `help:"How often each request is measured." default:"20"`
}

// Run measures the plan of all lots and its ship weeks in the real program: how long a start takes until the first is there, and what asking costs from
// then on, with nothing new and after a note.
func (c *planCommand) Run(ctx context.Context) (err error) {
	folder, err := os.MkdirTemp("", "bedwalk-plan-")
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(folder)) }()
	s := &scale{
		scaleCommand: &scaleCommand{Binary: c.Binary, Beds: c.Beds, Seasons: 1, Times: c.Times},
		pace:         rate.NewLimiter(10, 20), program: &realrun.Program{Binary: c.Binary, Data: filepath.Join(folder, "data")},
	}
	defer func() { err = errors.Join(err, s.program.Kill()) }()
	for _, step := range []func(context.Context) error{s.fill, s.pair, s.start, s.firstPlan, s.plans} {
		if err := step(ctx); err != nil {
			return err
		}
	}
	return nil
}

// firstPlan measures a start until every lot has its plan, with the scores of the beds stored as on any day.
func (s *scale) firstPlan(ctx context.Context) error {
	if err := errors.Join(s.rests(ctx), s.program.Stop()); err != nil {
		return err
	}
	began := time.Now()
	var plan schema.PlanView
	if err := errors.Join(s.program.Start(ctx), s.phone.Refresh(ctx)); err != nil {
		return err
	}
	if err := s.phone.Ask(ctx, http.MethodGet, "/api/views/plan", nil, &plan); err != nil {
		return err
	}
	return errors.Join(tell("plan: lots", "lots", float64(len(plan.Lots))), tell("plan: start to the first", "s", time.Since(began).Seconds()), s.rests(ctx))
}

// plans measures each answer of the plan's pages that is about all lots.
func (s *scale) plans(ctx context.Context) error {
	var all error
	for _, v := range []string{"plan", "supply", "work"} {
		var body json.RawMessage
		get := func() error { return s.phone.Ask(ctx, http.MethodGet, "/api/views/"+v, nil, &body) }
		if err := get(); err != nil {
			return err
		}
		name := "plan: " + v
		all = errors.Join(all, s.timed(ctx, name+", nothing new", get, nil), s.timed(ctx, name+", after one note", get, func() error { return s.note(ctx) }))
	}
	return all
}
