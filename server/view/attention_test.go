package view_test

import (
	"cmp"
	"math"
	"slices"
	"testing"

	"bedwalk/schema"
	"bedwalk/server/testphone"
	"bedwalk/sync/bed"
	"bedwalk/sync/calendar"
)

func (o *office) attention() schema.AttentionView {
	o.Helper()
	v, err := o.desk.Attention(o.Context())
	if err != nil {
		o.Fatal(err)
	}
	return v
}

// itemOf is the one trouble of a code in a list.
func itemOf(t *testing.T, all []schema.AttentionItem, code string) schema.AttentionItem {
	t.Helper()
	of := slices.DeleteFunc(slices.Clone(all), func(i schema.AttentionItem) bool { return i.Code != code })
	if len(of) != 1 {
		t.Fatalf("%d of %s in %+v", len(of), code, all)
	}
	return of[0]
}

func has(all []schema.AttentionItem, code string) bool {
	return slices.ContainsFunc(all, func(i schema.AttentionItem) bool { return i.Code == code })
}

// looksLater is looks for a walk that begins so many ms after the phone's other notes.
func looksLater(p *testphone.Phone, n testphone.Nursery, walk string, later int64, pots, rotten int) {
	notes(p, later, "walk", "", n.Bed, schema.Walk{Walk: walk, Bed: n.Bed, Planned: 30})
	for i := range pots {
		head, life := 300+10*(i%3), 4
		if i < rotten {
			life = 1
		}
		notes(p, later, "observation", n.Lot, n.Bed, schema.Observation{
			Walk: walk, Bed: n.Bed, Lot: n.Lot, Place: &schema.Place{Row: 1 + i%10, Across: 1 + i/10%5}, HeadAMM: &head, RootLife: &life,
		})
	}
	notes(p, later, "walk_end", "", n.Bed, schema.WalkEnd{Walk: walk, Bed: n.Bed, Why: "enough"})
}

// rotOffice has a bed with rot in 9 of 31 pots.
func rotOffice(t *testing.T) (*office, *testphone.Phone, testphone.Nursery) {
	o := newOffice(t)
	p := testphone.New("1111111111111111")
	n := p.Plant()
	looks(p, n, testphone.ID("first"), 31, func(i int) bool { return i < 9 }, true, true)
	o.push(p)
	return o, p, n
}

// Heads of 20 to 34 cm around a mean of 27: with 10 % to either side 24.3 to 29.7 cm is the band, which 5 of 15 sizes are in; if sizes are normal, with
// a standard deviation of 4.5 cm, 45 of 100 pots are (computed by hand from the normal table: 2 x 0.2257 at z = 0.6).
func TestABedThatShipsSoonAndIsSurelyLessEvenThanAimedForIsARowWithItsWeekAndAim(t *testing.T) {
	o := newOffice(t)
	p := testphone.New("1111111111111111")
	n := p.Plant()
	p.Note("walk", "", n.Bed, schema.Walk{Walk: n.Walk, Bed: n.Bed, Planned: 30})
	for i := range 30 {
		p.See(n, 1+i%10, 1+i/10, 200+10*(i*7%15), 40)
	}
	p.Note("walk_end", "", n.Bed, schema.WalkEnd{Walk: n.Walk, Bed: n.Bed, Why: "enough"})
	o.push(p)
	today, err := calendar.Parse(o.attention().Today)
	if err != nil {
		t.Fatal(err)
	}
	ships := func(weeks int, saw ...string) schema.AttentionView {
		p.Note("lot", n.Lot, "", schema.Lot{Writes: schema.Writes{Of: n.Lot, Saw: saw}, ShipWeek: new(today.Week().Add(weeks).String())})
		o.push(p)
		return o.attention()
	}
	if v := ships(40); has(v.Items, schema.AttentionUneven) {
		t.Fatalf("its pots have 40 weeks to grow, and the list is %+v", v.Items)
	}
	row := itemOf(t, ships(2).Items, schema.AttentionUneven)
	if row.Trait != "head" || row.AimBP != 7500 || row.OwnAim || row.Lot != n.Lot || row.Week != today.Week().Add(2).String() || row.Beds[0].Bed != n.Bed {
		t.Errorf("the row is %+v", row)
	}
	if u := row.Now; math.Abs(u.Value-0.45) > 0.03 || u.Interval.High >= 0.75 || len(row.Hit) == 0 || len(row.Clear) == 0 {
		t.Errorf("its uniformity is %+v, with %d pots out of the band and %d in it", u, len(row.Hit), len(row.Clear))
	}
	p.Note("profile", "", "", schema.Profile{Writes: schema.Writes{Of: testphone.ID("profile")}, Crop: new("azalea"), UniformityAimBP: new(4000)})
	o.push(p)
	if has(o.attention().Items, schema.AttentionUneven) {
		t.Error("40 of 100 are enough for this grower, and the bed is in the list")
	}
}

