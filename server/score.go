package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"runtime/debug"
	"strconv"
	"strings"

	"bedwalk/schema"
	"bedwalk/sync/sheet"
	"bedwalk/sync/unit"
)

type scoreCommand struct {
	File        string   `arg:"" optional:"" help:"CSV file with one line per pot; - or nothing for standard input. Columns: lot, bed, row, across, head (or head_a, head_b), buds, root_cover, root_life, chlorosis, disease." placeholder:"FILE"`
	JSON        bool     `name:"json" help:"Print JSON for programs instead of a table."`
	Units       string   `help:"Unit of head sizes: mm, cm or in." enum:"mm,cm,in" default:"mm"`
	Length      float64  `help:"Length of the beds in metres; without it no gradients are shown." placeholder:"M"`
	Rows        int      `help:"Rows of pots along a bed; the largest in the file unless given." placeholder:"N"`
	Across      int      `help:"Pots across a bed; the largest in the file unless given." placeholder:"N"`
	Aisles      string   `help:"Sides with an aisle: near, far or both." enum:"near,far,both" default:"near"`
	Tolerance   float64  `help:"How far from the lot's mean a head may be, in per cent." default:"10" placeholder:"PERCENT"`
	BudsAllowed float64  `name:"bud-tolerance" help:"How far from the lot's mean a bud count may be, in per cent." default:"20" placeholder:"PERCENT"`
	Plan        bool     `help:"Print which pots to pull instead: of a bed of --rows and --across, or of each bed in FILE, from its spread there."`
	Grade       []string `sep:"none" help:"One of your grades, best first, such as 'florist: head 25 cm, round 85, buds 40, cover 3, life 3, chlorosis 1'. All are minimums, except head_max and chlorosis, which are maximums. Give it once for each grade; without any, common practice for --pot." placeholder:"'NAME: LINES'"`
	Pot         float64  `help:"Pot size in centimetres, for the grades of common practice." default:"16.5" placeholder:"CM"`
	Loss        float64  `help:"Pots expected to be lost before shipping, in per cent." default:"3" placeholder:"PERCENT"`
	Least       int      `help:"Minimum pots checked in full before anything is safe to promise." default:"8" placeholder:"N"`
	WeeksToShip int      `name:"weeks-to-ship" help:"Weeks from the walk until the lots ship; what is too early to grade is then not graded." default:"-1" placeholder:"N"`
	GradedFrom  int      `name:"graded-from" help:"Weeks before shipping from which pots can be graded." default:"8" placeholder:"N"`
	PotsOnBed   []string `help:"Pots on the bed (N), shared out over its lots as they were seen; or LOT=N for one lot, as often as wanted." placeholder:"N"`
	Pots        int      `help:"With --plan: pots to pull; as many as the wanted interval needs unless given." placeholder:"N"`
	Seed        uint32   `help:"With --plan: the same seed gives the same places." default:"1"`
}

// scoreMemory is where the garbage collector begins to work harder (bytes): a sheet of the most lines would otherwise take over
// 500 MB now and then, half of it garbage.
const scoreMemory = 350 << 20

