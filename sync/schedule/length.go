// Package schedule says when a chain of stages will be over, as chances on whole days, and when a stage must begin for the
// chain to be over in time.
//
// Nothing is drawn at random: lengths are summed by exact convolution, and what moves a day (a working day, a day that a person
// fixed) is a map of the axis. So the answer is the same on every machine, and its tails are exact. A length longer than four times the
// slowest is "later": it is carried along and never shared out, so there are quantiles and no mean.
package schedule

import (
	"fmt"
	"math"
)

// Length is how long a stage takes, in days, as a grower says it of ten lots: the quickest, the middle one, the slowest. They
// are the 10, 50 and 90 % points.
type Length struct{ Shortest, Likely, Longest int }

// Check refuses a length out of order, or of less than a day.
func (l Length) Check() error {
	if l.Shortest < 1 || l.Shortest > l.Likely || l.Likely > l.Longest {
		return fmt.Errorf("a stage of %d, %d and %d days: the quickest must not be over the middle, nor the middle over the slowest, and each at least 1", l.Shortest, l.Likely, l.Longest)
	}
	return nil
}

// t90 is the 0.9 quantile of Student's t with 4 degrees of freedom.
const t90 = 1.5332062740589438

// LogVariance is the mean square of ln days about that of the likely length: Student's t with 4 degrees of freedom has a variance of twice its scale
// squared. Days are whole, so no side is narrower than half a day.
func (l Length) LogVariance() float64 {
	quick, slow := l.scales()
	return quick*quick + slow*slow
}

// scales are those of Student's t on the quick and the slow side, neither narrower than half a day.
func (l Length) scales() (quick, slow float64) {
	m := float64(l.Likely)
	half := math.Log1p(0.5 / m)
	return max(half, math.Log(m/float64(l.Shortest))) / t90, max(half, math.Log(float64(l.Longest)/m)) / t90
}

// below is the chance that the stage takes at most x days: ln(x/Likely) is Student's t with 4 degrees of freedom, with a scale
// of its own on each side so that the three numbers come out. A normal tail would say "tomorrow" for ever of a lot that is
// late; this one grows with the delay.
func (l Length) below(x float64) float64 {
	m := float64(l.Likely)
	if x <= 0 {
		return 0
	}
	scale := math.Log(float64(l.Longest) / m)
	if x < m {
		scale = math.Log(m / float64(l.Shortest))
	}
	z := math.Log(x / m)
	if scale == 0 {
		switch {
		case z < 0:
			return 0
		case z == 0:
			return 0.5
		}
		return 1
	}
	return t4(t90 * z / scale)
}

// t4 is the distribution function of Student's t with 4 degrees of freedom, in closed form.
func t4(t float64) float64 {
	q := 1 + t*t/4
	return 0.5 + 0.375*t/math.Sqrt(q)*(1-t*t/(12*q))
}

// chances are P(length = d) for d = 0 ... 4 x Longest; what they lack to 1 is later.
func (l Length) chances() []float64 {
	p := make([]float64, 4*l.Longest+1)
	before := 0.0
	for d := range p {
		upTo := l.below(float64(d) + 0.5)
		p[d] = upTo - before
		before = upTo
	}
	return p
}

// given are the chances of a stage that is not over after so many days. A length that leaves nothing after them (a stage of
// fixed days, past its end) is taken to end on the next day: it is overdue, and the next day is the first on which it can.
func (l Length) given(elapsed int) []float64 {
	p := l.chances()
	if elapsed < 0 {
		return p
	}
	rest := 1 - l.below(float64(elapsed)+0.5)
	if rest <= 1e-12 {
		p = make([]float64, elapsed+2)
		p[elapsed+1] = 1
		return p
	}
	for d := range p {
		if d <= elapsed {
			p[d] = 0
		} else {
			p[d] /= rest
		}
	}
	return p
}