func (o *office) putAway(p *testphone.Phone, item schema.AttentionItem, m schema.Matter) {
	o.Helper()
	m.Of, m.About, m.FoundAt, m.Extent = item.ID, &item.Code, &item.FoundAt, &item.Extent
	bedID := item.Beds[0].Bed
	m.Bed = &bedID
	p.Note("matter", "", bedID, m)
	o.push(p)
}

func TestRotIsOneTroubleWithItsPotsAndIsSettledUntilAWalkFindsItAgain(t *testing.T) {
	o, p, n := rotOffice(t)
	rot := itemOf(t, o.attention().Items, bed.CodeRot)
	if rot.Finding.Numbers["x"] != 9 || len(rot.Hit) != 9 || len(rot.Clear) != 22 || rot.Walk != testphone.ID("first") || rot.Beds[0].Bed != n.Bed || rot.BeforeN != 0 {
		t.Fatalf("the trouble is %+v", rot)
	}
	// 9 of 31 are 29.0 %; the low end is the finding's own, from the Wilson interval.
	if rot.Extent != 2903 || rot.Least != int(rot.Finding.Numbers["low"]*10_000+0.5) {
		t.Errorf("its extent is %d, at least %d, of %v", rot.Extent, rot.Least, rot.Finding.Numbers)
	}
	o.putAway(p, rot, schema.Matter{Settled: new(true)})
	v := o.attention()
	away := itemOf(t, v.Away, bed.CodeRot)
	if has(v.Items, bed.CodeRot) || away.Answer == nil || !away.Answer.Settled || away.Answer.Name == "" || away.Back != "" {
		t.Fatalf("settled, the view is %+v", v)
	}
	// Undone: the field is emptied, as every undo does.
	p.Note("matter", "", n.Bed, map[string]any{"of": rot.ID, "settled": nil, "saw": away.Answer.Live})
	o.push(p)
	if again := itemOf(t, o.attention().Items, bed.CodeRot); again.Answer != nil || again.Back != "" {
		t.Errorf("undone, it is %+v", again)
	}
	o.putAway(p, rot, schema.Matter{Settled: new(true)})
	second := testphone.New("2222222222222222")
	looksLater(second, n, testphone.ID("second"), 5_000, 31, 9)
	o.push(second)
	back := itemOf(t, o.attention().Items, bed.CodeRot)
	if back.Back != "found" || back.BeforeX != 9 || back.BeforeN != 31 {
		t.Errorf("a later walk found as much again, and it is %+v", back)
	}
}

func TestWhatIsPutOffComesBackOnItsDayOrWhenItGotWorseAndSaysWhich(t *testing.T) {
	o, p, n := rotOffice(t)
	today := o.attention().Today
	rot := itemOf(t, o.attention().Items, bed.CodeRot)
	o.putAway(p, rot, schema.Matter{SnoozedTo: &today})
	if back := itemOf(t, o.attention().Items, bed.CodeRot); back.Back != "day" || back.Answer.SnoozedTo != today {
		t.Errorf("on its day it is %+v", back)
	}
	o.putAway(p, rot, schema.Matter{SnoozedTo: new("2001-12-01")})
	if v := o.attention(); has(v.Items, bed.CodeRot) || itemOf(t, v.Away, bed.CodeRot).Answer.SnoozedTo != "2001-12-01" {
		t.Fatalf("put off, the view is %+v", v)
	}
	second, third := testphone.New("2222222222222222"), testphone.New("3333333333333333")
	looksLater(second, n, testphone.ID("second"), 5_000, 31, 11)
	o.push(second)
	if v := o.attention(); has(v.Items, bed.CodeRot) {
		t.Errorf("11 of 31 pots are no more than chance can make of 9, and it is back: %+v", v.Items)
	}
	looksLater(third, n, testphone.ID("third"), 9_000, 31, 25)
	o.push(third)
	if back := itemOf(t, o.attention().Items, bed.CodeRot); back.Back != "worse" || back.Answer.Extent != 2903 {
		t.Errorf("25 of 31 pots rot, and it is %+v", back)
	}
}

