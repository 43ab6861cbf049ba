package view

import (
	"maps"
	"slices"

	"bedwalk/schema"
	"bedwalk/sync/bed"
	"bedwalk/sync/calendar"
	"bedwalk/sync/supply"
)

// view computes a week's numbers, grade by grade, and places its bookings.
func (w *weekly) view(n *nursery) schema.SupplyWeek {
	week := schema.SupplyWeek{
		Week: w.of.week, Crop: w.of.crop, PotMM: w.of.potMM, Season: w.season, Grades: []schema.SupplyGrade{}, Lots: slices.Clone(w.lots), Bookings: slices.Clone(w.bookings),
	}
	if at, err := calendar.ParseWeek(w.of.week); err == nil {
		week.By = at.Day(n.shipWeekday).String()
	}
	if week.Lots == nil {
		week.Lots = []schema.SupplyLot{}
	}
	if week.Bookings == nil {
		week.Bookings = []schema.SupplyBooking{}
	}
	lots := make([]supply.LotOf, len(w.lots))
	for i, lot := range w.lots {
		lots[i] = supply.LotOf{Name: lot.Lot, Lot: w.brings[i]}
	}
	pots := supply.NewWeek(lots, len(w.grades), w.season)
	booked := w.bookedOf()
	upTo := 0
	for k, name := range w.grades {
		all, lotsAlone := pots.Counts[k], 0
		for _, lot := range pots.Lots {
			lotsAlone += lot.Pots[k]
		}
		upTo += booked[k]
		week.Grades = append(week.Grades, schema.SupplyGrade{
			Grade: name, Expected: all.Mean(), Median: all.Quantile(0.5), Low: pots.All[k], High: all.Quantile(1 - supply.Risk), Sure: pots.All[k], LotsAlone: lotsAlone,
			Booked: booked[k], Short: all.Under(upTo),
		})
	}
	safe, _ := bed.Promised(pots.All, append(booked, 0)[:len(pots.All)])
	for k := range week.Grades {
		week.Grades[k].Safe = safe[k]
	}
	served := w.place(&week, pots)
	w.promise(&week, pots, served)
	return week
}

// bookedOf is what is open of the bookings, by grade.
func (w *weekly) bookedOf() []int {
	booked := make([]int, len(w.grades))
	for _, b := range w.bookings {
		if len(booked) > 0 {
			booked[w.rank(b)] += b.Open
		}
	}
	return booked
}

// rank is the grade of a booking; one that names none of the grades counts as the best, so that nothing promised is forgotten.
func (w *weekly) rank(b schema.SupplyBooking) int { return max(0, slices.Index(w.grades, b.Grade)) }

// cultivarOf is the key of the cultivar that a booking takes from, "" for any.
func (w *weekly) cultivarOf(b schema.SupplyBooking) string {
	if i := w.lotOf(b); i >= 0 {
		return w.brings[i].Cultivar
	}
	return bed.CropKey(b.Cultivar)
}

// lotOf is the place of the booking's lot among those of the week, -1 for one of another week and for a booking that names none.
func (w *weekly) lotOf(b schema.SupplyBooking) int {
	return slices.IndexFunc(w.lots, func(l schema.SupplyLot) bool { return l.Lot == b.Lot })
}

// wanted are the bookings as they are placed.
func (w *weekly) wanted() []supply.Booking {
	all := make([]supply.Booking, len(w.bookings))
	for i, b := range w.bookings {
		all[i] = supply.Booking{Lot: b.Lot, Cultivar: w.cultivarOf(b), Grade: w.rank(b), Pots: b.Open}
	}
	return all
}

