package stats

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat/distuv"
)

func goodTolerance(n int, share, confidence float64) bool {
	return n >= 2 && goodLevel(share) && goodLevel(confidence)
}

// ToleranceFactor is k for "at least the given share of normal pots lies above mean - k s, with the given confidence":
// t'_(n-1)(confidence; z_share sqrt n)/sqrt n with t' the noncentral t quantile (Owen 1968). Unknown for n < 2.
func ToleranceFactor(n int, share, confidence float64) Maybe {
	if !goodTolerance(n, share, confidence) {
		return Maybe{}
	}
	root := math.Sqrt(float64(n))
	t, ok := noncentralTQuantile(confidence, float64(n-1), stdNormal.Quantile(share)*root)
	if !ok {
		return Maybe{}
	}
	return Sure(t / root)
}

// ToleranceFactorNatrella is the closed form near ToleranceFactor (Natrella 1963, NBS Handbook 91). Unknown for n < 2 or where
// the form breaks down at very small n.
func ToleranceFactorNatrella(n int, share, confidence float64) Maybe {
	if !goodTolerance(n, share, confidence) {
		return Maybe{}
	}
	zp, zg := stdNormal.Quantile(share), stdNormal.Quantile(confidence)
	a := 1 - zg*zg/(2*float64(n-1))
	b := zp*zp - zg*zg/float64(n)
	under := zp*zp - a*b
	if under < 0 || a <= 0 {
		return Maybe{}
	}
	return Sure((zp + math.Sqrt(under)) / a)
}

// ToleranceFactorHowe is k for mean +- k s by Howe's closed form z_((1+share)/2) sqrt((n-1)(1+1/n)/chi2_(1-confidence, n-1))
// (Howe 1969, JASA 64:610). Unknown for n < 2.
func ToleranceFactorHowe(n int, share, confidence float64) Maybe {
	if !goodTolerance(n, share, confidence) {
		return Maybe{}
	}
	v := float64(n - 1)
	chi := distuv.ChiSquared{K: v}.Quantile(1 - confidence)
	return Sure(stdNormal.Quantile((1+share)/2) * math.Sqrt(v*(1+1/float64(n))/chi))
}

// ToleranceFactorTwoSided is the exact k for mean +- k s: the root of the mean over the sample mean's place of P(chi2_(n-1) >
// (n-1) r^2/k^2) = confidence, r(z) being the half-width that holds the share around a centre off by z (Odeh and Owen 1980).
// Unknown for n < 2.
func ToleranceFactorTwoSided(n int, share, confidence float64) Maybe {
	if !goodTolerance(n, share, confidence) {
		return Maybe{}
	}
	m, v := float64(n), float64(n-1)
	chi := distuv.ChiSquared{K: v}
	const nodes = 60
	at, weight, half := make([]float64, nodes), make([]float64, nodes), make([]float64, nodes)
	top := 9 / math.Sqrt(m)
	quad.Legendre{}.FixedLocations(at, weight, 0, top)
	for i, z := range at {
		weight[i] *= 2 * math.Sqrt(m) * stdNormal.Prob(z*math.Sqrt(m))
		half[i], _ = bisect(func(r float64) float64 { return stdNormal.CDF(z+r) - stdNormal.CDF(z-r) - share }, 0, top+10)
	}
	k, ok := bisect(func(k float64) float64 {
		sum := 0.0
		for i, r := range half {
			sum += weight[i] * chi.Survival(v*r*r/(k*k))
		}
		return sum - confidence
	}, 1e-6, 1e5)
	if !ok {
		return Maybe{}
	}
	return Sure(k)
}
