package view

import (
	"cmp"
	"context"
	"encoding/json"
	"maps"
	"slices"

	"bedwalk/schema"
	"bedwalk/sync/bed"
	"bedwalk/sync/calendar"
	"bedwalk/sync/loss"
	"bedwalk/sync/supply"
)

// Supply is what each ship week will have against what is booked of it.
func (v *Views) Supply(ctx context.Context) (view schema.SupplyView, err error) {
	madeAt := v.journal.NowMS()
	view, err = ofDay(ctx, v, &v.supply, v.supplyOfDay)
	view.MadeAt = madeAt
	return view, err
}

func (v *Views) supplyOfDay(ctx context.Context, all gathered, today calendar.Day) (schema.SupplyView, error) {
	wide := all.n.wide()
	weeks, err := v.weeksOf(ctx, all, wide, nil)
	return schema.SupplyView{Today: today.String(), Weeks: weeks, Unplaced: all.n.unplaced(wide), Closed: closedWide(wide, today)}, err
}

// unplaced are the open bookings that are in no week: those of lots that are not here, those without a week of a lot without one, those of lots that
// are kept for cuttings, and those that name neither a lot nor all of week, crop and pot size.
func (n *nursery) unplaced(wide map[weekOf][]wideBooking) []schema.SupplyBooking {
	all := []schema.SupplyBooking{}
	for _, kind := range slices.SortedFunc(maps.Keys(wide), weekOf.before) {
		for _, b := range wide[kind] {
			if one := b.supplyBooking(); b.open > 0 && !b.of.isWhole() {
				one.Missing, one.Why = one.Open, "week"
				all = append(all, one)
			}
		}
	}
	for _, lot := range slices.Sorted(maps.Keys(n.bookings)) {
		if lot == "" {
			continue
		}
		l, isHere := n.lots[lot]
		isStock := n.isStock(lot)
		if isHere && valueOr(l.ShipWeek, "") != "" && !isStock {
			continue
		}
		why := "week"
		if isStock {
			why = "stock"
		}
		served, _ := n.served(lot)
		for _, b := range served {
			if b.Open > 0 && (!isHere || isStock || b.ShipWeek == "") {
				all = append(all, schema.SupplyBooking{
					ID: b.ID, Lot: lot, Tag: valueOr(l.Tag, ""), Buyer: b.Buyer, Grade: b.Grade, Open: b.Open, Missing: b.Open, Why: why, OtherWeek: b.ShipWeek,
				})
			}
		}
	}
	return all
}

// weekOf is one crop in one pot size in one ship week.
type weekOf struct {
	week, crop string
	potMM      int
}

// weekly is what a week's numbers are made of: each lot and what it brings, the lots in the order of their tags.
type weekly struct {
	of       weekOf
	grades   []string
	season   float64
	lots     []schema.SupplyLot
	brings   []supply.Lot
	bookings []schema.SupplyBooking
}

// seasonOf is the standard deviation of a crop's seasons on the logit scale.
func seasonOf(judged schema.Judged) float64 { return float64(judged.SharingSDMilli) / 1000 }

// weeksOf are the weeks of all lots and of all bookings that name none (see nursery.wide), or only those asked for where only is not nil.
func (v *Views) weeksOf(ctx context.Context, all gathered, wide map[weekOf][]wideBooking, only map[weekOf]bool) ([]schema.SupplyWeek, error) {
	byWeek, since := map[weekOf]*weekly{}, map[string]int64{}
	at := func(of weekOf) *weekly {
		if byWeek[of] == nil {
			byWeek[of] = &weekly{of: of, grades: all.n.gradesFor(of), season: seasonOf(all.n.judgedFor(of.crop))}
		}
		return byWeek[of]
	}
	earlier := all.earlierByKind()
	for _, id := range all.n.lotsFor(only) {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		l := all.n.lots[id]
		of := all.n.weekOf(id)
		if !all.n.isForSale(id) {
			continue
		}
		if of.week != "" && (only == nil || only[of]) {
			week := at(of)
			lot, brings := v.bringsOf(all, id, earlier(of))
			week.lots, week.brings = append(week.lots, lot), append(week.brings, brings)
		}
		served, _ := all.n.served(id)
		for _, b := range served {
			on := of
			if on.week = cmp.Or(b.ShipWeek, of.week); b.Open <= 0 || on.week == "" || only != nil && !only[on] {
				continue
			}
			one := schema.SupplyBooking{ID: b.ID, Lot: id, Tag: valueOr(l.Tag, ""), Buyer: b.Buyer, Grade: b.Grade, Open: b.Open}
			if on.week != of.week {
				one.OtherWeek = cmp.Or(of.week, "-")
			}
			week := at(on)
			week.bookings = append(week.bookings, one)
			since[b.ID] = all.n.enteredAt(id, b.ID)
		}
	}
	for _, bookings := range wide {
		for _, b := range bookings {
			if b.open <= 0 || !b.of.isWhole() || only != nil && !only[b.of] {
				continue
			}
			week := at(b.of)
			week.bookings = append(week.bookings, b.supplyBooking())
			since[b.id] = b.since
		}
	}
	weeks := []schema.SupplyWeek{}
	for _, of := range slices.SortedFunc(maps.Keys(byWeek), weekOf.before) {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		// What was entered first is served first.
		slices.SortStableFunc(byWeek[of].bookings, func(a, b schema.SupplyBooking) int {
			return cmp.Or(cmp.Compare(since[a.ID], since[b.ID]), cmp.Compare(a.ID, b.ID))
		})
		weeks = append(weeks, v.weekView(all, byWeek[of]))
	}
	return weeks, nil
}

