package main

import (
	"context"

	"bedwalk/server/realrun"
)

type loadCommand struct {
	URL     string `name:"url" help:"Address of the program." required:""`
	Code    string `help:"Pairing code for an owner." required:""`
	Devices int    `help:"Phones that push." default:"20"`
	Notes   int    `help:"Notes in all." default:"20000"`
	Seed    uint64 `help:"Seed of the notes' values." default:"1"`
}

// Run fills the program's journal as twenty phones would.
func (c *loadCommand) Run(ctx context.Context) error {
	owner, scouts, err := realrun.At(c.URL, c.Code).Phones(ctx, c.Devices)
	if err != nil {
		return err
	}
	owner.Plant(beds)
	if err := owner.Push(ctx, 1, len(owner.Raw)); err != nil {
		return err
	}
	push := pushCommand{Notes: c.Notes / c.Devices, Seed: c.Seed}
	load, err := push.pack(owner, scouts)
	if err != nil {
		return err
	}
	_, _, err = load.send(ctx)
	return err
}
