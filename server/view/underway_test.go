package view_test

import (
	"cmp"
	"slices"
	"testing"

	"bedwalk/schema"
	"bedwalk/server/testphone"
	"bedwalk/sync/bed"
)

// looks notes pots with roots as told on the walk, and ends it when asked to.
func looks(p *testphone.Phone, n testphone.Nursery, walk string, pots int, rotten func(i int) bool, roots, ends bool) {
	n.Walk = walk
	p.Note("walk", "", n.Bed, schema.Walk{Walk: walk, Bed: n.Bed, Planned: 30})
	for i := range pots {
		head, life := 300+10*(i%3), 4
		if rotten(i) {
			life = 1
		}
		o := schema.Observation{Walk: walk, Bed: n.Bed, Lot: n.Lot, Place: &schema.Place{Row: 1 + i%10, Across: 1 + i/10%5}, HeadAMM: &head}
		if roots {
			o.RootLife = &life
		}
		p.Note("observation", n.Lot, n.Bed, o)
	}
	if ends {
		p.Note("walk_end", "", n.Bed, schema.WalkEnd{Walk: walk, Bed: n.Bed, Why: "enough"})
	}
}

// notes writes an entry down that was made so many ms after the phone's others.
func notes(p *testphone.Phone, later int64, kind, lot, bedID string, body any) {
	e := p.Entry(kind, lot, bedID, body)
	e.Wall, e.Mono = e.Wall+later, e.Mono+later
	p.Write(e)
}

func none(int) bool { return false }

// The bed of the finding: rot in 9 of 31 pots, then a new walk that has seen two, and then six, clean pots at one end.
func TestAWalkUnderWayTakesNoAlarmAwayAndStandsBesideIt(t *testing.T) {
	o := newOffice(t)
	p := testphone.New("1111111111111111")
	n := p.Plant()
	looks(p, n, testphone.ID("first"), 31, func(i int) bool { return i%3 == 0 && i < 27 }, true, true)
	o.push(p)
	brief := func() schema.BedBrief {
		t.Helper()
		v, err := o.desk.Beds(t.Context(), "")
		if err != nil {
			t.Fatal(err)
		}
		return bedsOf(v)[n.Bed]
	}
	whole := brief()
	rot := func(b schema.BedBrief) (f schema.Finding, found bool) {
		at := slices.IndexFunc(b.Score.Findings, func(f schema.Finding) bool { return f.Code == bed.CodeRot })
		if at < 0 {
			return f, false
		}
		return b.Score.Findings[at], true
	}
	if f, ok := rot(whole); !ok || f.Numbers["x"] != 9 || f.Numbers["n"] != 31 || whole.UnderWay != nil {
		t.Fatalf("the whole walk: %+v, under way %+v", whole.Score.Findings, whole.UnderWay)
	}
	second := testphone.New("2222222222222222")
	sent := 0
	for _, pots := range []int{2, 6} {
		n2 := n
		n2.Walk = testphone.ID("second")
		if sent == 0 {
			notes(second, 500, "walk", "", n.Bed, schema.Walk{Walk: n2.Walk, Bed: n.Bed, Planned: 30})
		}
		for ; sent < pots; sent++ {
			head, life := 300, 5
			notes(second, 500, "observation", n.Lot, n.Bed, schema.Observation{
				Walk: n2.Walk, Bed: n.Bed, Lot: n.Lot, Place: &schema.Place{Row: 1, Across: 1 + sent%5}, HeadAMM: &head, RootLife: &life,
			})
		}
		o.push(second)
		b := brief()
		if _, ok := rot(b); !ok || b.Score.Seen != 31 || b.Score.Uniformity != whole.Score.Uniformity || b.LastWalkAt != whole.LastWalkAt {
			t.Errorf("after %d pots of a new walk the bed says %+v, uniformity %v", pots, b.Score.Findings, b.Score.Uniformity)
		}
		if w := b.UnderWay; w == nil || w.Seen != pots || w.Planned != 30 || w.Person != second.Person || w.Walk != n2.Walk {
			t.Errorf("under way: %+v", w)
		}
		one, err := o.desk.Bed(t.Context(), n.Bed, "")
		if err != nil || one.Walk != testphone.ID("first") || one.Bed.UnderWay == nil {
			t.Errorf("the page shows walk %s, %v", one.Walk, err)
		}
		told, err := o.desk.FieldBriefing(t.Context(), "")
		if err != nil || len(told.Beds) != 1 || told.Beds[0].Walk != testphone.ID("first") || told.Beds[0].UnderWay == nil {
			t.Errorf("phones are told %+v, %v", told.Beds, err)
		}
	}
}

