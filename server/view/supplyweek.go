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
	booked := w.bookedOf(func(schema.SupplyBooking) bool { return true })
	sure := supply.Sure{Cultivars: map[string][]int{}}
	sums := weekSums{lots: make([][]supply.Counts, len(w.brings))}
	upTo := 0
	for k, name := range w.grades {
		var known []supply.Lot
		lotsAlone := 0
		for i, brings := range w.brings {
			least := 0
			if len(brings.Parts) > 0 {
				known = append(known, brings)
				alone := supply.Sum([]supply.Lot{brings}, k, w.season)
				sums.lots[i], least = append(sums.lots[i], alone), alone.Quantile(supply.Risk)
			}
			week.Lots[i].Sure = append(slices.Clip(week.Lots[i].Sure), least)
			lotsAlone += least
		}
		all, of := supply.Sums(known, k, w.season)
		for cultivar, counts := range of {
			sure.Cultivars[cultivar] = append(sure.Cultivars[cultivar], counts.Quantile(supply.Risk))
		}
		sums.all, sums.cultivars = append(sums.all, all), append(sums.cultivars, of)
		low := all.Quantile(supply.Risk)
		sure.All, upTo = append(sure.All, low), upTo+booked[k]
		week.Grades = append(week.Grades, schema.SupplyGrade{
			Grade: name, Expected: all.Mean(), Median: all.Quantile(0.5), Low: low, High: all.Quantile(1 - supply.Risk), Sure: low, LotsAlone: lotsAlone, Booked: booked[k],
			Short: all.Under(upTo),
		})
	}
	safe, _ := bed.Promised(sure.All, booked, 0)
	for k := range week.Grades {
		week.Grades[k].Safe = safe[k]
	}
	for i, lot := range week.Lots {
		sure.Lots = append(sure.Lots, supply.SureLot{Lot: lot.Lot, Cultivar: w.brings[i].Cultivar, Pots: lot.Sure})
	}
	wanted := w.wanted()
	w.place(&week, sure, wanted, sums)
	w.promise(&week, sure, wanted)
	return week
}

// weekSums are the pots that a week may have, of all grades from the best one on: of all lots, of those of each cultivar, and of each lot (none
// where nothing is known of it).
type weekSums struct {
	all       []supply.Counts
	cultivars []map[string]supply.Counts
	lots      [][]supply.Counts
}

// bookedOf is what is open of some bookings, by grade.
func (w *weekly) bookedOf(is func(schema.SupplyBooking) bool) []int {
	booked := make([]int, len(w.grades))
	for _, b := range w.bookings {
		if len(booked) > 0 && is(b) {
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

// place gives the pots that are sure to the bookings.
func (w *weekly) place(week *schema.SupplyWeek, sure supply.Sure, wanted []supply.Booking, sums weekSums) {
	if len(w.grades) == 0 {
		sure.All = []int{0} // Without grades nothing is sure.
	}
	for i, missing := range sure.Place(wanted) {
		b := &week.Bookings[i]
		b.Short = w.short(*b, sums)
		if b.Missing = missing; missing == 0 {
			continue
		}
		if b.Lot != "" || b.Cultivar != "" {
			last := wanted[i]
			last.Lot, last.Cultivar = "", ""
			all := sure.Place(append(slices.Delete(slices.Clone(wanted), i, i+1), last))
			b.Elsewhere = max(0, missing-all[len(all)-1])
		}
		if b.Why = w.why(*b); b.Why == "unknown" {
			week.Undecided += missing
		} else {
			week.Missing += missing
		}
	}
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

// short is the chance that there are too few pots of a booking's lot, or of its cultivar or crop, for all that is booked of that and of nothing
// wider, in its grade and better ones.
func (w *weekly) short(b schema.SupplyBooking, sums weekSums) float64 {
	if len(w.grades) == 0 || !slices.ContainsFunc(w.from(b), func(lot int) bool { return len(w.brings[lot].Parts) > 0 }) {
		return 0
	}
	k, cultivar := w.rank(b), w.cultivarOf(b)
	pots, isOfThese := sums.all[k], func(schema.SupplyBooking) bool { return true }
	switch {
	case b.Lot != "":
		pots, isOfThese = sums.lots[w.lotOf(b)][k], func(other schema.SupplyBooking) bool { return other.Lot == b.Lot }
	case cultivar != "":
		pots, isOfThese = sums.cultivars[k][cultivar], func(other schema.SupplyBooking) bool { return w.cultivarOf(other) == cultivar }
	}
	wanted := 0
	for _, booked := range w.bookedOf(isOfThese)[:k+1] {
		wanted += booked
	}
	return pots.Under(wanted)
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

// promise says what may be promised of each lot, and of each cultivar where there are several: on top of its own bookings, and of what wider ones
// need of it. No booking gets less for it; what cannot be met anyway is not taken off.
func (w *weekly) promise(week *schema.SupplyWeek, sure supply.Sure, wanted []supply.Booking) {
	if len(w.grades) == 0 {
		return // Nothing is known of any lot.
	}
	for i, leans := range sure.Leans(wanted) {
		lot := &week.Lots[i]
		lot.Leans = leans
		taken := w.bookedOf(func(b schema.SupplyBooking) bool { return b.Lot == lot.Lot })
		for k, pots := range lot.Leans {
			taken[k] += pots
		}
		lot.Safe, _ = bed.Promised(lot.Sure, taken, 0)
	}
	names := map[string]string{}
	for i, lot := range week.Lots {
		names[w.brings[i].Cultivar] = lot.Cultivar
	}
	if delete(names, ""); len(names) < 2 {
		return
	}
	for _, cultivar := range slices.Sorted(maps.Keys(names)) {
		one := schema.SupplyCultivar{Cultivar: names[cultivar], Sure: sure.Cultivars[cultivar]}
		if one.Sure == nil {
			continue // Nothing is known of its lots.
		}
		for k, pots := range one.Sure {
			missing := sure.Place(append(slices.Clip(wanted), supply.Booking{Cultivar: cultivar, Grade: k, Pots: pots}))
			one.Safe = append(one.Safe, pots-missing[len(missing)-1])
		}
		week.Cultivars = append(week.Cultivars, one)
	}
}
