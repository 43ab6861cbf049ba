package view_test

import (
	"testing"

	"bedwalk/schema"
	"bedwalk/server/testphone"
)

// On the demo: beds that are due come first, then those whose walk narrows most a minute, and every number has what it rests on.
func TestWhichBedsOfTheDemoAreWalkedTomorrow(t *testing.T) {
	d, truth := desk(t)
	v, err := d.Tomorrow(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	// 2026-11-26 is a Thursday; the demo works every day but Sunday or has no workdays set.
	if v.On != "2026-11-26" || v.PotN < 30 || v.PotS < 20 || v.PotS > 38 || v.WayN < 100 || v.WayS <= 0 {
		t.Fatalf("on %s, %.1f s a pot (%d walks), %.0f s a way (%d)", v.On, v.PotS, v.PotN, v.WayS, v.WayN)
	}
	seen, narrows, last := map[string]bool{}, 0, 0.0
	for _, w := range v.Walks {
		if w.Pots < 1 || w.Minutes <= 0 || seen[w.Bed] {
			t.Errorf("%+v", w)
		}
		seen[w.Bed] = true
		if w.Why != "narrows" {
			if narrows > 0 {
				t.Errorf("%s is due and comes after walks that only narrow", w.Name)
			}
			continue
		}
		narrows++
		gain := (w.Narrows.Now - w.Narrows.After) / w.Minutes
		if w.Narrows.After < 0 || w.Narrows.Now-w.Narrows.After < 1 || narrows > 1 && gain > last+1e-9 {
			t.Errorf("%s narrows %+v in %.0f min, the one before %.2f a minute", w.Name, *w.Narrows, w.Minutes, last)
		}
		last = gain
	}
	for _, id := range truth.DueBeds {
		if !seen[id] {
			t.Errorf("bed %s is due today and not in tomorrow's list", id)
		}
	}
	if narrows == 0 {
		t.Error("no walk narrows anything: the page has nothing true to show")
	}
}

// A walk that is handed out for the day says to whom; one that was called off or is for another day does not.
func TestAWalkThatIsHandedOutForTomorrowSaysToWhom(t *testing.T) {
	o := newOffice(t)
	p := testphone.New("1111111111111111")
	n := p.Plant()
	o.push(p)
	on := ""
	look := func() schema.TomorrowWalk {
		v, err := o.desk.Tomorrow(t.Context())
		if err != nil || len(v.Walks) != 1 {
			t.Fatalf("%+v, %v", v, err)
		}
		on = v.On
		return v.Walks[0]
	}
	// Nobody has walked yet, so nothing says how long a pot takes.
	if w := look(); w.Why != "never" || w.Task != "" || w.Minutes != 0 || w.Pots < 5 {
		t.Errorf("%+v", w)
	}
	hand := func(of, day string, more schema.Task) {
		more.Writes, more.Beds, more.Words, more.FromOn, more.DueOn, more.Person = schema.Writes{Of: testphone.ID(of)}, &[]string{n.Bed}, new("Walk bed E1"), &day, &day, &p.Person
		sent := len(p.Raw)
		p.Note("task", "", n.Bed, more)
		o.pushFrom(p, sent+1)
	}
	hand("another day", "2001-09-29", schema.Task{})
	hand("called off", on, schema.Task{Cancelled: new(true)})
	if w := look(); w.Task != "" {
		t.Errorf("%+v", w)
	}
	hand("tomorrow", on, schema.Task{})
	if w := look(); w.Task != testphone.ID("tomorrow") || w.Person != p.Person || w.PersonName != "Wren" {
		t.Errorf("%+v", w)
	}
}