func TestAFindingEndsByAWholeWalkThatLookedAgain(t *testing.T) {
	for name, c := range map[string]struct {
		pots  int
		roots bool
		stays bool
		// A walk that was ended after fewer pots than make a number is not shown in the place of one that has one.
		shown string
	}{
		"as many pots, roots looked at":   {pots: 31, roots: true},
		"half as many, roots looked at":   {pots: 16, roots: true},
		"ended after two clean pots":      {pots: 2, roots: true, stays: true, shown: "first"},
		"as many, but no root pulled out": {pots: 31, stays: true},
	} {
		t.Run(name, func(t *testing.T) {
			o := newOffice(t)
			p := testphone.New("1111111111111111")
			n := p.Plant()
			looks(p, n, testphone.ID("first"), 31, func(i int) bool { return i%3 == 0 && i < 27 }, true, true)
			looks(p, n, testphone.ID("second"), c.pots, none, c.roots, true)
			o.push(p)
			v, err := o.desk.Bed(t.Context(), n.Bed, "")
			if err != nil || v.Walk != testphone.ID(cmp.Or(c.shown, "second")) {
				t.Fatalf("shown is walk %s, %v", v.Walk, err)
			}
			if v.Bed.UnderWay != nil {
				t.Errorf("a walk that was ended is shown as under way: %+v", v.Bed.UnderWay)
			}
			first := v.Walks[0].At
			at := slices.IndexFunc(v.Bed.Score.Findings, func(f schema.Finding) bool { return f.Code == bed.CodeRot })
			if (at >= 0) != c.stays {
				t.Fatalf("rot is shown: %v, wanted %v", at >= 0, c.stays)
			}
			if c.shown != "" {
				first = 0 // the walk that found it is the one that is shown
			}
			if at >= 0 && v.Bed.Score.Findings[at].SeenAt != first {
				t.Errorf("it is dated %d, the walk was at %d", v.Bed.Score.Findings[at].SeenAt, first)
			}
		})
	}
}

func TestABedOfWhichNoWalkWasWholeShowsNoNumberButWhatWasFound(t *testing.T) {
	o := newOffice(t)
	p := testphone.New("1111111111111111")
	n := p.Plant()
	looks(p, n, testphone.ID("first"), 12, func(i int) bool { return i == 3 }, true, false)
	o.push(p)
	v, err := o.desk.Bed(t.Context(), n.Bed, "")
	if err != nil {
		t.Fatal(err)
	}
	if s := v.Bed.Score; s == nil || !s.TooFewPots || v.Bed.UnderWay == nil || !slices.ContainsFunc(s.Findings, func(f schema.Finding) bool { return f.Code == bed.CodeRot }) {
		t.Errorf("have %+v, under way %+v", v.Bed.Score, v.Bed.UnderWay)
	}
}

// Heads alone on two walks, then buds as well by another scout: the lower uniformity of the buds is no jump of the heads.
func TestTheFirstCountOfBudsIsNoJumpThatAScoutIsBlamedFor(t *testing.T) {
	o := newOffice(t)
	p := testphone.New("1111111111111111")
	n := p.Plant()
	walked := func(by *testphone.Phone, later int64, walk string, head, buds func(i int) int) {
		notes(by, later, "walk", "", n.Bed, schema.Walk{Walk: walk, Bed: n.Bed, Planned: 12})
		for i := range 12 {
			mm := head(i)
			o := schema.Observation{Walk: walk, Bed: n.Bed, Lot: n.Lot, Place: &schema.Place{Row: 1 + i%10, Across: 1 + i/10}, HeadAMM: &mm}
			if buds != nil {
				count := buds(i)
				o.Buds = &count
			}
			notes(by, later, "observation", n.Lot, n.Bed, o)
		}
		notes(by, later, "walk_end", "", n.Bed, schema.WalkEnd{Walk: walk, Bed: n.Bed, Why: "enough"})
	}
	even := func(i int) int { return 300 + 4*(i%4) }
	uneven := func(i int) int { return 10 + 15*(i%4) }
	walked(p, 0, testphone.ID("w1"), even, nil)
	o.push(p)
	other := testphone.New("2222222222222222")
	walked(other, 300, testphone.ID("w2"), even, uneven)
	o.push(other)
	v, err := o.desk.Bed(t.Context(), n.Bed, "")
	if err != nil || len(v.Walks) != 2 {
		t.Fatalf("%d walks, %v", len(v.Walks), err)
	}
	second := v.Walks[1]
	if len(second.ScoutChanged) != 0 || !second.Head.Known || !second.Buds.Known || v.Walks[0].Buds.Known {
		t.Errorf("have %+v", second)
	}
	third := testphone.New("3333333333333333")
	walked(third, 600, testphone.ID("w3"), func(i int) int { return 200 + 60*(i%4) }, uneven)
	o.push(third)
	if v, err = o.desk.Bed(t.Context(), n.Bed, ""); err != nil || !slices.Equal(v.Walks[2].ScoutChanged, []string{bed.Head}) {
		t.Errorf("heads alone jumped: %+v, %v", v.Walks[2], err)
	}
}
