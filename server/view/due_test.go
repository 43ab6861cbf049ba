package view_test

import (
	"slices"
	"testing"

	"bedwalk/schema"
	"bedwalk/server/testphone"
	"bedwalk/sync/bed"
)

// A walk of the small nursery is planned with twelve pots.
func TestABedIsDueUntilAWalkOfItIsEndedOrHasSeenWhatItsPlanWanted(t *testing.T) {
	for name, c := range map[string]struct {
		pots int
		// Why the walk was ended, "" where it was not.
		ended string
		due   string
		// A walk that goes on has left out nothing yet.
		unwalked bool
		// A walk that was left early is said to be, also where it is whole: pots so even ask for 13.
		unfinished bool
	}{
		"left off after five pots":   {pots: 5, due: "never", unfinished: true},
		"stopped after four pots":    {pots: 4, ended: "stopped", due: "never", unfinished: true},
		"stopped after five pots":    {pots: 5, ended: "stopped", unwalked: true, unfinished: true},
		"as many as the plan wanted": {pots: 12, unwalked: true, unfinished: true},
		"ended as its plan wanted":   {pots: 12, ended: "planned", unwalked: true},
	} {
		t.Run(name, func(t *testing.T) {
			o := newOffice(t)
			p := testphone.New("1111111111111111")
			n := p.Plant()
			for i := range c.pots {
				p.See(n, 1+i/5, 1+i%5, 300, 40)
			}
			if c.ended != "" {
				p.Note("walk_end", "", n.Bed, schema.WalkEnd{Walk: n.Walk, Bed: n.Bed, Why: c.ended})
			}
			o.push(p)
			v, err := o.desk.Beds(t.Context(), "")
			if err != nil {
				t.Fatal(err)
			}
			one, err := o.desk.Bed(t.Context(), n.Bed, "")
			if err != nil {
				t.Fatal(err)
			}
			shows := slices.ContainsFunc(one.Bed.Score.Findings, func(f schema.Finding) bool { return f.Code == bed.CodeUnwalked })
			if shows != c.unwalked {
				t.Errorf("that rows were left out is shown: %v, wanted %v", shows, c.unwalked)
			}
			if b := bedsOf(v)[n.Bed]; b.Due != c.due || b.Score.Seen != c.pots {
				t.Errorf("due %q, wanted %q; %d pots seen of %d", b.Due, c.due, b.Score.Seen, c.pots)
			}
			tomorrow, err := o.desk.Tomorrow(t.Context())
			if err != nil {
				t.Fatal(err)
			}
			brief, err := o.desk.Brief(t.Context())
			if err != nil {
				t.Fatal(err)
			}
			if brief.Recent != 1 || (brief.Unfinished == 1) != c.unfinished {
				t.Errorf("in short: %d recent, %d unfinished, wanted %v", brief.Recent, brief.Unfinished, c.unfinished)
			}
			said := []*schema.Unfinished{bedsOf(v)[n.Bed].Unfinished, one.Walks[0].Unfinished}
			for _, w := range tomorrow.Walks {
				said = append(said, w.Unfinished)
			}
			for _, left := range said {
				if c.unfinished != (left != nil) || left != nil && *left != (schema.Unfinished{Seen: c.pots, About: 13}) {
					t.Errorf("unfinished: %+v, wanted %v", left, c.unfinished)
				}
			}
		})
	}
}
