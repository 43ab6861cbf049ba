package view_test

import (
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
	if !slices.Equal(v.Items[at].Ticks, want) {
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
