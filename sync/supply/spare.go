package supply

import (
	"fmt"
	"maps"
	"slices"
)

// spare is what a week has in one grade or a better one beyond the pots that bookings were given. A booking of a lot takes that lot's pots, one of a
// cultivar what the bookings of lots leave of the cultivar's, one of anything what these leave. So all of them are served exactly when each lot has what
// its own bookings were given, each cultivar's lots have together beyond that what its bookings were, and so on (Hall's condition, the scopes being nested).
type spare struct {
	week  *Week
	grade int
	// own is what bookings of each lot were given, ofCultivar those of each cultivar, any those of anything.
	own        []int
	ofCultivar map[string]int
	any        int
	// left are, pace by pace, what the lots of each cultivar leave beyond the bookings of lots, and spectra what is left of that beyond those of the
	// cultivar; rest what the other cultivars leave beyond all bookings but those of anything. All are made when they are asked for.
	left, rest map[string][]Counts
	spectra    map[string][]spectrum
}

// at is what is spare in a grade.
func (s *Served) at(grade int) *spare {
	if s.spare[grade] == nil {
		s.spare[grade] = &spare{
			week: s.week, grade: grade, own: make([]int, len(s.week.lots)), ofCultivar: map[string]int{},
			left: map[string][]Counts{}, rest: map[string][]Counts{}, spectra: map[string][]spectrum{},
		}
		for _, b := range s.placed.bookings {
			s.spare[grade].give(b)
		}
	}
	return s.spare[grade]
}

// give takes a booking into account that was given pots. Only what the booking changes is made again.
func (s *spare) give(b Booking) {
	lot, ok := s.week.places[b.Lot]
	switch {
	case b.Grade > s.grade || b.Pots == 0 || b.Lot != "" && !ok:
	case b.Lot != "":
		s.own[lot] += b.Pots
		cultivar := s.week.lots[lot].Cultivar
		delete(s.left, cultivar)
		s.changed(cultivar)
	case b.Cultivar != "":
		s.ofCultivar[b.Cultivar] += b.Pots
		s.changed(b.Cultivar)
	default:
		s.any += b.Pots
	}
}

func (s *spare) changed(cultivar string) {
	delete(s.spectra, cultivar)
	maps.DeleteFunc(s.rest, func(but string, _ []Counts) bool { return but != cultivar })
}

// share is one pace and season: what there may be for a booking, and how likely everything else that was given is there when so many of it are left.
type share struct {
	weight float64
	has    Counts
	then   []float64
}

// shares are all paces and seasons, none where no lot can serve the booking.
type shares []share

// there is the chance that n pots are there for the booking, with all that was given before.
func (all shares) there(n int) (chance float64) {
	for _, s := range all {
		for i := max(0, n-s.has.Low); i < len(s.has.P); i++ {
			chance += s.weight * s.has.P[i] * s.then[min(s.has.Low+i-n, len(s.then)-1)]
		}
	}
	return min(1, chance)
}

// most is how many of so many pots are there but for a chance of Risk, by the rounding of Counts.Quantile.
func (all shares) most(pots int) int {
	from, to := 0, pots
	for from < to {
		mid := (from + to + 1) / 2
		if 1-all.there(mid) < Risk-1e-12 {
			from = mid
		} else {
			to = mid - 1
		}
	}
	return from
}

// of is what there may be for one more booking.
func (s *spare) of(b Booking) (all shares) {
	w := s.week
	if b.Lot != "" {
		if lot, ok := w.places[b.Lot]; ok {
			return s.ofLot(lot, s.own[lot], true)
		}
		return nil
	}
	if b.Cultivar != "" && !slices.Contains(w.cultivars, b.Cultivar) || len(w.cultivars) == 0 {
		return nil
	}
	for i, p := range w.paces {
		if b.Cultivar == "" {
			all = append(all, share{p.weight, s.others(noCultivar)[i], s.wanted(s.any, sure(0))})
			continue
		}
		all = append(all, share{p.weight, s.leftOf(b.Cultivar)[i].beyond(s.ofCultivar[b.Cultivar]), s.wanted(s.any, s.others(b.Cultivar)[i])})
	}
	return all
}

// wanted is the chance that so many pots are there from some, when 0, 1, 2, ... come on top.
func (s *spare) wanted(pots int, from Counts) []float64 {
	then := make([]float64, pots+1)
	for onTop := range then {
		then[onTop] = 1 - from.Under(pots-onTop)
	}
	return then
}