// lotsFor are the lots whose crop and pot size are those of one of some weeks, or all where only is nil, in the order of their tags.
func (n *nursery) lotsFor(only map[weekOf]bool) (ids []string) {
	kinds := map[weekOf]bool{}
	for of := range only {
		kinds[of.kind()] = true
	}
	for id := range n.lots {
		if only == nil || kinds[n.weekOf(id).kind()] {
			ids = append(ids, id)
		}
	}
	slices.SortFunc(ids, n.byTag())
	return ids
}

// enteredAt is when a booking of a lot was entered, ms since 1970.
func (n *nursery) enteredAt(lot, id string) (at int64) {
	for _, b := range n.bookings[lot] {
		if b.id == id {
			at = b.since
		}
	}
	return at
}

func (w weekOf) before(other weekOf) int {
	return cmp.Or(cmp.Compare(w.week, other.week), cmp.Compare(w.crop, other.crop), cmp.Compare(w.potMM, other.potMM))
}

// isWhole says that it names a week, a crop and a pot size.
func (w weekOf) isWhole() bool { return w.week != "" && w.crop != "" && w.potMM > 0 }

// kind is the crop and pot size alone.
func (w weekOf) kind() weekOf {
	w.week = ""
	return w
}

func (n *nursery) weekOf(lot string) weekOf {
	l := n.lots[lot]
	return weekOf{valueOr(l.ShipWeek, ""), bed.CropKey(valueOr(l.Crop, "")), valueOr(l.PotMM, 0)}
}

// byTag orders lots by their tags, for one sort at a time.
func (n *nursery) byTag() func(a, b string) int {
	tags := asPeopleCount()
	return func(a, b string) int {
		return cmp.Or(tags(valueOr(n.lots[a].Tag, ""), valueOr(n.lots[b].Tag, "")), cmp.Compare(a, b))
	}
}

// earlierLots is what is known of lots of a crop and pot size from those that have shipped.
type earlierLots struct {
	lots  int
	prior []supply.Beta
}

// earlierShown bounds how many of the last shipped lots count. An assumption, no source.
const earlierShown = 12

// earlierByKind gives earlierOf for the crop and pot size of a week, each computed once.
func (all gathered) earlierByKind() func(weekOf) earlierLots {
	known := map[weekOf]earlierLots{}
	return func(of weekOf) earlierLots {
		if _, ok := known[of.kind()]; !ok {
			known[of.kind()] = all.earlierOf(of.kind())
		}
		return known[of.kind()]
	}
}

func (all gathered) earlierOf(kind weekOf) earlierLots {
	shipped := slices.DeleteFunc(all.n.shippedOf(kind), func(id string) bool { return len(all.seen[id].on) == 0 })
	byLevel := [][]supply.Graded{}
	for _, id := range shipped[:min(len(shipped), earlierShown)] {
		g := bed.InGrades{}
		for _, one := range all.seen[id].on {
			part := bed.Graded(bed.Walked{Pots: one.pots}, all.n.judgedOf(id), kind.potMM)
			g.Whole += part.Whole
			if g.In == nil {
				g.In = make([]int, len(part.In))
			}
			for k, in := range part.In {
				g.In[k] += in
			}
		}
		if g.Whole < all.n.judgedOf(id).PromiseMin {
			continue
		}
		for k, in := range g.In {
			if k == len(byLevel) {
				byLevel = append(byLevel, nil)
			}
			byLevel[k] = append(byLevel[k], supply.Graded{In: in, Of: g.Whole})
		}
	}
	var known earlierLots
	for _, lots := range byLevel {
		prior, ok := supply.FromEarlier(lots)
		if !ok {
			return earlierLots{}
		}
		known.lots, known.prior = len(lots), append(known.prior, prior)
	}
	return known
}

