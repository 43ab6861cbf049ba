package stats

import "math"

// Node is one point of a quadrature: a standard normal number and its weight.
type Node struct{ Z, Weight float64 }

// NormalNodes are the five points of the Gauss-Hermite rule for a standard normal and their weights (Abramowitz and Stegun 25.10, scaled
// by the root of 2): exact for moments up to the ninth.
func NormalNodes() (all [5]Node) {
	root := math.Sqrt(10)
	inner, outer := math.Sqrt(5-root), math.Sqrt(5+root)
	wide, narrow := (7-2*root)/60, (7+2*root)/60
	for i, z := range []float64{-outer, -inner, 0, inner, outer} {
		all[i] = Node{z, []float64{wide, narrow, 8.0 / 15, narrow, wide}[i]}
	}
	return all
}
