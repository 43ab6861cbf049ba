package stats

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Clustered is a least-squares fit whose rows come in clusters: rows of one cluster may depend on each other in any way, rows
// of different clusters do not. FitClustered makes it; Contrast asks it.
type Clustered struct {
	// Coefficients are the least-squares ones, one a column.
	Coefficients []float64
	// Rows and Clusters count what was fitted.
	Rows, Clusters int

	bread    *mat.SymDense // (X'X)^-1
	clusters []clusterPart
}

// clusterPart is what one cluster has in the variance of any contrast: score = X_g' A_g e_g, cross = X_g' A_g X_g (bread left
// out) and square = X_g' A_g^2 X_g, with A_g = (I - H_gg)^(-1/2).
type clusterPart struct {
	score         *mat.VecDense
	cross, square *mat.Dense
}

// FitClustered fits y = X b by least squares; x holds the rows of X, cluster the number of the cluster that each row belongs
// to. It says false when the rows are fewer than the columns, their lengths differ, or the columns depend on each other.
func FitClustered(x [][]float64, y []float64, cluster []int) (Clustered, bool) {
	if len(x) == 0 || len(x) != len(y) || len(x) != len(cluster) || len(x) < len(x[0]) || len(x[0]) == 0 {
		return Clustered{}, false
	}
	columns := len(x[0])
	normal, right := mat.NewSymDense(columns, nil), mat.NewVecDense(columns, nil)
	for r, row := range x {
		if len(row) != columns {
			return Clustered{}, false
		}
		v := mat.NewVecDense(columns, row)
		normal.SymRankOne(normal, 1, v)
		right.AddScaledVec(right, y[r], v)
	}
	var chol mat.Cholesky
	if !chol.Factorize(normal) || chol.Cond() > 1e12 {
		return Clustered{}, false
	}
	f := Clustered{Rows: len(x), bread: mat.NewSymDense(columns, nil)}
	var b mat.VecDense
	if chol.InverseTo(f.bread) != nil || chol.SolveVecTo(&b, right) != nil {
		return Clustered{}, false
	}
	f.Coefficients = b.RawVector().Data
	byCluster := map[int][]int{}
	var order []int
	for r, c := range cluster {
		if byCluster[c] == nil {
			order = append(order, c)
		}
		byCluster[c] = append(byCluster[c], r)
	}
	f.Clusters = len(order)
	var half mat.Cholesky
	if !half.Factorize(f.bread) {
		return Clustered{}, false
	}
	var root mat.TriDense
	half.LTo(&root)
	for _, c := range order {
		part, ok := f.part(x, y, byCluster[c], &root)
		if !ok {
			return Clustered{}, false
		}
		f.clusters = append(f.clusters, part)
	}
	return f, true
}

