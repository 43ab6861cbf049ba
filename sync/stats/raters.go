package stats

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// ICCs are the six intraclass correlations of Shrout and Fleiss: form 1 each pot by other scouts, 2 the same scouts as a
// sample of scouts (the product's: does any scout do?), 3 these scouts only; the K forms for the mean of all K scouts.
type ICCs struct {
	Pots     int      `json:"pots"`
	Scouts   int      `json:"scouts"`
	MSPots   Maybe    `json:"msPots"`
	MSScouts Maybe    `json:"msScouts"`
	MSError  Maybe    `json:"msError"`
	MSWithin Maybe    `json:"msWithin"`
	One      Estimate `json:"one"`
	Two      Estimate `json:"two"`
	Three    Estimate `json:"three"`
	OneK     Estimate `json:"oneK"`
	TwoK     Estimate `json:"twoK"`
	ThreeK   Estimate `json:"threeK"`
	LeftOut  int      `json:"leftOut"` // pots not scored by every scout
}

// ICCsOf computes all six forms with their intervals from scores[pot][scout] (Shrout and Fleiss 1979, Psychol. Bull.
// 86:420-428). A pot with a missing score is left out. Unknown for fewer than two complete pots or two scouts, or when the
// scores do not vary. Where the error mean square is 0 (one scout reads by a constant more) forms 1 and 2 keep their intervals,
// that of form 2 in its limit of k-1 degrees of freedom; form 3 has none, and nor has any form when all agree to the digit.
func ICCsOf(scores [][]float64, level float64) ICCs {
	var c ICCs
	var rows [][]float64
	for _, pot := range scores {
		kept, missing := taken(pot)
		if missing > 0 || len(rows) > 0 && len(kept) != len(rows[0]) {
			c.LeftOut++
			continue
		}
		rows = append(rows, kept)
	}
	c.Pots = len(rows)
	if c.Pots > 0 {
		c.Scouts = len(rows[0])
	}
	if c.Pots < 2 || c.Scouts < 2 {
		return c
	}
	n, k := float64(c.Pots), float64(c.Scouts)
	grand, scouts := 0.0, make([]float64, c.Scouts)
	for _, r := range rows {
		for j, v := range r {
			grand += v / (n * k)
			scouts[j] += v / n
		}
	}
	var total, pots, between float64
	for _, r := range rows {
		d := Summarize(r).Mean.X - grand
		pots += k * d * d
		for _, v := range r {
			total += (v - grand) * (v - grand)
		}
	}
	for _, m := range scouts {
		between += n * (m - grand) * (m - grand)
	}
	bms, jms := pots/(n-1), between/(k-1)
	wms := (total - pots) / (n * (k - 1))
	ems := math.Max(0, total-pots-between) / ((n - 1) * (k - 1))
	if ems < 1e-12*total {
		ems = 0 // what is left of it is rounding, and would come and go with the order of the scouts
	}
	c.MSPots, c.MSScouts, c.MSError, c.MSWithin = Sure(bms), Sure(jms), Sure(ems), Sure(wms)
	if total == 0 {
		return c
	}
	value := func(top, bottom float64) Estimate {
		return Estimate{Value: Sure(top / bottom), N: c.Pots, Missing: c.LeftOut}
	}
	c.One = value(bms-wms, bms+(k-1)*wms)
	c.Two = value(bms-ems, bms+(k-1)*ems+k*(jms-ems)/n)
	c.Three = value(bms-ems, bms+(k-1)*ems)
	c.OneK = value(bms-wms, bms)
	c.TwoK = value(bms-ems, bms+(jms-ems)/n)
	c.ThreeK = value(bms-ems, bms)
	c.intervals(n, k, bms, jms, ems, wms, level)
	return c
}

