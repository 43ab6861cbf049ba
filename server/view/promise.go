package view

import (
	"cmp"
	"maps"
	"slices"

	"bedwalk/schema"
	"bedwalk/sync/bed"
)

type booking struct {
	id string
	schema.Booking
	live []string
	// since is when it was entered: the oldest of what stands in its fields, since a change writes only what it changes.
	since int64
}

func (n *nursery) takeBooking(r schema.Record) {
	b := booking{id: r.Register.Of, Booking: shown[schema.Booking](r)}
	for _, field := range r.Register.Fields {
		b.live = append(b.live, field.Live...)
		if at := field.By.Stamp.At; b.since == 0 || at < b.since {
			b.since = at
		}
	}
	slices.Sort(b.live)
	b.live = slices.Compact(b.live)
	n.enter(b)
}

// enter puts a booking in the place of what it was before.
func (n *nursery) enter(b booking) {
	if before, ok := n.bookedLot[b.id]; ok {
		n.bookings[before] = slices.DeleteFunc(slices.Clone(n.bookings[before]), func(one booking) bool { return one.id == b.id })
	}
	lot := valueOr(b.Lot, "")
	all := append(slices.Clone(n.bookings[lot]), b)
	slices.SortFunc(all, func(a, b booking) int { return cmp.Compare(a.id, b.id) })
	n.bookings[lot], n.bookedLot[b.id] = all, lot
}

// served sets what was shipped of a lot against its own bookings; rest is what served none of them. A lot that was shipped as a whole has no open
// ones.
func (n *nursery) served(lot string) (all []schema.BookingView, rest []bed.Shipment) {
	// One without a week is for when the lot ships.
	shipped, rest := bed.Serve(booked(n.bookings[lot], valueOr(n.lots[lot].ShipWeek, "")), n.shipments(lot), n.gradesOf(lot))
	return bookingViews(n.bookings[lot], shipped, valueOr(n.lots[lot].ShippedOn, "") != ""), rest
}

// booked are the bookings that were not cancelled, those without a week for the week of their lot.
func booked(all []booking, week string) (open []bed.Booked) {
	for _, b := range all {
		if !valueOr(b.Cancelled, false) {
			open = append(open, bed.Booked{ID: b.id, Grade: valueOr(b.Grade, ""), Week: valueOr(b.ShipWeek, week), Pots: valueOr(b.Pots, 0), Since: b.since})
		}
	}
	return open
}

// bookingViews are bookings with what was shipped of each; none is open any more where isGone.
func bookingViews(of []booking, shipped map[string]int, isGone bool) []schema.BookingView {
	all := []schema.BookingView{}
	for _, b := range of {
		v := schema.BookingView{
			ID: b.id, Grade: valueOr(b.Grade, ""), Pots: valueOr(b.Pots, 0), Buyer: valueOr(b.Buyer, ""), ShipWeek: valueOr(b.ShipWeek, ""),
			Cancelled: valueOr(b.Cancelled, false), Shipped: shipped[b.id], Live: b.live,
		}
		if !isGone {
			v.Open = b.openAfter(shipped)
		}
		all = append(all, v)
	}
	slices.SortFunc(all, func(a, b schema.BookingView) int {
		return cmp.Or(cmp.Compare(a.ShipWeek, b.ShipWeek), cmp.Compare(a.Buyer, b.Buyer), cmp.Compare(a.ID, b.ID))
	})
	return all
}

// openAfter is how many of its pots are still to ship, after so many of each booking; none of one that was cancelled.
func (b booking) openAfter(shipped map[string]int) int {
	if valueOr(b.Cancelled, false) {
		return 0
	}
	return valueOr(b.Pots, 0) - shipped[b.id]
}

// shipments are the lot's shipped pots by week of the nursery's own calendar, in order of time. Pots that came back come off those that were shipped
// last before they did.
func (n *nursery) shipments(lot string) (all []bed.Shipment) {
	if n.stock[lot] == nil {
		return nil
	}
	for _, line := range n.stock[lot].Lines {
		switch {
		case line.Voided != nil:
		case line.Reason == "shipped" && line.Change < 0:
			all = append(all, bed.Shipment{Week: n.dayAt(line.By.Stamp.At).Week().String(), Pots: -line.Change, At: line.By.Stamp.At, Of: lot})
		case line.Reason == "returned":
			back := line.Change
			for i := len(all) - 1; i >= 0 && back > 0; i-- {
				came := min(back, all[i].Pots)
				all[i].Pots, back = all[i].Pots-came, back-came
			}
		}
	}
	return slices.DeleteFunc(all, func(s bed.Shipment) bool { return s.Pots == 0 })
}

// gradesOf are the names of the grades for a lot's pot size, best first.
func (n *nursery) gradesOf(lot string) []string { return n.gradesFor(n.weekOf(lot)) }

// gradesFor is gradesOf for a crop and pot size.
func (n *nursery) gradesFor(kind weekOf) (names []string) {
	for _, g := range n.judgedFor(kind.crop).GradesFor(kind.potMM) {
		names = append(names, g.Name)
	}
	return names
}