// part computes one cluster. H_gg = Z Z' with Z = X_g L and L L' = (X'X)^-1 has no higher rank than there are columns, so
// that (I - Z Z')^(-1/2) = I + Z V diag(((1-s)^(-1/2) - 1)/s) V' Z' needs only the eigenvalues s of the small Z'Z. A direction
// that the cluster alone decides (s = 1) has no residual, and counts for nothing, as with the pseudo-inverse.
func (f Clustered) part(x [][]float64, y []float64, rows []int, root *mat.TriDense) (part clusterPart, ok bool) {
	columns := len(f.Coefficients)
	own, left := mat.NewDense(len(rows), columns, nil), mat.NewVecDense(len(rows), nil)
	for i, r := range rows {
		own.SetRow(i, x[r])
		fitted := 0.0
		for j, v := range x[r] {
			fitted += v * f.Coefficients[j]
		}
		left.SetVec(i, y[r]-fitted)
	}
	var z, small mat.Dense
	z.Mul(own, root)
	small.Mul(z.T(), &z)
	symmetric := mat.NewSymDense(columns, nil)
	for i := range columns {
		for j := i; j < columns; j++ {
			symmetric.SetSym(i, j, (small.At(i, j)+small.At(j, i))/2)
		}
	}
	var eigen mat.EigenSym
	if !eigen.Factorize(symmetric, true) {
		return clusterPart{}, false
	}
	var vectors, turned mat.Dense
	eigen.VectorsTo(&vectors)
	turned.Mul(&z, &vectors)
	adjusted := mat.DenseCopyOf(own) // A_g X_g
	for k, s := range eigen.Values(nil) {
		if s < 1e-12 {
			continue
		}
		scale := -1 / s
		if s < 1-1e-9 {
			scale = (1/math.Sqrt(1-s) - 1) / s
		}
		u := turned.ColView(k)
		var along mat.VecDense
		along.MulVec(own.T(), u)
		for i := range rows {
			for j := range columns {
				adjusted.Set(i, j, adjusted.At(i, j)+scale*u.AtVec(i)*along.AtVec(j))
			}
		}
	}
	part = clusterPart{score: &mat.VecDense{}, cross: &mat.Dense{}, square: &mat.Dense{}}
	part.score.MulVec(adjusted.T(), left)
	part.cross.Mul(own.T(), adjusted)
	part.square.Mul(adjusted.T(), adjusted)
	return part, true
}

// Contrast is the weighted sum of the coefficients with its t interval, N the number of clusters. The variance is the
// cluster-robust sandwich with each cluster's residuals made larger by (I - H_gg)^(-1/2), which makes it unbiased for rows of
// equal variance, and the degrees of freedom are Satterthwaite's for that variance (Bell and McCaffrey 2002, Survey
// Methodology 28:169; "CR2" of Pustejovsky and Tipton 2018, J. Bus. Econ. Stat. 36:672; both recalled from memory). Without
// both, a handful of clusters would give intervals that are much too narrow. The interval is unknown unless there are more
// clusters than columns, and where nothing is left over to judge by.
func (f Clustered) Contrast(weights []float64, level float64) Estimate {
	e := Estimate{N: f.Clusters}
	if len(weights) != len(f.Coefficients) || len(weights) == 0 {
		return e
	}
	value := 0.0
	for i, w := range weights {
		value += w * f.Coefficients[i]
	}
	e.Value = Sure(value)
	variance, df := f.variance(weights)
	if !goodLevel(level) || f.Clusters <= len(weights) || !(variance > 0) || !(df > 0) {
		return e
	}
	half := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}.Quantile((1+level)/2) * math.Sqrt(variance)
	if limit := Sure(half); limit.Known {
		e.Interval = Between(value-half, value+half)
	}
	return e
}

// variance of a contrast and its degrees of freedom (tr T)^2 / tr(T^2), where T_gh = [g=h] w_g'w_g - q_g' (X'X)^-1 q_h with
// w_g = A_g X_g (X'X)^-1 c and q_g = X_g' w_g.
func (f Clustered) variance(weights []float64) (variance, df float64) {
	var m mat.VecDense
	m.MulVec(f.bread, mat.NewVecDense(len(weights), weights))
	q, bent := make([]mat.VecDense, len(f.clusters)), make([]mat.VecDense, len(f.clusters))
	own := make([]float64, len(f.clusters))
	for g, part := range f.clusters {
		score := mat.Dot(&m, part.score)
		variance += score * score
		q[g].MulVec(part.cross, &m)
		bent[g].MulVec(f.bread, &q[g])
		own[g] = mat.Inner(&m, part.square, &m)
	}
	trace, squares := 0.0, 0.0
	for g := range q {
		for h := range q {
			t := -mat.Dot(&q[g], &bent[h])
			if g == h {
				t += own[g]
				trace += t
			}
			squares += t * t
		}
	}
	if !(squares > 0) || !(trace > 0) {
		return variance, 0
	}
	return variance, trace * trace / squares
}
