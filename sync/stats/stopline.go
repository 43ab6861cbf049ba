package stats

import (
	"math"

	"gonum.org/v1/gonum/stat"
)

// line is ordinary least squares with the slope's standard error.
func line(x, y []float64) (a, b float64, seB, r2 Maybe, ok bool) {
	sx := Summarize(x)
	if !sx.SD.Known || sx.SD.X == 0 {
		return 0, 0, Maybe{}, Maybe{}, false
	}
	a, b = stat.LinearRegression(x, y, nil, false)
	rss := 0.0
	for i := range x {
		e := y[i] - a - b*x[i]
		rss += e * e
	}
	n := float64(len(x))
	if n > 2 {
		seB = Sure(math.Sqrt(rss/(n-2)) / (sx.SD.X * math.Sqrt(n-1)))
	}
	if sy := Summarize(y); sy.SD.X > 0 {
		r2 = Sure(1 - rss/(sy.SD.X*sy.SD.X*(n-1)))
	}
	return a, b, seB, r2, true
}
