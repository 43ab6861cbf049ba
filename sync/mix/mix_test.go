package mix_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"os"
	"testing"

	"bedwalk/sync/mix"
)

func TestMixesComeOutAsTheVectorsSay(t *testing.T) {
	raw, err := os.ReadFile("../../fixtures/vectors/mix-product.json")
	if err != nil {
		t.Fatal(err)
	}
	var vectors []struct {
		Name  string
		Input struct {
			PPM, Litres, Percent, Density float64
			By                            mix.By
		}
		Want struct {
			Amount float64
			Field  string
		}
	}
	if err := json.Unmarshal(raw, &vectors); err != nil {
		t.Fatal(err)
	}
	for _, v := range vectors {
		t.Run(v.Name, func(t *testing.T) {
			in := v.Input
			have, err := mix.Product(in.PPM, in.Litres, mix.Container{Percent: in.Percent, By: in.By, GramsPerML: in.Density})
			var refused *mix.Error
			if errors.As(err, &refused) != (v.Want.Field != "") {
				t.Fatalf("have %v, want a refusal of %q", err, v.Want.Field)
			}
			if refused != nil && refused.Field != v.Want.Field {
				t.Errorf("%s was refused, want %s", refused.Field, v.Want.Field)
			}
			if math.Abs(have-v.Want.Amount) > 1e-9*v.Want.Amount {
				t.Errorf("have %v, want %v", have, v.Want.Amount)
			}
		})
	}
}

func TestAPercentageOfNoKnownKindIsRefused(t *testing.T) {
	if _, err := mix.Product(1, 1, mix.Container{Percent: 1, By: "mass"}); err == nil {
		t.Error("reckoned with an unknown kind")
	}
}

// 4 US fluid ounces are 118.29411825 mL, by definition of the gallon.
func ExampleActivePerPot() {
	fmt.Printf("%.4f mg\n", mix.ActivePerPot(1, 118.29411825))
	// Output: 0.1183 mg
}

func ExampleLitres() {
	fmt.Println(mix.Litres(200, 120))
	// Output: 24
}
