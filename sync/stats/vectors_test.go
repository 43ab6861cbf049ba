package stats

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// vectorInput names everything that a stats vector may hand in.
type vectorInput struct {
	X                               []*float64
	Lots                            [][]*float64
	Counts                          []int
	Tolerance, Level, P0, P1, P, DF float64
	Alpha, Beta, Chance             float64
	Weights                         []float64
	N, Count, Bed, Least, Most      int
}

var vectorRunners = map[string]func(in vectorInput, x []float64) any{
	"spread":     func(in vectorInput, x []float64) any { return SpreadOf(x, in.Level) },
	"uniformity": func(in vectorInput, x []float64) any { return UniformityOf(x, in.Tolerance, in.Bed, in.Level) },
	"pooled":     func(in vectorInput, _ []float64) any { return PoolWithin(lotsOf(in), in.Level) },
	"joined-uniformity": func(in vectorInput, _ []float64) any {
		strata := make([]LotValues, len(in.Lots))
		for i, x := range lotsOf(in) {
			strata[i] = LotValues{x, in.Tolerance, in.Weights[i]}
		}
		return JoinedUniformity(strata, in.Level)
	},
	"severity": func(in vectorInput, _ []float64) any { return SeverityOf(in.Counts) },
	"slips": func(in vectorInput, x []float64) any {
		return got{"z": RobustZ(x), "limit": SlipLimit(len(x), in.Chance)}
	},
	"sprt": func(in vectorInput, _ []float64) any {
		s, _ := NewSPRT(in.P0, in.P1, in.Alpha, in.Beta, in.Least, in.Most)
		return got{"slope": s.Slope, "low": s.Low, "high": s.High, "firstAccept": firstAccept(s), "call": s.Decide(in.N, in.Count)}
	},
}

// These take their numbers under names that mean something else in the others.
var numberRunners = map[string]func(in map[string]float64) any{
	"chi-square":      func(in map[string]float64) any { return distuv.ChiSquared{K: in["df"]}.Quantile(in["p"]) },
	"normal":          func(in map[string]float64) any { return stdNormal.CDF(in["x"]) },
	"normal-quantile": func(in map[string]float64) any { return stdNormal.Quantile(in["p"]) },
	"f":               func(in map[string]float64) any { return distuv.F{D1: in["d1"], D2: in["d2"]}.Quantile(in["p"]) },
	"share": func(in map[string]float64) any {
		return ShareOf(int(in["x"]), int(in["n"]), int(in["bed"]), in["level"])
	},
}

func lotsOf(in vectorInput) [][]float64 {
	lots := make([][]float64, len(in.Lots))
	for i, l := range in.Lots {
		lots[i] = measured(l)
	}
	return lots
}

func TestTheServerComputesAsTheVectorsSay(t *testing.T) {
	files, err := filepath.Glob("../../fixtures/vectors/stats-*.json")
	if err != nil || len(files) == 0 {
		t.Fatalf("no vectors found: %v", err)
	}
	for _, file := range files {
		raw, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		var vectors []struct {
			Name  string
			Input json.RawMessage
			Want  any
		}
		if err := json.Unmarshal(raw, &vectors); err != nil {
			t.Fatalf("%s: %v", file, err)
		}
		if filepath.Base(file) == filepath.Base(twinsFile) {
			continue // has its own test, which can write it too
		}
		kind := strings.TrimSuffix(strings.TrimPrefix(filepath.Base(file), "stats-"), ".json")
		for i, v := range vectors {
			t.Run(fmt.Sprintf("%s %d: %s", kind, i, v.Name), func(t *testing.T) {
				sameValue(t, kind, runVector(t, kind, v.Input), v.Want, 1e-9, 1e-13)
			})
		}
	}
}

func runVector(t *testing.T, kind string, raw json.RawMessage) any {
	if run, ok := numberRunners[kind]; ok {
		var in map[string]float64
		if err := json.Unmarshal(raw, &in); err != nil {
			t.Fatal(err)
		}
		return run(in)
	}
	run, ok := vectorRunners[kind]
	if !ok {
		t.Fatalf("nothing here reads stats-%s.json", kind)
	}
	var in vectorInput
	if err := json.Unmarshal(raw, &in); err != nil {
		t.Fatal(err)
	}
	return run(in, measured(in.X))
}
