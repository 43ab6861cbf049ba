package main

import (
	"context"
	"errors"
	"fmt"

	"bedwalk/server/export"
)

type importCommand struct {
	dataFlag
	From string `help:"The folder that bedwalk export wrote." required:"" type:"existingdir" placeholder:"DIR"`
}

func (c *importCommand) Run(ctx context.Context) (err error) {
	hold, err := holdFolder(c.Data, "import")
	if err != nil {
		return fmt.Errorf("nothing was imported: %w", err)
	}
	defer func() { err = errors.Join(err, hold.Release()) }()
	made, err := export.Import(ctx, c.From, c.Data)
	if err != nil {
		return fmt.Errorf("nothing was imported: %w", err)
	}
	fmt.Printf("%s has the %d notes and %d pictures of %s, checked. Serve it with: bedwalk serve --data %s\n"+
		"Pair each phone again: an export has no access and no keys. Notes from after the export that phones give back wait on the Phones page.\n",
		c.Data, made.Notes, made.Photos, c.From, c.Data)
	return nil
}
