package stats

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"testing"
)

// After a deliberate change of a formula: go test ./sync/stats -run TestTheTwins -update
var update = flag.Bool("update", false, "write fixtures/vectors/stats-twins.json")

const twinsFile = "../../fixtures/vectors/stats-twins.json"

type twinInput struct {
	X         []Maybe `json:"x"`
	Y         []Maybe `json:"y"`
	Tolerance float64 `json:"tolerance"`
	Level     float64 `json:"level"`
	Bed       int     `json:"bed"`
	P0        float64 `json:"p0"`
	P1        float64 `json:"p1"`
	Least     int     `json:"least"`
	Most      int     `json:"most"`
	N         int     `json:"n"`
	Count     int     `json:"count"`
	Classes   []int   `json:"counts"`
}

type twinVector struct {
	Name  string         `json:"name"`
	Input twinInput      `json:"input"`
	Want  map[string]any `json:"want"`
}

// twinAnswers is everything that both twins compute, from one input.
func twinAnswers(in twinInput) map[string]any {
	x, y := plain(in.X), plain(in.Y)
	plan, _ := NewSPRT(in.P0, in.P1, 0.1, 0.05, in.Least, in.Most)
	more, ok := plan.MorePots(in.N, in.Count)
	moreOrNull := Maybe{X: float64(more), Known: ok}
	pool := PoolWithin([][]float64{x, y}, in.Level)
	return map[string]any{
		"uniformity": UniformityOf(x, in.Tolerance, in.Bed, in.Level),
		"pooled":     map[string]any{"n": pool.N, "df": pool.DF, "cv": pool.CV, "cvCorrected": pool.Corrected, "interval": pool.Interval},
		"within":     JoinedUniformity([]LotValues{{x, in.Tolerance, 3}, {y, in.Tolerance, 1}}, in.Level),
		"share":      ShareOf(in.Count, in.N, in.Bed, in.Level),
		"severity":   SeverityOf(in.Classes),
		"call":       plan.Decide(in.N, in.Count),
		"more":       moreOrNull,
		"accept":     plan.AcceptAt(in.N),
		"reject":     plan.RejectAt(in.N),
	}
}

func plain(x []Maybe) []float64 {
	out := make([]float64, len(x))
	for i, m := range x {
		out[i] = m.X
		if !m.Known {
			out[i] = math.NaN()
		}
	}
	return out
}

func randomTwin(rng *rand.Rand, at int) twinInput {
	lot := func() []Maybe {
		mean, cv := 5+40*rng.Float64(), 0.02+0.5*rng.Float64()*rng.Float64()
		x := make([]Maybe, rng.IntN(13))
		for i := range x {
			if rng.IntN(12) > 0 {
				x[i] = Sure(math.Max(0, math.Round(10*mean*(1+cv*rng.NormFloat64()))/10))
			}
		}
		return x
	}
	in := twinInput{X: lot(), Y: lot(), Tolerance: []float64{0.05, 0.1, 0.2}[at%3], Level: []float64{0.8, 0.9, 0.95}[at/3%3],
		Bed: []int{0, 60, 500}[rng.IntN(3)], P0: 0.02 + 0.06*rng.Float64(), P1: 0.12 + 0.2*rng.Float64(), Least: rng.IntN(16),
		Most: 16 + rng.IntN(60), N: 1 + rng.IntN(60)}
	in.Count = rng.IntN(1 + in.N/(1+rng.IntN(10)))
	for range 5 {
		in.Classes = append(in.Classes, rng.IntN(9))
	}
	return in
}

func TestTheTwinsWereGivenTheAnswersThatTheServerGives(t *testing.T) {
	rng := rand.New(rand.NewPCG(2024, 1))
	var out bytes.Buffer
	out.WriteString("[\n")
	for at := range 45 {
		in := randomTwin(rng, at)
		line, err := json.Marshal(twinVector{Name: fmt.Sprintf("random %d", at), Input: in, Want: twinAnswers(in)})
		if err != nil {
			t.Fatal(err)
		}
		out.WriteString(map[bool]string{true: "  ", false: ",\n  "}[at == 0])
		out.Write(line)
	}
	out.WriteString("\n]\n")
	if *update {
		if err := os.WriteFile(twinsFile, out.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	kept, err := os.ReadFile(twinsFile)
	if err != nil {
		t.Fatal(err)
	}
	var have, want any
	if err := json.Unmarshal(out.Bytes(), &have); err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(kept, &want); err != nil {
		t.Fatal(err)
	}
	// Another processor may fuse what this one does not: equal to 1e-9 is equal.
	samePlain(t, "twins", have, want, 1e-9, 1e-13)
}
