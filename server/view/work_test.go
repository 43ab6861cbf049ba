package view_test

import (
	"reflect"
	"slices"
	"testing"

	"bedwalk/schema"
	"bedwalk/server/testphone"
)

func work(t *testing.T, o *office) schema.WorkView {
	t.Helper()
	v, err := o.desk.Work(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// The small nursery's lot has had its regulator: what comes next is the cooler. It is handed out, and ticked twice apart, on two days.
func TestAStepIsHandedOutAndTwoTicksMadeApartBothStay(t *testing.T) {
	o := newOffice(t)
	a, b := testphone.New("1111111111111111"), testphone.New("2222222222222222")
	n := a.Plant()
	lot := func(kind string, body any) string { return a.Note(kind, n.Lot, "", body) }
	lot("event", schema.Event{Lot: n.Lot, What: "potted", On: "2001-04-01"})
	lot("event", schema.Event{Lot: n.Lot, What: "pinched", On: "2001-05-10", Last: true})
	lot("application", schema.Application{Lot: n.Lot, Beds: []string{n.Bed}, Purpose: "growth_regulator", Active: "x", EndedAt: inNewYork(6, 20, 9), EntryHours: 12})
	o.push(a)
	v := work(t, o)
	cooler := schema.TaskID(n.Lot, "into_cooler", 1)
	if len(v.Items) != 1 || v.Items[0].Task != cooler || v.Items[0].Step != "into_cooler" || v.Items[0].DueIs != "likely" || v.Items[0].Due == "" ||
		len(v.Items[0].Beds) != 1 || v.Items[0].Beds[0].Bed != n.Bed || v.Items[0].Person != "" {
		t.Fatalf("the list is %+v", v.Items)
	}
	lot("task", schema.Task{Writes: schema.Writes{Of: cooler}, Lot: &n.Lot, Step: new("into_cooler"), DueOn: new("2001-09-10"), Person: &a.Person})
	other := testphone.ID("other work")
	a.Note("task", "", "", schema.Task{Writes: schema.Writes{Of: other}, Words: new("Sweep the mist house"), Person: &b.Person})
	o.push(a)
	if v = work(t, o); len(v.Items) != 2 || v.Items[0].DueIs != "handed" || v.Items[0].Due != "2001-09-10" || v.Items[0].Person != a.Person ||
		v.Items[1].Words != "Sweep the mist house" || v.Items[1].Due != "" {
		t.Fatalf("handed out, it is %+v", v.Items)
	}
	for p, on := range map[*testphone.Phone]string{a: "2001-09-08", b: "2001-09-07"} {
		p.Note("task", n.Lot, "", schema.Task{Writes: schema.Writes{Of: cooler}, DoneOn: &on, DoneBy: &p.Person})
		p.Note("event", n.Lot, "", schema.Event{Lot: n.Lot, What: "into_cooler", On: on, Task: cooler})
		o.push(p)
	}
	v = work(t, o)
	at := slices.IndexFunc(v.Items, func(i schema.WorkItem) bool { return i.Task == cooler })
	if at < 0 {
		t.Fatalf("what was done today is not shown: %+v", v.Items)
	}
	want := []schema.WorkTick{{On: "2001-09-07", By: b.Person, Name: v.Items[at].Ticks[0].Name}, {On: "2001-09-08", By: a.Person, Name: v.Items[at].Ticks[1].Name}}
	for i, tick := range v.Items[at].Ticks {
		if len(tick.Events) != 1 {
			t.Errorf("the events noted with the tick are %v", tick.Events)
		}
		want[i].Events = tick.Events
	}
	if !slices.EqualFunc(v.Items[at].Ticks, want, func(a, b schema.WorkTick) bool { return reflect.DeepEqual(a, b) }) {
		t.Errorf("the ticks are %+v, want %+v", v.Items[at].Ticks, want)
	}
	l, err := o.desk.Lot(t.Context(), n.Lot)
	if err != nil {
		t.Fatal(err)
	}
	for _, step := range l.Plan.Steps {
		if step.Step == "into_cooler" && (step.On != "2001-09-07" || !slices.Equal(step.Others, []string{"2001-09-08"})) {
			t.Errorf("the step is %+v: the earlier day counts, the other stays beside it", step)
		}
	}
	if !slices.ContainsFunc(v.Items, func(i schema.WorkItem) bool { return i.Step == "into_forcing" }) {
		t.Errorf("the step after it is not in the list: %+v", v.Items)
	}
}

// Held over for another season, a lot takes its steps a second time: they are tasks of their own (plan.md, section 2), and the ticks of the season
// before do not tick them. Two ticks for different days stay in the list for longer than the others, until somebody settles which is right.
func TestALotHeldOverHasTasksOfItsOwnForTheSecondSeason(t *testing.T) {
	o := newOffice(t)
	a, b := testphone.New("1111111111111111"), testphone.New("2222222222222222")
	n := a.Plant()
	event := func(p *testphone.Phone, what, on string) {
		p.Note("event", n.Lot, "", schema.Event{Lot: n.Lot, What: what, On: on, Last: what == "pinched"})
	}
	event(a, "potted", "2000-04-01")
	event(a, "pinched", "2000-05-10")
	a.Note("application", n.Lot, "", schema.Application{Lot: n.Lot, Beds: []string{n.Bed}, Purpose: "growth_regulator", Active: "x", EndedAt: 961_000_000_000, EntryHours: 12})
	o.push(a)
	cooler := schema.TaskID(n.Lot, "into_cooler", 1)
	var saw []string
	for p, on := range map[*testphone.Phone]string{a: "2000-08-21", b: "2000-08-22"} {
		id := p.Note("task", n.Lot, "", schema.Task{Writes: schema.Writes{Of: cooler}, DoneOn: &on, DoneBy: &p.Person})
		p.Note("event", n.Lot, "", schema.Event{Lot: n.Lot, What: "into_cooler", On: on, Task: cooler})
		saw = append(saw, id)
		o.push(p)
	}
	event(a, "held_over", "2001-03-01")
	event(a, "pinched", "2001-05-10")
	event(a, "held_over", "2001-05-20")
	event(a, "pinched", "2001-06-10")
	o.push(a)
	v := work(t, o)
	if len(v.Items) != 2 || v.Items[0].Task != schema.TaskID(n.Lot, "regulator", 3) || v.Items[0].Step != "regulator" {
		t.Fatalf("the list is %+v, want the regulator of the third season", v.Items)
	}
	// Nobody handed it out: which lot's step it is follows from its id.
	twice := v.Items[1]
	if twice.Task != cooler || twice.Lot != n.Lot || twice.Step != "into_cooler" || len(twice.Ticks) != 2 {
		t.Fatalf("the list is %+v, want what was ticked for two days", v.Items)
	}
	first := twice.Ticks[0].On
	slices.Sort(saw)
	a.Note("task", n.Lot, "", schema.Task{Writes: schema.Writes{Of: cooler, Saw: saw}, DoneOn: &first, DoneBy: &a.Person})
	o.push(a)
	if v = work(t, o); len(v.Items) != 1 || v.Items[0].Step != "regulator" {
		t.Errorf("settled, the list is %+v", v.Items)
	}
}

// Pots that have all gone on as another lot's leave nothing to do on the lot that they came from.
func TestALotWithoutPotsHasNoWork(t *testing.T) {
	o := newOffice(t)
	a := testphone.New("1111111111111111")
	n := a.Plant()
	a.Note("event", n.Lot, "", schema.Event{Lot: n.Lot, What: "potted", On: "2001-04-01"})
	o.push(a)
	v := work(t, o)
	if len(v.Items) != 1 || v.Items[0].Pots <= 0 {
		t.Fatalf("the list is %+v", v.Items)
	}
	a.Note("count", n.Lot, "", schema.Count{Lot: n.Lot, Change: -v.Items[0].Pots, Reason: "sold"})
	o.push(a)
	if v = work(t, o); len(v.Items) != 0 {
		t.Errorf("without pots, the list is %+v", v.Items)
	}
}
