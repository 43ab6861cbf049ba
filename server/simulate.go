package main

import (
	"fmt"
	"os"

	"bedwalk/server/simrun"
	"bedwalk/sync/sim"
)

// simulateCommand runs the phone's real modules and the real server; it is for developers, in the repo.
type simulateCommand struct {
	Seeds   int    `help:"How many days to simulate; with --plants, at most for each planted fault." default:"100"`
	From    uint64 `help:"The first seed." default:"1"`
	Trace   bool   `help:"Tell everything that happens on the first day, and nothing else."`
	Servers bool   `help:"Simulate two servers on a PostgreSQL that is started for it, in place of one on a file."`
	Plants  bool   `help:"Plant each fault on purpose, and print which checker finds it."`
}

func (c *simulateCommand) Run() error {
	if c.Seeds < 1 {
		return fmt.Errorf("--seeds is %d; give 1 or more", c.Seeds)
	}
	switch {
	case c.Trace:
		return c.tell()
	case c.Plants:
		return c.plant()
	}
	whole, err := simrun.Many{Seeds: c.Seeds, From: c.From, Servers: c.Servers}.Run()
	if err != nil {
		return err
	}
	whole.Print(os.Stdout)
	if len(whole.Failed) > 0 {
		return fmt.Errorf("%d of %d days failed; each can be seen again as said above", len(whole.Failed), len(whole.Results))
	}
	return nil
}

func (c *simulateCommand) plant() error {
	missed, caught := 0, 0
	err := simrun.CatchAll(c.Seeds, func(f simrun.Caught) {
		if f.By == "" {
			missed++
			fmt.Printf("NOT CAUGHT in %d days  %s (%s)\n", f.Days, f.Name, f.Where)
			return
		}
		caught++
		fmt.Printf("day %3d  %s (%s): %s\n", f.Days, f.Name, f.Where, f.By)
	})
	if err != nil {
		return err
	}
	fmt.Printf("%d planted faults caught, %d not\n", caught, missed)
	if missed > 0 {
		return fmt.Errorf("%d planted faults were not caught, so the checkers prove less than they say", missed)
	}
	return nil
}

func (c *simulateCommand) tell() error {
	dir, err := os.MkdirTemp("", "bedwalk-simulate-*")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	open := simrun.Open(dir)
	if c.Servers {
		open = simrun.OpenServers(dir)
	}
	result, err := simrun.Day(sim.Options{Seed: c.From, Open: open, Trace: func(line string) { fmt.Println(line) }})
	if err != nil {
		return err
	}
	if len(result.Violations) > 0 {
		return fmt.Errorf("seed %d: %s", c.From, result.Violations[0])
	}
	return nil
}