// bringsOf is what a lot brings to its ship week, and what that rests on.
func (v *Views) bringsOf(all gathered, id string, earlier earlierLots) (schema.SupplyLot, supply.Lot) {
	n, l := all.n, all.n.lots[id]
	lot := schema.SupplyLot{Lot: id, Tag: valueOr(l.Tag, ""), Cultivar: valueOr(l.Cultivar, ""), Pots: n.potsOf(id), Sure: []int{}}
	brings := supply.Lot{Cultivar: bed.CropKey(lot.Cultivar)}
	plan, paces := v.planAndPaces(all.notes, id, all.seen[id])
	if plan.Chance != nil {
		brings.Ready, brings.Paces = *plan.Chance, paces
	}
	lot.Ready = brings.Ready
	if d, err := calendar.Parse(plan.Ready95); err == nil {
		week := d.Week()
		if week.Day(n.shipWeekday) < d {
			week = week.Add(1)
		}
		lot.SafeWeek = week.String()
	}
	left, basis := n.left(id, plan.By, v.dayIn(n), stagesToCome(plan.Steps))
	lot.Survive, lot.OwnLoss, lot.LossBasis = left.Mean, basis == loss.OfLot, basis
	lot.SurviveLimits = limitsOf(left, seasonOf(n.judgedOf(id)))
	brings.Survive, brings.Differ = left.Mean, left.Differ
	lot.Basis, brings.Parts = all.partsOf(id, earlier, &lot)
	if plan.Problem != "" {
		lot.Basis, brings.Parts = "no_dates", nil
	}
	return lot, brings
}

// partsOf are a lot's pots, bed by bed, and what they are known by. Pots on a bed that no walk saw since they may be graded are taken to be
// like earlier lots', and where there are too few of those, to be in no grade.
func (all gathered) partsOf(id string, earlier earlierLots, lot *schema.SupplyLot) (basis string, parts []supply.Part) {
	n := all.n
	judged := n.judgedOf(id)
	grades := len(n.gradesOf(id))
	unseen := func(pots int) {
		if pots > 0 && len(earlier.prior) == grades && grades > 0 {
			parts = append(parts, supply.Part{Stood: pots, OnBed: pots, Prior: earlier.prior})
		}
	}
	var walked []supply.Part
	inWalked := 0
	for _, one := range all.seen[id].on {
		g := all.gradedOn(id, one)
		switch g.Hold {
		case bed.HoldUncounted, bed.HoldLedger:
			return g.Hold, nil
		case "":
			lot.Seen, lot.Whole = lot.Seen+g.Seen, lot.Whole+g.Whole
			walked = append(walked, partOfWalk(g))
			inWalked += g.OnBed
			on := n.dayAt(one.walk.At).String()
			if lot.On == "" || on < lot.On {
				lot.On = on
			}
			lot.Scouts = append(lot.Scouts, n.people[one.walk.Person])
		}
	}
	if lot.Whole >= judged.PromiseMin && grades > 0 {
		unseen(lot.Pots - inWalked)
		return "walk", append(parts, walked...)
	}
	lot.Seen, lot.Whole, lot.On, lot.Scouts = 0, 0, "", nil
	if unseen(lot.Pots); len(parts) > 0 {
		lot.Earlier = earlier.lots
		return "earlier", parts
	}
	return "unknown", nil
}

// gradedOn is a lot on one bed by the rules it is judged by, as the newest whole walk saw it.
func (all gathered) gradedOn(id string, one seenOn) bed.InGrades {
	n := all.n
	in := bed.Input(n.groundOf(one.bed).with(n, one.walk.Lots), nil, true)
	n.addChanges(&in, one.bed, one.walk.At)
	w := lotIn(in, id)
	w.Pots = one.pots
	return bed.Graded(w, n.judgedOf(id), valueOr(n.lots[id].PotMM, 0))
}

func partOfWalk(g bed.InGrades) supply.Part {
	return supply.Part{In: g.In, Seen: g.Seen, Stood: g.Stood, Left: g.Left, OnBed: g.OnBed, Prior: supply.Jeffreys(len(g.Grades))}
}

// keptWeek is a week's numbers with what they were made of.
type keptWeek struct {
	of   string
	week schema.SupplyWeek
}

// weekView is a week's numbers. The last one of each week is remembered, since most notes change no week.
func (v *Views) weekView(all gathered, w *weekly) schema.SupplyWeek {
	raw, err := json.Marshal([]any{w.grades, w.season, w.lots, w.brings, w.bookings, all.n.shipWeekday})
	v.keeping.Lock()
	kept, ok := v.weeks[w.of]
	v.keeping.Unlock()
	if err == nil && ok && kept.of == string(raw) {
		return kept.week
	}
	week := w.view(all.n)
	if all.notes.isTry {
		return week
	}
	v.keeping.Lock()
	v.weeks[w.of] = keptWeek{string(raw), week}
	v.keeping.Unlock()
	return week
}
