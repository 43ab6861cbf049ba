package view

import (
	"slices"

	"bedwalk/schema"
	"bedwalk/sync/bed"
	"bedwalk/sync/calendar"
	"bedwalk/sync/supply"
)

// view computes a week's numbers, grade by grade, and places its bookings.
func (w *weekly) view(n *nursery) schema.SupplyWeek {
	week := schema.SupplyWeek{
		Week: w.of.week, Crop: w.of.crop, PotMM: w.of.potMM, Grades: []schema.SupplyGrade{}, Lots: slices.Clone(w.lots), Bookings: slices.Clone(w.bookings),
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
	booked := make([]int, len(w.grades))
	for _, b := range w.bookings {
		if len(booked) > 0 {
			booked[w.rank(b)] += b.Open
		}
	}
	sure, upTo := make([]int, len(w.grades)), 0
	for k, name := range w.grades {
		var known []supply.Lot
		alone := 0
		for i, brings := range w.brings {
			least := 0
			if len(brings.Parts) > 0 {
				known = append(known, brings)
				least = supply.Sum([]supply.Lot{brings}, k, supply.Season).Quantile(supply.Risk)
			}
			week.Lots[i].Sure = append(slices.Clip(week.Lots[i].Sure), least)
			alone += least
		}
		all := supply.Sum(known, k, supply.Season)
		sure[k], upTo = all.Quantile(supply.Risk), upTo+booked[k]
		week.Grades = append(week.Grades, schema.SupplyGrade{
			Grade: name, Expected: all.Mean(), Median: all.Quantile(0.5), Low: sure[k], High: all.Quantile(1 - supply.Risk), Sure: sure[k], LotsAlone: alone, Booked: booked[k],
			Short: all.Under(upTo),
		})
	}
	safe, _ := bed.Promised(sure, booked, 0)
	for k := range week.Grades {
		week.Grades[k].Safe = safe[k]
	}
	w.place(&week)
	return week
}

// rank is the grade of a booking; one that names none of the grades counts as the best, so that nothing promised is forgotten.
func (w *weekly) rank(b schema.SupplyBooking) int { return max(0, slices.Index(w.grades, b.Grade)) }

// place gives the pots that each lot is sure to have to the bookings; what a lot is sure to have of a grade or a better one, less what it
// is sure to have of better ones, may count as that grade.
func (w *weekly) place(week *schema.SupplyWeek) {
	var pots []supply.Pots
	for _, lot := range week.Lots {
		before := 0
		for k, sure := range lot.Sure {
			pots = append(pots, supply.Pots{Lot: lot.Lot, Grade: k, Pots: max(0, sure-before)})
			before = max(before, sure)
		}
	}
	wanted := make([]supply.Booking, len(week.Bookings))
	for i, b := range week.Bookings {
		wanted[i] = supply.Booking{Lot: b.Lot, Grade: w.rank(b), Pots: b.Open}
	}
	for i, missing := range supply.Place(pots, wanted) {
		b := &week.Bookings[i]
		b.Short = w.short(*b)
		if b.Missing = missing; missing == 0 {
			continue
		}
		b.Elsewhere = missing - missingOfAnyLot(pots, wanted, i)
		if b.Why = w.why(*b); b.Why == "unknown" {
			week.Undecided += missing
		} else {
			week.Missing += missing
		}
	}
}

// missingOfAnyLot is what would be missing of a booking if it could be served from every lot of the week, after all others.
func missingOfAnyLot(pots []supply.Pots, wanted []supply.Booking, i int) int {
	last := wanted[i]
	last.Lot = ""
	missing := supply.Place(pots, append(slices.Delete(slices.Clone(wanted), i, i+1), last))
	return missing[len(missing)-1]
}

// short is the chance that the booking's lot has too few pots for all that is booked of it in this grade and better ones.
func (w *weekly) short(b schema.SupplyBooking) float64 {
	i := slices.IndexFunc(w.lots, func(l schema.SupplyLot) bool { return l.Lot == b.Lot })
	if i < 0 || len(w.brings[i].Parts) == 0 {
		return 0
	}
	k, wanted := w.rank(b), 0
	for _, other := range w.bookings {
		if other.Lot == b.Lot && w.rank(other) <= k {
			wanted += other.Open
		}
	}
	return supply.Sum([]supply.Lot{w.brings[i]}, k, supply.Season).Under(wanted)
}

// why says why pots of a booking are missing.
func (w *weekly) why(b schema.SupplyBooking) string {
	i := slices.IndexFunc(w.lots, func(l schema.SupplyLot) bool { return l.Lot == b.Lot })
	switch {
	case i < 0:
		return "week"
	case len(w.brings[i].Parts) == 0:
		return "unknown"
	case w.brings[i].Ready < 1-supply.Risk:
		return "not_ready"
	}
	return "few"
}
