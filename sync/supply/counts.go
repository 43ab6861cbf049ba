package supply

import (
	"math"

	"gonum.org/v1/gonum/dsp/fourier"
)

// Counts is how likely each number of pots is: P[i] is the chance of Low + i.
type Counts struct {
	Low int
	P   []float64
}

// sure is a number that is known.
func sure(n int) Counts { return Counts{Low: n, P: []float64{1}} }

// negligible is the chance that trimmed leaves out at each end: far below anything that is shown.
const negligible = 1e-16

func (c Counts) trimmed() Counts {
	from, to := 0, len(c.P)
	for from < to-1 && c.P[from] < negligible {
		from++
	}
	for to > from+1 && c.P[to-1] < negligible {
		to--
	}
	return Counts{c.Low + from, c.P[from:to]}
}

// directTerms is up to how many terms of a sum are multiplied one by one; above, by Fourier transform.
const directTerms = 4096

// plus is the sum of two independent numbers.
func (c Counts) plus(d Counts) Counts {
	terms := len(c.P) + len(d.P) - 1
	if terms <= directTerms || min(len(c.P), len(d.P)) < 16 {
		return Counts{c.Low + d.Low, direct(c.P, d.P)}.trimmed()
	}
	return Counts{c.Low + d.Low, byFourier(c.P, d.P)}.trimmed()
}

func direct(a, b []float64) []float64 {
	sum := make([]float64, len(a)+len(b)-1)
	for i, p := range a {
		for j, q := range b {
			sum[i+j] += p * q
		}
	}
	return sum
}

// byFourier is direct, to within 1e-15.
func byFourier(a, b []float64) []float64 {
	terms := len(a) + len(b) - 1
	fft := fourier.NewFFT(powerOver(terms))
	x := Counts{0, a}.spectrum(fft)
	times(x, Counts{0, b}.spectrum(fft))
	return fromSpectrum(x, fft)[:terms]
}

// powerOver is the smallest power of two over n.
func powerOver(n int) int {
	size := 1
	for size <= n {
		size *= 2
	}
	return size
}

// spectrum is the transform of the chances of 0, 1, ... up to the transform's length.
func (c Counts) spectrum(fft *fourier.FFT) []complex128 {
	all := make([]float64, fft.Len())
	copy(all[c.Low:], c.P)
	return fft.Coefficients(nil, all)
}

func times(x, y []complex128) {
	for i := range x {
		x[i] *= y[i]
	}
}

// fromSpectrum is the chances of 0, 1, ... of a spectrum.
func fromSpectrum(x []complex128, fft *fourier.FFT) []float64 {
	sum := fft.Sequence(nil, x)
	for i := range sum {
		// gonum's transform there and back is its length times what it began with.
		sum[i] = math.Max(0, sum[i]/float64(fft.Len()))
	}
	return sum
}

// mixed is the number at any pace.
func mixed(spectra [][]complex128, paces []pace, fft *fourier.FFT) Counts {
	x := make([]complex128, fft.Len()/2+1)
	for i, p := range paces {
		for f := range x {
			x[f] += complex(p.weight, 0) * spectra[i][f]
		}
	}
	return countsOf(x, fft)
}

// countsOf is the number that has a spectrum. What rounding leaves where there is no chance is taken out.
func countsOf(x []complex128, fft *fourier.FFT) Counts {
	c := Counts{0, fromSpectrum(x, fft)}
	for i, p := range c.P {
		if p < rounding {
			c.P[i] = 0
		}
	}
	return c.trimmed()
}

// rounding is what a transform leaves of a chance of 0, at most.
const rounding = 1e-15

// mapped carries each number to another one.
func (c Counts) mapped(to func(int) int) Counts {
	low, high := to(c.Low), to(c.Low+len(c.P)-1)
	m := Counts{low, make([]float64, high-low+1)}
	for i, p := range c.P {
		m.P[to(c.Low+i)-low] += p
	}
	return m
}

// Mean is the expected number.
func (c Counts) Mean() (mean float64) {
	for i, p := range c.P {
		mean += float64(c.Low+i) * p
	}
	return mean
}

// Quantile is the smallest number that is not exceeded with at least this chance.
func (c Counts) Quantile(chance float64) int {
	sum := 0.0
	for i, p := range c.P {
		// A sum that should equal the chance must not miss it by a rounding error.
		if sum += p; sum >= chance-1e-12 {
			return c.Low + i
		}
	}
	return c.Low + len(c.P) - 1
}

// Under is the chance of fewer than n.
func (c Counts) Under(n int) (chance float64) {
	for i, p := range c.P {
		if c.Low+i >= n {
			break
		}
		chance += p
	}
	return min(1, chance)
}

// kept is what is left of a number of pots when each of these shares is as likely.
func (c Counts) kept(shares []float64) Counts {
	// Of a share that is sure whole pots count, with a rounding error's room: 96.99999999 pots are 97. Shares that stand for many numbers are each
	// rounded to the nearest, or all of them would be half a pot too low.
	room := 1e-9
	if len(shares) > 1 {
		room = 0.5
	}
	left := func(n int, share float64) int { return int(math.Floor(float64(n)*share + room)) }
	low, high := left(c.Low, shares[0]), left(c.Low+len(c.P)-1, shares[len(shares)-1])
	m := Counts{low, make([]float64, high-low+1)}
	each := 1 / float64(len(shares))
	for _, share := range shares {
		for i, p := range c.P {
			m.P[left(c.Low+i, share)-low] += p * each
		}
	}
	return m.trimmed()
}
