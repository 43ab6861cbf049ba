package main

import (
	"bufio"
	"encoding/json"
	"errors"
	"math/rand/v2"
	"os"

	"bedwalk/schema"
	"bedwalk/server/realrun"
	"bedwalk/server/testphone"
	"bedwalk/sync/journal"
)

type notesCommand struct {
	Notes   int    `help:"How many notes in all." default:"20000"`
	Devices int    `help:"Phones that wrote them." default:"20"`
	Seed    uint64 `help:"Seed of the notes' values." default:"1"`
	To      string `help:"File to write." required:"" type:"path"`
}

// Run writes stamped entries, one a line, in the order of their positions.
func (c *notesCommand) Run() (err error) {
	f, err := os.Create(c.To)
	if err != nil {
		return err
	}
	out := bufio.NewWriter(f)
	defer func() { err = errors.Join(err, out.Flush(), f.Close()) }()
	encoder := json.NewEncoder(out)
	encoder.SetEscapeHTML(false)
	for _, one := range observed(c.Seed, c.Devices, c.Notes) {
		if err := encoder.Encode(one); err != nil {
			return err
		}
	}
	return nil
}

// observed are the notes of several phones, as if they had arrived in batches in turn.
func observed(seed uint64, devices, notes int) (all []schema.Stamped) {
	phones := make([]*realrun.Phone, devices)
	for i := range phones {
		phones[i] = &realrun.Phone{Phone: testphone.New(testphone.ID("device " + string(rune('a'+i)))[:16])}
		phones[i].Wall = 1_790_000_000_000
		phones[i].Observe(rand.New(rand.NewPCG(seed, uint64(i))), phones[0].Device, beds, notes/devices)
	}
	for from := 0; from < notes/devices; from += batchNotes {
		for _, phone := range phones {
			for _, raw := range phone.Raw[from:min(from+batchNotes, len(phone.Raw))] {
				entry, err := journal.Parse(raw)
				if err != nil {
					panic(err)
				}
				all = append(all, schema.Stamped{
					Entry: entry, Position: int64(len(all) + 1),
					Stamp: schema.Stamp{At: entry.Wall, Quality: schema.Exact, From: entry.Wall, To: entry.Wall},
				})
			}
		}
	}
	return all
}
