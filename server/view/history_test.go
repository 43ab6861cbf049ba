package view_test

import (
	"slices"
	"testing"

	"bedwalk/schema"
	"bedwalk/server/testphone"
)

// historyOf are all lines of a lot's history, or of one walk in it, page after page.
func (o *office) historyOf(lot, walk string) (all []schema.HistoryLine) {
	o.Helper()
	for before := ""; ; {
		page, err := o.desk.History(o.Context(), lot, walk, before)
		if err != nil {
			o.Fatal(err)
		}
		all = append(all, page.Lines...)
		if page.Older == "" {
			return all
		}
		before = page.Older
	}
}

func TestInAHistoryAWalkIsOneLineThatOpensToItsPots(t *testing.T) {
	o := newOffice(t)
	p := testphone.New("1111111111111111")
	n := p.Plant()
	var pots []string
	for i := range 130 {
		pots = append(pots, p.See(n, 1+i%10, 1+i/10%5, 280, 20))
	}
	second := n
	second.Walk = testphone.ID("second walk")
	p.StartWalk(second)
	late := p.See(second, 3, 3, 290, 22)
	p.Note("note", n.Lot, "", schema.Note{Lot: n.Lot, Words: "between"})
	p.Note("correction", n.Lot, n.Bed, schema.Correction{Pot: pots[0], Replaces: pots[0], Now: n.Pot(1, 1, 300, 20)})
	o.push(p)

	walks := map[string]schema.HistoryLine{}
	kinds := map[string]int{}
	for _, line := range o.historyOf(n.Lot, "") {
		if line.Walk == nil {
			kinds[line.Kind]++
			continue
		}
		if _, twice := walks[line.Walk.Walk]; twice {
			t.Errorf("walk %s has two lines", line.Walk.Walk)
		}
		walks[line.Walk.Walk] = line
	}
	if kinds["observation"] != 0 || kinds["correction"] != 1 || kinds["note"] != 1 || kinds["lot"] != 1 {
		t.Errorf("lines that stand alone: %v", kinds)
	}
	first := walks[n.Walk]
	if len(walks) != 2 || first.Walk.Pots != 130 || first.Walk.Bed != n.Bed || first.Entry != pots[129] || first.Walk.Since > first.At.At {
		t.Errorf("%d walks, the first is %+v by %+v", len(walks), first, first.Walk)
	}
	if !slices.Equal(first.Walk.People, []string{"Wren"}) {
		t.Errorf("noted by %v", first.Walk.People)
	}
	if one := walks[second.Walk]; one.Walk == nil || one.Walk.Pots != 1 || one.Entry != late {
		t.Errorf("the second walk is %+v", one)
	}
	opened := o.historyOf(n.Lot, n.Walk)
	var found []string
	for _, line := range opened {
		found = append(found, line.Entry)
		if line.Kind != "observation" || line.Walk != nil {
			t.Errorf("among its pots is %+v", line)
		}
	}
	slices.Reverse(found)
	if !slices.Equal(found, pots) {
		t.Errorf("%d pots are opened, not the %d noted in their order", len(found), len(pots))
	}
	if none := o.historyOf(n.Lot, testphone.ID("no walk")); len(none) != 0 {
		t.Errorf("a walk that is not there has %d pots", len(none))
	}
}

func TestAWalkOfTwoPeopleNamesBoth(t *testing.T) {
	o := newOffice(t)
	p := testphone.New("1111111111111111")
	n := p.Plant()
	p.See(n, 1, 1, 280, 20)
	o.push(p)
	q := testphone.New("2222222222222222")
	q.Person = testphone.ID("somebody else")
	q.Note("person", "", "", schema.Person{Writes: schema.Writes{Of: q.Person}, Name: new("Ash"), Role: new("scout")})
	q.See(n, 2, 2, 280, 20)
	o.push(q)
	for _, line := range o.historyOf(n.Lot, "") {
		if line.Walk == nil {
			continue
		}
		people := slices.Sorted(slices.Values(line.Walk.People))
		if line.Walk.Pots != 2 || !slices.Equal(people, []string{"Ash", "Wren"}) {
			t.Errorf("%d pots by %v", line.Walk.Pots, people)
		}
		return
	}
	t.Error("the walk has no line")
}
