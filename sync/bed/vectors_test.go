package bed

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"bedwalk/schema"
	"bedwalk/sync/loss"
)

// vector is one case of fixtures/vectors/bed-*.json. Only what Want names is compared; Source says where it comes from.
type vector struct {
	Name, Source string
	Input        json.RawMessage
	Want         any
}

// compute answers each vector file.
var compute = map[string]func(read func(into any)) any{
	"score": func(read func(any)) any {
		var in schema.BedInput
		read(&in)
		return Measure(in)
	},
	"plan": func(read func(any)) any {
		var in struct {
			Bed  schema.BedInput
			Seed uint32
			N    int
		}
		read(&in)
		return MakePlan(in.Bed, in.Seed, in.N)
	},
	"howmany": func(read func(any)) any {
		var in struct {
			Bed  schema.BedInput
			Last *schema.BedScore
		}
		read(&in)
		return map[string]int{"n": HowMany(in.Bed, in.Last)}
	},
	"slip": func(read func(any)) any {
		var in struct {
			Bed        schema.BedInput
			Lot, Trait string
			Value      float64
		}
		read(&in)
		if s, found := SlipOf(in.Bed, in.Lot, in.Trait, in.Value); found {
			return map[string]any{"slip": s}
		}
		return map[string]any{"slip": nil}
	},
	"unwalked": func(read func(any)) any {
		var in schema.BedInput
		read(&in)
		return map[string]any{"unwalked": unwalkedOf(in)}
	},
	"closed": func(read func(any)) any {
		var in struct {
			Applications []schema.Application
			Bed          string
		}
		read(&in)
		return map[string]int64{"until": ClosedUntil(slices.Values(in.Applications), in.Bed)}
	},
	"judged": func(read func(any)) any {
		var in struct {
			Profile schema.Profile
			Base    schema.Judged
		}
		read(&in)
		return map[string]any{"judged": JudgedFrom(in.Profile, in.Base)}
	},
	"crop": func(read func(any)) any {
		var in struct{ Crop string }
		read(&in)
		return map[string]string{"key": CropKey(in.Crop)}
	},
	"due": func(read func(any)) any {
		var in struct {
			Walks []schema.PastWalk
			Every []int
		}
		read(&in)
		return Due(in.Walks, in.Every)
	},
	"whole": func(read func(any)) any {
		var in struct {
			Walk schema.WalkPart
			Pots int
		}
		read(&in)
		return map[string]bool{"whole": Whole(in.Walk, in.Pots)}
	},
	"unfinished": func(read func(any)) any {
		var in struct {
			Walk schema.WalkPart
			Pots int
			Stop schema.Stop
		}
		read(&in)
		return map[string]any{"unfinished": Unfinished(in.Walk, in.Pots, in.Stop)}
	},
	"input": func(read func(any)) any {
		var in struct {
			Records schema.BedRecords
			Pots    []schema.PotRecord
			Newest  bool
		}
		read(&in)
		return Input(in.Records, in.Pots, in.Newest)
	},
	"rand": func(read func(any)) any {
		var in struct{ Seed, N uint32 }
		read(&in)
		r, numbers, name := NewRand(in.Seed), []uint32{}, "next"
		if in.N > 0 {
			name = "below"
		}
		for range 6 {
			if in.N > 0 {
				numbers = append(numbers, r.Below(in.N))
			} else if len(numbers) < 4 {
				numbers = append(numbers, r.Next())
			}
		}
		return map[string]any{name: numbers}
	},
	"grade": func(read func(any)) any {
		var in schema.BedInput
		read(&in)
		return Score(in).Lots[0].GradeOut
	},
	"promise": func(read func(any)) any {
		var in struct {
			Sure, Booked []int
			LossBP       int `json:"loss_bp"`
		}
		read(&in)
		kept := make([]int, len(in.Sure))
		for g, sure := range in.Sure {
			kept[g] = inGrade{least: sure, here: sure}.atShipping(loss.Share{Mean: 1 - fraction(in.LossBP)})
		}
		safe, over := Promised(kept, in.Booked)
		return map[string][]int{"safe": safe, "over": over}
	},
	"agree": func(read func(any)) any {
		var in struct {
			A, B  string
			Pairs []Pair
		}
		read(&in)
		return Agree(in.A, in.B, in.Pairs)
	},
}

func TestABedComesOutAsTheVectorsSay(t *testing.T) {
	files, err := filepath.Glob("../../fixtures/vectors/bed-*.json")
	if err != nil || len(files) != len(compute) {
		t.Fatalf("%d vector files for %d computations (%v)", len(files), len(compute), err)
	}
	for _, file := range files {
		name := strings.TrimSuffix(strings.TrimPrefix(filepath.Base(file), "bed-"), ".json")
		raw, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		var vectors []vector
		if err := json.Unmarshal(raw, &vectors); err != nil {
			t.Fatalf("%s: %v", file, err)
		}
		for _, v := range vectors {
			t.Run(name+": "+v.Name, func(t *testing.T) {
				if v.Source == "" {
					t.Error("no source of the wanted values")
				}
				have := plain(t, compute[name](func(into any) {
					if err := json.Unmarshal(v.Input, into); err != nil {
						t.Fatal(err)
					}
				}))
				for _, d := range differences(have, v.Want, "") {
					t.Error(d)
				}
			})
		}
	}
}

// plain turns an answer into what JSON makes of it.
func plain(t *testing.T, answer any) any {
	t.Helper()
	raw, err := json.Marshal(answer)
	if err != nil {
		t.Fatal(err)
	}
	var out any
	if err := json.Unmarshal(raw, &out); err != nil {
		t.Fatal(err)
	}
	return out
}

// differences says where an answer parts from what is wanted: floats to 1e-9 relative, all else exactly.
func differences(have, want any, where string) []string {
	var out []string
	switch want := want.(type) {
	case map[string]any:
		got, ok := have.(map[string]any)
		if !ok {
			return []string{fmt.Sprintf("%s: have %v, want %v", where, have, want)}
		}
		for key, value := range want {
			out = append(out, differences(got[key], value, where+"."+key)...)
		}
	case []any:
		got, ok := have.([]any)
		if !ok || len(got) != len(want) {
			return []string{fmt.Sprintf("%s: have %v, want %d", where, have, len(want))}
		}
		for i := range want {
			out = append(out, differences(got[i], want[i], fmt.Sprintf("%s.%d", where, i))...)
		}
	case float64:
		if got, ok := have.(float64); !ok || math.Abs(got-want) > 1e-9*math.Abs(want)+1e-14 {
			out = append(out, fmt.Sprintf("%s: have %v, want %v", where, have, want))
		}
	default:
		if have != want {
			out = append(out, fmt.Sprintf("%s: have %v, want %v", where, have, want))
		}
	}
	return out
}
