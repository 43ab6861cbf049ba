package stats

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/floats"
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

// Straight is b0 + b1 x.
var Straight = Curve{Name: "line", Parameters: 2,
	F:     func(x float64, b []float64) float64 { return b[0] + b[1]*x },
	Start: func(_, y []float64) ([]float64, bool) { return []float64{y[0], 1}, true }}

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
	RSS        float64   // weighted
	ResidualSD Maybe     // in the unit of y
	DF         int
	f          func(x float64, b []float64) float64
	inverse    *mat.Dense // (J'J)^-1
}

// ErrNoFit says that no curve could be fitted; the bed's mean pace is then the better forecast.
var ErrNoFit = fmt.Errorf("%w: the curve could not be fitted to these values", ErrInput)

// FitCurve fits c to y at x, each weighted by w (all alike when w is nil), by Marquardt's method (Marquardt 1963, J. SIAM 11:431) on gonum/mat, from start, or from a guess
// of the curve's own when start is nil. Own code: gonum has no least-squares fitter, and its Nelder-Mead stops far from the
// certified values of NIST's harder sets without an error. It needs as many distinct values as parameters; with exactly as
// many there are no standard errors and no interval. Pairs with a missing half are left out. A fit that does not settle is
// ErrNoFit, never a number. Weights are one over the known variances of the values: then the residual SD is that of unit weight and
// taken to be at least 1, since values that happen to lie closer make none of them surer than it is by itself.
func FitCurve(c Curve, x, y, w, start []float64) (Fit, error) {
	var kx, ky, root []float64
	for i := range min(len(x), len(y)) {
		weight := 1.0
		if w != nil {
			weight = w[i]
		}
		if Sure(x[i]).Known && Sure(y[i]).Known && weight > 0 {
			kx, ky, root = append(kx, x[i]), append(ky, y[i]), append(root, math.Sqrt(weight))
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
	m := marquardt{f: c.F, x: kx, y: ky, root: root}
	b, ok := m.best(start)
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
		if w != nil {
			s = math.Max(1, s)
		}
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
	half := f.t(level) * math.Sqrt(variance)
	e.Interval = Between(e.Value.X-half, e.Value.X+half)
	return e
}

// Of is a parameter's interval: b +- t SE; unknown without a degree of freedom.
func (f Fit) Of(parameter int, level float64) Estimate {
	e := Estimate{Value: Sure(f.B[parameter]), N: f.DF + len(f.B)}
	if len(f.SE) > 0 && goodLevel(level) {
		half := f.t(level) * f.SE[parameter]
		e.Interval = Between(e.Value.X-half, e.Value.X+half)
	}
	return e
}

// t is Student's t of a two-sided level with the fit's degrees of freedom.
func (f Fit) t(level float64) float64 {
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(f.DF)}.Quantile((1 + level) / 2)
}

// marquardt descends to the least squares of root (y - f(x; b)), root being the square roots of the weights.
type marquardt struct {
	f          func(x float64, b []float64) float64
	x, y, root []float64
}

func (m marquardt) rss(b []float64) float64 {
	sum := 0.0
	for i, x := range m.x {
		r := m.root[i] * (m.y[i] - m.f(x, b))
		sum += r * r
	}
	return sum
}

// slopeIn is the derivative of f in each parameter by central differences, whose error near the cube root of the float64
// grain leaves ten digits.
func slopeIn(f func(x float64, b []float64) float64, x float64, b []float64) []float64 {
	g := make([]float64, len(b))
	moved := append([]float64{}, b...)
	for j := range b {
		h := 6e-6 * math.Max(math.Abs(b[j]), 1e-8)
		moved[j] = b[j] + h
		up := f(x, moved)
		moved[j] = b[j] - h
		g[j] = (up - f(x, moved)) / (2 * h)
		moved[j] = b[j]
	}
	return g
}

func (m marquardt) jacobian(b []float64) *mat.Dense {
	j := mat.NewDense(len(m.x), len(b), nil)
	for i, x := range m.x {
		row := slopeIn(m.f, x, b)
		floats.Scale(m.root[i], row)
		j.SetRow(i, row)
	}
	return j
}

// best descends by whole steps, and by steps that move no parameter by more than nine tenths of it, and keeps the lower end: from a poor start
// a whole step may lead to where the curve does not answer to its parameters any more (NIST's BoxBOD), short ones may get there slowly (Rat43).
func (m marquardt) best(start []float64) (b []float64, ok bool) {
	for _, furthest := range []float64{1e300, 0.9} {
		if end, settled := m.descend(append([]float64{}, start...), furthest); settled && (!ok || m.rss(end) < m.rss(b)) {
			b, ok = end, true
		}
	}
	return b, ok
}

// descend steps with damping that grows when a step fails and shrinks when it helps, scaled by the diagonal so that
// parameters of very different size move alike. It has arrived when steps and gain are down at the rounding error. No step moves a parameter by more than furthest times itself.
func (m marquardt) descend(b []float64, furthest float64) ([]float64, bool) {
	const mostSteps = 2000
	best, damping, still := m.rss(b), 1e-3, 0
	if math.IsNaN(best) || math.IsInf(best, 0) {
		return nil, false
	}
	n := len(b)
	for range mostSteps {
		j := m.jacobian(b)
		r := mat.NewVecDense(len(m.x), nil)
		for i, x := range m.x {
			r.SetVec(i, m.root[i]*(m.y[i]-m.f(x, b)))
		}
		var normal mat.Dense
		var right mat.VecDense
		normal.Mul(j.T(), j)
		right.MulVec(j.T(), r)
		improved := false
		for damping < 1e16 {
			damped := mat.DenseCopyOf(&normal)
			for k := range n {
				damped.Set(k, k, damped.At(k, k)*(1+damping)+1e-300)
			}
			var step mat.VecDense
			if err := step.SolveVec(damped, &right); err != nil {
				if _, poor := err.(mat.Condition); !poor {
					return nil, false
				}
			}
			next := make([]float64, n)
			move := 0.0
			for k := range n {
				limit := furthest * math.Max(math.Abs(b[k]), 1e-12)
				by := math.Max(-limit, math.Min(limit, step.AtVec(k)))
				next[k] = b[k] + by
				move = math.Max(move, math.Abs(by)/math.Max(math.Abs(b[k]), 1e-12))
			}
			trial := m.rss(next)
			if trial <= best { // false for NaN
				gain := best - trial
				b, best, improved = next, trial, true
				damping = math.Max(damping/10, 1e-14)
				if move < 1e-11 || gain <= 1e-15*best {
					still++
				} else {
					still = 0
				}
				break
			}
			if move < 1e-13 {
				return b, settled(b)
			}
			damping *= 10
		}
		if !improved || still >= 3 {
			return b, settled(b)
		}
	}
	return nil, false
}

func settled(b []float64) bool {
	for _, v := range b {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}
