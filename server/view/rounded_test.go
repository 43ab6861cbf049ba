package view

import (
	"encoding/json"
	"math"
	"reflect"
	"strconv"
	"testing"

	"pgregory.net/rapid"

	"bedwalk/schema"
)

func TestAListsNumbersHaveSixDigitsAndTheScoreKeepsItsOwn(t *testing.T) {
	score := schema.BedScore{
		Uniformity: schema.Estimate{Value: 0.6730087678743771, Interval: schema.Interval{Low: 1 / 3.0, High: 12.345678901, Known: true}, N: 32, Known: true},
		Findings:   []schema.Finding{{Code: "gradient", Numbers: map[string]float64{"n": 32, "other": 0.8819077120661215}}},
		EdgeBed:    2.0 / 3,
	}
	before, err := json.Marshal(score)
	if err != nil {
		t.Fatal(err)
	}
	got := rounded(&score)
	if u := got.Uniformity; u.Value != 0.673009 || u.Interval.Low != 0.333333 || u.Interval.High != 12.3457 || u.N != 32 || !u.Known {
		t.Errorf("got %+v", u)
	}
	if got.EdgeBed != 0.666667 || got.Findings[0].Numbers["other"] != 0.881908 || got.Findings[0].Code != "gradient" {
		t.Errorf("got %v, %+v", got.EdgeBed, got.Findings)
	}
	if after, err := json.Marshal(score); err != nil || string(after) != string(before) {
		t.Errorf("the score itself became %s, %v", after, err)
	}
	if empty := rounded(schema.BedBrief{}); !reflect.DeepEqual(empty, schema.BedBrief{}) {
		t.Errorf("nothing became %+v", empty)
	}
}

// What Go's own formatting with six digits gives is right to half a unit of the last digit; ours may differ where that half is not a binary fraction.
func TestSixDigitsAreThoseOfTheStandardLibrary(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.Float64Range(-1e7, 1e7).Draw(t, "x")
		want, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', digits, 64), 64)
		if err != nil {
			t.Fatal(err)
		}
		got := toDigits(x)
		if math.Abs(x) >= 1e6 {
			want = x
		}
		if diff := math.Abs(got - want); diff > 1.0001*math.Abs(want)*math.Pow10(1-digits) || math.Abs(got-x) > 0.5000001*math.Abs(x)*math.Pow10(1-digits) {
			t.Fatalf("%v became %v, the library says %v", x, got, want)
		}
	})
}
