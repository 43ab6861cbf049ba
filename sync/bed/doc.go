// Package bed turns what a walk saw on one bed into what a grower needs to decide: how even the bed is within its lots, how many
// more pots to pull and which, where on the bed something is wrong, what it will grade to, and whether scouts agree.
//
// It reads and writes no data: everything comes in as schema.BedInput and goes out as schema types, so a
// phone without signal and the server give the same results. The central function is Score; Measure is the part of it that the phone
// computes too (its twin is bed.ts). The formulas are those of package stats, with their sources; codes of findings are
// listed in codes.go. Results do not depend on the order in which pots arrive.
package bed

import (
	"cmp"
	"slices"

	"bedwalk/schema"
	"bedwalk/sync/stats"
)

// Measures counts the changes of what Measure and Score compute: what a server has stored of earlier walks was made by one
// count, and is made again by the next.
const Measures = 2

// The measured traits, in the order in which they are listed.
const (
	Head = "head"
	Buds = "buds"
)

// The flags of a pot that findings name in place of a trait.
const (
	FlagRot       = "rot"
	FlagChlorosis = "chlorosis"
	FlagDisease   = "disease"
)

// Fewest is the number of pots below which a bed's numbers are not shown (BedScore.TooFewPots), and below which a trait does not
// make the headline while another has more. Common practice, no source.
const Fewest = 5

// ThinCover is the highest root cover that counts as thin: at most two fifths of the ball held by roots. DeadLife is the
// highest root life that counts as rot, unless the scratch test finds the root alive. Common practice, no source.
const (
	ThinCover = 2
	DeadLife  = 2
)

const level = stats.DefaultLevel

// lotPots is one lot of a bed with its pots, ordered by id, and the values that were taken of each trait.
type lotPots struct {
	lot                string
	potsOnBed          int
	judged             schema.Judged
	potMM              int
	shipWeek           string
	shipped, uncounted bool
	// left is the number of pots that left since the walk began, added of those that came.
	left, added int
	bookings    []schema.BookedPots
	// kept is the share of its pots that is left at shipping, nil where its crop's loss says it.
	kept   *schema.KeptShare
	pots   []schema.PotSeen
	values [2]taken
}

// taken is one trait's values in one lot, with the pots that they were taken from.
type taken struct {
	x    []float64
	pots []int
}

// lotsOf sorts the pots seen into the lots of the bed. A lot on two stretches of the bed is one lot. Pots of a lot that is
// not (or no longer) on the bed are not dropped: they make a lot of their own with an unknown number of pots.
func lotsOf(in schema.BedInput) []*lotPots {
	var lots []*lotPots
	byID := map[string]*lotPots{}
	for _, on := range in.Lots {
		l := byID[on.Lot]
		if l == nil {
			l = &lotPots{lot: on.Lot, judged: on.Judged, potMM: on.PotMM}
			byID[on.Lot] = l
			lots = append(lots, l)
		}
		l.stand(on)
	}
	known := len(lots)
	seen := map[string]int{}
	for _, p := range in.Pots {
		seen[p.Now.Lot]++
	}
	for _, i := range sortedPots(in.Pots) {
		p := in.Pots[i]
		l := byID[p.Now.Lot]
		if l == nil {
			l = &lotPots{lot: p.Now.Lot, judged: schema.DefaultJudged()}
			byID[p.Now.Lot] = l
			lots = append(lots, l)
		}
		if l.pots == nil {
			// A sheet may hold 200,000 pots: room for just as many as there are.
			l.pots = make([]schema.PotSeen, 0, seen[p.Now.Lot])
		}
		l.pots = append(l.pots, p)
	}
	slices.SortFunc(lots[known:], func(a, b *lotPots) int { return cmp.Compare(a.lot, b.lot) })
	for _, l := range lots {
		for i, p := range l.pots {
			if mm, ok := HeadMM(p.Now); ok {
				l.values[0].add(mm, i)
			}
			if p.Now.Buds != nil {
				l.values[1].add(float64(*p.Now.Buds), i)
			}
		}
	}
	return lots
}

// stand adds a stretch that the lot stands on.
func (l *lotPots) stand(on schema.LotOnBed) {
	l.potsOnBed += on.PotsOnBed
	l.left, l.added = l.left+on.Left, l.added+on.Added
	l.bookings = append(l.bookings, on.Bookings...)
	l.kept = on.Kept
	l.shipWeek, l.shipped = on.ShipWeek, on.Shipped
	l.uncounted = l.uncounted || on.Uncounted
}

func (t *taken) add(x float64, pot int) {
	t.x = append(t.x, x)
	t.pots = append(t.pots, pot)
}

// sortedPots are the places of pots in the order of their ids, so that sums come out the same whichever phone's notes came first.
func sortedPots(pots []schema.PotSeen) []int {
	sorted := make([]int, len(pots))
	for i := range sorted {
		sorted[i] = i
	}
	slices.SortStableFunc(sorted, func(a, b int) int { return cmp.Compare(pots[a].ID, pots[b].ID) })
	return sorted
}

// HeadMM is a pot's head size in millimetres: the mean of its two diameters, or the one that was measured; false when
// neither was.
func HeadMM(o schema.Observation) (float64, bool) {
	switch {
	case o.HeadAMM != nil && o.HeadBMM != nil:
		return float64(*o.HeadAMM+*o.HeadBMM) / 2, true
	case o.HeadAMM != nil:
		return float64(*o.HeadAMM), true
	case o.HeadBMM != nil:
		return float64(*o.HeadBMM), true
	}
	return 0, false
}

// mainLot is the lot that sets what a bed has only one of (wanted width, least and most pots, limits of the sequential
// tests): the one with most pots on the bed, the first of equals. A bed without lots is judged by the defaults.
func mainLot(in schema.BedInput) schema.LotOnBed {
	most := schema.LotOnBed{Judged: schema.DefaultJudged()}
	for i, l := range in.Lots {
		if i == 0 || l.PotsOnBed > most.PotsOnBed {
			most = l
		}
	}
	return most
}

func sumPotsOnBed(lots []*lotPots) int {
	sum := 0
	for _, l := range lots {
		sum += l.potsOnBed
	}
	return sum
}

// bedEnd is the number of pots for the finite-population correction: 0 (no end known) when the ledger has no pots
// there, or fewer than were seen, which only shows that the ledger is late.
func bedEnd(potsOnBed, seen int) int {
	if potsOnBed < seen {
		return 0
	}
	return potsOnBed
}

func fraction(bp int) float64 { return float64(bp) / 10000 }
