package stats

import (
	"math"

	"gonum.org/v1/gonum/stat"
)

// PowerLaw is Taylor's relation between variance and mean of counts, variance = A mean^B.
type PowerLaw struct {
	A   float64 `json:"a"`
	B   float64 `json:"b"`
	SEB Maybe   `json:"seB"` // standard error of B; unknown for two points
	R2  Maybe   `json:"r2"`  // unknown when all variances are equal
	N   int     `json:"n"`
}

// TaylorFit fits the power law by least squares on logarithms (Taylor 1961, Nature 189:732). Pairs whose mean or variance is
// not above 0 have no logarithm and are left out; ok is false for fewer than two usable pairs or equal means.
func TaylorFit(means, variances []float64) (p PowerLaw, ok bool) {
	var x, y []float64
	for i := range min(len(means), len(variances)) {
		if means[i] > 0 && variances[i] > 0 {
			x, y = append(x, math.Log(means[i])), append(y, math.Log(variances[i]))
		}
	}
	a, b, seB, r2, ok := line(x, y)
	return PowerLaw{A: math.Exp(a), B: b, SEB: seB, R2: r2, N: len(x)}, ok
}

// Patchiness is Iwao's regression of Lloyd's mean crowding on the mean, crowding = Alpha + Beta mean.
type Patchiness struct {
	Alpha float64 `json:"alpha"`
	Beta  float64 `json:"beta"`
	R2    Maybe   `json:"r2"`
}

// IwaoFit fits crowding m + s^2/m - 1 on m (Iwao 1968, Res. Popul. Ecol. 10:1). Means of 0 are left out.
func IwaoFit(means, variances []float64) (p Patchiness, ok bool) {
	var x, y []float64
	for i := range min(len(means), len(variances)) {
		if means[i] > 0 {
			x, y = append(x, means[i]), append(y, means[i]+variances[i]/means[i]-1)
		}
	}
	a, b, _, r2, ok := line(x, y)
	return Patchiness{Alpha: a, Beta: b, R2: r2}, ok
}

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

// GreenStop is the running total at which n pots have reached a fixed precision d = SE/mean: (d^2/a)^(1/(b-2))
// n^((b-1)/(b-2)) (Green 1970, Res. Popul. Ecol. 12:249-251). At b = 2 no such line exists.
func (p PowerLaw) GreenStop(d float64, n int) Maybe {
	if p.B == 2 || !(d > 0 && p.A > 0) || n < 1 {
		return Maybe{}
	}
	return Sure(math.Pow(d*d/p.A, 1/(p.B-2)) * math.Pow(float64(n), (p.B-1)/(p.B-2)))
}

// Need is the n for precision d = SE/mean at the given mean: a m^(b-2)/d^2 (Green 1970). Multiply by z^2 to have d mean the
// half-width of the interval instead; the two definitions differ by 3.84 at 95 %.
func (p PowerLaw) Need(d, mean float64) Maybe {
	if !(d > 0 && mean > 0 && p.A > 0) {
		return Maybe{}
	}
	return Sure(p.A * math.Pow(mean, p.B-2) / (d * d))
}

// DecisionLines are Iwao's sequential limits around a critical mean at n pots: n m +- z sqrt(n ((alpha+1) m + (beta-1) m^2))
// (Iwao 1975, Res. Popul. Ecol. 16:281-288), for the running total. Unknown when the variance would be negative.
func (p Patchiness) DecisionLines(critical float64, n int, level float64) Interval {
	variance := (p.Alpha+1)*critical + (p.Beta-1)*critical*critical
	if n < 1 || variance < 0 || !goodLevel(level) {
		return Interval{}
	}
	middle, half := float64(n)*critical, zOf(level)*math.Sqrt(float64(n)*variance)
	return Between(middle-half, middle+half)
}

// DecisionMost is the n at which the mean is known within d of the critical mean: sampling longer cannot help the decision
// (Iwao 1975).
func (p Patchiness) DecisionMost(critical, d, level float64) Maybe {
	variance := (p.Alpha+1)*critical + (p.Beta-1)*critical*critical
	if !(critical > 0 && d > 0) || variance < 0 || !goodLevel(level) {
		return Maybe{}
	}
	z := zOf(level)
	return Sure(z * z * variance / (d * d * critical * critical))
}

// KunoStop is the running total at which n pots have reached precision d = SE/mean: (alpha+1)/(d^2 - (beta-1)/n) (Kuno 1969,
// Res. Popul. Ecol. 11:127-136). There is none while n <= (beta-1)/d^2.
func (p Patchiness) KunoStop(d float64, n int) Maybe {
	under := d*d - (p.Beta-1)/float64(n)
	if n < 1 || !(d > 0) || under <= 0 {
		return Maybe{}
	}
	return Sure((p.Alpha + 1) / under)
}

// EnoughForMean says whether the t interval of the mean of x is within rel of it, not before least values.
func EnoughForMean(x []float64, rel float64, least, bed int, level float64) bool {
	s := Summarize(x)
	half, ok := meanHalfWidth(s, bed, level)
	return ok && s.N >= least && half <= rel*math.Abs(s.Mean.X)
}

// EnoughForCV says whether the Vangel interval of x's CV is no wider than width, not before least values.
func EnoughForCV(x []float64, width float64, least int, level float64) bool {
	s := SpreadOf(x, level)
	w := s.Interval.Width()
	return s.N >= least && w.Known && w.X <= width
}
