package view

import (
	"context"
	"fmt"
	"maps"
	"net/http"

	"bedwalk/schema"
	"bedwalk/sync/calendar"
)

// Try is the plan as it would be if some lots were planned otherwise, beside the plan as it stands. Nothing is written, and nothing of it is
// remembered. ErrNoSuch where a lot is not here; a *schema.Problem for a day or a week that has passed, or a lot that has shipped.
func (v *Views) Try(ctx context.Context, ask schema.TryAsk) (view schema.TryView, err error) {
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
	tried.notes.n, tried.notes.isTry = tried.n, true
	weeks := map[weekOf]bool{}
	view = schema.TryView{Today: today.String(), Lots: []schema.TriedLot{}}
	for _, l := range ask.Lots {
		weeks[all.n.weekOf(l.Lot)], weeks[tried.n.weekOf(l.Lot)] = true, true
		view.Lots = append(view.Lots, schema.TriedLot{
			Lot: l.Lot, Now: v.planOf(all.notes, l.Lot, all.seen[l.Lot]), Tried: v.planOf(tried.notes, l.Lot, all.seen[l.Lot]),
		})
	}
	if view.Now, err = v.weeksOf(ctx, all, weeks); err != nil {
		return view, err
	}
	view.Tried, err = v.weeksOf(ctx, tried, weeks)
	return view, err
}

// tryLot plans a lot otherwise, in a nursery of one's own.
func (n *nursery) tryLot(as schema.TryLot, today calendar.Day) error {
	l, ok := n.lots[as.Lot]
	if !ok {
		return ErrNoSuch
	}
	if n.isStock(as.Lot) {
		return refuseTry("The lot "+valueOr(l.Tag, "")+" is kept for cuttings and not for sale.", "Try it with another lot, or say on the lot's page that it is for sale.")
	}
	if valueOr(l.ShippedOn, "") != "" {
		return refuseTry("The lot "+valueOr(l.Tag, "")+" has shipped.", "Try it with lots that have not.")
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

func refuseTry(what, todo string) error {
	return schema.NewProblem(http.StatusBadRequest, "try", what, todo)
}
