package stats

import (
	"math"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Summary holds count, mean and standard deviation (divisor n-1) of one lot's values, in the values' own unit.
type Summary struct {
	N       int   `json:"n"`
	Missing int   `json:"missing"`
	Mean    Maybe `json:"mean"`
	SD      Maybe `json:"sd"`
	Min     Maybe `json:"min"`
	Max     Maybe `json:"max"`
}

// Summarize counts, averages and measures the spread of x. With no value nothing is known; with one the mean is known and
// the SD is not. The sums are gonum's two-pass ones with correction (Chan, Golub and LeVeque 1983), which keep the digits
// when the mean is large beside the spread.
func Summarize(x []float64) Summary {
	kept, missing := taken(x)
	s := Summary{N: len(kept), Missing: missing}
	if s.N == 0 {
		return s
	}
	s.Min, s.Max = Sure(kept[0]), Sure(kept[0])
	for _, v := range kept {
		s.Min.X, s.Max.X = math.Min(s.Min.X, v), math.Max(s.Max.X, v)
	}
	if s.Min.X == s.Max.X {
		// Equal values must give a spread of exactly zero; rounding in the mean would leave a trace of one.
		s.Mean = s.Min
		if s.N > 1 {
			s.SD = Sure(0)
		}
		return s
	}
	mean, variance := stat.MeanVariance(kept, nil)
	s.Mean, s.SD = Sure(mean), Sure(math.Sqrt(variance))
	return s
}

// MeanInterval is the t interval of the mean of a bed of bed pots (0: no end) of which x were looked at: mean +- t(n-1) s
// sqrt((1-n/N)/n) (Cochran 1977, eq. 2.20). It is unknown for fewer than two values, and has no width when every pot was
// looked at. n over N is an impossible bed and gives unknown.
func MeanInterval(x []float64, bed int, level float64) Estimate {
	s := Summarize(x)
	e := Estimate{Value: s.Mean, N: s.N, Missing: s.Missing}
	half, ok := meanHalfWidth(s, bed, level)
	if ok {
		e.Interval = Between(s.Mean.X-half, s.Mean.X+half)
	}
	return e
}

func meanHalfWidth(s Summary, bed int, level float64) (float64, bool) {
	if !s.SD.Known || !goodLevel(level) || (bed > 0 && s.N > bed) {
		return 0, false
	}
	n := float64(s.N)
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: n - 1}.Quantile((1 + level) / 2)
	return t * s.SD.X * math.Sqrt(unseen(s.N, bed)/n), true
}

// unseen is the finite-population factor 1-n/N, the share of the bed not looked at; 1 for a bed without end.
func unseen(n, bed int) float64 {
	if bed <= 0 {
		return 1
	}
	return math.Max(0, 1-float64(n)/float64(bed))
}
