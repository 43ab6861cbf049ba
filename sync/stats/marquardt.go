package stats

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// marquardt descends to the least squares of y - f(x; b).
type marquardt struct {
	f    func(x float64, b []float64) float64
	x, y []float64
}

func (m marquardt) rss(b []float64) float64 {
	sum := 0.0
	for i, x := range m.x {
		r := m.y[i] - m.f(x, b)
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
		j.SetRow(i, slopeIn(m.f, x, b))
	}
	return j
}

// descend steps with damping that grows when a step fails and shrinks when it helps, scaled by the diagonal so that
// parameters of very different size move alike. It has arrived when steps and gain are down at the rounding error.
func (m marquardt) descend(b []float64) ([]float64, bool) {
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
			r.SetVec(i, m.y[i]-m.f(x, b))
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
				next[k] = b[k] + step.AtVec(k)
				move = math.Max(move, math.Abs(step.AtVec(k))/math.Max(math.Abs(b[k]), 1e-12))
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
