package bed

import (
	"math"
	"math/rand/v2"
	"slices"

	"bedwalk/schema"
)

const (
	// patchP is the largest P of a patch of flagged pots that is shown: each flag's patch on fewer than one clean bed of a hundred,
	// also where every pot was looked at and the test reaches its full chance.
	patchP = 0.008
	// longest is the largest reach, as a part of the bed's length.
	longest = 1.0 / 8
	// fewForPairs: up to this many pots every pair is compared; with more, they are counted in squares.
	fewForPairs = 300
	// work bounds the cost of a permutation test, in steps; fewestShuffles can still show 1 in 250.
	work           = 50_000_000
	fewestShuffles = 250
)

// shufflesFor returns how many shuffles, of so many steps each, a question may cost.
func shufflesFor(steps int) int { return min(shuffles, max(fewestShuffles, work/max(1, steps))) }

// flagPatches tests whether flagged pots are close together, at several reaches at once: from one and a half times the distance between
// pots looked at, doubled, up to an eighth of the bed. At each reach the statistic is a join count with closeness for weights, the
// sum over every two flagged pots of exp(-distance/reach) (Cliff and Ord 1981; Tango 1984, Biometrics 40:15, both from memory);
// on a bed with more than fewForPairs pots the squares of the flagged pots in each square of twice the reach, over two nets of
// squares. The largest of the standardized statistics is compared with the largest under the same shuffles of the flags, so that
// asking at many reaches costs no false alarms (the maximum statistic of Westfall and Young 1993, from memory). What patches it finds,
// and how often it finds one where there is none, is measured by TestCoverage.
func flagPatches(in schema.BedInput, lots []*lotPots, rng *rand.Rand) []schema.Finding {
	if depth(in) == 0 {
		return nil
	}
	var found []schema.Finding
	for _, f := range []struct {
		code string
		flag int
	}{{CodePatchRot, rot}, {CodePatchChlorosis, chlorosis}, {CodePatchDisease, disease}} {
		pots, x := flagPlaces(in, lots, f.flag)
		if len(pots) < enoughPlaced || x < MinPotsPerLot || x == len(pots) {
			continue
		}
		near := neighbours(pots)
		p := togetherP(pots, x, reachesOf(spacing(pots, near), float64(in.LengthMM)/1000), rng)
		if p > patchP {
			continue
		}
		together, from, to := spanned(pots, depth(in), func(i int) bool {
			return slices.ContainsFunc(near[i], func(j int) bool { return pots[j].value > 0 })
		})
		if together == 0 {
			// They are close, with sound pots between every two of them.
			together, from, to = spanned(pots, depth(in), func(int) bool { return true })
		}
		found = append(found, schema.Finding{Code: f.code, Lot: onlyLot(lots, f.flag), Attention: true, Numbers: map[string]float64{
			"x": float64(x), "together": float64(together), "p": p, "from_m": from, "to_m": to, "n": float64(len(pots)),
		}})
	}
	return found
}

// reachesOf returns the reaches at which a patch is looked for, in metres, the largest last.
func reachesOf(spacing, length float64) []float64 {
	var all []float64
	most := longest * length
	for r := 1.5 * spacing; spacing > 0 && 1.5*r < most; r *= 2 {
		all = append(all, r)
	}
	return append(all, most)
}

