package main

import (
	"fmt"
	"os"

	"bedwalk/server/simrun"
	"bedwalk/sync/sim"
)

type simulateCommand struct {
	Seeds int    `help:"How many days to simulate." default:"100"`
	From  uint64 `help:"The first seed." default:"1"`
	Trace bool   `help:"Tell everything that happens on the first day, and nothing else."`
}

func (c *simulateCommand) Run() error {
	if c.Seeds < 1 {
		return fmt.Errorf("--seeds is %d; give 1 or more", c.Seeds)
	}
	if c.Trace {
		return c.tell()
	}
	whole, err := simrun.Many{Seeds: c.Seeds, From: c.From}.Run()
	if err != nil {
		return err
	}
	whole.Print(os.Stdout)
	if len(whole.Failed) > 0 {
		return fmt.Errorf("%d of %d days failed; each can be seen again as said above", len(whole.Failed), len(whole.Results))
	}
	return nil
}

func (c *simulateCommand) tell() error {
	dir, err := os.MkdirTemp("", "bedwalk-simulate-*")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	result, err := simrun.Day(sim.Options{Seed: c.From, Open: simrun.Open(dir), Trace: func(line string) { fmt.Println(line) }})
	if err != nil {
		return err
	}
	if len(result.Violations) > 0 {
		return fmt.Errorf("seed %d: %s", c.From, result.Violations[0])
	}
	return nil
}
