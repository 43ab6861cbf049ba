package stats

import "math"

// Weighting says how much two classes that differ still agree.
type Weighting int

// Unweighted counts only equal classes; Linear gives 1-d/(k-1), Quadratic 1-(d/(k-1))^2 for classes d apart.
const (
	Unweighted Weighting = iota
	Linear
	Quadratic
)

// Weights is the k by k table of agreement weights.
func (w Weighting) Weights(k int) [][]float64 {
	out := make([][]float64, k)
	for i := range out {
		out[i] = make([]float64, k)
		for j := range out[i] {
			d := math.Abs(float64(i-j)) / math.Max(1, float64(k-1))
			switch {
			case w == Linear:
				out[i][j] = 1 - d
			case w == Quadratic:
				out[i][j] = 1 - d*d
			case i == j:
				out[i][j] = 1
			}
		}
	}
	return out
}

// Agreement is how far two scouts' classes of the same pots agree beyond chance.
type Agreement struct {
	N        float64  `json:"n"`
	Observed Maybe    `json:"observed"` // weighted share of agreement seen
	Chance   Maybe    `json:"chance"`   // expected from the two scouts' own habits
	Kappa    Maybe    `json:"kappa"`    // unknown when chance alone would agree on everything
	SE       Maybe    `json:"se"`       // for intervals
	SENull   Maybe    `json:"seNull"`   // for a test of no agreement
	Interval Interval `json:"interval"` // normal, kept within -1 and 1
	AC       Maybe    `json:"ac"`       // Gwet's AC1, or AC2 with weights; 1 when all pots are in one class and the scouts agree
	ACChance Maybe    `json:"acChance"`
	ACSE     Maybe    `json:"acSE"`     // unweighted only
	Adjusted Maybe    `json:"adjusted"` // prevalence- and bias-adjusted kappa, (k Observed - 1)/(k-1); unweighted only
}

// AgreementOf computes Cohen's kappa of a square table (rows: first scout, columns: second; counts, or shares of n) with the
// given agreement weights: Cohen 1960 and 1968, standard errors of Fleiss, Cohen and Everitt 1969; Gwet's AC1/AC2 (Gwet 2008,
// 2014). n is the number of pots. All is unknown for an empty or ragged table.
func AgreementOf(table [][]float64, n float64, weights [][]float64, level float64) Agreement {
	k := len(table)
	total := 0.0
	for _, row := range table {
		if len(row) != k {
			return Agreement{}
		}
		for _, c := range row {
			if !(c >= 0) {
				return Agreement{}
			}
			total += c
		}
	}
	if k < 2 || total <= 0 || len(weights) != k || !(n > 0) {
		return Agreement{}
	}
	rows, cols := make([]float64, k), make([]float64, k)
	p := make([][]float64, k)
	for i, row := range table {
		p[i] = make([]float64, k)
		for j, c := range row {
			p[i][j] = c / total
			rows[i] += p[i][j]
			cols[j] += p[i][j]
		}
	}
	a := Agreement{N: n}
	var po, pe float64
	rowMean, colMean := make([]float64, k), make([]float64, k)
	for i := range k {
		for j := range k {
			po += weights[i][j] * p[i][j]
			pe += weights[i][j] * rows[i] * cols[j]
			rowMean[i] += weights[i][j] * cols[j]
			colMean[j] += weights[i][j] * rows[i]
		}
	}
	a.Observed, a.Chance = Sure(po), Sure(pe)
	a.gwet(p, rows, cols, weights, po)
	if 1-pe < 1e-15 {
		return a
	}
	kappa := (po - pe) / (1 - pe)
	a.Kappa = Sure(kappa)
	var seen, null float64
	for i := range k {
		for j := range k {
			m := rowMean[i] + colMean[j]
			seen += p[i][j] * math.Pow(weights[i][j]-m*(1-kappa), 2)
			null += rows[i] * cols[j] * math.Pow(weights[i][j]-m, 2)
		}
	}
	scale := 1 / (n * (1 - pe) * (1 - pe))
	a.SE = Sure(math.Sqrt(math.Max(0, scale*(seen-math.Pow(kappa-pe*(1-kappa), 2)))))
	a.SENull = Sure(math.Sqrt(math.Max(0, scale*(null-pe*pe))))
	if goodLevel(level) {
		half := zOf(level) * a.SE.X
		a.Interval = Between(math.Max(-1, kappa-half), math.Min(1, kappa+half))
	}
	return a
}

func (a *Agreement) gwet(p [][]float64, rows, cols []float64, weights [][]float64, po float64) {
	k := float64(len(rows))
	var spread, weightSum, diagonal, pairs float64
	plain := true
	for i := range rows {
		mean := (rows[i] + cols[i]) / 2
		spread += mean * (1 - mean)
		diagonal += p[i][i] * (1 - mean)
		for j := range cols {
			weightSum += weights[i][j]
			plain = plain && weights[i][j] == boolTo(i == j)
			other := (rows[j] + cols[j]) / 2
			pairs += p[i][j] * math.Pow(1-(mean+other)/2, 2)
		}
	}
	pe := weightSum / (k * (k - 1)) * spread
	a.ACChance = Sure(pe)
	if 1-pe < 1e-15 {
		return
	}
	ac := (po - pe) / (1 - pe)
	a.AC = Sure(ac)
	if !plain {
		return
	}
	a.Adjusted = Sure((k*po - 1) / (k - 1))
	variance := po*(1-po) - 4*(1-ac)*(diagonal/(k-1)-po*pe) + 4*(1-ac)*(1-ac)*(pairs/((k-1)*(k-1))-pe*pe)
	a.ACSE = Sure(math.Sqrt(math.Max(0, variance/a.N)) / (1 - pe))
}

// TableOf counts two scouts' classes (0 to k-1) of the same pots into a table; a negative class means not scored and the pot
// is left out. ok is false for unequal lengths or a class of k or more.
func TableOf(first, second []int, k int) (table [][]float64, n float64, ok bool) {
	if len(first) != len(second) || k < 1 {
		return nil, 0, false
	}
	table = make([][]float64, k)
	for i := range table {
		table[i] = make([]float64, k)
	}
	for i := range first {
		if first[i] >= k || second[i] >= k {
			return nil, 0, false
		}
		if first[i] >= 0 && second[i] >= 0 {
			table[first[i]][second[i]]++
			n++
		}
	}
	return table, n, true
}
