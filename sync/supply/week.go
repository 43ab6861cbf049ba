package supply

import (
	"maps"
	"math"
	"slices"

	"gonum.org/v1/gonum/dsp/fourier"

	"bedwalk/sync/loss"
	"bedwalk/sync/stats"
)

var nodes = stats.NormalNodes()

// Sum is how many pots the lots have together in grade level k or a better one, when the seasons of their cultivars have this
// standard deviation.
func Sum(lots []Lot, k int, season float64) Counts {
	all, _ := Sums(lots, k, season)
	return all
}

// Sums is Sum, and that of the lots of each cultivar. All lots share one pace. Within it cultivars are independent, and within a season so are the
// lots of one cultivar: there sums are products of Fourier transforms (gonum), exact to 1e-12.
func Sums(lots []Lot, k int, season float64) (all Counts, of map[string]Counts) {
	byCultivar := map[string][]Lot{}
	for _, l := range lots {
		byCultivar[l.Cultivar] = append(byCultivar[l.Cultivar], l)
	}
	fft, paces := transformOf(lots), pacesOf(lots)
	sums := make([][]complex128, len(paces))
	for i := range sums {
		sums[i] = sure(0).spectrum(fft)
	}
	of = map[string]Counts{}
	for _, cultivar := range slices.Sorted(maps.Keys(byCultivar)) {
		own := transformOf(byCultivar[cultivar])
		together := shared(byCultivar[cultivar], k, season, paces, own)
		of[cultivar] = mixed(together, paces, own)
		for i := range sums {
			times(sums[i], countsOf(together[i], own).spectrum(fft))
		}
	}
	return mixed(sums, paces, fft), of
}

// transformOf is long enough for all pots of the lots.
func transformOf(lots []Lot) *fourier.FFT {
	pots := 0
	for _, l := range lots {
		pots += l.Pots()
	}
	return fourier.NewFFT(max(2, powerOver(pots)))
}

// pacesOf are the paces to sum over.
func pacesOf(lots []Lot) (paces []pace) {
	if len(lots) < 2 || !slices.ContainsFunc(lots, func(l Lot) bool { return l.Paces != nil }) {
		return []pace{{anyPace, 1}}
	}
	for i, node := range nodes {
		paces = append(paces, pace{i, node.Weight})
	}
	return paces
}

// pace is one of the nodes, or anyPace, with its weight.
type pace struct {
	at     int
	weight float64
}

// anyPace is all paces taken together, as it is for a lot alone.
const anyPace = -1

// readyAt is the chance that the lot is ready in time at a pace.
func (l Lot) readyAt(p pace) float64 {
	if p.at == anyPace || l.Paces == nil {
		return l.Ready
	}
	return l.Paces[p.at]
}

// shared is the sum of the lots of one cultivar, a spectrum for each pace: of lots that are independent within a season, mixed over seasons.
func shared(lots []Lot, k int, season float64, paces []pace, fft *fourier.FFT) [][]complex128 {
	sums := make([][]complex128, len(paces))
	for i := range sums {
		sums[i] = make([]complex128, fft.Len()/2+1)
	}
	add := func(shift, weight float64) {
		spectra := make([][]complex128, len(lots))
		for i, l := range lots {
			spectra[i] = l.whenReady(k, shift).spectrum(fft)
		}
		for i, p := range paces {
			for f := range sums[i] {
				product := complex(weight, 0)
				for j, l := range lots {
					ready := l.readyAt(p)
					product *= complex(1-ready, 0) + complex(ready, 0)*spectra[j][f]
				}
				sums[i][f] += product
			}
		}
	}
	for _, one := range seasonsOf(season) {
		add(one.by, one.weight)
	}
	return sums
}

// whenReady is what the lot brings, once it is ready, in a season that moves the share in grade and that of the pots left by so much on the logit
// scale: a season that is bad for one is bad for the other.
func (l Lot) whenReady(k int, shift float64) Counts {
	pots := sure(0)
	for _, part := range l.Parts {
		pots = pots.plus(part.counts(k, shift))
	}
	return pots.kept(loss.Share{Mean: l.Survive, Differ: l.Differ}.Moved(shift).Spread(pots.Mean()))
}

// counts is the pots in grade on one bed: those seen, and of the others a beta-binomial number (Skellam 1948, JRSS B 10:257) whose mean is
// moved and whose a + b is kept.
func (p Part) counts(k int, shift float64) Counts {
	in := 0
	if p.Seen > 0 {
		in = p.In[k]
	}
	a, b := p.Prior[k].A+float64(in), p.Prior[k].B+float64(p.Seen-in)
	if shift != 0 {
		mean := 1 / (1 + b/a*math.Exp(-shift))
		a, b = mean*(a+b), (1-mean)*(a+b)
	}
	rest, err := stats.Predict(0, 0, p.Stood-p.Seen, a, b)
	if err != nil {
		return sure(0) // Fewer pots than were seen: nothing is sure.
	}
	c := Counts{in, make([]float64, p.Stood-p.Seen+1)}
	for i := range c.P {
		c.P[i] = rest.Chance(i)
	}
	return c.trimmed().mapped(func(n int) int { return min(p.OnBed, max(0, n-p.Left)) })
}

// Rooted is how many cuttings of a lot root, given those that were looked at: a number of all that were stuck, those that were looked at
// among them (beta-binomial, Skellam 1948, with Jeffreys' prior). False where none was looked at, or more than were stuck.
func Rooted(rooted, looked, stuck int) (Counts, bool) {
	if looked == 0 || rooted > looked || looked > stuck {
		return Counts{}, false
	}
	return Part{In: []int{rooted}, Seen: looked, Stood: stuck, OnBed: stuck, Prior: Jeffreys(1)}.counts(0, 0), true
}
