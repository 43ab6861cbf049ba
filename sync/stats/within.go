package stats

import "math"

// Pooled is the spread within the lots of a bed, the differences between the lots' means left out.
type Pooled struct {
	N            int      `json:"n"`
	Missing      int      `json:"missing"`
	Lots         int      `json:"lots"` // lots with at least two values and a CV
	DF           int      `json:"df"`
	SD           Maybe    `json:"sd"`           // sqrt of the mean square within, in the values' unit
	GrandMean    Maybe    `json:"grandMean"`    // mean of all values of those lots
	CV           Maybe    `json:"cv"`           // lots' CVs pooled by degrees of freedom: the product's form
	Corrected    Maybe    `json:"cvCorrected"`  // CV with the small-sample correction for DF+1 values
	CVOfMeans    Maybe    `json:"cvOfMeans"`    // SD over GrandMean: the textbook form, beside it
	Interval     Interval `json:"interval"`     // of CV
	TooFewInLots int      `json:"tooFewInLots"` // lots left out for want of a second value or of a CV
}

// PoolWithin pools the CVs of lots: sqrt(sum((n_i-1) cv_i^2) / sum(n_i-1)), which asks of each pot how far it stands from its
// own lot's mean, so that two even cultivars of different size stay even. Beside it stands sqrt(MSW) over the grand mean (one
// SD for all lots). The interval is Vangel's for DF+1 values, which for one lot is exactly that lot's; for several it is an
// extension of our own (no source), whose coverage the tests measure; it holds where the lots are equally uneven. Lots of one pot tell nothing and are counted apart.
func PoolWithin(lots [][]float64, level float64) Pooled {
	var p Pooled
	var squares, cvSquares, sum float64
	used := 0
	for _, x := range lots {
		s := SpreadOf(x, level)
		p.N += s.N
		p.Missing += s.Missing
		if !s.CV.Known {
			if s.N > 0 {
				p.TooFewInLots++
			}
			continue
		}
		p.Lots++
		used += s.N
		df := float64(s.N - 1)
		p.DF += s.N - 1
		squares += float64(df * float64(s.SD.X*s.SD.X))
		cvSquares += float64(df * float64(s.CV.X*s.CV.X))
		sum += float64(float64(s.N) * s.Mean.X)
	}
	if p.DF == 0 {
		return p
	}
	df := float64(p.DF)
	p.SD = Sure(math.Sqrt(squares / df))
	p.GrandMean = Sure(sum / float64(used))
	p.CV = Sure(math.Sqrt(cvSquares / df))
	p.Corrected = Sure(CorrectCV(p.CV.X, p.DF+1))
	p.CVOfMeans = Sure(p.SD.X / p.GrandMean.X)
	p.Interval = VangelInterval(p.CV.X, p.DF+1, level)
	return p
}