func (c *scoreCommand) Run() error {
	debug.SetMemoryLimit(scoreMemory)
	judged := schema.DefaultJudged()
	for _, t := range []struct {
		flag    string
		percent float64
		into    *int
		most    float64
		least   float64
	}{
		{"--tolerance", c.Tolerance, &judged.HeadToleranceBP, 50, 1}, {"--bud-tolerance", c.BudsAllowed, &judged.BudToleranceBP, 90, 1},
		{"--loss", c.Loss, &judged.ExpectedLossBP, 100, 0},
	} {
		if !(t.percent >= t.least && t.percent <= t.most) {
			return fmt.Errorf("%s is %g; give %g to %g per cent", t.flag, t.percent, t.least, t.most)
		}
		*t.into = int(t.percent*100 + 0.5)
	}
	if c.Length < 0 || c.Rows < 0 || c.Across < 0 {
		return errors.New("a length or a number of pots is negative; give what the bed has, or leave it out")
	}
	if c.Least < 3 || c.Least > 200 || c.GradedFrom < 0 || c.GradedFrom > 104 || c.WeeksToShip > 1000 {
		return errors.New("give 3 to 200 pots for --least, 0 to 104 weeks for --graded-from and at most 1000 for --weeks-to-ship")
	}
	judged.PromiseMin, judged.GradedFromWeeks = c.Least, c.GradedFrom
	var weeksToShip *int
	if c.WeeksToShip >= 0 {
		weeksToShip = &c.WeeksToShip
	}
	if !(c.Pot >= 3 && c.Pot <= 60) {
		return fmt.Errorf("--pot is %g; give 3 to 60 centimetres", c.Pot)
	}
	potsOnBed, potsOfLot, err := c.pots()
	if err != nil {
		return err
	}
	var grades []schema.Grade
	for _, text := range c.Grade {
		g, err := sheet.ParseGrade(text, unit.Unit(c.Units))
		if err != nil {
			return err
		}
		grades = append(grades, g)
	}
	if c.Plan && c.File == "" {
		return c.plan(nil, judged, potsOnBed)
	}
	in, err := c.open()
	if err != nil {
		return err
	}
	defer in.Close()
	report, err := sheet.Score(in, sheet.Options{
		Units: unit.Unit(c.Units), LengthMM: int(c.Length*1000 + 0.5), Rows: c.Rows, Across: c.Across, Aisles: c.Aisles, Judged: &judged,
		Grades: grades, PotMM: int(c.Pot*10 + 0.5), PotsOnBed: potsOnBed, PotsOfLot: potsOfLot,
		WeeksToShip: weeksToShip,
	})
	if refused := (*sheet.FileError)(nil); err != nil && !errors.As(err, &refused) && c.File != "" && c.File != "-" {
		return fmt.Errorf("%s: %w; name a CSV file, or give it on standard input", c.File, err)
	}
	if err != nil {
		return err
	}
	if c.Plan {
		return c.plan(report.Beds, judged, potsOnBed)
	}
	if c.JSON {
		return writeIndented(os.Stdout, report)
	}
	return report.WriteTable(os.Stdout)
}

// pots reads --pots-on-bed: how many on each bed, and of single lots.
func (c *scoreCommand) pots() (onBed int, ofLot map[string]int, err error) {
	ofLot = map[string]int{}
	for _, text := range c.PotsOnBed {
		lot, number, one := text, text, false
		if at := strings.LastIndex(text, "="); at >= 0 {
			lot, number, one = strings.TrimSpace(text[:at]), text[at+1:], true
		}
		n, err := strconv.Atoi(strings.TrimSpace(number))
		if err != nil || n < 1 || n > 1_000_000 {
			return 0, nil, fmt.Errorf("--pots-on-bed %s is no number of pots; give a whole number from 1, or LOT=N for one lot", text)
		}
		if one {
			ofLot[lot] = n
		} else {
			onBed = n
		}
	}
	return onBed, ofLot, nil
}

func (c *scoreCommand) open() (io.ReadCloser, error) {
	if c.File == "" || c.File == "-" {
		return os.Stdin, nil
	}
	f, err := os.Open(c.File)
	if err != nil {
		return nil, fmt.Errorf("%w; name a CSV file, or give it on standard input", err)
	}
	return f, nil
}

// plan prints which pots to pull: of a bed of a given size, or, with a sheet of the last walk, of each bed in it, as many
// as that walk's spread asks for.
func (c *scoreCommand) plan(beds []sheet.Bed, judged schema.Judged, potsOnBed int) error {
	if beds == nil {
		beds = []sheet.Bed{{Rows: c.Rows, Across: c.Across}}
	}
	for i := range beds {
		o := sheet.PlanOptions{
			Rows: beds[i].Rows, Across: beds[i].Across, Aisles: c.Aisles, PotsOnBed: potsOnBed, Seed: c.Seed, N: c.Pots, Judged: &judged,
		}
		if c.File != "" {
			o.Last = &beds[i].Score
		}
		planned, err := sheet.Plan(o)
		if err != nil {
			return err
		}
		if c.JSON {
			err = writeIndented(os.Stdout, planned)
		} else {
			if beds[i].Name != "" {
				fmt.Printf("Bed %s: ", beds[i].Name)
			}
			err = planned.WriteTable(os.Stdout)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

func writeIndented(w io.Writer, v any) error {
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	return e.Encode(v)
}
