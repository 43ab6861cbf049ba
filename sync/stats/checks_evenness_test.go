package stats

import (
	"math"
	"testing"
)

func init() {
	runners["tolerance"] = func(t *testing.T, c check) got {
		in := inputs[struct {
			N        int
			P, Gamma float64
		}](t, c)
		return got{"k1_exact": ToleranceFactor(in.N, in.P, in.Gamma), "k1_natrella": ToleranceFactorNatrella(in.N, in.P, in.Gamma),
			"k2_howe": ToleranceFactorHowe(in.N, in.P, in.Gamma), "k2_exact": ToleranceFactorTwoSided(in.N, in.P, in.Gamma)}
	}
	runners["tolerance-interval"] = func(t *testing.T, c check) got {
		in := inputs[struct {
			N                  int
			Mean, SD, P, Gamma float64
		}](t, c)
		k := ToleranceFactorHowe(in.N, in.P, in.Gamma).X
		return got{"lower": in.Mean - k*in.SD, "upper": in.Mean + k*in.SD,
			"upper_one_sided_natrella": in.Mean + ToleranceFactorNatrella(in.N, in.P, in.Gamma).X*in.SD}
	}
	runners["quantile"] = func(t *testing.T, c check) got {
		in := inputs[struct {
			X, P []float64
			Type QuantileType
		}](t, c)
		var q []Maybe
		for _, p := range in.P {
			q = append(q, Quantile(in.X, p, in.Type))
		}
		return got{"q": q}
	}
	runners["evenness"] = func(t *testing.T, c check) got {
		in := inputs[struct{ X []float64 }](t, c)
		n, s := float64(len(in.X)), SpreadOf(in.X, 0.9)
		q1, q3 := Quantile(in.X, 0.25, TypeSeven), Quantile(in.X, 0.75, TypeSeven)
		whole := func(part float64) Maybe { return LowShare(in.X, math.RoundToEven(part*n)/n) }
		low := LowShare(in.X, 0.25)
		return got{"mean": s.Mean, "cv": s.CV, "cu": Christiansen(in.X), "du_lq": low, "du_lq_fractional": low, "du_lq_round": whole(0.25),
			"du_lh_round": whole(0.5), "q1_type7": q1, "median": Median(in.X), "q3_type7": q3, "qcd": (q3.X - q1.X) / (q3.X + q1.X),
			"mad_raw": MAD(in.X), "mad_scaled": 1.4826 * MAD(in.X).X}
	}
	runners["severity"] = func(t *testing.T, c check) got {
		in := inputs[struct{ Freq []int }](t, c)
		s := SeverityOf(in.Freq)
		return got{"n": s.N, "incidence": s.Incidence, "mean_class": s.MeanClass, "mean_class_affected": s.MeanClassAffected,
			"severity_index_pct": s.Index, "median_class": Median(spellOut(in.Freq))}
	}
	runners["ordinal"] = func(t *testing.T, c check) got {
		in := inputs[struct{ Freq []int }](t, c)
		o := OrdinalSpreadOf(in.Freq)
		return got{"cumulative": o.Cumulative, "leik_D": o.Leik, "blair_lacy_l": o.BlairLacy, "iqv": o.IQV}
	}
	runners["trend"] = func(t *testing.T, c check) got {
		in := inputs[struct {
			X, Week, Score []*float64
		}](t, c)
		value, time := measured(in.X), measured(in.Week)
		if in.Week != nil {
			value = measured(in.Score)
		} else {
			for i := range value {
				time = append(time, float64(i+1))
			}
		}
		tr, ok := TrendOf(time, value, 0.95)
		if !ok {
			t.Fatal("times do not rise")
		}
		pairs, cAlpha := float64(tr.Pairs), zOf(0.95)*sqrt(tr.VarS.X)
		l := limits(tr.Interval)
		g := got{"n": tr.N, "S": tr.S, "varS": tr.VarS, "z": tr.Z, "p": tr.P, "tau": tr.TauA, "tau_b": tr.TauB, "sen_slope": tr.Slope,
			"sen_slope_per_week": tr.Slope, "n_pairs": tr.Pairs, "C_alpha": cAlpha, "rank_lower": (pairs - cAlpha) / 2,
			"rank_upper": (pairs + cAlpha) / 2, "lower_rounded": l[0], "upper_rounded": l[1], "intercept_median": tr.Intercept, "intercept": tr.Intercept}
		if tr.Exact {
			g["p_exact_two_sided"], g["p_exact_one_sided"] = tr.P, tr.P.X/2
		}
		return g
	}
}

// spellOut turns class counts into one value a pot.
func spellOut(counts []int) []float64 {
	var x []float64
	for class, n := range counts {
		for range n {
			x = append(x, float64(class))
		}
	}
	return x
}