// open are the lot's open bookings by grade, in the order of their names.
func (n *nursery) open(lot string) []schema.BookedPots {
	byGrade := map[string]int{}
	all, _ := n.served(lot)
	for _, b := range all {
		byGrade[b.Grade] += b.Open
	}
	var booked []schema.BookedPots
	for _, grade := range slices.Sorted(maps.Keys(byGrade)) {
		if byGrade[grade] > 0 {
			booked = append(booked, schema.BookedPots{Grade: grade, Pots: byGrade[grade]})
		}
	}
	return booked
}

// bookedOn is a stretch's share of what is booked of its lot, by the pots that stand there, rounded up.
func (n *nursery) bookedOn(lot string, potsOnBed int) []schema.BookedPots {
	return n.shareOn(n.open(lot), lot, potsOnBed)
}

// shareOn is that share of any bookings, which are the caller's own.
func (n *nursery) shareOn(booked []schema.BookedPots, lot string, potsOnBed int) []schema.BookedPots {
	if s := n.stock[lot]; s != nil && s.Pots > potsOnBed {
		for i := range booked {
			booked[i].Pots = (booked[i].Pots*potsOnBed + s.Pots - 1) / s.Pots
		}
	}
	return booked
}

// addChanges says of each lot on a bed how many of its pots have gone from it and come to it since a moment. A move between
// stretches of one bed is neither; a recount is no change: it says what had been there all along.
func (n *nursery) addChanges(in *schema.BedInput, id string, since int64) {
	spans := map[string]bool{}
	for _, s := range n.spans[id] {
		spans[s.id] = true
	}
	done := map[string]bool{}
	for i, on := range in.Lots {
		s := n.stock[on.Lot]
		if s == nil || done[on.Lot] {
			continue
		}
		done[on.Lot] = true
		net := map[string]int{}
		for _, line := range s.Lines {
			if line.Counted == nil && line.Voided == nil && line.By.Stamp.At > since && spans[line.Span] {
				net[line.By.Entry] += line.Change
			}
		}
		for _, change := range net {
			in.Lots[i].Left += max(0, -change)
			in.Lots[i].Added += max(0, change)
		}
	}
}

// promise is what may be promised of a lot over all beds on which it stands now, of each the newest whole walk that saw it, when bookings that name no
// lot lean on it for these pots.
func (m *moment) promise(id string, leans []schema.BookedPots) (*schema.Promise, error) {
	if m.n.isStock(id) {
		return nil, nil
	}
	var parts []bed.Walked
	kept, err := m.shareKept(id)
	if err != nil {
		return nil, err
	}
	for _, bedID := range m.n.standsOn[id] {
		state, err := m.bed(bedID)
		if err != nil {
			return nil, err
		}
		for _, w := range slices.Backward(state.walks) {
			if !w.Whole || !slices.Contains(w.Lots, id) {
				continue
			}
			in, err := m.input(bedID, w, m.n.groundOf(bedID), w.Newest, nil)
			if err != nil {
				return nil, err
			}
			one := lotIn(in, id)
			one.On.Kept = kept
			parts = append(parts, one)
			break
		}
	}
	return bed.LotPromise(id, parts, m.n.judgedOf(id), valueOr(m.n.lots[id].PotMM, 0), append(m.n.open(id), leans...)), nil
}

// lotIn is one lot of a walk's input, its stretches taken together.
func lotIn(in schema.BedInput, lot string) (w bed.Walked) {
	for _, on := range in.Lots {
		if on.Lot != lot {
			continue
		}
		if w.On.Lot == "" {
			w.On = on
			continue
		}
		w.On.PotsOnBed, w.On.Left, w.On.Added = w.On.PotsOnBed+on.PotsOnBed, w.On.Left+on.Left, w.On.Added+on.Added
		w.On.Uncounted = w.On.Uncounted || on.Uncounted
	}
	w.Pots = slices.DeleteFunc(slices.Clone(in.Pots), func(p schema.PotSeen) bool { return p.Now.Lot != lot })
	return w
}

// withoutPromises is a score as lists have it. What may be promised rests on the plan of the lots and on bookings that name none of them, which the
// pages of a bed and of a lot alone ask for: a list that went without them would promise another number. Why nothing may be promised it says.
func withoutPromises(s *schema.BedScore) *schema.BedScore {
	if s == nil {
		return nil
	}
	listed := *s
	listed.Together, listed.Lots = nil, slices.Clone(s.Lots)
	for i := range listed.Lots {
		if of := listed.Lots[i].GradeOut; of != nil {
			out := *of
			out.Promise = heldBack(of.Promise)
			listed.Lots[i].GradeOut = &out
		}
	}
	return &listed
}

// heldBack is a promise without its numbers.
func heldBack(p schema.Promise) schema.Promise {
	return schema.Promise{
		Lines: []schema.PromiseLine{}, Hold: cmp.Or(p.Hold, bed.HoldList), GradedFrom: p.GradedFrom, Least: p.Least, Whole: p.Whole, Seen: p.Seen,
		PotsOnBed: p.PotsOnBed, Left: p.Left, Lacks: []schema.GradeLack{}, Lots: []string{},
	}
}
