package main

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"time"

	"bedwalk/schema"
	"bedwalk/sync/bed"
	"bedwalk/sync/fold"
	"bedwalk/sync/journal"
)

type microCommand struct {
	Runs int    `help:"How often everything is measured." default:"5"`
	Walk string `help:"Also write the scored walk to this file, for the phone's twin." type:"path"`
}

// Run measures the pure steps of package sync on 20,000 notes, in nanoseconds a note on one core.
func (c *microCommand) Run() error {
	notes := observed(1, 20, 20_000)
	raws := make([][]byte, len(notes))
	for i, one := range notes {
		raw, err := journal.Encode(one.Entry)
		if err != nil {
			return err
		}
		raws[i] = raw
	}
	arrived := make([]journal.Arrived, len(raws))
	byKey := grouped(notes)
	steps := []struct {
		name string
		do   func() error
	}{
		{"reading", func() error {
			for i, raw := range raws {
				var err error
				if arrived[i], err = journal.Read(raw); err != nil {
					return err
				}
			}
			return nil
		}},
		{"check of the fields", func() error {
			for _, one := range arrived {
				if _, faults := schema.Check(one.Entry, one.Body); len(faults) > 0 {
					return &schemaFault{faults[0]}
				}
			}
			return nil
		}},
		{"chain", func() error {
			chain := [32]byte{}
			for _, raw := range raws {
				chain = journal.Chain(chain, raw)
			}
			return nil
		}},
		{"digest", func() error {
			sum := journal.Sum{}
			for i, raw := range raws {
				sum = sum.Add(journal.Hash(raw, notes[i].Stamp))
			}
			return nil
		}},
		{"keys", func() error {
			for _, one := range notes {
				fold.Keys(one.Entry)
			}
			return nil
		}},
		{"fold", func() error {
			for key, entries := range byKey {
				fold.Fold(key, entries)
			}
			return nil
		}},
	}
	for _, step := range steps {
		f := figure{Name: "go " + step.name, Unit: "ns/note"}
		for range c.Runs {
			began := time.Now()
			if err := step.do(); err != nil {
				return err
			}
			f.Runs = append(f.Runs, float64(time.Since(began).Nanoseconds())/float64(len(notes)))
		}
		if err := f.print(); err != nil {
			return err
		}
	}
	return c.score()
}

// score measures the whole score of one bed from a walk of sixty pots, with everything that a desk sees.
func (c *microCommand) score() error {
	in := walked(rand.New(rand.NewPCG(1, 0)), 60)
	if c.Walk != "" {
		raw, err := json.Marshal(in)
		if err != nil {
			return err
		}
		if err := os.WriteFile(c.Walk, raw, 0o640); err != nil {
			return err
		}
	}
	f := figure{Name: "go score of a walk of 60 pots", Unit: "ms"}
	for range c.Runs {
		began := time.Now()
		bed.Score(in)
		f.Runs = append(f.Runs, float64(time.Since(began).Microseconds())/1000)
	}
	return f.print()
}

type schemaFault struct{ schema.Fault }

func (f *schemaFault) Error() string { return f.Field + ": " + f.Sentence() }

func grouped(notes []schema.Stamped) map[string][]schema.Stamped {
	byKey := map[string][]schema.Stamped{}
	for _, one := range notes {
		for _, key := range fold.Keys(one.Entry) {
			byKey[key] = append(byKey[key], one)
		}
	}
	return byKey
}

// walked is a walk of n pots over a bed of one lot, on the places that a plan asks for.
func walked(chance *rand.Rand, n int) schema.BedInput {
	in := schema.BedInput{
		Bed: "bed", Rows: 60, Across: 12, LengthMM: 20000, EntryEnd: "door", FarEnd: "fan", Aisles: "both",
		Lots: []schema.LotOnBed{{Lot: "lot", FromRow: 1, ToRow: 60, PotsOnBed: 720, PotMM: 150, Judged: schema.DefaultJudged()}},
	}
	for i, place := range bed.MakePlan(in, chance.Uint32(), n).Places {
		head, buds, cover, life, chlorosis := 200+chance.IntN(50), 50+chance.IntN(30), 3+chance.IntN(3), 4+chance.IntN(2), "none"
		in.Pots = append(in.Pots, schema.PotSeen{ID: fmt.Sprintf("pot%03d", i), At: int64(i), Now: schema.Observation{
			Lot: "lot", Place: &place, Planned: true, HeadAMM: &head, HeadBMM: &head, Buds: &buds, RootCover: &cover, RootLife: &life,
			Chlorosis: &chlorosis,
		}})
	}
	return in
}
