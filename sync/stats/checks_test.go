package stats

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"
)

// check is one published or computed case of fixtures/checks.
type check struct {
	ID          string                 `json:"id"`
	Computation string                 `json:"computation"`
	Inputs      json.RawMessage        `json:"inputs"`
	Expected    map[string]any         `json:"expected"`
	Tolerance   struct{ Rel, Abs any } `json:"tolerance"`
	Source      string                 `json:"source"`
	Standing    string                 `json:"standing"`
}

// got is what this package says for a check, by the names the check uses; nil means unknown.
type got map[string]any

// runners hold one function for each kind of computation in the check files. Each is filled in beside its subject.
var runners = map[string]func(t *testing.T, c check) got{}

func inputs[T any](t *testing.T, c check) T {
	t.Helper()
	var in T
	if err := json.Unmarshal(c.Inputs, &in); err != nil {
		t.Fatalf("reading inputs: %v", err)
	}
	return in
}

func TestEveryPublishedCheckCaseIsReadAndMet(t *testing.T) {
	files, err := filepath.Glob("../../fixtures/checks/*.json")
	if err != nil || len(files) == 0 {
		t.Fatalf("no check files found: %v", err)
	}
	seen := map[string]bool{}
	for _, file := range files {
		raw, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		var cases []check
		if err := json.Unmarshal(raw, &cases); err != nil {
			t.Fatalf("%s: %v", file, err)
		}
		for _, c := range cases {
			t.Run(c.ID, func(t *testing.T) {
				if seen[c.ID] || c.ID == "" || c.Source == "" || c.Standing == "" || len(c.Expected) == 0 {
					t.Fatal("a case needs an id of its own, a source, a standing and expected values")
				}
				seen[c.ID] = true
				run, ok := runners[c.Computation]
				if !ok {
					t.Fatalf("nothing here computes %q", c.Computation)
				}
				result := run(t, c)
				for name, want := range c.Expected {
					have, ok := result[name]
					if !ok {
						t.Errorf("expected value %q was not computed", name)
						continue
					}
					sameValue(t, name, have, want, number(c.Tolerance.Rel), number(c.Tolerance.Abs))
				}
			})
		}
	}
	for kind := range runners {
		if !usedKinds(t, files)[kind] {
			t.Errorf("no case uses the runner %q", kind)
		}
	}
}

func usedKinds(t *testing.T, files []string) map[string]bool {
	used := map[string]bool{}
	for _, file := range files {
		raw, _ := os.ReadFile(file)
		var cases []check
		if err := json.Unmarshal(raw, &cases); err != nil {
			t.Fatal(err)
		}
		for _, c := range cases {
			used[c.Computation] = true
		}
	}
	return used
}

func number(v any) float64 {
	f, _ := v.(float64)
	return f
}

// sameValue compares what was computed with what JSON holds, going down into lists and objects.
func sameValue(t *testing.T, name string, have, want any, rel, abs float64) {
	t.Helper()
	raw, err := json.Marshal(have)
	if err != nil {
		t.Errorf("%s: %v (%v)", name, err, have)
		return
	}
	var plain any
	if err := json.Unmarshal(raw, &plain); err != nil {
		t.Fatal(err)
	}
	samePlain(t, name, plain, want, rel, abs)
}

func samePlain(t *testing.T, name string, have, want any, rel, abs float64) {
	t.Helper()
	switch w := want.(type) {
	case float64:
		h, ok := have.(float64)
		// Where the case allows nothing but equality a rounding error is still not a mistake.
		if !ok || math.Abs(h-w) > math.Max(math.Max(rel*math.Abs(w), abs), 1e-15*math.Abs(w)) {
			t.Errorf("%s: have %v, want %v", name, have, want)
		}
	case []any:
		h, ok := have.([]any)
		if !ok || len(h) != len(w) {
			t.Errorf("%s: have %v, want %v", name, have, want)
			return
		}
		for i := range w {
			samePlain(t, fmt.Sprintf("%s[%d]", name, i), h[i], w[i], rel, abs)
		}
	case map[string]any:
		h, ok := have.(map[string]any)
		if !ok {
			t.Errorf("%s: have %v, want an object", name, have)
			return
		}
		for k := range w {
			samePlain(t, name+"."+k, h[k], w[k], rel, abs)
		}
	default:
		if have != want {
			t.Errorf("%s: have %v, want %v", name, have, want)
		}
	}
}

// limits writes an interval as the pair the check files use.
func limits(i Interval) []Maybe {
	return []Maybe{{i.Low, i.Known || i.Open}, {i.High, i.Known}}
}

// measured turns the null of a check's value list into "not taken".
func measured(x []*float64) []float64 {
	out := make([]float64, len(x))
	for i, p := range x {
		out[i] = math.NaN()
		if p != nil {
			out[i] = *p
		}
	}
	return out
}