// togetherP is the chance that the flags of x pots, assigned at random, would be as close together at any of the reaches.
func togetherP(pots []placed, x int, reaches []float64, rng *rand.Rand) float64 {
	flagged := make([]int, 0, x)
	order := make([]int, len(pots))
	for i, p := range pots {
		order[i] = i
		if p.value > 0 {
			flagged = append(flagged, i)
		}
	}
	var sums []func(flagged []int) float64
	steps := 2 * x
	if len(pots) <= fewForPairs {
		steps = x * x / 2
	}
	for _, reach := range reaches {
		if len(pots) <= fewForPairs {
			sums = append(sums, pairSum(pots, reach))
		} else {
			sums = append(sums, squareSum(pots, 2*reach))
		}
	}
	times := shufflesFor(steps * len(reaches))
	// Row 0 is what was observed.
	table := make([][]float64, times+1)
	for b := range table {
		if b > 0 {
			for i := range x {
				j := i + rng.IntN(len(order)-i)
				order[i], order[j] = order[j], order[i]
			}
			copy(flagged, order[:x])
			// In one order, so that the same flags add up to the same sum.
			slices.Sort(flagged)
		}
		for _, sum := range sums {
			table[b] = append(table[b], sum(flagged))
		}
	}
	largest := make([]float64, len(table))
	for b := range largest {
		largest[b] = math.Inf(-1)
	}
	for r := range reaches {
		mean, squares := 0.0, 0.0
		for _, row := range table {
			mean += row[r] / float64(len(table))
		}
		for _, row := range table {
			squares += (row[r] - mean) * (row[r] - mean)
		}
		if squares == 0 {
			continue
		}
		sd := math.Sqrt(squares / float64(len(table)-1))
		for b, row := range table {
			largest[b] = math.Max(largest[b], (row[r]-mean)/sd)
		}
	}
	as := 0
	for _, z := range largest[1:] {
		if z >= largest[0]-1e-9 {
			as++
		}
	}
	return float64(1+as) / float64(times+1)
}

// pairSum is the closeness of every two flagged pots, summed: 1 at one place, falling by e with each reach between them.
func pairSum(pots []placed, reach float64) func([]int) float64 {
	n := len(pots)
	closes := make([]float64, n*n)
	for i, a := range pots {
		for j, b := range pots[:i] {
			closes[i*n+j] = math.Exp(-math.Hypot(a.x-b.x, a.y-b.y) / reach)
		}
	}
	return func(flagged []int) float64 {
		sum := 0.0
		for at, i := range flagged {
			for _, j := range flagged[:at] {
				sum += closes[i*n+j]
			}
		}
		return sum
	}
}

// squareSum is the sum over squares of the number of flagged pots in each, squared, over two nets of which one is shifted by half a
// square.
func squareSum(pots []placed, side float64) func([]int) float64 {
	var in [2][]int
	var counts [2][]int
	for net, shift := range []float64{0, side / 2} {
		number := map[cell]int{}
		in[net] = make([]int, len(pots))
		for i, p := range pots {
			at := cell{int(math.Floor((p.x + shift) / side)), int(math.Floor((p.y + shift) / side))}
			if _, known := number[at]; !known {
				number[at] = len(number)
			}
			in[net][i] = number[at]
		}
		counts[net] = make([]int, len(number))
	}
	return func(flagged []int) float64 {
		sum := 0
		for net := range in {
			for _, i := range flagged {
				c := &counts[net][in[net][i]]
				sum += 2**c + 1
				*c++
			}
			for _, i := range flagged {
				counts[net][in[net][i]] = 0
			}
		}
		return float64(sum)
	}
}

// potsInPatch is how many pots of a patch a walk has to check to find it about four times in five, at 85 % of its pots flagged and
// 3 % of the others: by simulation (TestCoverageOfWhatIsThere).
const potsInPatch = 7

// patchSeen is the length of the shortest patch, from side to side of the bed, that the walk would most likely have found; 0 where it
// looked at so many pots that one row of them would do.
func patchSeen(in schema.BedInput, lots []*lotPots) float64 {
	looked := 0
	for _, flag := range []int{rot, chlorosis, disease} {
		pots, _ := flagPlaces(in, lots, flag)
		looked = max(looked, len(pots))
	}
	if depth(in) == 0 || looked == 0 {
		return 0
	}
	length := float64(in.LengthMM) / 1000
	if looked < enoughPlaced {
		return length
	}
	if shortest := potsInPatch * length / float64(looked); shortest > depth(in) {
		return math.Min(length, shortest)
	}
	return 0
}
