package bed

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"bedwalk/schema"
)

// The tests' bed: 20 m long, 100 rows of 12, an aisle on each side.
func testBed(lots ...schema.LotOnBed) schema.BedInput {
	return schema.BedInput{
		Bed: "bed", Rows: 100, Across: 12, LengthMM: 20000, EntryEnd: "door", FarEnd: "fan", Aisles: "both", Lots: lots,
	}
}

func testLot(name string, from, to int) schema.LotOnBed {
	return schema.LotOnBed{
		Lot: name, FromRow: from, ToRow: to, PotsOnBed: (to - from + 1) * 12, PotMM: 150, Judged: schema.DefaultJudged(),
	}
}

func whole(n int) *int { return &n }

func text(s string) *string { return &s }

// walked puts a pot on each place of a plan for n pots, each as grow says.
func walked(in schema.BedInput, seed uint32, n int, grow func(p schema.Place) schema.Observation) schema.BedInput {
	for i, place := range MakePlan(in, seed, n).Places {
		o := grow(place)
		o.Place = &place
		if o.Lot == "" {
			o.Lot = lotAt(in, place.Row)
		}
		in.Pots = append(in.Pots, schema.PotSeen{ID: fmt.Sprintf("pot%03d", i), At: int64(i), Now: o})
	}
	return in
}

func lotAt(in schema.BedInput, row int) string {
	for _, l := range in.Lots {
		if l.FromRow <= row && row <= l.ToRow {
			return l.Lot
		}
	}
	return ""
}

// heads grows normal heads of the mean with the CV, changed by shape.
func heads(r *rand.Rand, mean, cv float64, shape func(p schema.Place) float64) func(schema.Place) schema.Observation {
	return func(p schema.Place) schema.Observation {
		mm := int(math.Round(mean * shape(p) * (1 + cv*r.NormFloat64())))
		return schema.Observation{HeadAMM: whole(max(5, mm))}
	}
}

func even(schema.Place) float64 { return 1 }

func find(s schema.BedScore, code string) (schema.Finding, bool) {
	for _, f := range s.Findings {
		if f.Code == code {
			return f, true
		}
	}
	return schema.Finding{}, false
}

func bytesOf(t interface{ Fatal(...any) }, v any) string {
	raw, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(raw)
}

func seeded(seed uint64) *rand.Rand { return rand.New(rand.NewPCG(seed, 0)) }

func near(t *testing.T, what string, have, want, room float64) {
	t.Helper()
	if math.Abs(have-want) > room {
		t.Errorf("%s: have %g, want %g within %g", what, have, want, room)
	}
}
