package bed

import (
	"encoding/binary"
	"hash/fnv"
	"math"
	"math/rand/v2"
	"slices"
	"strings"

	"bedwalk/schema"
	"bedwalk/sync/stats"

	"gonum.org/v1/gonum/stat/distuv"
)

// What must be seen before a finding is shown. Each bed is tested for a dozen things, so a small P and a size that matters
// keep false alarms rare. Common practice, no source.
const (
	enoughPlaced = 10   // pots with a place, for patterns
	enoughSide   = 4    // pots on each side of a comparison
	patternP     = 0.01 // the largest P of a finding that asks for no step
	// alarmP is the largest P of a finding that needs a step. It is halved for the two traits, so that each finding gives a
	// false alarm on fewer than one clean bed in a hundred (TestCoverage).
	alarmP       = 0.004
	shuffles     = 999
	gradientSize = 0.5 // of the trait's tolerance, over the bed
	betweenShare = 0.3
	heldMargin   = 0.05
)

// findings lists what is worth reporting about the bed, in the order of Codes.
func findings(in schema.BedInput, lots []*lotPots, s schema.BedScore) []schema.Finding {
	found := slices.Concat(flagFindings(lots, s), sampleFindings(s), lotFindings(lots, s), flagSides(in, lots))
	// Each test has random numbers of its own, so that its result does not depend on the tests before it.
	chance := chanceOf(in)
	for trait, one := range s.Traits {
		found = append(found, traitPattern(in, lots, trait, chance("pattern", one.Trait))...)
	}
	found = append(found, flagPatches(in, lots, chance("flags"))...)
	for _, l := range lots {
		found = append(found, groupFindings(l, len(lots), chance("groups", l.lot))...)
	}
	SortFindings(found)
	if found == nil {
		found = []schema.Finding{}
	}
	return found
}

// words makes the 64-bit source that math/rand wants of two draws.
type words struct{ *Rand }

// Uint64 joins two numbers of Rand.
func (w words) Uint64() uint64 { return uint64(w.Next())<<32 | uint64(w.Next()) }

// chanceOf is seeded from the question, the bed and its pots alone (FNV-1a), so that a score is the same wherever it is computed.
func chanceOf(in schema.BedInput) func(question ...string) *rand.Rand {
	pots := fnv.New32a()
	pots.Write([]byte(in.Bed))
	ids := make([]string, len(in.Pots))
	for i, p := range in.Pots {
		ids[i] = p.ID
	}
	slices.Sort(ids)
	for _, id := range ids {
		pots.Write([]byte{0})
		pots.Write([]byte(id))
	}
	return func(question ...string) *rand.Rand {
		h := fnv.New32a()
		h.Write(binary.BigEndian.AppendUint32([]byte(strings.Join(question, "\x00")+"\x00"), pots.Sum32()))
		return rand.New(words{NewRand(h.Sum32())})
	}
}

// flagFindings report every sight of rot, chlorosis and suspected disease. A bed of several lots names the lot when
// one alone shows it.
func flagFindings(lots []*lotPots, s schema.BedScore) []schema.Finding {
	var found []schema.Finding
	for _, f := range []struct {
		code      string
		flag      int
		share     schema.Share
		attention bool
	}{
		{CodeRot, rot, s.Rot, true},
		{CodeChlorosis, chlorosis, s.Chlorosis, s.Stop.Chlorosis == callTrouble},
		{CodeDisease, disease, s.Disease, true},
	} {
		if f.share.X == 0 {
			continue
		}
		found = append(found, schema.Finding{
			Code: f.code, Lot: onlyLot(lots, f.flag), Attention: f.attention,
			Numbers: map[string]float64{
				"x": float64(f.share.X), "n": float64(f.share.N), "value": f.share.Value,
				"low": f.share.Interval.Low, "high": f.share.Interval.High,
			},
		})
	}
	return found
}

