package stats

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Components is a one-way random-effects analysis of lots on a bed. Variances are in the values' unit squared.
type Components struct {
	Lots              int      `json:"lots"`
	N                 int      `json:"n"`
	DFBetween         int      `json:"dfBetween"`
	DFWithin          int      `json:"dfWithin"`
	MSBetween         Maybe    `json:"msBetween"`
	MSWithin          Maybe    `json:"msWithin"`
	F                 Maybe    `json:"f"`
	N0                Maybe    `json:"n0"` // effective lot size
	VarWithin         Maybe    `json:"varWithin"`
	VarBetweenRaw     Maybe    `json:"varBetweenRaw"` // may be negative: then there is no sign of a difference between lots
	VarBetween        Maybe    `json:"varBetween"`    // never below 0; what is shown
	NegativeComponent bool     `json:"negativeComponent"`
	ShareBetween      Maybe    `json:"shareBetween"` // VarBetween over VarBetween + VarWithin, the ICC with negatives shown as 0
	ICC               Maybe    `json:"icc"`          // (MSB-MSW)/(MSB+(n0-1)MSW), may be negative
	ICCInterval       Interval `json:"iccInterval"`  // exact for lots of equal n; for unequal n the same formula with n0, approximate
	P                 Maybe    `json:"p"`            // of F, for no difference between lots
}

// VarianceComponents splits the spread of a bed into between lots and within lots by the ANOVA method for unequal lots:
// s2_between = (MSB-MSW)/n0 with n0 = (N - sum n_i^2/N)/(k-1) (Searle, Casella and McCulloch 1992, ch. 3). Empty lots are
// left out. Mean squares are unknown for fewer than two lots (no between) or when no lot has two values (no within); when
// nothing varies within, F is unknown. ANOVA and REML differ on unequal lots; this is ANOVA throughout.
func VarianceComponents(lots [][]float64, level float64) Components {
	var c Components
	var sum, ssWithin, squaresOfN float64
	var summaries []Summary
	for _, x := range lots {
		s := Summarize(x)
		if s.N == 0 {
			continue
		}
		summaries = append(summaries, s)
		c.N += s.N
		squaresOfN += float64(s.N * s.N)
		sum += s.Mean.X * float64(s.N)
		ssWithin += s.SD.X * s.SD.X * float64(s.N-1)
	}
	c.Lots = len(summaries)
	if c.Lots == 0 {
		return c
	}
	c.DFBetween, c.DFWithin = c.Lots-1, c.N-c.Lots
	grand, ssBetween := sum/float64(c.N), 0.0
	for _, s := range summaries {
		d := s.Mean.X - grand
		ssBetween += float64(s.N) * d * d
	}
	if c.DFWithin > 0 {
		c.MSWithin = Sure(ssWithin / float64(c.DFWithin))
		c.VarWithin = c.MSWithin
	}
	if c.DFBetween > 0 {
		c.MSBetween = Sure(ssBetween / float64(c.DFBetween))
		c.N0 = Sure((float64(c.N) - squaresOfN/float64(c.N)) / float64(c.DFBetween))
	}
	if !c.MSWithin.Known || !c.MSBetween.Known {
		return c
	}
	msb, msw, n0 := c.MSBetween.X, c.MSWithin.X, c.N0.X
	c.VarBetweenRaw = Sure((msb - msw) / n0)
	c.VarBetween = Sure(math.Max(0, c.VarBetweenRaw.X))
	c.NegativeComponent = c.VarBetweenRaw.X < 0
	if total := c.VarBetween.X + msw; total > 0 {
		c.ShareBetween = Sure(c.VarBetween.X / total)
	}
	if down := msb + (n0-1)*msw; down > 0 {
		c.ICC = Sure((msb - msw) / down)
	}
	if msw > 0 {
		c.F = Sure(msb / msw)
		f := distuv.F{D1: float64(c.DFBetween), D2: float64(c.DFWithin)}
		c.P = Sure(f.Survival(c.F.X))
		if goodLevel(level) {
			low := c.F.X / f.Quantile((1+level)/2)
			high := c.F.X / f.Quantile((1-level)/2)
			c.ICCInterval = Between((low-1)/(low+n0-1), (high-1)/(high+n0-1))
		}
	}
	return c
}
