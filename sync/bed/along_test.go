package bed

import (
	"fmt"
	"math"
	"testing"

	"bedwalk/schema"
)

// Speeds (mph) and stopping distances (ft) of 50 cars (Ezekiel 1930, Methods of Correlation Analysis; R's data set "cars"), from memory. R's
// lm(dist ~ speed) prints an intercept of -17.5791, a slope of 3.9324 with standard error 0.4155, and predict(interval = "confidence") at
// 15 gives 41.40704 (37.02115 to 45.79292) at 95 %, all from memory.
var (
	carSpeeds    = []int{4, 4, 7, 7, 8, 9, 10, 10, 10, 11, 11, 12, 12, 12, 12, 13, 13, 13, 13, 14, 14, 14, 14, 15, 15, 15, 16, 16, 17, 17, 17, 18, 18, 18, 18, 19, 19, 19, 20, 20, 20, 20, 20, 22, 23, 24, 24, 24, 24, 25}
	carDistances = []int{2, 10, 4, 22, 16, 10, 18, 26, 34, 17, 28, 14, 20, 24, 28, 26, 34, 34, 46, 26, 36, 60, 80, 20, 26, 54, 32, 40, 32, 40, 50, 42, 56, 76, 84, 36, 46, 68, 32, 48, 52, 56, 64, 66, 54, 70, 92, 93, 120, 85}
)

// rowsAndHeads is a bed of one lot, 2 m a row, with a pot of each head size (mm) in its row.
func rowsAndHeads(rows, heads []int) schema.BedInput {
	in := schema.BedInput{Rows: 30, Across: 10, LengthMM: 60_000, Lots: []schema.LotOnBed{{Lot: "a", FromRow: 1, ToRow: 30, PotsOnBed: 300, Judged: schema.DefaultJudged()}}}
	for i, row := range rows {
		place := schema.Place{Row: row, Across: 1}
		in.Pots = append(in.Pots, schema.PotSeen{ID: fmt.Sprintf("p%02d", i), Now: schema.Observation{Lot: "a", Place: &place, HeadAMM: &heads[i]}})
	}
	return in
}

func TestHeadsAlongABedAreALineWithItsBand(t *testing.T) {
	along := Along(rowsAndHeads(carSpeeds, carDistances))
	if len(along) != 1 {
		t.Fatalf("%d lines, want one", len(along))
	}
	// A row is 2 m deep and its middle at 2 row - 1 m, so that a slope a row is 2.5 times as large every 5 m.
	slope, se, t90 := 3.9324*2.5, 0.4155*2.5, 1.6772 // Student's t for 90 % and 48 degrees of freedom, from memory
	got := along[0].Per5M
	for _, pair := range [][2]float64{{got.Value, slope}, {got.Interval.Low, slope - t90*se}, {got.Interval.High, slope + t90*se}} {
		if math.Abs(pair[0]-pair[1]) > 2e-3 {
			t.Errorf("slope %+v, want %v", got, pair[1])
		}
	}
	if got.N != 50 || !got.Known {
		t.Errorf("%+v, want 50 pots", got)
	}
	line := along[0].Line
	if line[0].M != 7 || line[len(line)-1].M != 49 {
		t.Errorf("drawn from %v to %v m, want from the first pot seen, 7, to the last, 49", line[0].M, line[len(line)-1].M)
	}
	// At row 15, 29 m: 41.407 mm; the half width of 95 % is 4.386 with t 2.0106, so of 90 % it is 4.386 x 1.6772/2.0106.
	for _, p := range line {
		if math.Abs(p.M-28) < 1e-9 { // row 14.5, between two published rows
			want := -17.5791 + 3.9324*14.5
			if math.Abs(p.MM-want) > 0.06 || math.Abs((p.High-p.Low)/2-4.386*1.6772/2.0106) > 0.1 {
				t.Errorf("at 28 m %+v, want %.2f within %.2f", p, want, 4.386*1.6772/2.0106)
			}
			return
		}
	}
	t.Error("the line has no point at 28 m")
}

func TestABedThatShowsNoLineHasNone(t *testing.T) {
	few := rowsAndHeads(carSpeeds[:9], carDistances[:9])
	oneRow := rowsAndHeads(make([]int, 12), carDistances[:12])
	for i := range oneRow.Pots {
		oneRow.Pots[i].Now.Place.Row = 3
	}
	unmeasured := rowsAndHeads(carSpeeds, carDistances)
	unmeasured.LengthMM = 0
	for name, in := range map[string]schema.BedInput{"nine pots": few, "all in one row": oneRow, "a bed without a length": unmeasured, "nothing": {}} {
		if along := Along(in); len(along) != 0 {
			t.Errorf("%s: %+v, want no line", name, along)
		}
	}
	// Heads of one size lie on a level line, without a reason to fail.
	level := rowsAndHeads(carSpeeds, make([]int, 50))
	for i := range level.Pots {
		*level.Pots[i].Now.HeadAMM = 150
	}
	if along := Along(level); len(along) != 1 || math.Abs(along[0].Per5M.Value) > 1e-6 {
		t.Errorf("%+v, want a level line", along)
	}
}
