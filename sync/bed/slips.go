package bed

import (
	"math"
	"slices"

	"bedwalk/schema"
	"bedwalk/sync/stats"
)

// Slips are offered, never dropped. The phone asks SlipOf about a value before it is saved, and the scout says that it is
// right or mends it; from then on it is scored as noted, because a true runt looks the same as a mistyped figure and a bed
// must not score as more even the further its runts fall behind. What is still flagged is listed (LotScore.Slips) until
// somebody has looked again (PotSeen.Checked), and BedScore.WithoutSlips says what the headline would be without it.

// grossly is how many times larger or smaller than the others' median a value must be to be offered while fewer than five
// pots tell what is usual: 30 mm among 300s. Common practice, no source.
const grossly = 4.0

// headUnits are the factors that a misplaced decimal mark, or inches taken for centimetres, puts into a head size.
var (
	headUnits = []float64{10, 0.1, 2.54, 1 / 2.54, 25.4, 1 / 25.4}
	budUnits  = []float64{10, 0.1}
)

// SlipOf judges a value (mm, or buds) before it is saved, against the pots of the same lot seen so far. It says false when
// the value looks usual, and when too few pots were seen to tell.
func SlipOf(in schema.BedInput, lot, trait string, value float64) (schema.Slip, bool) {
	var x []float64
	for _, l := range lotsOf(in) {
		if l.lot == lot {
			x = slices.Clone(l.values[traitIndex(trait)].x)
		}
	}
	x = append(x, value)
	for _, s := range slipValues(x, trait) {
		if s.at == len(x)-1 {
			return schema.Slip{Trait: trait, Value: value, Z: s.z, Likely: s.likely}, true
		}
	}
	return schema.Slip{}, false
}

// slipsOf lists the flagged values of one lot, head sizes first, in the order of pot ids.
func slipsOf(l *lotPots) []schema.Slip {
	var found []schema.Slip
	for i, trait := range []string{Head, Buds} {
		v := l.values[i]
		for _, s := range slipValues(v.x, trait) {
			if p := l.pots[v.pots[s.at]]; !p.Checked {
				found = append(found, schema.Slip{Pot: p.ID, Trait: trait, Value: v.x[s.at], Z: s.z, Likely: s.likely})
			}
		}
	}
	return found
}

type slipValue struct {
	at        int
	z, likely float64
}

func slipValues(x []float64, trait string) []slipValue {
	var found []slipValue
	z := stats.RobustZ(x)
	if len(x) < Fewest {
		for i, v := range x {
			if m, ok := medianWithout(x, i); ok && m > 0 && v > 0 && (v >= grossly*m || v*grossly <= m) {
				found = append(found, slipValue{i, 0, likely(v, trait, func(c float64) float64 { return math.Abs(math.Log(c / m)) }, math.Log(1.5))})
			}
		}
		return found
	}
	for i, v := range x {
		if !z[i].Known || math.Abs(z[i].X) <= stats.SlipLimit {
			continue
		}
		found = append(found, slipValue{i, z[i].X, likely(v, trait, linear(x, z), stats.SlipLimit)})
	}
	return found
}

// linear continues the robust z, which is a straight line in the value, to values that nobody took.
func linear(x []float64, z []stats.Maybe) func(float64) float64 {
	low, high := 0, 0
	for i := range x {
		if x[i] < x[low] {
			low = i
		}
		if x[i] > x[high] {
			high = i
		}
	}
	slope := (z[high].X - z[low].X) / (x[high] - x[low])
	return func(v float64) float64 { return math.Abs(z[low].X + float64((v-x[low])*slope)) }
}

// likely is the value nearest to what is usual among those that a wrong unit or decimal mark would explain, 0 when none
// comes within the limit.
func likely(v float64, trait string, away func(float64) float64, limit float64) float64 {
	units := headUnits
	if trait == Buds {
		units = budUnits
	}
	best, least := 0.0, limit
	for _, u := range units {
		if d := away(v * u); d < least {
			best, least = v*u, d
		}
	}
	return best
}

func medianWithout(x []float64, skip int) (float64, bool) {
	rest := slices.Concat(x[:skip], x[skip+1:])
	if len(rest) == 0 {
		return 0, false
	}
	slices.Sort(rest)
	n := len(rest)
	if n%2 == 1 {
		return rest[n/2], true
	}
	return (rest[n/2-1] + rest[n/2]) / 2, true
}
