package bed

import (
	"testing"

	"bedwalk/sync/loss"
	"bedwalk/sync/stats"
)

// By hand: of a single pot, or of a lot of which next to nothing is left, more than one case in twenty loses all that could be promised.
func TestNothingIsPromisedOfPotsThatAreAsGoodAsLost(t *testing.T) {
	dying, known := loss.OfRate(9900, 2857, 20)
	if !known {
		t.Fatal("a past of 2,857 pot-weeks says nothing")
	}
	for _, c := range []struct {
		pots, seen, bed int
		left            loss.Share
	}{{1, 10, 10, loss.Written(0.9)}, {1, 50, 200, loss.Written(0.9)}, {2, 2, 2, loss.Written(0.001)}, {50, 50, 50, loss.Written(1e-6)}, {100, 100, 100, dying}} {
		least, _ := stats.LeastInBed(c.pots, c.seen, c.bed, PromiseRisk)
		at := inGrade{[]stats.Stratum{{X: c.pots, N: c.seen, Bed: c.bed}}, least, 0, c.bed}
		if got := at.atShipping(c.left.InAnySeason(0.35)); got != 0 {
			t.Errorf("of %d pots of which %v are left on average, %d are promised", c.pots, c.left.Mean, got)
		}
	}
}
