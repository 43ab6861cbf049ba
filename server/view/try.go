package view

import (
	"cmp"
	"context"
	"fmt"
	"maps"
	"net/http"

	"bedwalk/schema"
	"bedwalk/sync/calendar"
)

// Try is the plan as it would be if some lots were planned otherwise or bookings entered or changed, beside the plan as it stands. Nothing is
// written or remembered. ErrNoSuch where a lot is not here; a *schema.Problem for a day or a week that has passed, a lot that has shipped or is
// kept for cuttings, or a booking that does not say what it is for.
func (v *Views) Try(ctx context.Context, ask schema.TryAsk) (view schema.TryView, err error) {
	if len(ask.Lots)+len(ask.Bookings) == 0 {
		return view, refuseTry("Nothing is asked.", "Choose a lot or a booking to try.")
	}
	all, err := v.gathered(ctx)
	if err != nil {
		return view, err
	}
	today := v.dayIn(all.n)
	tried := all
	tried.n = new(*all.n)
	tried.n.lots = maps.Clone(all.n.lots)
	for _, l := range ask.Lots {
		if err := tried.n.tryLot(l, today); err != nil {
			return view, err
		}
	}
	tried.n.bookings, tried.n.bookedLot = maps.Clone(all.n.bookings), maps.Clone(all.n.bookedLot)
	weeks := map[weekOf]bool{}
	for _, b := range ask.Bookings {
		if before, ok := all.n.weekOfBooking(b.ID); ok {
			weeks[before] = true
		}
		of, err := tried.n.tryBooking(b, today, v.journal.NowMS())
		if err != nil {
			return view, err
		}
		weeks[of] = true
	}
	tried.notes.n, tried.notes.isTry = tried.n, true
	view = schema.TryView{Today: today.String(), Lots: []schema.TriedLot{}}
	for _, l := range ask.Lots {
		weeks[all.n.weekOf(l.Lot)], weeks[tried.n.weekOf(l.Lot)] = true, true
		view.Lots = append(view.Lots, schema.TriedLot{
			Lot: l.Lot, Now: v.planOf(all.notes, l.Lot, all.seen[l.Lot]), Tried: v.planOf(tried.notes, l.Lot, all.seen[l.Lot]),
		})
	}
	if view.Now, err = v.weeksOf(ctx, all, all.n.wide(), weeks); err != nil {
		return view, err
	}
	view.Tried, err = v.weeksOf(ctx, tried, tried.n.wide(), weeks)
	return view, err
}

// tryBooking enters or changes a booking, in a nursery of one's own, and returns the week that it is for.
func (n *nursery) tryBooking(as schema.TryBooking, today calendar.Day, nowMS int64) (of weekOf, err error) {
	b := booking{id: cmp.Or(as.ID, schema.TriedID), since: nowMS, Booking: schema.Booking{
		Lot: orNone(as.Lot), Crop: orNone(as.Crop), Cultivar: orNone(as.Cultivar), PotMM: orNone(as.PotMM), Grade: orNone(as.Grade), Pots: &as.Pots, ShipWeek: orNone(as.ShipWeek),
	}}
	if as.Lot != "" {
		if _, err := n.unshipped(as.Lot); err != nil {
			return of, err
		}
	}
	for _, before := range n.bookings[n.bookedLot[as.ID]] {
		if before.id == as.ID {
			b.since, b.Buyer = before.since, before.Buyer
		}
	}
	n.enter(b)
	of, ok := n.weekOfBooking(b.id)
	if !ok {
		return of, refuseTry("The booking does not say what it is for.", "Choose a lot, or a crop and a pot size, and a ship week.")
	}
	if week, err := calendar.ParseWeek(of.week); err != nil || week.Day(7) < today {
		return of, refuseTry(fmt.Sprintf("The ship week %s has passed.", of.week), "Choose this week or a later one.")
	}
	return of, nil
}

func orNone[T comparable](value T) *T {
	var none T
	if value == none {
		return nil
	}
	return &value
}

// weekOfBooking is the week that a booking is for; false where it names none, nor a lot with one.
func (n *nursery) weekOfBooking(id string) (of weekOf, ok bool) {
	lot, ok := n.bookedLot[id]
	if !ok {
		return of, false
	}
	for _, b := range n.bookings[lot] {
		if b.id != id {
			continue
		}
		if of = b.kindAndWeek(); lot != "" {
			own := n.weekOf(lot)
			own.week = cmp.Or(of.week, own.week)
			of = own
		}
	}
	return of, of.week != "" && (lot != "" || of.isWhole())
}

// tryLot plans a lot otherwise, in a nursery of one's own.
func (n *nursery) tryLot(as schema.TryLot, today calendar.Day) error {
	l, err := n.unshipped(as.Lot)
	if err != nil {
		return err
	}
	if as.ShipWeek != nil {
		week, err := calendar.ParseWeek(*as.ShipWeek)
		if err != nil {
			return refuseTry("The ship week cannot be read: "+err.Error()+".", "Choose a week of the list.")
		}
		// A week that stands already may have passed.
		if *as.ShipWeek != valueOr(l.ShipWeek, "") && week.Day(7) < today {
			return refuseTry(fmt.Sprintf("The ship week %s has passed.", *as.ShipWeek), "Choose this week or a later one.")
		}
	}
	l.ShipWeek = as.ShipWeek
	for _, pin := range []struct {
		at  **schema.Pin
		day *string
	}{{&l.PinPinch, as.PinPinch}, {&l.PinRegulator, as.PinRegulator}, {&l.PinCool, as.PinCool}, {&l.PinForce, as.PinForce}} {
		// A day that stands already may have passed; it changes nothing.
		isNew := pin.day != nil && (*pin.at == nil || (*pin.at).On != *pin.day)
		if d := dayOf(pin.day); isNew && d != nil && *d < today {
			return refuseTry(fmt.Sprintf("The planned day %s has passed.", d), "Choose today or a later day, or note the step as done.")
		}
		*pin.at = nil
		if pin.day != nil {
			*pin.at = &schema.Pin{On: *pin.day}
		}
	}
	n.lots[as.Lot] = l
	return nil
}

// unshipped is a lot that can be tried with.
func (n *nursery) unshipped(id string) (l lot, err error) {
	l, ok := n.lots[id]
	if !ok {
		return l, ErrNoSuch
	}
	if n.isStock(id) {
		return l, refuseTry("The lot "+valueOr(l.Tag, "")+" is kept for cuttings and not for sale.", "Try it with another lot, or say on the lot's page that it is for sale.")
	}
	if valueOr(l.ShippedOn, "") != "" {
		return l, refuseTry("The lot "+valueOr(l.Tag, "")+" has shipped.", "Try it with lots that have not.")
	}
	return l, nil
}

func refuseTry(what, todo string) error {
	return schema.NewProblem(http.StatusBadRequest, "try", what, todo)
}
