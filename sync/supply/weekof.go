package supply

import (
	"maps"
	"slices"

	"gonum.org/v1/gonum/dsp/fourier"
)

// LotOf is a lot of a week and what it brings.
type LotOf struct {
	Name string
	Lot
}

// Week is what the lots of a ship week will have, in each grade or a better one: how likely each number of pots is, and how many are sure.
type Week struct {
	Sure
	// Counts are of all lots, Alone of each by itself (none where it brings no pots that anything is known of).
	Counts []Counts
	Alone  [][]Counts
	lots   []LotOf
	// places are the lots' places by name, of those that bring pots; of are those of each of the cultivars.
	places    map[string]int
	of        map[string][]int
	cultivars []string
	// fft is long enough for all pots, ffts for those of each cultivar.
	fft     *fourier.FFT
	ffts    map[string]*fourier.FFT
	paces   []pace
	seasons []shifted
	ready   map[bringing]*ready
	// left keeps what lots of a cultivar leave beyond their own bookings (see spare.leftOf), as bookings are served again and again to compare.
	left map[string][]Counts
}

// ready is what a lot brings once it is ready, season by season.
type ready struct {
	counts  []Counts
	spectra []spectrum
}

// bringing is a lot in one grade or a better one, less so many pots.
type bringing struct{ grade, lot, less int }

type spectrum []complex128

// shifted is a season, and its weight.
type shifted struct{ by, weight float64 }

// seasonsOf are the seasons to sum over, for their standard deviation on the logit scale.
func seasonsOf(season float64) (all []shifted) {
	if season == 0 {
		return []shifted{{0, 1}}
	}
	for _, node := range nodes {
		all = append(all, shifted{season * node.Z, node.Weight})
	}
	return all
}

// NewWeek sums the lots, in so many grades; season as in Sum. Without grades nothing is known of any lot.
func NewWeek(lots []LotOf, grades int, season float64) *Week {
	w := &Week{
		lots: lots, places: map[string]int{}, of: map[string][]int{}, seasons: seasonsOf(season), ready: map[bringing]*ready{}, Alone: make([][]Counts, len(lots)),
		ffts: map[string]*fourier.FFT{}, left: map[string][]Counts{},
	}
	w.Sure.Cultivars, w.All = map[string][]int{}, make([]int, max(1, grades))
	var known []Lot
	for i, l := range lots {
		w.Lots = append(w.Lots, SureLot{l.Name, l.Cultivar, make([]int, grades)})
		if grades > 0 && len(l.Parts) > 0 {
			known, w.places[l.Name] = append(known, l.Lot), i
			w.of[l.Cultivar] = append(w.of[l.Cultivar], i)
		}
	}
	w.cultivars = slices.Sorted(maps.Keys(w.of))
	w.fft, w.paces = transformOf(known), pacesOf(known)
	for cultivar, places := range w.of {
		var own []Lot
		for _, i := range places {
			own = append(own, lots[i].Lot)
		}
		w.ffts[cultivar] = transformOf(own)
	}
	for k := range grades {
		for i := range lots {
			if _, ok := w.places[lots[i].Name]; ok {
				alone := Sum([]Lot{lots[i].Lot}, k, season)
				w.Alone[i] = append(w.Alone[i], alone)
				w.Lots[i].Pots[k] = alone.Quantile(Risk)
			}
		}
		all, of := Sums(known, k, season)
		for cultivar, counts := range of {
			w.Sure.Cultivars[cultivar] = append(w.Sure.Cultivars[cultivar], counts.Quantile(Risk))
		}
		w.Counts, w.All[k] = append(w.Counts, all), all.Quantile(Risk)
	}
	return w
}

// whenReady is what a lot brings beyond so many pots once it is ready.
func (w *Week) whenReady(of bringing) *ready {
	if w.ready[of] == nil {
		one := &ready{}
		for i, s := range w.seasons {
			var counts Counts
			if of.less == 0 {
				counts = w.lots[of.lot].whenReady(of.grade, s.by)
			} else {
				counts = w.whenReady(bringing{of.grade, of.lot, 0}).counts[i].beyond(of.less)
			}
			one.counts, one.spectra = append(one.counts, counts), append(one.spectra, counts.spectrum(w.ffts[w.lots[of.lot].Cultivar]))
		}
		w.ready[of] = one
	}
	return w.ready[of]
}

// beyond is what is there beyond so many pots.
func (c Counts) beyond(less int) Counts {
	if less == 0 {
		return c
	}
	return c.mapped(func(n int) int { return max(0, n-less) })
}
