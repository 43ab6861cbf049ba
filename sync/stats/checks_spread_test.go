package stats

import (
	"encoding/json"
	"slices"
	"testing"
)

func init() {
	runners["summary"] = func(t *testing.T, c check) got {
		in := inputs[struct {
			X            []*float64
			First        float64
			Block        []float64
			BlockRepeats int `json:"block_repeats"`
		}](t, c)
		x := measured(in.X)
		if in.Block != nil {
			x = append(x, in.First)
			for range in.BlockRepeats {
				x = append(x, in.Block...)
			}
		}
		s := SpreadOf(x, 0.95)
		return got{"n": s.N, "n_missing": s.Missing, "mean": s.Mean, "sd": s.SD, "cv": s.CV, "cv_haldane": s.Corrected, "lag1": Lag1(x)}
	}
	runners["mean-interval"] = func(t *testing.T, c check) got {
		in := inputs[struct {
			X    []float64
			N    int
			Conf float64
		}](t, c)
		if in.Conf == 0 {
			in.Conf = 0.95
		}
		e := MeanInterval(in.X, in.N, in.Conf)
		s := Summarize(in.X)
		se := s.SD.X * sqrt(unseen(s.N, in.N)/float64(s.N))
		return got{"mean": e.Value, "sd": s.SD, "se_fpc": se, "lower": e.Interval.Low, "upper": e.Interval.High}
	}
	runners["cv-summary"] = func(t *testing.T, c check) got {
		in := inputs[struct {
			CV, Mean, SD float64
			N            int
			X            []float64
		}](t, c)
		cv, n := in.CV, in.N
		if in.Mean > 0 {
			cv = in.SD / in.Mean
		}
		if in.X != nil {
			s := SpreadOf(in.X, 0.95)
			cv, n = s.CV.X, s.N
		}
		vangel, mckay, exact := limits(VangelInterval(cv, n, 0.95)), limits(McKayInterval(cv, n, 0.95)), limits(ExactCVInterval(cv, n, 0.95))
		return got{"cv": cv, "vangel95": vangel, "vangel": vangel, "vangel90": limits(VangelInterval(cv, n, 0.9)),
			"mckay95": mckay, "mckay": mckay, "exact_nct95": exact, "exact_nct": exact}
	}
	runners["cv-lognormal"] = func(t *testing.T, c check) got {
		in := inputs[struct {
			X    []float64
			Conf float64
		}](t, c)
		logs := make([]float64, len(in.X))
		for i, v := range in.X {
			logs[i] = ln(v)
		}
		s, e := Summarize(logs), LogNormalCV(in.X, in.Conf)
		return got{"log_mean": s.Mean, "log_var": s.SD.X * s.SD.X, "cv": e.Value, "lower": e.Interval.Low, "upper": e.Interval.High}
	}
	runners["pooled"] = func(t *testing.T, c check) got {
		lots := groups(t, c)
		p := PoolWithin(lots, 0.95)
		var n []int
		var means, sds []Maybe
		for _, x := range lots {
			s := Summarize(x)
			n, means, sds = append(n, s.N), append(means, s.Mean), append(sds, s.SD)
		}
		return got{"n": n, "means": means, "sds": sds, "pooled_sd": p.SD, "grand_mean": p.GrandMean,
			"cv_pooled_sd_over_grand_mean": p.CVOfMeans, "cv_rms": p.CV, "cv_total": SpreadOf(slices.Concat(lots...), 0.95).CV}
	}
	runners["mixture"] = func(t *testing.T, c check) got {
		in := inputs[struct {
			LotSizes   []float64 `json:"lot_sizes"`
			Means, SDs []float64
		}](t, c)
		lots := make([]LotShare, len(in.Means))
		for i := range lots {
			lots[i] = LotShare{in.LotSizes[i], in.Means[i], in.SDs[i]}
		}
		m := MixLots(lots)
		return got{"bed_mean": m.Mean, "within": m.Within, "between": m.Between, "bed_sd": m.SD, "bed_cv": m.CV, "share_between": m.ShareBetween}
	}
	runners["cv-resampled"] = func(t *testing.T, c check) got {
		x := inputs[struct{ X []float64 }](t, c).X
		n := len(x)
		all, times := make([]float64, 0, 3125), 1
		for range n {
			times *= n
		}
		resample := make([]float64, n)
		for draw := range times {
			for i := range resample {
				resample[i] = x[draw%n]
				draw /= n
			}
			all = append(all, SpreadOf(resample, 0.95).CV.X)
		}
		var leftOut []float64
		for i := range x {
			leftOut = append(leftOut, SpreadOf(append(append([]float64{}, x[:i]...), x[i+1:]...), 0.95).CV.X)
		}
		s := Summarize(all)
		return got{"cv": SpreadOf(x, 0.95).CV, "mean": s.Mean, "se": s.SD.X * sqrt(float64(times-1)/float64(times)),
			"low": Quantile(all, 0.025, TypeSeven), "high": Quantile(all, 0.975, TypeSeven), "left_out": leftOut}
	}
	runners["components"] = func(t *testing.T, c check) got {
		lots := groups(t, c)
		v := VarianceComponents(lots, 0.95)
		var n []int
		for _, x := range lots {
			n = append(n, len(x))
		}
		between, within := v.MSBetween.X*float64(v.DFBetween), v.MSWithin.X*float64(v.DFWithin)
		return got{"n": n, "df_between": v.DFBetween, "df_within": v.DFWithin, "ss_between": between, "ss_within": within,
			"ms_between": v.MSBetween, "ms_within": v.MSWithin, "F": v.F, "n0": v.N0, "r2": between / (between + within),
			"resid_sd": sqrt(v.MSWithin.X), "var_within": v.VarWithin, "var_between": v.VarBetween,
			"var_between_raw": v.VarBetweenRaw, "var_between_reported": v.VarBetween, "pct_between": 100 * v.ShareBetween.X,
			"icc1": v.ICC, "icc1_lower95": v.ICCInterval.Low, "icc1_upper95": v.ICCInterval.High}
	}
}

// groups reads lots given as a list, or by name in the order of the names.
func groups(t *testing.T, c check) [][]float64 {
	in := inputs[struct{ Groups json.RawMessage }](t, c)
	var list [][]float64
	if json.Unmarshal(in.Groups, &list) == nil {
		return list
	}
	var named map[string][]float64
	if err := json.Unmarshal(in.Groups, &named); err != nil {
		t.Fatal(err)
	}
	names := make([]string, 0, len(named))
	for name := range named {
		names = append(names, name)
	}
	slices.Sort(names)
	for _, name := range names {
		list = append(list, named[name])
	}
	return list
}
