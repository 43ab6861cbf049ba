package stats

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Curve is a growth curve y = F(x; b) with a way to start its fit.
type Curve struct {
	Name       string
	Parameters int
	F          func(x float64, b []float64) float64
	// Start guesses parameters from data; ok is false when the data do not grow.
	Start func(x, y []float64) (b []float64, ok bool)
}

// Logistic is b0/(1+exp(b1-b2 x)): asymptote b0, pace b2 (Verhulst 1838; Ratkowsky 1983).
var Logistic = Curve{Name: "logistic", Parameters: 3,
	F: func(x float64, b []float64) float64 { return b[0] / (1 + math.Exp(b[1]-b[2]*x)) },
	Start: func(x, y []float64) ([]float64, bool) {
		return startFrom(x, y, func(share float64) float64 { return math.Log(1/share - 1) })
	}}

// Gompertz is b0 exp(-b1 exp(-b2 x)) (Gompertz 1825; Winsor 1932). On young data its asymptote may lie far above the
// logistic's: show both, as what is not known.
var Gompertz = Curve{Name: "Gompertz", Parameters: 3,
	F: func(x float64, b []float64) float64 { return b[0] * math.Exp(-b[1]*math.Exp(-b[2]*x)) },
	Start: func(x, y []float64) ([]float64, bool) {
		b, ok := startFrom(x, y, func(share float64) float64 { return math.Log(-math.Log(share)) })
		if ok {
			b[1] = math.Exp(b[1])
		}
		return b, ok
	}}

// startFrom lays a line through the turned data below an asymptote a little above the largest value.
func startFrom(x, y []float64, turn func(share float64) float64) ([]float64, bool) {
	top := Summarize(y).Max.X * 1.05
	if !(top > 0) {
		return nil, false
	}
	var lx, ly []float64
	for i := range y {
		if y[i] > 0 {
			lx, ly = append(lx, x[i]), append(ly, turn(y[i]/top))
		}
	}
	a, b, _, _, ok := line(lx, ly)
	return []float64{top, a, -b}, ok && b < 0
}

// Fit is a curve fitted by least squares.
type Fit struct {
	Curve      string
	B          []float64
	SE         []float64 // empty when there is no degree of freedom
	RSS        float64
	ResidualSD Maybe // in the unit of y
	DF         int
	f          func(x float64, b []float64) float64
	inverse    *mat.Dense // (J'J)^-1
}

// ErrNoFit says that no curve could be fitted; the bed's mean pace is then the better forecast.
var ErrNoFit = fmt.Errorf("%w: the curve could not be fitted to these values", ErrInput)

// FitCurve fits c to y at x by Marquardt's method (Marquardt 1963, J. SIAM 11:431) on gonum/mat, from start, or from a guess
// of the curve's own when start is nil. Own code: gonum has no least-squares fitter, and its Nelder-Mead stops far from the
// certified values of NIST's harder sets without an error. It needs as many distinct values as parameters; with exactly as
// many there are no standard errors and no interval. Pairs with a missing half are left out. A fit that does not settle is
// ErrNoFit, never a number.
func FitCurve(c Curve, x, y, start []float64) (Fit, error) {
	var kx, ky []float64
	for i := range min(len(x), len(y)) {
		if Sure(x[i]).Known && Sure(y[i]).Known {
			kx, ky = append(kx, x[i]), append(ky, y[i])
		}
	}
	if len(kx) < c.Parameters {
		return Fit{}, fmt.Errorf("%w: %d values for %d parameters", ErrNoFit, len(kx), c.Parameters)
	}
	if start == nil {
		guess, ok := c.Start(kx, ky)
		if !ok {
			return Fit{}, fmt.Errorf("%w: they do not grow", ErrNoFit)
		}
		start = guess
	}
	if len(start) != c.Parameters {
		return Fit{}, fmt.Errorf("%w: %d starting values for %d parameters", ErrNoFit, len(start), c.Parameters)
	}
	m := marquardt{f: c.F, x: kx, y: ky}
	b, ok := m.descend(append([]float64{}, start...))
	if !ok {
		return Fit{}, ErrNoFit
	}
	fit := Fit{Curve: c.Name, B: b, RSS: m.rss(b), DF: len(kx) - c.Parameters, f: c.F}
	j := m.jacobian(b)
	var normal, inverse mat.Dense
	normal.Mul(j.T(), j)
	if err := inverse.Inverse(&normal); err != nil {
		if _, poor := err.(mat.Condition); !poor {
			return Fit{}, ErrNoFit
		}
	}
	fit.inverse = &inverse
	if fit.DF > 0 {
		s := math.Sqrt(fit.RSS / float64(fit.DF))
		fit.ResidualSD = Sure(s)
		for i := range b {
			fit.SE = append(fit.SE, s*math.Sqrt(math.Max(0, inverse.At(i, i))))
		}
	}
	return fit, nil
}

// At is the curve's height at x.
func (f Fit) At(x float64) float64 { return f.f(x, f.B) }

// Predict is the interval for one new value at x: y +- t sqrt(g'Vg + s^2), V = s^2 (J'J)^-1, g the slope of the curve in its
// parameters (Bates and Watts 1988, sec. 2.3). Unknown without a degree of freedom.
func (f Fit) Predict(x, level float64) Estimate { return f.interval(x, level, 1) }

// MeanAt is the interval for the curve itself at x, without the scatter of single values.
func (f Fit) MeanAt(x, level float64) Estimate { return f.interval(x, level, 0) }

func (f Fit) interval(x, level, scatter float64) Estimate {
	e := Estimate{Value: Sure(f.At(x)), N: f.DF + len(f.B)}
	if !f.ResidualSD.Known || !goodLevel(level) {
		return e
	}
	g := mat.NewVecDense(len(f.B), slopeIn(f.f, x, f.B))
	s := f.ResidualSD.X
	variance := s * s * (scatter + math.Max(0, mat.Inner(g, f.inverse, g)))
	half := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(f.DF)}.Quantile((1+level)/2) * math.Sqrt(variance)
	e.Interval = Between(e.Value.X-half, e.Value.X+half)
	return e
}
