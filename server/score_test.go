package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestPotsOnTheBedAreReadForTheBedAndForSingleLots(t *testing.T) {
	c := scoreCommand{PotsOnBed: []string{"2500", "Ruddy=no.1=900"}}
	onBed, ofLot, err := c.pots()
	if err != nil || onBed != 2500 || ofLot["Ruddy=no.1"] != 900 {
		t.Errorf("%d, %v, %v", onBed, ofLot, err)
	}
}

func TestScoreSaysWhichOptionIsWrongAndHowToGiveIt(t *testing.T) {
	file := filepath.Join(t.TempDir(), "walk.csv")
	if err := os.WriteFile(file, []byte("lot,head_mm\nA,300\nA,310\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	right := scoreCommand{File: file, Units: "mm", Aisles: "near", Tolerance: 10, BudsAllowed: 20, Pot: 16.5, Loss: 3, Least: 8, GradedFrom: 8, WeeksToShip: -1}
	for says, change := range map[string]func(*scoreCommand){
		"--pots-on-bed many":               func(c *scoreCommand) { c.PotsOnBed = []string{"many"} },
		"--pots-on-bed A=0":                func(c *scoreCommand) { c.PotsOnBed = []string{"A=0"} },
		"lot B, which is not in the sheet": func(c *scoreCommand) { c.PotsOnBed = []string{"B=10"} },
		"--pot is 165":                     func(c *scoreCommand) { c.Pot = 165 },
		"3 to 200 pots for --least":        func(c *scoreCommand) { c.Least = 1 },
		"--loss is -1":                     func(c *scoreCommand) { c.Loss = -1 },
		"head, head_max, round":            func(c *scoreCommand) { c.Grade = []string{"first: girth 3"} },
		"line 1, column buds: grade":       func(c *scoreCommand) { c.Grade = []string{"first: buds 40"} },
		"name a CSV file":                  func(c *scoreCommand) { c.File = filepath.Dir(file) },
	} {
		c := right
		change(&c)
		if err := c.Run(); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("want %q, have %v", says, err)
		}
	}
}
