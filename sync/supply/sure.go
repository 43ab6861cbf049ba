package supply

import (
	"maps"
	"slices"
)

// Sure is what a week is sure to have, in each grade or a better one: of each lot by itself, of the lots of each cultivar together, and of all.
type Sure struct {
	Lots      []SureLot
	Cultivars map[string][]int
	All       []int
}

// SureLot is one lot's own share.
type SureLot struct {
	Lot, Cultivar string
	Pots          []int
}

// upTo is a grade's number, 0 where there is none.
func upTo(pots []int, k int) int {
	if k < len(pots) {
		return pots[k]
	}
	return 0
}

// pots are the lots' own, then what several are sure of beyond these: of each cultivar, and of all.
func (s Sure) pots() (all []Pots) {
	byCultivar := map[string][]int{"": make([]int, len(s.All))}
	for _, l := range s.Lots {
		exact := exactly(l.Pots)
		if byCultivar[l.Cultivar] == nil {
			byCultivar[l.Cultivar] = make([]int, len(s.All))
		}
		sum := 0
		for k, n := range exact {
			all = append(all, Pots{l.Lot, l.Cultivar, k, n})
			sum += n
			byCultivar[l.Cultivar][k] += sum
		}
	}
	together := make([]int, len(s.All))
	for _, cultivar := range slices.Sorted(maps.Keys(byCultivar)) {
		more := make([]int, len(s.All))
		for k, alone := range byCultivar[cultivar] {
			if cultivar != "" {
				more[k] = max(0, upTo(s.Cultivars[cultivar], k)-alone)
			}
			together[k] += alone
		}
		sum := 0
		for k, n := range exactly(more) {
			all = append(all, Pots{"", cultivar, k, n})
			sum += n
			together[k] += sum
		}
	}
	for k := range together {
		together[k] = max(0, s.All[k]-together[k])
	}
	for k, n := range exactly(together) {
		all = append(all, Pots{"", "", k, n})
	}
	return all
}

// exactly turns pots in a grade or a better one into pots of each very grade.
func exactly(upTo []int) []int {
	exact, before := make([]int, len(upTo)), 0
	for k, n := range upTo {
		exact[k] = max(0, n-before)
		before = max(before, n)
	}
	return exact
}