func TestTwoValuesAreOneTroubleWithBothAnswersAndAChoiceEndsIt(t *testing.T) {
	o := newOffice(t)
	a, b := testphone.New("1111111111111111"), testphone.New("2222222222222222")
	n := a.Plant()
	o.push(a)
	for p, week := range map[*testphone.Phone]string{a: "2001-W50", b: "2001-W51"} {
		p.Note("lot", n.Lot, "", schema.Lot{Writes: schema.Writes{Of: n.Lot}, ShipWeek: &week})
		o.push(p)
	}
	two := itemOf(t, o.attention().Items, schema.AttentionDisagree)
	if two.Field != "ship_week" || len(two.Answers) != 2 || len(two.Saw) != 2 || two.CanSettle {
		t.Fatalf("the trouble is %+v", two)
	}
	a.Note("lot", n.Lot, "", schema.Lot{Writes: schema.Writes{Of: n.Lot, Saw: two.Saw}, ShipWeek: new("2001-W51")})
	o.push(a)
	if has(o.attention().Items, schema.AttentionDisagree) {
		t.Error("one value was chosen, and it is in the list still")
	}
}

// The demo's stories: rot beyond what is fine stands first, then what ships soon; the missing backup is among the first eight; every finding that needs a step has one row, on its bed, and no
// row of a bed is without one.
func TestTheListOfTheDemoIsRankedAndNamesEveryBedThatNeedsAStepOnce(t *testing.T) {
	d, _ := desk(t)
	v, err := d.Attention(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	class := map[string]int{
		"backup": 2, "chlorosis": 3, "dropped": 3, "late": 4, "overbooked": 4, "uneven": 3, "disagree_field": 5, "quarantined": 5, "gradient": 6, "across": 6,
		"edge": 6, "two_groups": 6, "silent": 7, "unwalked": 7, "edge_bias": 7, "mistyped": 7,
	}
	classOf := func(i schema.AttentionItem) int {
		if i.Code == "rot" && i.Least <= 500 {
			return 3
		}
		if i.Week != "" && bed.GradedFrom(i.Week, 4) <= v.Today {
			return 1
		}
		return class[i.Code]
	}
	backup := slices.IndexFunc(v.Items, func(i schema.AttentionItem) bool { return i.Code == schema.AttentionBackup })
	if backup < 1 || backup > 7 {
		t.Errorf("the missing backup is row %d", backup)
	}
	rest := slices.Delete(slices.Clone(v.Items), backup, backup+1)
	if !slices.IsSortedFunc(rest, func(a, b schema.AttentionItem) int { return cmp.Compare(classOf(a), classOf(b)) }) || v.Items[0].Code != bed.CodeRot {
		t.Errorf("the order is %+v", v.Items)
	}
	ids, rows := map[string]bool{}, map[string]int{}
	for _, i := range v.Items {
		if ids[i.ID] {
			t.Errorf("two rows are about %s %+v", i.Code, i.Beds)
		}
		ids[i.ID] = true
		if i.Finding != nil {
			rows[i.Beds[0].Bed+" "+i.Code]++
		}
		for _, at := range slices.Concat(i.Hit, i.Clear) {
			if at <= 0 || at >= 1000 {
				t.Errorf("a pot of %+v stands at %d", i.Beds, at)
			}
		}
	}
	beds, err := d.Beds(t.Context(), "")
	if err != nil {
		t.Fatal(err)
	}
	for id, b := range bedsOf(beds) {
		if b.Score == nil {
			continue
		}
		for _, code := range []string{bed.CodeDisease, bed.CodeRot, bed.CodeChlorosis} {
			needs := slices.ContainsFunc(b.Score.Findings, func(f schema.Finding) bool { return f.Code == code && f.Attention })
			if needs && rows[id+" "+code] != 1 {
				t.Errorf("%s needs a step for %s and has %d rows", b.Name, code, rows[id+" "+code])
			}
		}
	}
	// What was seen at the least decides within a class.
	rots := slices.DeleteFunc(slices.Clone(v.Items), func(i schema.AttentionItem) bool { return i.Code != bed.CodeRot })
	if len(rots) < 3 || rots[0].Least < rots[1].Least {
		t.Errorf("the beds with rot are %+v", rots)
	}
}

// Whoever must tell a buyer needs every lot that will probably miss its week, also one that only waits to be ready, of which no step is to come.
func TestEveryLotThatWillProbablyMissItsWeekIsInTheList(t *testing.T) {
	d, _ := desk(t)
	v, err := d.Attention(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	plan, err := d.Plan(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	waiting := 0
	for _, lot := range plan.Lots {
		if lot.Plan.Problem != "" || lot.Plan.Chance == nil || *lot.Plan.Chance >= 0.5 {
			continue
		}
		if lot.Plan.Next < 0 {
			waiting++
		}
		if !slices.ContainsFunc(v.Items, func(i schema.AttentionItem) bool { return i.Code == schema.AttentionLate && i.Lot == lot.Lot }) {
			t.Errorf("%s has a chance of %.2f for %s and is not in the list", lot.Tag, *lot.Plan.Chance, lot.ShipWeek)
		}
	}
	if waiting == 0 {
		t.Error("no lot of the demo only waits to be ready and will miss its week")
	}
}
