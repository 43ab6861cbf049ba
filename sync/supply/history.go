package supply

import "math"

// Graded is how many pots of an earlier lot were in a grade or a better one, Of those that were graded.
type Graded struct{ In, Of int }

// leastLots is how many earlier lots it takes to say how lots differ. An assumption, no source.
const leastLots = 4

// FromEarlier is the distribution of a lot's share in grade from earlier lots, by the method of moments; false with fewer than four
// lots, or where they differ so much that no such distribution fits. Lots without any spread are taken to differ by half a pot.
func FromEarlier(lots []Graded) (Beta, bool) {
	if len(lots) < leastLots {
		return Beta{}, false
	}
	n := float64(len(lots))
	mean, of := 0.0, 0.0
	for _, l := range lots {
		mean += float64(l.In) / float64(l.Of) / n
		of += float64(l.Of) / n
	}
	variance := 0.0
	for _, l := range lots {
		variance += math.Pow(float64(l.In)/float64(l.Of)-mean, 2) / (n - 1)
	}
	mean = min(max(mean, 0.5/of), 1-0.5/of)
	variance = max(variance, math.Pow(0.5/of, 2))
	both := mean*(1-mean)/variance - 1
	if both <= 0 {
		return Beta{}, false
	}
	return Beta{mean * both, (1 - mean) * both}, true
}
