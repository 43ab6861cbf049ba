package stats

import "math"

// Severity sums up classes of severity 0, 1, 2 ... counted over pots.
type Severity struct {
	N                 int   `json:"n"`
	Incidence         Maybe `json:"incidence"`         // share of pots above class 0
	MeanClass         Maybe `json:"meanClass"`         // over all pots
	MeanClassAffected Maybe `json:"meanClassAffected"` // over pots above class 0; unknown when there is none
	Index             Maybe `json:"index"`             // McKinney's, 0 to 100
}

// SeverityOf takes the number of pots in class 0, 1, ..., k and gives McKinney's index 100 sum(class count)/(n k) (McKinney
// 1923, J. Agric. Res. 26:195, recalled from memory). Unknown without a pot, with a negative count, or with class 0 alone on
// the scale.
func SeverityOf(counts []int) Severity {
	var s Severity
	weighted := 0
	for class, c := range counts {
		if c < 0 {
			return Severity{}
		}
		s.N += c
		weighted += class * c
	}
	if s.N == 0 || len(counts) < 2 {
		return s
	}
	n, top := float64(s.N), float64(len(counts)-1)
	affected := s.N - counts[0]
	s.Incidence = Sure(float64(affected) / n)
	s.MeanClass = Sure(float64(weighted) / n)
	s.Index = Sure(100 * float64(weighted) / (n * top))
	if affected > 0 {
		s.MeanClassAffected = Sure(float64(weighted) / float64(affected))
	}
	return s
}

// OrdinalSpread tells how pots lie over ordered classes, all three 0 when all share one class.
type OrdinalSpread struct {
	Cumulative []float64 `json:"cumulative"`
	Leik       Maybe     `json:"leik"`      // 1 when half stand at each end of the scale (Leik 1966)
	BlairLacy  Maybe     `json:"blairLacy"` // same meaning, by Euclidean distance (Blair and Lacy 2000)
	IQV        Maybe     `json:"iqv"`       // index of qualitative variation: 1 when all classes are equally full
}

// OrdinalSpreadOf measures the spread of counts over ordered classes: with F_i the cumulative shares of all classes but the
// last, Leik's D = 2 sum min(F, 1-F)/(k-1), Blair and Lacy's 1-l = 1 - sqrt(sum (F-1/2)^2 / ((k-1)/4)), IQV =
// k/(k-1) (1 - sum p^2). Unknown without a pot or with a single class.
func OrdinalSpreadOf(counts []int) OrdinalSpread {
	var o OrdinalSpread
	n := 0
	for _, c := range counts {
		if c < 0 {
			return o
		}
		n += c
	}
	k := len(counts)
	if n == 0 || k < 2 {
		return o
	}
	sum, leik, away, squares := 0, 0.0, 0.0, 0.0
	for i, c := range counts {
		sum += c
		f := float64(sum) / float64(n)
		o.Cumulative = append(o.Cumulative, f)
		p := float64(c) / float64(n)
		squares += p * p
		if i < k-1 {
			leik += math.Min(f, 1-f)
			away += (f - 0.5) * (f - 0.5)
		}
	}
	steps := float64(k - 1)
	o.Leik = Sure(2 * leik / steps)
	o.BlairLacy = Sure(1 - math.Sqrt(away/(steps/4)))
	o.IQV = Sure(float64(k) / steps * (1 - squares))
	return o
}
