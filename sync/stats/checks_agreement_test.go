package stats

import (
	"maps"
	"testing"
)

func init() {
	runners["kappa"] = func(t *testing.T, c check) got {
		in := inputs[struct{ Table [][]float64 }](t, c)
		n := 0.0
		for _, r := range in.Table {
			for _, v := range r {
				n += v
			}
		}
		of := func(w Weighting) Agreement { return AgreementOf(in.Table, n, w.Weights(len(in.Table)), 0.95) }
		plain, linear, quadratic := of(Unweighted), of(Linear), of(Quadratic)
		return got{"n": n, "po": plain.Observed, "pe": plain.Chance, "kappa": plain.Kappa, "se": plain.SE, "se0": plain.SENull,
			"kappa_linear": linear.Kappa, "se_linear": linear.SE, "kappa_quadratic": quadratic.Kappa, "se_quadratic": quadratic.SE,
			"ac1": plain.AC, "ac1_pe": plain.ACChance, "ac1_se": plain.ACSE, "pabak": plain.Adjusted}
	}
	runners["clustered"] = func(t *testing.T, c check) got {
		in := inputs[struct {
			X         [][]float64
			Y         []float64
			Cluster   []int
			Contrasts [][]float64
		}](t, c)
		f, ok := FitClustered(in.X, in.Y, in.Cluster)
		if !ok {
			t.Fatal("the rows were not fitted")
		}
		var value []Maybe
		var low, high []float64
		for _, weights := range in.Contrasts {
			e := f.Contrast(weights, DefaultLevel)
			value, low, high = append(value, e.Value), append(low, e.Interval.Low), append(high, e.Interval.High)
		}
		return got{"coefficients": f.Coefficients, "value": value, "low": low, "high": high}
	}
	runners["kappa-weights"] = func(t *testing.T, c check) got {
		in := inputs[struct {
			Proportions [][]float64
			Disagree    [][]float64 `json:"disagreement_weights"`
			N           float64
		}](t, c)
		k, top := len(in.Disagree), 0.0
		for _, r := range in.Disagree {
			for _, v := range r {
				top = max(top, v)
			}
		}
		weights := Unweighted.Weights(k)
		for i := range k {
			for j := range k {
				weights[i][j] = 1 - in.Disagree[i][j]/top
			}
		}
		return got{"kappa": AgreementOf(in.Proportions, in.N, Unweighted.Weights(k), 0.95).Kappa,
			"weighted_kappa": AgreementOf(in.Proportions, in.N, weights, 0.95).Kappa}
	}
	runners["pairs"] = func(t *testing.T, c check) got {
		in := inputs[struct {
			A, B  []float64
			Level float64
		}](t, c)
		if in.Level == 0 {
			in.Level = 0.95
		}
		p, ok := PairsOf(in.A, in.B, in.Level)
		if !ok {
			t.Fatal("unequal lengths")
		}
		l := limits(p.Limits)
		return got{"bias": p.Bias.Value, "sd": p.SD, "loa_lower": l[0], "loa_upper": l[1], "ccc": p.Concordance, "r": p.Correlation}
	}
	runners["icc"] = func(t *testing.T, c check) got {
		in := inputs[struct{ Scores [][]float64 }](t, c)
		v := ICCsOf(in.Scores, 0.95)
		g := got{"bms": v.MSPots, "jms": v.MSScouts, "ems": v.MSError, "wms": v.MSWithin}
		for name, e := range map[string]Estimate{"1": v.One, "2": v.Two, "3": v.Three, "1k": v.OneK, "2k": v.TwoK, "3k": v.ThreeK} {
			maps.Copy(g, got{"icc" + name: e.Value, "icc" + name + "_limits": limits(e.Interval)})
		}
		return g
	}
}
