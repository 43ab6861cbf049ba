package view

import "testing"

func TestAWalksSeasonIsOfTheLotsThatItSaw(t *testing.T) {
	// Lots a and b grew here, then c; a walk saw b alone, and one in between nothing.
	walks := []*walk{{At: 1, Lots: []string{"a", "b"}}, {At: 2, Lots: []string{"b"}}, {At: 3}, {At: 4, Lots: []string{"c"}}, {At: 5, Lots: []string{"c"}}}
	for of, want := range map[int][2]int64{0: {1, 2}, 1: {1, 2}, 2: {3, 3}, 3: {4, 5}, 4: {4, 5}} {
		if since, until := seasonOnBed(walks, walks[of]); since != want[0] || until != want[1] {
			t.Errorf("the season of the walk at %d is from %d to %d, want %v", walks[of].At, since, until, want)
		}
	}
}
