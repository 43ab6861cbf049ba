package schedule

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// WorthLots is how many lots the length that was there before counts for beside a grower's own lots. An assumption of this project.
const WorthLots = 4

// Learned is a length as one's own lots make it: the days of which 10, 50 and 90 % of lots take less.
type Learned struct{ Day10, Median, Day90 float64 }

// Learn weighs what own lots took (days, each at least 1) against the length that was there before, which counts for WorthLots lots. The
// median is that of ln days, weighted; the scale of each side is that of before, times sqrt((WorthLots + sum z^2)/(WorthLots + n)) with z
// the own lots' distances from the median in scales of their side; the points are those of Student's t with WorthLots + n degrees of
// freedom. Days are whole, so no side is narrower than half a day.
func (l Length) Learn(own []int) Learned {
	m := float64(l.Likely)
	quick, slow := l.scales()
	n := WorthLots + float64(len(own))
	sum := WorthLots * math.Log(m)
	for _, d := range own {
		sum += math.Log(float64(d))
	}
	mid := sum / n
	squares := 0.0
	for _, d := range own {
		z := math.Log(float64(d)) - mid
		if z < 0 {
			z /= quick
		} else {
			z /= slow
		}
		squares += z * z
	}
	wide := math.Sqrt((WorthLots+squares)/n) * distuv.StudentsT{Sigma: 1, Nu: n}.Quantile(0.9)
	return Learned{math.Exp(mid - wide*quick), math.Exp(mid), math.Exp(mid + wide*slow)}
}

// Length is what was learned in whole days, in order.
func (l Learned) Length() Length {
	whole := func(days float64) int { return max(1, int(math.Round(days))) }
	return Length{whole(l.Day10), whole(l.Median), whole(l.Day90)}
}
