package stats

import (
	"encoding/json"
	"math"
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
		return got{"n": s.N, "n_missing": s.Missing, "mean": s.Mean, "sd": s.SD, "cv": s.CV, "cv_haldane": s.Corrected}
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
		vangel := limits(VangelInterval(cv, n, 0.95))
		return got{"cv": cv, "vangel95": vangel, "vangel": vangel, "vangel90": limits(VangelInterval(cv, n, 0.9))}
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

func sqrt(x float64) float64 { return math.Sqrt(x) }
func ln(x float64) float64   { return math.Log(x) }

func init() {
	runners["share"] = func(t *testing.T, c check) got {
		in := inputs[struct {
			X, N int
			Conf float64
		}](t, c)
		if in.Conf == 0 {
			in.Conf = 0.95
		}
		return got{"p": ShareOf(in.X, in.N, 0, in.Conf).Value, "wilson": limits(Wilson(in.X, in.N, 0, in.Conf)),
			"clopper_pearson": limits(ClopperPearson(in.X, in.N, in.Conf))}
	}
}

func init() {
	runners["evenness"] = func(t *testing.T, c check) got {
		in := inputs[struct{ X []float64 }](t, c)
		s := SpreadOf(in.X, 0.9)
		return got{"mean": s.Mean, "cv": s.CV, "median": Median(in.X)}
	}
	runners["severity"] = func(t *testing.T, c check) got {
		in := inputs[struct{ Freq []int }](t, c)
		s := SeverityOf(in.Freq)
		return got{"n": s.N, "incidence": s.Incidence, "mean_class": s.MeanClass, "mean_class_affected": s.MeanClassAffected,
			"severity_index_pct": s.Index, "median_class": Median(spellOut(in.Freq))}
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