// ofLot is what a lot may have beyond so many pots, with what wider bookings need or as if there were none.
func (s *spare) ofLot(lot, less int, wider bool) (all shares) {
	w := s.week
	cultivar := w.lots[lot].Cultivar
	has := w.whenReady(bringing{s.grade, lot, less}).counts
	for i, p := range w.paces {
		ready := w.lots[lot].readyAt(p)
		for season, of := range w.seasons {
			one := share{p.weight * of.weight * ready, has[season], []float64{1}}
			if wider && s.ofCultivar[cultivar]+s.any > 0 {
				one.then = s.besides(lot, i, season)
			}
			all = append(all, one)
		}
	}
	return all
}

// ifSure divides by the chance of what is taken for given.
func (all shares) ifSure(chance float64) (given shares) {
	for _, one := range all {
		if chance > 0 {
			one.weight /= chance
			given = append(given, one)
		}
	}
	return given
}

// besides is the chance that all bookings of the lot's cultivar and of anything are served at a pace and in a season, when 0, 1, 2, ... pots of the lot
// are left for them.
func (s *spare) besides(lot, pace, season int) []float64 {
	w, cultivar := s.week, s.week.lots[lot].Cultivar
	others := fromSpectrum(s.together(cultivar, lot, w.paces[pace], season), w.ffts[cultivar])
	first := s.ofCultivar[cultivar]
	wide := append(make([]float64, first), s.wanted(s.any, s.others(cultivar)[pace])...)
	then := make([]float64, len(wide))
	// Where the others alone have them all, nothing is wanted of the lot: from the end, that chance grows by one number at a time.
	all, enough := len(wide)-1, 0.0
	for n := len(others) - 1; n > all; n-- {
		enough += possible(others[n])
	}
	for left := range then {
		if n := all - left; n < len(others) {
			enough += possible(others[n])
		}
		then[left] = enough * wide[all]
		for n := max(0, first-left); n < min(all-left, len(others)); n++ {
			then[left] += possible(others[n]) * wide[left+n]
		}
	}
	return then
}

// possible is a chance, without what rounding leaves of none.
func possible(chance float64) float64 {
	if chance > rounding {
		return chance
	}
	return 0
}

// together is what the lots of a cultivar have beyond their own bookings at a pace and in a season, but for one of them (-1: all).
func (s *spare) together(cultivar string, but int, at pace, season int) spectrum {
	w := s.week
	product := spectrum(sure(0).spectrum(w.ffts[cultivar]))
	for _, one := range w.of[cultivar] {
		if one == but {
			continue
		}
		ready, counts := w.lots[one].readyAt(at), w.whenReady(bringing{s.grade, one, s.own[one]}).spectra[season]
		for f := range product {
			product[f] *= complex(1-ready, 0) + complex(ready, 0)*counts[f]
		}
	}
	return product
}

// leftOf is what the lots of a cultivar have beyond their own bookings, pace by pace.
func (s *spare) leftOf(cultivar string) []Counts {
	if s.left[cultivar] == nil {
		w := s.week
		name := fmt.Sprintf("%d %q", s.grade, cultivar)
		for _, lot := range w.of[cultivar] {
			name += fmt.Sprintf(" %d", s.own[lot])
		}
		if w.left[name] == nil {
			w.left[name] = s.sumLeft(cultivar)
		}
		s.left[cultivar] = w.left[name]
	}
	return s.left[cultivar]
}

func (s *spare) sumLeft(cultivar string) (left []Counts) {
	fft := s.week.ffts[cultivar]
	for _, p := range s.week.paces {
		sum := make(spectrum, fft.Len()/2+1)
		for season, of := range s.week.seasons {
			for f, c := range s.together(cultivar, -1, p, season) {
				sum[f] += complex(of.weight, 0) * c
			}
		}
		left = append(left, countsOf(sum, fft))
	}
	return left
}

// noCultivar is the name of none: "" is that of lots which name none.
const noCultivar = "\x00"

// beyond is leftOf beyond the bookings of the cultivar.
func (s *spare) beyond(cultivar string) []spectrum {
	if s.spectra[cultivar] == nil {
		for _, left := range s.leftOf(cultivar) {
			s.spectra[cultivar] = append(s.spectra[cultivar], left.beyond(s.ofCultivar[cultivar]).spectrum(s.week.fft))
		}
	}
	return s.spectra[cultivar]
}

// others is what all cultivars but one have beyond all bookings but those of anything, pace by pace; with noCultivar of all.
func (s *spare) others(but string) []Counts {
	if s.rest[but] == nil {
		for i := range s.week.paces {
			product := sure(0).spectrum(s.week.fft)
			for _, cultivar := range s.week.cultivars {
				if cultivar != but {
					times(product, s.beyond(cultivar)[i])
				}
			}
			s.rest[but] = append(s.rest[but], countsOf(product, s.week.fft))
		}
	}
	return s.rest[but]
}
