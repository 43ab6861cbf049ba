package view

import (
	"cmp"
	"context"
	"encoding/json"
	"maps"
	"slices"
	"time"

	"bedwalk/schema"
	"bedwalk/sync/bed"
	"bedwalk/sync/calendar"
	"bedwalk/sync/crop"
)

// Plan is the way ahead of every lot for sale that has not shipped. It is computed from the nursery of one moment, after that moment
// has been let go.
func (v *Views) Plan(ctx context.Context) (plan schema.PlanView, err error) {
	madeAt := v.journal.NowMS()
	plan, err = ofDay(ctx, v, &v.plan, v.planOfDay)
	plan.MadeAt = madeAt
	return plan, err
}

func (v *Views) planOfDay(ctx context.Context, all gathered, today calendar.Day) (plan schema.PlanView, err error) {
	n := all.n
	plan = schema.PlanView{Today: today.String(), Lots: []schema.LotPlan{}}
	for _, stages := range n.stages {
		plan.OwnStages = plan.OwnStages || len(stages) > 0
	}
	for _, lines := range n.sizes {
		plan.OwnStages = plan.OwnStages || slices.ContainsFunc(lines, func(line schema.SizedStage) bool { return line.LikelyDays != nil })
	}
	for _, c := range n.cultivars {
		plan.OwnStages = plan.OwnStages || len(c.ByName()) > 0
	}
	for _, id := range slices.Sorted(maps.Keys(n.lots)) {
		if err := ctx.Err(); err != nil {
			return plan, err
		}
		l := n.lots[id]
		if n.isEmpty(id) {
			continue
		}
		if one := v.planOf(all.notes, id, all.seen[id]); one.Problem != shipped && one.Problem != stock {
			plan.Lots = append(plan.Lots, schema.LotPlan{
				Lot: id, Tag: valueOr(l.Tag, ""), Crop: valueOr(l.Crop, ""), Cultivar: valueOr(l.Cultivar, ""), PotMM: valueOr(l.PotMM, 0),
				Route: valueOr(l.Route, ""), Pots: n.potsOf(id), ShipWeek: valueOr(l.ShipWeek, ""), Plan: one,
			})
		}
	}
	tags := asPeopleCount()
	slices.SortStableFunc(plan.Lots, func(a, b schema.LotPlan) int {
		return cmp.Or(cmp.Compare(orLast(a.ShipWeek), orLast(b.ShipWeek)), tags(a.Tag, b.Tag))
	})
	return plan, nil
}

// keptOfDay is a view of which nothing but the nursery and the day decides, with both.
type keptOfDay[View any] struct {
	n     *nursery
	today calendar.Day
	view  View
}

// ofDay makes such a view, or gives the last one, which nobody may change, while no note has come and no day begun.
func ofDay[View any](ctx context.Context, v *Views, kept *keptOfDay[View], made func(context.Context, gathered, calendar.Day) (View, error)) (view View, err error) {
	var all gathered
	var today calendar.Day
	isKept := false
	if err := v.whole(ctx, func(m *moment) (err error) {
		today = m.dayIn(m.n)
		v.keeping.Lock()
		if isKept = kept.n == m.n && kept.today == today; isKept {
			view = kept.view
		}
		v.keeping.Unlock()
		if !isKept {
			all, err = m.gather()
		}
		return err
	}); err != nil || isKept {
		return view, err
	}
	if view, err = made(ctx, all, today); err != nil {
		return view, err
	}
	v.keeping.Lock()
	defer v.keeping.Unlock()
	*kept = keptOfDay[View]{all.n, today, view}
	return view, nil
}

// gathered is what plans are made of, of one moment.
type gathered struct {
	n     *nursery
	notes lotNotes
	seen  map[string]seenLot
}

func (v *Views) gathered(ctx context.Context) (all gathered, err error) {
	err = v.whole(ctx, func(m *moment) (err error) {
		all, err = m.gather()
		return err
	})
	return all, err
}

func (m *moment) gather() (all gathered, err error) {
	all = gathered{n: m.n, notes: m.n.lotNotes(), seen: map[string]seenLot{}}
	for id := range m.n.lots {
		if all.seen[id], err = m.seen(id); err != nil {
			return all, err
		}
	}
	return all, nil
}

// orLast puts lots without a week after all weeks.
func orLast(week string) string { return cmp.Or(week, "~") }

// dayIn is the day that it is by a nursery's own calendar.
func (v *Views) dayIn(n *nursery) calendar.Day {
	return n.dayAt(v.nowMS())
}

