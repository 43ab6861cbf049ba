package schedule

import (
	"math"

	"bedwalk/sync/calendar"
	"bedwalk/sync/stats"
)

// Pace is the standard deviation, on the scale of ln days, by which one spring stretches or shortens what all lots have still to come: 5 %. An
// assumption of this project, no source.
const Pace = 0.05

// AtPaces are the chances that it has happened by the end of a day, one at each pace of stats.NormalNodes, the quickest first: there the days from
// asOf on are all stretched by exp(sd times the node). Their mean, weighted as the nodes are, is By: what a grower says of ten lots holds for
// springs of all kinds, so a pace moves lots together and makes no lot less certain. What may have happened already no pace delays; asOf is a later day
// than today where a fixed day comes in between, up to which no spring stretches anything.
func (c Chances) AtPaces(by, asOf calendar.Day, sd float64) (at [5]float64) {
	nodes, mean := stats.NormalNodes(), c.By(by)
	sums := make([]float64, len(c.P)+1) // sums[i] is the chance of a day before First + i
	for i, p := range c.P {
		sums[i+1] = sums[i] + p
	}
	if total := sums[len(sums)-1]; by <= asOf || mean <= c.By(asOf) || mean >= total-1e-12 {
		for i := range at {
			at[i] = mean
		}
		return at
	}
	// days after asOf at which the mean over the paces is that of the day asked for: the larger, the more has happened.
	fill := func(days float64) (sum float64) {
		for i, n := range nodes {
			at[i] = through(sums, float64(asOf-c.First)+1+days*math.Exp(-sd*n.Z))
			sum += n.Weight * at[i]
		}
		return sum
	}
	low, high := 0.0, float64(by-asOf)
	for fill(high) < mean && high < 1e6 {
		high *= 2
	}
	for range 60 {
		if mid := (low + high) / 2; fill(mid) < mean {
			low = mid
		} else {
			high = mid
		}
	}
	fill(high)
	return at
}

// through is the chance up to a point between two days, days in equal parts.
func through(sums []float64, at float64) float64 {
	whole := math.Floor(at)
	i := int(whole)
	switch {
	case i < 0:
		return 0
	case i >= len(sums)-1:
		return sums[len(sums)-1]
	}
	return sums[i] + (at-whole)*(sums[i+1]-sums[i])
}
