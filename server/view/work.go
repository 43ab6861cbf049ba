package view

import (
	"cmp"
	"context"
	"encoding/json"
	"maps"
	"slices"
	"sync"

	"bedwalk/schema"
	"bedwalk/sync/crop"
)

// task is a piece of work that was written down, with every tick of it, the earliest day first.
type task struct {
	schema.Task
	ticks []schema.WorkTick
}

func (n *nursery) takeTask(r schema.Record) {
	t := task{Task: shown[schema.Task](r)}
	byEntry := map[string]schema.WorkTick{}
	each := func(name string, set func(*schema.WorkTick, string)) {
		field, ok := r.Register.Fields[name]
		if !ok {
			return
		}
		for _, one := range append([]schema.Other{{Value: field.Value, By: field.By}}, field.Others...) {
			var text string
			if json.Unmarshal(one.Value, &text) != nil || text == "" {
				continue
			}
			tick := byEntry[one.By.Entry]
			set(&tick, text)
			byEntry[one.By.Entry] = tick
		}
	}
	each("done_on", func(tick *schema.WorkTick, on string) { tick.On = on })
	each("done_by", func(tick *schema.WorkTick, by string) { tick.By = by })
	for _, entry := range slices.Sorted(maps.Keys(byEntry)) {
		tick := byEntry[entry]
		// Of two who wrote the same day one alone is shown with it.
		tick.On = cmp.Or(tick.On, valueOr(t.DoneOn, ""))
		if tick.On != "" && tick.By != "" {
			t.ticks = append(t.ticks, tick)
		}
	}
	slices.SortStableFunc(t.ticks, func(a, b schema.WorkTick) int { return cmp.Compare(a.On, b.On) })
	n.tasks[r.Register.Of] = t
}

// isOnTwoDays says that people ticked it for different days, and nobody has settled which is right.
func (t task) isOnTwoDays() bool {
	return len(t.ticks) > 1 && t.ticks[0].On != t.ticks[len(t.ticks)-1].On
}

// doneShown is for how many days work that is done stays in the list; what was ticked for two days stays until that is settled.
const doneShown = 7

// Work is what there is to do.
func (v *Views) Work(ctx context.Context) (work schema.WorkView, err error) {
	all, err := v.gathered(ctx)
	if err != nil {
		return work, err
	}
	n := all.n
	today := v.dayIn(n)
	work = schema.WorkView{Today: today.String(), Items: []schema.WorkItem{}, MadeAt: v.journal.NowMS()}
	// The events that were noted with ticks, by the task and the day.
	events := map[string][]string{}
	for _, key := range slices.Sorted(maps.Keys(n.events)) {
		if e := n.events[key]; e.Task != "" {
			events[e.Task+e.On] = append(events[e.Task+e.On], nameOf(key))
		}
	}
	planned := map[string]bool{}
	for _, id := range slices.SortedFunc(maps.Keys(n.lots), n.byTag()) {
		if err := ctx.Err(); err != nil {
			return work, err
		}
		plan := v.planOf(all.notes, id, all.seen[id])
		if plan.Problem != "" || plan.Next < 0 || plan.Steps[plan.Next].Step == crop.StepReady {
			continue
		}
		if n.isEmpty(id) {
			continue
		}
		step := plan.Steps[plan.Next]
		of := schema.TaskID(id, step.Step, crop.SeasonOf(all.notes.familyOf(id)).Nth)
		planned[of] = true
		item := v.workItem(n, events, of, id, step.Step)
		if item.Due == "" {
			item.Due, item.DueIs = step.Latest50, "latest"
		}
		if item.Due == "" {
			item.Due, item.DueIs = step.Day50, "likely"
		}
		item.Latest, item.LateDays, item.Gates = step.Latest50, plan.LateDays, plan.Gates
		work.Items = append(work.Items, item)
	}
	stepOf := sync.OnceValue(func() map[string]stepOfLot { return stepsByTask(all.notes) })
	for _, of := range slices.Sorted(maps.Keys(n.tasks)) {
		t := n.tasks[of]
		if planned[of] || valueOr(t.Cancelled, false) || valueOr(t.Words, "") == "" && len(t.ticks) == 0 {
			continue
		}
		if len(t.ticks) > 0 && t.ticks[0].On < (today-doneShown).String() && !t.isOnTwoDays() {
			continue
		}
		at := stepOfLot{valueOr(t.Lot, ""), valueOr(t.Step, "")}
		if at == (stepOfLot{}) && t.Words == nil {
			at = stepOf()[of]
		}
		work.Items = append(work.Items, v.workItem(n, events, of, at.lot, at.step))
	}
	tags := asPeopleCount()
	slices.SortStableFunc(work.Items, func(a, b schema.WorkItem) int {
		return cmp.Or(cmp.Compare(orLast(a.Due), orLast(b.Due)), tags(a.Tag, b.Tag))
	})
	return work, nil
}

type stepOfLot struct{ lot, step string }

// stepsByTask finds what a task is that nobody handed out before it was ticked: a scout's device writes neither its lot nor its step.
func stepsByTask(notes lotNotes) map[string]stepOfLot {
	all := map[string]stepOfLot{}
	for lot := range notes.n.lots {
		for nth := range crop.SeasonOf(notes.familyOf(lot)).Nth {
			for _, step := range crop.TaskSteps {
				all[schema.TaskID(lot, step, nth+1)] = stepOfLot{lot, step}
			}
		}
	}
	return all
}

// workItem is a task with the lot and the beds that it is on.
func (v *Views) workItem(n *nursery, events map[string][]string, of, lot, step string) schema.WorkItem {
	t, l := n.tasks[of], n.lots[lot]
	person := valueOr(t.Person, "")
	if valueOr(t.Cancelled, false) {
		t, person = task{}, ""
	}
	item := schema.WorkItem{
		Task: of, Lot: lot, Tag: valueOr(l.Tag, ""), Cultivar: valueOr(l.Cultivar, ""), Pots: n.potsOf(lot), Beds: []schema.WorkBed{},
		Step: step, Words: valueOr(t.Words, ""), Form: valueOr(t.Form, ""), Person: person, PersonName: n.people[person], Ticks: []schema.WorkTick{},
	}
	if due := valueOr(t.DueOn, ""); due != "" {
		item.Due, item.DueIs = due, "handed"
	}
	on := n.standsOn[lot]
	if named := valueOr(t.Beds, nil); len(named) > 0 {
		on = named
	}
	for _, id := range on {
		item.Beds = append(item.Beds, schema.WorkBed{Bed: id, Name: valueOr(n.beds[id].Name, "")})
		item.ClosedUntil = max(item.ClosedUntil, v.closedUntil(n, id))
	}
	for _, tick := range t.ticks {
		tick.Name, tick.Events = n.people[tick.By], events[of+tick.On]
		item.Ticks = append(item.Ticks, tick)
	}
	return item
}