func (c *ICCs) intervals(n, k, bms, jms, ems, wms, level float64) {
	if !goodLevel(level) || bms == 0 {
		return
	}
	upper := (1 + level) / 2
	f := func(d1, d2 float64) float64 { return distuv.F{D1: d1, D2: d2}.Quantile(upper) }
	fromRatio := func(ratio, d2 float64) (one, mean Interval) {
		low, high := ratio/f(n-1, d2), ratio*f(d2, n-1)
		return Between((low-1)/(low+k-1), (high-1)/(high+k-1)), Between(1-1/low, 1-1/high)
	}
	if wms > 0 {
		c.One.Interval, c.OneK.Interval = fromRatio(bms/wms, n*(k-1))
	}
	// The form-2 interval weighs scouts' spread by Satterthwaite's degrees of freedom (Shrout and Fleiss 1979, p. 424).
	v := k - 1
	if ems > 0 {
		c.Three.Interval, c.ThreeK.Interval = fromRatio(bms/ems, (n-1)*(k-1))
		rho, fj := c.Two.Value.X, jms/ems
		mix := n*(1+(k-1)*rho) - k*rho
		top := k*rho*fj + mix
		v = (k - 1) * (n - 1) * top * top / ((n-1)*k*k*rho*rho*fj*fj + mix*mix)
	}
	if !(v > 0) || jms+ems == 0 {
		return
	}
	up, down := f(n-1, v), f(v, n-1)
	rest := k*jms + (k*n-k-n)*ems
	low := n * (bms - up*ems) / (up*rest + n*bms)
	high := n * (down*bms - ems) / (rest + n*down*bms)
	c.Two.Interval = Between(low, high)
	c.TwoK.Interval = Between(low*k/(1+low*(k-1)), high*k/(1+high*(k-1)))
}

// Paired is how two scouts' measures of the same pots differ (first less second, in the unit measured).
type Paired struct {
	N           int      `json:"n"`
	Missing     int      `json:"missing"`
	Bias        Estimate `json:"bias"`
	SD          Maybe    `json:"sd"`
	Limits      Interval `json:"limits"`      // bias +- z SD: where differences of single pots lie
	LimitLow    Interval `json:"limitLow"`    // interval of the lower limit
	LimitHigh   Interval `json:"limitHigh"`   // interval of the upper limit
	Concordance Maybe    `json:"concordance"` // Lin's, with 1/n moments
	Correlation Maybe    `json:"correlation"`
}

// PairsOf compares two scouts: bias and limits of agreement bias +- z SD with z for the level (1.96 at 95 %) and their
// intervals, SE^2 = SD^2 (1/n + z^2/(2(n-1))) (Bland and Altman 1986, 1999), Lin's concordance 2 s_ab/(s_a^2 + s_b^2 + (m_a -
// m_b)^2) (Lin 1989). A pair with a missing half is left out and counted. One pair has a bias and nothing else; correlation
// and concordance are unknown when both do not vary. ok is false for unequal lengths.
func PairsOf(first, second []float64, level float64) (p Paired, ok bool) {
	if len(first) != len(second) {
		return p, false
	}
	var a, b, d []float64
	for i := range first {
		if !Sure(first[i]).Known || !Sure(second[i]).Known {
			p.Missing++
			continue
		}
		a, b, d = append(a, first[i]), append(b, second[i]), append(d, first[i]-second[i])
	}
	p.N = len(d)
	p.Bias = MeanInterval(d, 0, level)
	p.Bias.Missing = p.Missing
	s := Summarize(d)
	p.SD = s.SD
	if !s.SD.Known || !goodLevel(level) {
		return p, true
	}
	n, z := float64(p.N), zOf(level)
	p.Limits = Between(s.Mean.X-z*s.SD.X, s.Mean.X+z*s.SD.X)
	half := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: n - 1}.Quantile((1+level)/2) * s.SD.X * math.Sqrt(1/n+z*z/(2*(n-1)))
	p.LimitLow = Between(p.Limits.Low-half, p.Limits.Low+half)
	p.LimitHigh = Between(p.Limits.High-half, p.Limits.High+half)
	sa, sb := Summarize(a), Summarize(b)
	cross := 0.0
	for i := range a {
		cross += (a[i] - sa.Mean.X) * (b[i] - sb.Mean.X) / n
	}
	shrink := (n - 1) / n
	va, vb := shrink*sa.SD.X*sa.SD.X, shrink*sb.SD.X*sb.SD.X
	if va > 0 && vb > 0 {
		p.Correlation = Sure(cross / math.Sqrt(va*vb))
	}
	if va+vb > 0 {
		p.Concordance = Sure(2 * cross / (va + vb + s.Mean.X*s.Mean.X))
	}
	return p, true
}
