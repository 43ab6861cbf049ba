package fold

import (
	"maps"
	"slices"
	"testing"

	"bedwalk/schema"
)

func TestWhichLotsStandElsewhereThanInOnesHouses(t *testing.T) {
	for _, v := range readVectors[struct {
		Name, Source string
		Input        struct {
			Spans, Beds []schema.Record
			Houses      []string
			Since       int64
		}
		Want struct{ Lots []string }
	}](t, "houses-elsewhere.json") {
		own := map[string]bool{}
		for _, house := range v.Input.Houses {
			own[house] = true
		}
		if got := slices.Sorted(maps.Keys(Elsewhere(v.Input.Spans, v.Input.Beds, own, v.Input.Since))); !slices.Equal(got, v.Want.Lots) {
			t.Errorf("%s: %v, want %v", v.Name, got, v.Want.Lots)
		}
	}
}

func TestWhichHousesArePersonsOwn(t *testing.T) {
	for _, v := range readVectors[struct {
		Name, Source string
		Input        struct{ Person schema.Record }
		Want         struct{ Houses []string }
	}](t, "houses-own.json") {
		if got := Houses(v.Input.Person); !slices.Equal(got, v.Want.Houses) {
			t.Errorf("%s: %v, want %v", v.Name, got, v.Want.Houses)
		}
	}
}