// onlyLot is the one lot of several that shows the flag, "" when more do or the bed has one lot.
func onlyLot(lots []*lotPots, flag int) string {
	name, seen, with := "", 0, 0
	for _, l := range lots {
		if len(l.pots) == 0 {
			continue
		}
		seen++
		if countsOf(l)[flag].x > 0 {
			with++
			name = l.lot
		}
	}
	if seen < 2 || with != 1 {
		return ""
	}
	return name
}

// sampleFindings are about the walk rather than the bed: too many pots at the edge, a stretch left out, values to check again.
func sampleFindings(s schema.BedScore) []schema.Finding {
	var found []schema.Finding
	if s.Edge.N >= 2*enoughSide && s.Edge.Value > s.EdgeBed && edgeChance(s.Edge, s.EdgeBed) <= alarmP {
		found = append(found, schema.Finding{Code: CodeEdgeBias, Attention: true, Numbers: map[string]float64{
			"seen": s.Edge.Value, "bed": s.EdgeBed, "n": float64(s.Edge.N),
		}})
	}
	if u := s.Unwalked; u != nil {
		found = append(found, schema.Finding{Code: CodeUnwalked, End: sideName(u.Side), Attention: true, Numbers: map[string]float64{
			"from_row": float64(u.FromRow), "to_row": float64(u.ToRow), "share": u.Share, "p": u.P, "n": float64(s.Seen),
		}})
	}
	slips, mistyped := 0, 0
	for _, l := range s.Lots {
		slips += len(l.Slips)
		for _, slip := range l.Slips {
			if slip.Likely > 0 {
				mistyped++
			}
		}
	}
	if slips > 0 {
		// A value far from the others may be true; only one that a known slip explains needs a step.
		found = append(found, schema.Finding{Code: CodeSlips, Attention: mistyped > 0, Numbers: map[string]float64{
			"x": float64(slips), "mistyped": float64(mistyped), "n": float64(s.Seen),
		}})
	}
	return found
}

// edgeChance is the chance that pots pulled at random stand at the edge at least as often.
func edgeChance(edge schema.Share, bed float64) float64 {
	return distuv.Binomial{N: float64(edge.N), P: bed}.Survival(float64(edge.X) - 1)
}

// lotFindings compare the traits and the lots of a bed.
func lotFindings(lots []*lotPots, s schema.BedScore) []schema.Finding {
	var found []schema.Finding
	head, buds := s.Traits[0], s.Traits[1]
	if head.Uniformity.Known && buds.Uniformity.Known && min(head.N, buds.N) >= Fewest {
		held, other := head, buds
		if s.LimitingTrait == Buds {
			held, other = buds, head
		}
		if other.Uniformity.Value-held.Uniformity.Value >= heldMargin {
			found = append(found, schema.Finding{Code: CodeHoldsBack, Trait: s.LimitingTrait, Numbers: map[string]float64{
				"uniformity": held.Uniformity.Value, "other": other.Uniformity.Value, "n": float64(held.N),
			}})
		}
	}
	if s.BetweenLots.Known && s.BetweenLots.Value >= betweenShare {
		var heads [][]float64
		filled := 0
		for _, l := range lots {
			if x := l.values[0].x; len(x) >= MinPotsPerLot {
				heads = append(heads, x)
				filled++
			}
		}
		if c := stats.VarianceComponents(heads, level); filled > 1 && c.P.Known && c.P.X <= patternP {
			found = append(found, schema.Finding{Code: CodeBetweenLots, Trait: Head, Numbers: map[string]float64{
				"share": s.BetweenLots.Value, "lots": float64(filled), "n": float64(c.N),
			}})
		}
	}
	for _, l := range s.Lots {
		for _, t := range l.Traits {
			if t.Disagree && t.N >= enoughPlaced {
				found = append(found, schema.Finding{Code: CodeDisagree, Trait: t.Trait, Lot: l.Lot, Numbers: map[string]float64{
					"expected": t.Uniformity.Value, "counted": t.Counted.Value, "n": float64(t.N),
				}})
			}
		}
	}
	return found
}

