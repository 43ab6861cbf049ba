package stats

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
