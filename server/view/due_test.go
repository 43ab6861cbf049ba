package view_test

import (
	"testing"

	"bedwalk/schema"
	"bedwalk/server/testphone"
)

// A walk of the small nursery is planned with twelve pots.
func TestABedIsDueUntilAWalkOfItIsEndedOrHasSeenWhatItsPlanWanted(t *testing.T) {
	for name, c := range map[string]struct {
		pots  int
		ended bool
		due   string
	}{
		"left off after five pots":   {pots: 5, due: "never"},
		"ended after five pots":      {pots: 5, ended: true},
		"as many as the plan wanted": {pots: 12},
	} {
		t.Run(name, func(t *testing.T) {
			o := newOffice(t)
			p := testphone.New("1111111111111111")
			n := p.Plant()
			for i := range c.pots {
				p.See(n, 1+i%10, 1+i/10, 300, 40)
			}
			if c.ended {
				p.Note("walk_end", "", n.Bed, schema.WalkEnd{Walk: n.Walk, Bed: n.Bed, Why: "stopped"})
			}
			o.push(p)
			v, err := o.desk.Beds(t.Context())
			if err != nil {
				t.Fatal(err)
			}
			if b := bedsOf(v)[n.Bed]; b.Due != c.due || b.Score.Seen != c.pots {
				t.Errorf("due %q, wanted %q; %d pots seen of %d", b.Due, c.due, b.Score.Seen, c.pots)
			}
		})
	}
}
