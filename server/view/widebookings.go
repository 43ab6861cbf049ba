package view

import (
	"cmp"
	"context"
	"maps"
	"slices"

	"bedwalk/schema"
	"bedwalk/sync/bed"
	"bedwalk/sync/calendar"
)

// wideBooking is a booking that names no lot: any lot of its crop and pot size serves it, of its cultivar where that is not "".
type wideBooking struct {
	booking
	of       weekOf
	cultivar string
	open     int
}

// wide are the bookings that name no lot, by crop and pot size, and what of each is open.
func (n *nursery) wide() map[weekOf][]wideBooking {
	all := n.wideBookings()
	for kind, bookings := range all {
		n.serveWide(kind, bookings)
	}
	return all
}

func (n *nursery) wideBookings() map[weekOf][]wideBooking {
	all := map[weekOf][]wideBooking{}
	for _, b := range n.bookings[""] {
		of := b.kindAndWeek()
		all[of.kind()] = append(all[of.kind()], wideBooking{booking: b, of: of, cultivar: bed.CropKey(valueOr(b.Cultivar, ""))})
	}
	return all
}

// kindAndWeek is what a booking that names no lot names in its place.
func (b booking) kindAndWeek() weekOf {
	return weekOf{valueOr(b.ShipWeek, ""), bed.CropKey(valueOr(b.Crop, "")), valueOr(b.PotMM, 0)}
}

// serveWide sets what was shipped of a kind's lots, beyond the lots' own bookings, against the bookings that name no lot: of a cultivar first,
// since its lots alone serve those. It fills in what is open of each; rest is what served no booking at all.
func (n *nursery) serveWide(kind weekOf, bookings []wideBooking) (rest []bed.Shipment) {
	byCultivar := map[string][]bed.Shipment{}
	for _, b := range bookings {
		byCultivar[b.cultivar] = nil
	}
	for id := range n.lots {
		if n.weekOf(id).kind() == kind {
			_, shipments := n.served(id)
			cultivar := bed.CropKey(valueOr(n.lots[id].Cultivar, ""))
			byCultivar[cultivar] = append(byCultivar[cultivar], shipments...)
		}
	}
	serve := func(cultivar string, shipments []bed.Shipment) []bed.Shipment {
		slices.SortFunc(shipments, func(a, b bed.Shipment) int { return cmp.Or(cmp.Compare(a.At, b.At), cmp.Compare(a.Of, b.Of)) })
		var all []booking
		for _, b := range bookings {
			if b.cultivar == cultivar {
				all = append(all, b.booking)
			}
		}
		shipped, rest := bed.Serve(booked(all, ""), shipments, n.gradesFor(kind))
		for i, b := range bookings {
			if b.cultivar == cultivar {
				bookings[i].open = b.openAfter(shipped)
			}
		}
		return rest
	}
	for _, cultivar := range slices.Sorted(maps.Keys(byCultivar)) {
		if cultivar != "" {
			byCultivar[cultivar] = serve(cultivar, byCultivar[cultivar])
		}
		rest = append(rest, byCultivar[cultivar]...)
	}
	return serve("", rest)
}

// shippedFree is how many pots shipped of a lot served no booking.
func (n *nursery) shippedFree(lot string) (free int) {
	_, rest := n.served(lot)
	kind := n.weekOf(lot).kind()
	if wide := n.wideBookings()[kind]; len(wide) > 0 {
		rest = n.serveWide(kind, wide)
	}
	for _, s := range rest {
		if s.Of == lot {
			free += s.Pots
		}
	}
	return free
}

// leansOn is how many pots of each grade bookings of the lot's week that name no lot need of it.
func (m *moment) leansOn(ctx context.Context, id string) (leans []schema.BookedPots, err error) {
	of := m.n.weekOf(id)
	kind := of.kind()
	wide := m.n.wideBookings()[kind]
	if !slices.ContainsFunc(wide, func(b wideBooking) bool { return b.of == of && of.isWhole() }) {
		return nil, nil
	}
	m.n.serveWide(kind, wide)
	all := gathered{m.n, m.n.lotNotes(), map[string]seenLot{}}
	for other := range m.n.lots {
		if m.n.weekOf(other).kind() == kind {
			if all.seen[other], err = m.seen(other); err != nil {
				return nil, err
			}
		}
	}
	weeks, err := m.weeksOf(ctx, all, map[weekOf][]wideBooking{kind: wide}, map[weekOf]bool{of: true})
	if err != nil {
		return nil, err
	}
	for _, week := range weeks {
		for _, lot := range week.Lots {
			for k, pots := range lot.Leans {
				if lot.Lot == id && pots > 0 {
					leans = append(leans, schema.BookedPots{Grade: week.Grades[k].Grade, Pots: pots})
				}
			}
		}
	}
	return leans, nil
}

// addLeans books, of each lot on a bed, what bookings that name no lot need of the pots that stand there, and returns how many those are.
func (m *moment) addLeans(ctx context.Context, in *schema.BedInput) (of map[string]int, err error) {
	of = map[string]int{}
	for i := range in.Lots {
		on := &in.Lots[i]
		if on.Shipped || m.n.isStock(on.Lot) {
			continue
		}
		leans, err := m.leansOn(ctx, on.Lot)
		if err != nil {
			return nil, err
		}
		for _, b := range m.n.shareOn(leans, on.Lot, on.PotsOnBed) {
			on.Bookings = append(slices.Clip(on.Bookings), b)
			of[on.Lot] += b.Pots
		}
	}
	return of, nil
}

// closedWeeks is how long bookings of which nothing is open are shown after their week.
const closedWeeks = 52

// closedWide are the bookings of which nothing is open, the latest weeks first.
func closedWide(wide map[weekOf][]wideBooking, today calendar.Day) (all []schema.ClosedBooking) {
	since := today.Week().Add(-closedWeeks).String()
	for _, bookings := range wide {
		for _, b := range bookings {
			if b.open > 0 || b.of.week != "" && b.of.week < since {
				continue
			}
			one := schema.ClosedBooking{
				ID: b.id, Buyer: valueOr(b.Buyer, ""), Crop: valueOr(b.Crop, ""), Cultivar: valueOr(b.Cultivar, ""), PotMM: b.of.potMM,
				Grade: valueOr(b.Grade, ""), Week: b.of.week, Pots: valueOr(b.Pots, 0), Cancelled: valueOr(b.Cancelled, false),
			}
			if !one.Cancelled {
				one.Shipped = one.Pots
			}
			all = append(all, one)
		}
	}
	slices.SortFunc(all, func(a, b schema.ClosedBooking) int {
		return cmp.Or(cmp.Compare(b.Week, a.Week), cmp.Compare(a.ID, b.ID))
	})
	return all
}

// supplyBooking is the booking as the ship weeks show it.
func (b wideBooking) supplyBooking() schema.SupplyBooking {
	return schema.SupplyBooking{
		ID: b.id, Buyer: valueOr(b.Buyer, ""), Crop: valueOr(b.Crop, ""), Cultivar: valueOr(b.Cultivar, ""), PotMM: valueOr(b.PotMM, 0),
		Reference: valueOr(b.Reference, ""), Grade: valueOr(b.Grade, ""), Open: b.open,
	}
}
