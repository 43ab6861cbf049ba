package stats

import (
	"gonum.org/v1/gonum/stat/distuv"
)

// Dispersion tells how counts per pot (or per square of the bed) are scattered: evenly, at random or in clumps.
type Dispersion struct {
	N          int   `json:"n"`
	Total      int   `json:"total"`
	Mean       Maybe `json:"mean"`
	Variance   Maybe `json:"variance"`  // divisor n-1
	Index      Maybe `json:"index"`     // variance over mean; 1 when random
	ChiSquare  Maybe `json:"chiSquare"` // (n-1) variance/mean on DF, for randomness
	DF         int   `json:"df"`
	PUpper     Maybe `json:"pUpper"`  // chance of so clumped a scatter or more when random
	PLower     Maybe `json:"pLower"`  // chance of so even a scatter or more when random
	KMoment    Maybe `json:"kMoment"` // mean^2/(variance-mean)
	Morisita   Maybe `json:"morisita"`
	Crowding   Maybe `json:"crowding"`   // Lloyd's mean crowding
	Patchiness Maybe `json:"patchiness"` // crowding over mean
	Green      Maybe `json:"green"`      // (index-1)/(total-1)
}

// DispersionOf computes the index of dispersion, chi-square (Fisher 1925), moment k, Morisita's index n sum x(x-1)/(T(T-1))
// (1959), Lloyd's crowding m + s^2/m - 1 and patchiness (1967) and Green's index (1966). Nothing but the mean is known when
// all counts are 0; k is unknown unless the variance exceeds the mean; Morisita's and Green's need a total of 2. A negative
// count makes all unknown.
func DispersionOf(counts []int) Dispersion {
	d := Dispersion{N: len(counts), DF: max(0, len(counts)-1)}
	x := make([]float64, len(counts))
	pairs := 0.0
	for i, c := range counts {
		if c < 0 {
			return Dispersion{}
		}
		x[i] = float64(c)
		d.Total += c
		pairs += x[i] * (x[i] - 1)
	}
	s := Summarize(x)
	d.Mean = s.Mean
	if !s.SD.Known {
		return d
	}
	m, v := s.Mean.X, s.SD.X*s.SD.X
	d.Variance = Sure(v)
	if d.Total == 0 {
		return d
	}
	d.Index = Sure(v / m)
	d.ChiSquare = Sure(float64(d.DF) * v / m)
	chi := distuv.ChiSquared{K: float64(d.DF)}
	d.PUpper, d.PLower = Sure(chi.Survival(d.ChiSquare.X)), Sure(chi.CDF(d.ChiSquare.X))
	if v > m {
		d.KMoment = Sure(m * m / (v - m))
	}
	d.Crowding = Sure(m + v/m - 1)
	d.Patchiness = Sure(d.Crowding.X / m)
	if t := float64(d.Total); d.Total > 1 {
		d.Morisita = Sure(float64(d.N) * pairs / (t * (t - 1)))
		d.Green = Sure((d.Index.X - 1) / (t - 1))
	}
	return d
}
