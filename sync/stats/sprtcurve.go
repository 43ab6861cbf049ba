package stats

import "math"

// WaldCurve is Wald's approximate operating curve at a true share p: the probability of calling it low and the average
// number of pots. L = (A^h-1)/(A^h-B^h) with p = (1-q^h)/(r^h-q^h), ASN = (L ln B + (1-L) ln A) / (p ln(p1/p0) + (1-p)
// ln((1-p1)/(1-p0))) (Wald 1947, ch. 5). It leaves out the overshoot and the plan's least and most n; OperateExactly does
// not. Unknown for p outside (0, 1).
func (s SPRT) WaldCurve(p float64) (low, pots Maybe) {
	if !(p > 0 && p < 1) {
		return Maybe{}, Maybe{}
	}
	r, q := math.Log(s.P1/s.P0), math.Log((1-s.P1)/(1-s.P0))
	up, down := math.Log((1-s.Beta)/s.Alpha), math.Log(s.Beta/(1-s.Alpha))
	if math.Abs(p-s.Slope) < 1e-9 {
		return Sure(s.High / (s.Low + s.High)), Sure(s.Low * s.High / (s.Slope * (1 - s.Slope)))
	}
	// p falls as h rises; log-ratios keep large h from overflowing.
	at := func(h float64) float64 { return math.Expm1(h*q) / (math.Expm1(h*q) - math.Expm1(h*r)) }
	sign := 1.0
	if p > s.Slope {
		sign = -1
	}
	reach := 1.0
	for math.Abs(at(sign*reach)-s.Slope) < math.Abs(p-s.Slope) && reach < 512 {
		reach *= 2
	}
	a, b := 1e-9*sign, reach*sign
	h, ok := bisect(func(h float64) float64 { return p - at(h) }, math.Min(a, b), math.Max(a, b))
	if !ok {
		return Maybe{}, Maybe{}
	}
	l := math.Expm1(h*up) / (math.Exp(h*up) - math.Exp(h*down))
	return Sure(l), Sure((l*down + (1-l)*up) / (p*r + (1-p)*q))
}

// Operation is how a truncated plan behaves at one true share: the chances of its three ends and the mean number of pots.
type Operation struct {
	Low       float64 `json:"low"`
	High      float64 `json:"high"`
	Undecided float64 `json:"undecided"`
	Pots      float64 `json:"pots"`
}

// OperateExactly walks the truncated plan by dynamic programme over (n, count) for pots drawn independently with share p:
// no approximation beyond float64. The plan needs a Most above 0; without one ok is false.
func (s SPRT) OperateExactly(p float64) (o Operation, ok bool) {
	if s.Most < 1 || !(p >= 0 && p <= 1) {
		return Operation{}, false
	}
	going := make([]float64, s.Most+2)
	going[0] = 1
	for n := 1; n <= s.Most; n++ {
		for c := n; c >= 0; c-- {
			was := going[c]
			o.Pots += was
			going[c] = was * (1 - p)
			if c > 0 {
				going[c] += going[c-1] * p
			}
		}
		for c := 0; c <= n; c++ {
			switch s.Decide(n, c) {
			case CallLow:
				o.Low += going[c]
				going[c] = 0
			case CallHigh:
				o.High += going[c]
				going[c] = 0
			}
		}
	}
	for _, w := range going {
		o.Undecided += w
	}
	return o, true
}
