package bed

import (
	"math"
	"slices"

	"bedwalk/schema"
	"bedwalk/sync/stats"
)

// Slips are offered, never dropped. The phone asks SlipOf about a value before it is saved, and the scout confirms it
// or corrects it; from then on it is scored as noted, because a true runt looks the same as a mistyped figure and a bed
// must not score as more even the further its runts fall behind. What is still flagged is listed (LotScore.Slips) until
// somebody has looked again (PotSeen.Checked), and BedScore.WithoutSlips says what the headline would be without it.

// slipChance is the chance that a bed of clean, normal values has one that is offered as a slip. Common practice, no source.
const slipChance = 0.01

// What makes a value mistyped rather than a runt: it is at most half or at least twice the median, farther than mistypedZ
// from it, and what a slip of unit, decimal mark or digit would have made it from lies within usualZ. Common practice, no source;
// the false alarms are measured (TestCoverage).
const (
	mistypedBy = 2.0
	mistypedZ  = 4.5
	usualZ     = 2.0
)

// grossly is how many times larger or smaller than the others' median a value must be to be offered while fewer than five
// pots show what is usual: 30 mm among 300s. Common practice, no source.
const grossly = 4.0

// headUnits are the factors that a misplaced decimal mark, or inches taken for centimetres, puts into a head size.
var (
	headUnits = []float64{10, 0.1, 2.54, 1 / 2.54, 25.4, 1 / 25.4}
	budUnits  = []float64{10, 0.1}
)

// SlipOf judges a value (mm, or buds) before it is saved, against the pots of the same lot seen so far. It returns false when
// the value looks usual, and when too few pots were seen to know.
func SlipOf(in schema.BedInput, lot, trait string, value float64) (schema.Slip, bool) {
	var x []float64
	lots := lotsOf(in)
	for _, l := range lots {
		if l.lot == lot {
			x = slices.Clone(l.values[traitIndex(trait)].x)
		}
	}
	x = append(x, value)
	for _, s := range slipValues(x, trait, chanceOfSlips(len(lots))) {
		if s.at == len(x)-1 {
			return schema.Slip{Trait: trait, Value: value, Z: s.z, Likely: s.likely}, true
		}
	}
	return schema.Slip{}, false
}

// chanceOfSlips divides the bed's chance among its lots and their two traits.
func chanceOfSlips(lots int) float64 { return slipChance / float64(2*max(1, lots)) }

// slipsOf lists the flagged values of one lot of so many, head sizes first, in the order of pot ids.
func slipsOf(l *lotPots, lots int) []schema.Slip {
	var found []schema.Slip
	for i, trait := range []string{Head, Buds} {
		v := l.values[i]
		for _, s := range slipValues(v.x, trait, chanceOfSlips(lots)) {
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

func slipValues(x []float64, trait string, chance float64) []slipValue {
	var found []slipValue
	if len(x) < Fewest {
		for i, v := range x {
			if m, ok := medianWithout(x, i); ok && m > 0 && v > 0 && (v >= grossly*m || v*grossly <= m) {
				found = append(found, slipValue{i, 0, likely(v, trait, func(c float64) float64 { return math.Abs(math.Log(c / m)) }, math.Log(1.5))})
			}
		}
		return found
	}
	z := stats.RobustZ(x)
	limit := stats.SlipLimit(len(x), chance)
	median := stats.Median(x).X
	for i, v := range x {
		if !z[i].Known || math.Abs(z[i].X) <= math.Min(limit, mistypedZ) {
			continue
		}
		usual := 0.0
		if math.Abs(z[i].X) > mistypedZ && (v >= mistypedBy*median || v*mistypedBy <= median) {
			usual = likely(v, trait, linear(x, z), usualZ)
		}
		if usual > 0 || math.Abs(z[i].X) > limit {
			found = append(found, slipValue{i, z[i].X, usual})
		}
	}
	return found
}

// linear extends the robust z, which is linear in the value, to values that nobody measured.
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

// likely returns the value nearest to what is usual among those that a wrong unit, a misplaced decimal mark or two swapped
// digits would have turned into this one; 0 when none is within the limit.
func likely(v float64, trait string, away func(float64) float64, limit float64) float64 {
	units := headUnits
	if trait == Buds {
		units = budUnits
	}
	best, least := 0.0, limit
	try := func(c float64) {
		if d := away(c); d < least {
			best, least = c, d
		}
	}
	for _, u := range units {
		try(v * u)
	}
	// Bud counts vary so much that swapped digits would explain many true ones.
	if trait == Head {
		for _, c := range swapped(v) {
			try(c)
		}
	}
	return best
}

// swapped returns the whole numbers that become this one when two neighbouring digits are swapped.
func swapped(v float64) []float64 {
	if v != math.Trunc(v) || v < 10 || v >= 1e6 {
		return nil
	}
	var all []float64
	for at := 1.0; at*10 <= v; at *= 10 {
		low, high := math.Mod(math.Floor(v/at), 10), math.Mod(math.Floor(v/(at*10)), 10)
		if low != high && (low > 0 || at*100 <= v) {
			all = append(all, v+float64((low-high)*9*at))
		}
	}
	return all
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