// dayAt is the day of a moment (ms since 1970) by the nursery's own calendar.
func (n *nursery) dayAt(ms int64) calendar.Day {
	return calendar.Of(time.UnixMilli(ms).In(n.location()))
}

func (n *nursery) potsOf(lot string) int {
	if s := n.stock[lot]; s != nil {
		return s.Pots
	}
	return 0
}

// isEmpty is true of a lot whose pots have all gone, as when they went on as another lot's: nothing is left to do with it.
func (n *nursery) isEmpty(lot string) bool {
	s := n.stock[lot]
	return s != nil && s.Pots <= 0
}

// shipped is why a lot has no forecast: it has left.
const shipped = "shipped"

// stock is why another has none: it is kept for cuttings.
const stock = "stock"

// cropLot is what one lot's forecast is made of, on its own route.
func (v *Views) cropLot(notes lotNotes, id string, seen seenLot) crop.Lot {
	return v.cropLotOn(notes, id, seen, valueOr(notes.n.lots[id].Route, ""))
}

// cropLotOn is cropLot on another route.
func (v *Views) cropLotOn(notes lotNotes, id string, seen seenLot, route string) crop.Lot {
	n := notes.n
	l := n.lots[id]
	key := bed.CropKey(valueOr(l.Crop, ""))
	in := crop.Lot{
		Family: notes.familyOf(id), Stages: crop.StagesOf(key, route, n.ownStages(l.Lot)), Pins: pinsOf(l.Lot),
		Shipped: valueOr(l.ShippedOn, "") != "", AsOf: v.dayIn(n), Pace: n.pace, Work: n.work, Seen: n.forGates(id, seen),
	}
	if slices.ContainsFunc(in.Stages, crop.Stage.AsksHeads) {
		in.Heads = n.walkMeans(seen)
	}
	if week, err := calendar.ParseWeek(valueOr(l.ShipWeek, "")); err == nil {
		in.By = new(week.Day(n.shipWeekday))
	}
	return in
}

// planOf is one lot's way ahead.
func (v *Views) planOf(notes lotNotes, id string, seen seenLot) schema.CropPlan {
	plan, _ := v.planAndPaces(notes, id, seen)
	return plan
}

// planAndPaces is planOf, and the lot's chance of making its week at each pace that all lots may share.
func (v *Views) planAndPaces(notes lotNotes, id string, seen seenLot) (plan schema.CropPlan, paces []float64) {
	n := notes.n
	in := v.cropLot(notes, id, seen)
	f := v.forecast(notes.isTry, id, n.workKey, in)
	plan = schema.CropPlan{
		Ready95: dateOrNone(f.Ready95),
		Problem: f.Problem, By: dateOrNone(in.By), Chance: f.Chance, Steps: []schema.PlanStep{}, Next: f.Next, SlackDays: f.SlackDays, LateDays: f.LateDays,
		NotOwn: f.NotOwn, ToCome: f.ToCome, Gates: gateViews(f.Gates, in.Seen, n.scouts(seen)), ClosedUntil: dateOrNone(f.ClosedUntil),
	}
	if in.Shipped {
		plan.Problem = shipped
	}
	if n.isStock(id) {
		plan.Problem = stock
	}
	for _, s := range f.Steps {
		plan.Steps = append(plan.Steps, stepView(s))
	}
	return plan, f.Paces
}

// keptForecast is a forecast with what it was made of.
type keptForecast struct {
	of       string
	forecast crop.Forecast
}

// forecast remembers each lot's last one: with all stages ahead it takes some ten milliseconds, and most notes change no lot's.
func (v *Views) forecast(isTry bool, id, workKey string, in crop.Lot) crop.Forecast {
	for _, part := range in.Family {
		slices.SortFunc(part.Events, func(a, b crop.Event) int {
			return cmp.Or(cmp.Compare(a.On, b.On), cmp.Compare(a.What, b.What))
		})
	}
	raw, err := json.Marshal(in)
	if err != nil {
		return in.Forecast()
	}
	of := string(raw) + workKey
	v.keeping.Lock()
	kept, ok := v.forecasts[id]
	v.keeping.Unlock()
	if ok && kept.of == of {
		return kept.forecast
	}
	kept = keptForecast{of, in.Forecast()}
	if isTry {
		return kept.forecast
	}
	v.keeping.Lock()
	v.forecasts[id] = kept
	v.keeping.Unlock()
	return kept.forecast
}

