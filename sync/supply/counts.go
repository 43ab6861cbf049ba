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
	size := 1
	for size < terms {
		size *= 2
	}
	fft := fourier.NewFFT(size)
	padded := func(p []float64) []complex128 {
		all := make([]float64, size)
		copy(all, p)
		return fft.Coefficients(nil, all)
	}
	x, y := padded(a), padded(b)
	for i := range x {
		x[i] *= y[i]
	}
	sum := fft.Sequence(nil, x)[:terms]
	for i := range sum {
		// gonum's transform there and back is size times what it began with.
		sum[i] = math.Max(0, sum[i]/float64(size))
	}
	return sum
}

// mapped carries each number to another one.
func (c Counts) mapped(to func(int) int) Counts {
	low, high := to(c.Low), to(c.Low+len(c.P)-1)
	m := Counts{low, make([]float64, high-low+1)}
	for i, p := range c.P {
		m.P[to(c.Low+i)-low] += p
	}
	return m
}

// mix is c with one chance and d with the other.
func (c Counts) mix(chance float64, d Counts, other float64) Counts {
	if len(c.P) == 0 {
		c = Counts{Low: d.Low}
	}
	low := min(c.Low, d.Low)
	m := Counts{low, make([]float64, max(c.Low+len(c.P), d.Low+len(d.P))-low)}
	for i, p := range c.P {
		m.P[c.Low-low+i] += chance * p
	}
	for i, p := range d.P {
		m.P[d.Low-low+i] += other * p
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
