package unit_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bedwalk/sync/unit"

	"pgregory.net/rapid"
)

type vector struct {
	Name  string
	Input struct {
		Text, Mark string
		Unit       unit.Unit
		Kept       float64
		Num, Den   int64
	}
	Want map[string]any
}

var compute = map[string]func(v vector) (map[string]any, error){
	"read": func(v vector) (map[string]any, error) {
		kept, err := unit.Read(v.Input.Text, v.Input.Unit)
		var refused *unit.Error
		if errors.As(err, &refused) {
			return map[string]any{"code": refused.Code}, nil
		}
		return map[string]any{"kept": float64(kept)}, err
	},
	"show": func(v vector) (map[string]any, error) {
		text, err := unit.Show(int64(v.Input.Kept), v.Input.Unit, v.Input.Mark)
		return map[string]any{"text": text}, err
	},
	"round": func(v vector) (map[string]any, error) {
		return map[string]any{"rounded": float64(unit.RoundHalfUp(v.Input.Num, v.Input.Den))}, nil
	},
	"from": func(v vector) (map[string]any, error) {
		value, err := unit.FromKept(v.Input.Kept, v.Input.Unit)
		return map[string]any{"value": value}, err
	},
}

func TestUnitsComeOutAsTheVectorsSay(t *testing.T) {
	files, err := filepath.Glob("../../fixtures/vectors/unit-*.json")
	if err != nil || len(files) != len(compute) {
		t.Fatalf("%d vector files for %d computations (%v)", len(files), len(compute), err)
	}
	for _, file := range files {
		name := strings.TrimSuffix(strings.TrimPrefix(filepath.Base(file), "unit-"), ".json")
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
				have, err := compute[name](v)
				if err != nil {
					t.Fatal(err)
				}
				for key, want := range v.Want {
					if number, ok := want.(float64); ok {
						if got, _ := have[key].(float64); math.Abs(got-number) > 1e-9*math.Abs(number) {
							t.Errorf("%s: have %v, want %v", key, have[key], want)
						}
					} else if have[key] != want {
						t.Errorf("%s: have %v, want %v", key, have[key], want)
					}
				}
			})
		}
	}
}

func TestWhatWasShownReadsBackAsShown(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		u := rapid.SampledFrom([]unit.Unit{unit.Millimetre, unit.Centimetre, unit.Inch, unit.Celsius, unit.Fahrenheit, unit.Litre, unit.Gallon}).Draw(t, "unit")
		mark := rapid.SampledFrom([]string{".", ","}).Draw(t, "mark")
		once, err := unit.Show(rapid.Int64Range(-4000, 4_000_000).Draw(t, "kept"), u, mark)
		if err != nil {
			t.Fatal(err)
		}
		kept, err := unit.Read(once, u)
		if err != nil {
			t.Fatalf("%q: %v", once, err)
		}
		if again, _ := unit.Show(kept, u, mark); again != once {
			t.Fatalf("%q came back as %q", once, again)
		}
	})
}

func TestAnUnknownUnitIsRefusedByName(t *testing.T) {
	if _, err := unit.Read("5", "ft"); err == nil || !strings.Contains(err.Error(), `"ft"`) {
		t.Errorf("no word of the unit: %v", err)
	}
	if _, err := unit.Show(5, "ft", "."); err == nil {
		t.Error("shown in an unknown unit")
	}
	if _, err := unit.FromKept(5, "ft"); err == nil {
		t.Error("turned into an unknown unit")
	}
}

func TestANumberTooLargeToTurnIsRefused(t *testing.T) {
	_, err := unit.ToKept(unit.Decimal{Digits: 1_000_000_000}, unit.Gallon)
	var refused *unit.Error
	if !errors.As(err, &refused) || refused.Code != unit.TooLong {
		t.Errorf("have %v", err)
	}
}

func ExampleRead() {
	mm, err := unit.Read("12,5", unit.Inch)
	fmt.Println(mm, err)
	_, err = unit.Read("1,234.5", unit.Centimetre)
	fmt.Println(err)
	// Output:
	// 318 <nil>
	// more than one comma or point: give one decimal mark and no thousands mark, such as 1234.5
}

func ExampleShow() {
	text, _ := unit.Show(318, unit.Inch, ".")
	fmt.Println(text, "in")
	// Output: 12.5 in
}