// groupFindings test the shape of one lot's values; each lot gets its part of the bed's chance of a false alarm.
func groupFindings(l *lotPots, lots int, rng *rand.Rand) []schema.Finding {
	var found []schema.Finding
	for trait, name := range []string{Head, Buds} {
		x := l.values[trait].x
		if split, ok := twoGroups(x, rng); ok && split.p <= math.Max(1.0/(shuffles+1), alarmP/float64(lots)) {
			found = append(found, schema.Finding{Code: CodeTwoGroups, Trait: name, Lot: l.lot, Attention: true, Numbers: map[string]float64{
				"low": split.low, "high": split.high, "low_n": float64(split.lowN), "high_n": float64(len(x) - split.lowN),
				"p": split.p, "n": float64(len(x)),
			}})
		}
	}
	buds := l.values[1].x
	counts := make([]int, len(buds))
	for i, v := range buds {
		counts[i] = int(v)
	}
	d := stats.DispersionOf(counts)
	if d.N >= enoughPlaced && d.PUpper.Known && d.PUpper.X <= patternP {
		found = append(found, schema.Finding{Code: CodeClumped, Trait: Buds, Lot: l.lot, Numbers: map[string]float64{
			"index": d.Index.X, "p": d.PUpper.X, "n": float64(d.N),
		}})
	}
	return found
}

type groups struct {
	low, high, p float64
	lowN         int
}

// What counts as two groups: each with a fifth of the pots and three at least, their means four of the SDs within them apart
// (values spread evenly from end to end reach 3.5), and a split that normal sizes hardly ever allow.
const (
	enoughForGroups = 12
	groupPart       = 5
	groupGap        = 4.0
	mostForGroups   = 2000
)

// twoGroups splits one lot's values where the two parts vary least about their own means and asks by simulation (seeded)
// how often as many normal values split as well. It returns false where the groups are too few, too small or too near; the caller decides whether the
// chance is small enough.
func twoGroups(x []float64, rng *rand.Rand) (groups, bool) {
	n := len(x)
	if n < enoughForGroups {
		return groups{}, false
	}
	sorted := slices.Sorted(slices.Values(x))
	share, at := bestSplit(sorted)
	if at == 0 {
		return groups{}, false
	}
	low, high := stats.Summarize(sorted[:at]), stats.Summarize(sorted[at:])
	within := math.Sqrt((low.SD.X*low.SD.X*float64(low.N-1) + high.SD.X*high.SD.X*float64(high.N-1)) / float64(n-2))
	if high.Mean.X-low.Mean.X < groupGap*within {
		return groups{}, false
	}
	// Skewed sizes, which are even as logarithms, split better than normal ones: groups show on both scales.
	logs := make([]float64, n)
	for i, v := range sorted {
		logs[i] = math.Log1p(math.Max(0, v))
	}
	onLogs, _ := bestSplit(logs)
	share = math.Max(share, onLogs)
	as := 0
	// Fewer values split as well by chance more often, so the bound is on the safe side.
	normal := make([]float64, min(n, mostForGroups))
	for range shuffles {
		for i := range normal {
			normal[i] = rng.NormFloat64()
		}
		slices.Sort(normal)
		if other, _ := bestSplit(normal); other <= share {
			as++
		}
	}
	g := groups{low: low.Mean.X, high: high.Mean.X, lowN: at, p: float64(1+as) / float64(shuffles+1)}
	return g, true
}

// bestSplit is the smallest share of the sum of squares that lies within two parts of sorted values, and where they part; 0
// when the values do not vary.
func bestSplit(sorted []float64) (share float64, at int) {
	n := len(sorted)
	var sum, squares float64
	for _, v := range sorted {
		sum += v
	}
	mean := sum / float64(n)
	for _, v := range sorted {
		squares += (v - mean) * (v - mean)
	}
	if squares == 0 {
		return 1, 0
	}
	least := max(MinPotsPerLot, n/groupPart)
	share, before := 1.0, 0.0
	for i := 1; i <= n-least; i++ {
		before += sorted[i-1] - mean
		if i < least {
			continue
		}
		// The part of the squares that lies between the two means.
		between := before * before * float64(n) / (float64(i) * float64(n-i))
		if left := 1 - between/squares; left < share {
			share, at = left, i
		}
	}
	return share, at
}