// place gives the week's pots to the bookings, and says what is missing of each.
func (w *weekly) place(week *schema.SupplyWeek, pots *supply.Week) *supply.Served {
	wanted := w.wanted()
	served, missing := pots.Serve(wanted)
	for i := range wanted {
		b := &week.Bookings[i]
		if b.Missing = missing[i]; missing[i] == 0 {
			continue
		}
		if slices.ContainsFunc(w.from(*b), func(lot int) bool { return len(w.brings[lot].Parts) > 0 }) {
			before, _ := pots.Serve(wanted[:i])
			b.Short = before.Short(wanted[i])
		}
		if b.Lot != "" || b.Cultivar != "" {
			anything := wanted[i]
			anything.Lot, anything.Cultivar = "", ""
			lacks := anything.Pots
			if missing[i] == anything.Pots {
				// It has no pots, so the others have what they would have without it.
				lacks -= served.Room(anything)
			} else {
				_, all := pots.Serve(append(slices.Delete(slices.Clone(wanted), i, i+1), anything))
				lacks = all[len(all)-1]
			}
			b.Elsewhere = max(0, missing[i]-lacks)
		}
		if b.Why = w.why(*b); b.Why == "few" || b.Why == "not_ready" {
			if others := slices.DeleteFunc(slices.Clone(wanted[:i]), wanted[i].IsNarrowerThan); len(others) < i {
				if _, less := pots.Serve(append(others, wanted[i])); less[len(others)] < b.Missing {
					b.Why = "earlier"
				}
			}
		}
		if b.Why == "unknown" {
			week.Undecided += b.Missing
		} else {
			week.Missing += b.Missing
			week.Short = new(max(valueOr(week.Short, 0), shortOf(*b)))
		}
	}
	return served
}

// shortOf is the chance that a booking of which pots are missing is not served in full: 1 where no lot of the week can serve it.
func shortOf(b schema.SupplyBooking) float64 {
	switch b.Why {
	case "week", "stock", "none":
		return 1
	}
	return b.Short
}

// from are the places of the lots that can serve a booking.
func (w *weekly) from(b schema.SupplyBooking) (lots []int) {
	if b.Lot != "" {
		if i := w.lotOf(b); i >= 0 {
			lots = append(lots, i)
		}
		return lots
	}
	for i, brings := range w.brings {
		if cultivar := w.cultivarOf(b); cultivar == "" || cultivar == brings.Cultivar {
			lots = append(lots, i)
		}
	}
	return lots
}

// why says why pots of a booking are missing.
func (w *weekly) why(b schema.SupplyBooking) string {
	lots := w.from(b)
	unknown, isLate := 0, false
	for _, i := range lots {
		if len(w.brings[i].Parts) == 0 {
			unknown += w.lots[i].Pots
		} else if w.brings[i].Ready < 1-supply.Risk {
			isLate = true
		}
	}
	switch {
	case len(lots) == 0 && b.Lot != "":
		return "week"
	case len(lots) == 0:
		return "none"
	case b.Lot != "" && len(w.brings[lots[0]].Parts) == 0, b.Lot == "" && unknown >= b.Missing:
		return "unknown"
	case isLate:
		return "not_ready"
	}
	return "few"
}

// promise says what may be promised of each lot, and of each cultivar where there are several, on top of all that is booked: as much as one more
// booking would be given. What cannot be met anyway is not taken off.
func (w *weekly) promise(week *schema.SupplyWeek, pots *supply.Week, served *supply.Served) {
	names := map[string]string{}
	for i := range week.Lots {
		lot := &week.Lots[i]
		lot.Sure, lot.Leans, lot.Safe = pots.Lots[i].Pots, served.Leans(lot.Lot)[:len(w.grades)], make([]int, len(w.grades))
		for k, sure := range lot.Sure {
			lot.Safe[k] = served.Room(supply.Booking{Lot: lot.Lot, Cultivar: w.brings[i].Cultivar, Grade: k, Pots: sure})
		}
		names[w.brings[i].Cultivar] = lot.Cultivar
	}
	if delete(names, ""); len(names) < 2 {
		return
	}
	for _, cultivar := range slices.Sorted(maps.Keys(names)) {
		one := schema.SupplyCultivar{Cultivar: names[cultivar], Sure: pots.Sure.Cultivars[cultivar]}
		if one.Sure == nil {
			continue // Nothing is known of its lots.
		}
		for k, sure := range one.Sure {
			one.Safe = append(one.Safe, served.Room(supply.Booking{Cultivar: cultivar, Grade: k, Pots: sure}))
		}
		week.Cultivars = append(week.Cultivars, one)
	}
}