func stepView(s crop.Step) schema.PlanStep {
	v := schema.PlanStep{Step: s.Name, Stage: s.Stage.Name, From: s.Stage.From, Standing: s.Stage.Standing, Source: s.Stage.Source, Free: s.Free}
	if s.Stage.Name != "" {
		v.Days = []int{s.Stage.ShortestDays, s.Stage.LikelyDays, s.Stage.LongestDays}
	}
	if s.Done != nil {
		v.Done, v.On, v.ByBed, v.OutOfOrder = true, dateOrNone(s.Done.On), s.Done.ByBed, s.Done.OutOfOrder
		for _, other := range s.Done.Others {
			v.Others = append(v.Others, other.String())
		}
	}
	if s.Coming != nil {
		v.Day10, v.Day50, v.Day90 = dateOrNone(s.Coming.Day10), dateOrNone(s.Coming.Day50), dateOrNone(s.Coming.Day90)
	}
	v.MovedFrom, v.MovedWhy = dateOrNone(s.MovedFrom), s.MovedWhy
	v.LikelyFrom, v.LikelyWhy = dateOrNone(s.LikelyFrom), s.LikelyWhy
	v.Latest50, v.Latest90, v.Pinned = dateOrNone(s.Latest50), dateOrNone(s.Latest90), dateOrNone(s.Pinned)
	return v
}

func dateOrNone(d *calendar.Day) string {
	if d == nil {
		return ""
	}
	return d.String()
}

func pinsOf(l schema.Lot) map[string]calendar.Day {
	pins := map[string]calendar.Day{}
	for step, pin := range map[string]*schema.Pin{
		crop.StepLastPinch: l.PinPinch, crop.StepRegulator: l.PinRegulator, crop.StepCooler: l.PinCool, crop.StepForcing: l.PinForce,
	} {
		if pin != nil {
			if d := dayOf(&pin.On); d != nil {
				pins[step] = *d
			}
		}
	}
	return pins
}

// generations bounds how far back a lot's mothers are followed.
const generations = 12

// lotNotes are the notes that timelines are made of, laid out by lot once for all lots of a view.
type lotNotes struct {
	n *nursery
	// isTry says that what is computed from them is only tried: it must not be remembered in the place of what stands.
	isTry      bool
	events     map[string][]crop.Event
	regulators []putOn
}

type putOn struct {
	schema.Application
	on calendar.Day
}

func (n *nursery) lotNotes() lotNotes {
	all := lotNotes{n: n, events: map[string][]crop.Event{}}
	for _, e := range n.events {
		if on := dayOf(&e.On); on != nil {
			all.events[e.Lot] = append(all.events[e.Lot], crop.Event{What: e.What, On: *on, Last: e.Last, House: e.House})
		}
	}
	for _, a := range n.applications {
		if a.Purpose == "growth_regulator" {
			all.regulators = append(all.regulators, putOn{a, n.dayAt(a.EndedAt)})
		}
	}
	return all
}

// familyOf is the lot and the lots that it comes from, each up to the day on which it went on as the next one.
func (all lotNotes) familyOf(id string) (family []crop.Part) {
	var until *calendar.Day
	seen := map[string]bool{}
	for range generations {
		l, ok := all.n.lots[id]
		if !ok || seen[id] {
			break
		}
		seen[id] = true
		part := crop.Part{
			PotMM: valueOr(l.PotMM, 0), StuckOn: dayOf(l.StruckOn), PottedOn: dayOf(l.PottedOn), Until: until, Events: all.events[id],
		}
		part.Regulators = all.regulatorsOn(id, part.PottedOn)
		family = append(family, part)
		if part.PottedOn != nil {
			until = part.PottedOn
		}
		id = valueOr(l.Parent, "")
	}
	return family
}

// regulatorsOn are the growth regulators put on a lot: those that name it, and of those that name no lot those that name a bed on which it
// stands or stood, since it was potted.
func (all lotNotes) regulatorsOn(lot string, potted *calendar.Day) (on []crop.Regulator) {
	for _, a := range all.regulators {
		named := lotsNamed(a.Application)
		isOn, byBed := slices.Contains(named, lot), len(named) == 0
		if byBed {
			isOn = slices.ContainsFunc(a.Beds, func(bed string) bool { return slices.Contains(all.n.stoodOn[lot], bed) }) &&
				(potted == nil || a.on >= *potted)
		}
		if isOn {
			on = append(on, crop.Regulator{On: a.on, ByBed: byBed})
		}
	}
	// Notes lie in a map: their order must not show in what is remembered by this.
	slices.SortFunc(on, func(a, b crop.Regulator) int { return int(a.On - b.On) })
	return on
}

func dayOf(date *string) *calendar.Day {
	if d, err := calendar.Parse(valueOr(date, "")); err == nil {
		return &d
	}
	return nil
}
