package bed

import (
	"math"

	"bedwalk/schema"
	"bedwalk/sync/stats"
)

const (
	// flagP is the largest P of where a flag shows, shared out over the flags that are asked about and, at the sides, over the four
	// of them.
	flagP = 0.008
	// sideRows is the part of a bed's rows that counts as an end of it. Common practice, no source.
	sideRows = 1.0 / 8
)

// flagSides looks for where in the bed a flag is more frequent: toward an end or a side (Mann and Whitney's test of where the flagged
// pots stand among all that were looked at), or at one of the four sides against the rest (exact, by the hypergeometric
// distribution: Fisher's test, one-sided).
func flagSides(in schema.BedInput, lots []*lotPots) []schema.Finding {
	if depth(in) == 0 {
		return nil
	}
	type question struct {
		name string
		flag int
		pots []placed
		x    int
	}
	var asked []question
	for _, q := range []question{{name: FlagRot, flag: rot}, {name: FlagChlorosis, flag: chlorosis}, {name: FlagDisease, flag: disease}} {
		q.pots, q.x = flagPlaces(in, lots, q.flag)
		if len(q.pots) >= enoughPlaced && q.x >= MinPotsPerLot && len(q.pots)-q.x >= MinPotsPerLot {
			asked = append(asked, q)
		}
	}
	var found []schema.Finding
	for _, f := range asked {
		pots, x, most := f.pots, f.x, flagP/float64(len(asked))
		length, width := depth(in)*float64(in.Rows), depth(in)*float64(in.Across)
		lot := onlyLot(lots, f.flag)
		for _, one := range []struct {
			code          string
			at            func(placed) float64
			middle        float64
			first, second string
		}{
			{CodeFlagGradient, func(p placed) float64 { return p.x }, length / 2, "entry", "far"},
			{CodeFlagAcross, func(p placed) float64 { return p.y }, width / 2, "near", "far"},
		} {
			if finding, ok := flagTrend(pots, one.at, one.middle, one.first, one.second, most); ok {
				finding.Code, finding.Trait, finding.Lot = one.code, f.name, lot
				found = append(found, finding)
			}
		}
		for _, side := range []struct {
			name string
			on   func(placed) bool
		}{
			{"entry", func(p placed) bool { return p.x < sideRows*length }},
			{"far", func(p placed) bool { return p.x > (1-sideRows)*length }},
			{"near_side", func(p placed) bool { return p.y < depth(in) }},
			{"far_side", func(p placed) bool { return p.y > width-depth(in) }},
		} {
			if finding, ok := flagSide(pots, x, side.on, most/4); ok {
				finding.Trait, finding.Lot, finding.End = f.name, lot, side.name
				found = append(found, finding)
			}
		}
	}
	return found
}

// flagTrend names the end toward which the flag is more frequent, with its share in either half of the bed.
func flagTrend(pots []placed, at func(placed) float64, middle float64, first, second string, most float64) (schema.Finding, bool) {
	var flagged, sound []float64
	var x, n [2]float64
	for _, p := range pots {
		half := 0
		if at(p) > middle {
			half = 1
		}
		n[half]++
		x[half] += p.value
		if p.value > 0 {
			flagged = append(flagged, at(p))
		} else {
			sound = append(sound, at(p))
		}
	}
	test := stats.MannWhitney(flagged, sound)
	if !test.P.Known || test.P.X > most || math.Min(n[0], n[1]) < enoughSide {
		return schema.Finding{}, false
	}
	end, low, high := second, x[0]/n[0], x[1]/n[1]
	if test.Share.X < 0.5 {
		end, low, high = first, high, low
	}
	if high <= low {
		return schema.Finding{}, false
	}
	return schema.Finding{End: end, Attention: true, Numbers: map[string]float64{
		"there": high, "other": low, "p": test.P.X, "n": float64(len(pots)),
	}}, true
}

// flagSide compares one side with the rest of the bed.
func flagSide(pots []placed, x int, on func(placed) bool, most float64) (schema.Finding, bool) {
	n, there := 0, 0
	for _, p := range pots {
		if on(p) {
			n++
			there += int(p.value)
		}
	}
	rest := len(pots) - n
	if min(n, rest) < enoughSide || there*rest <= (x-there)*n {
		return schema.Finding{}, false
	}
	p := stats.HypergeometricAtLeast(there, len(pots), x, n)
	if p > most {
		return schema.Finding{}, false
	}
	return schema.Finding{Code: CodeFlagEdge, Attention: true, Numbers: map[string]float64{
		"x": float64(there), "side_n": float64(n), "there": float64(there) / float64(n), "other": float64(x-there) / float64(rest),
		"p": p, "n": float64(len(pots)),
	}}, true
}
