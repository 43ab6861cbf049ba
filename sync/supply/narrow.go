package supply

import (
	"math"
	"slices"
)

// Variance is that of the number.
func (c Counts) Variance() (variance float64) {
	mean := c.Mean()
	for i, p := range c.P {
		variance += p * math.Pow(float64(c.Low+i)-mean, 2)
	}
	return variance
}

// Walked is the lot as it would be known after a walk of n of the pots of one of its parts, if that walk saw in each grade the share that is
// expected now. A walk takes the place of the one before it.
func (l Lot) Walked(part, n int) Lot {
	was := l.Parts[part]
	n = min(n, was.OnBed)
	next := Part{In: make([]int, len(was.Prior)), Seen: n, Stood: was.OnBed, OnBed: was.OnBed, Prior: Jeffreys(len(was.Prior))}
	for k, prior := range was.Prior {
		in := 0
		if was.Seen > 0 {
			in = was.In[k]
		}
		share := (prior.A + float64(in)) / (prior.A + prior.B + float64(was.Seen))
		next.In[k] = int(math.Round(share * float64(n)))
	}
	after := l
	after.Parts = slices.Clone(l.Parts)
	after.Parts[part] = next
	return after
}
