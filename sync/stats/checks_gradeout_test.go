package stats

import (
	"testing"
)

func init() {
	runners["predict"] = func(t *testing.T, c check) got {
		in := inputs[struct {
			Bed   int `json:"N"`
			N     int `json:"n"`
			X     int
			Prior [2]float64
		}](t, c)
		p, err := Predict(in.X, in.N, in.Bed, in.Prior[0], in.Prior[1])
		if err != nil {
			t.Fatal(err)
		}
		g := quantiles(p)
		if threshold, ok := c.Expected["threshold"].(float64); ok {
			g["threshold"], g["p_total_ge_threshold"] = threshold, p.AtLeast(int(threshold))
		}
		return g
	}
	runners["predict-pmf"] = func(t *testing.T, c check) got {
		in := inputs[struct {
			Bed   int `json:"N"`
			N     int `json:"n"`
			X     int
			Prior [2]float64
		}](t, c)
		p, err := Predict(in.X, in.N, in.Bed, in.Prior[0], in.Prior[1])
		if err != nil {
			t.Fatal(err)
		}
		var k []int
		var pmf []float64
		for i := 0; i <= in.Bed-in.N; i++ {
			k, pmf = append(k, i), append(pmf, p.Chance(in.X+i))
		}
		return got{"k": k, "pmf": pmf, "total_mean": p.Mean()}
	}
	runners["predict-sum"] = func(t *testing.T, c check) got {
		in := inputs[struct {
			Lots []struct {
				Bed int `json:"N"`
				N   int `json:"n"`
				X   int
			}
			Prior [2]float64
		}](t, c)
		var sum Predictive
		for _, l := range in.Lots {
			p, err := Predict(l.X, l.N, l.Bed, in.Prior[0], in.Prior[1])
			if err != nil {
				t.Fatal(err)
			}
			sum = sum.Plus(p)
		}
		g := quantiles(sum)
		g["p_ge_35"] = sum.AtLeast(35)
		return g
	}
	runners["predict-grades"] = func(t *testing.T, c check) got {
		in := inputs[struct {
			N      int
			Counts []int
			Prior  []float64
		}](t, c)
		f, err := PredictGrades(in.Counts, in.N, in.Prior)
		if err != nil {
			t.Fatal(err)
		}
		var mean, sd []float64
		var low, high []int
		for _, p := range f.Grades {
			mean, sd = append(mean, p.Mean()), append(sd, p.SD())
			low, high = append(low, p.Quantile(0.05)), append(high, p.Quantile(0.95))
		}
		return got{"mean_total": mean, "sd": sd, "q05_total": low, "q95_total": high, "cov_12": f.Covariance(0, 1)}
	}
	runners["hypergeometric-bounds"] = func(t *testing.T, c check) got {
		in := inputs[struct {
			Bed  int `json:"N"`
			N    int `json:"n"`
			X    int
			Conf float64
		}](t, c)
		i := NumberInBed(in.X, in.N, in.Bed, in.Conf)
		low, high := int(i.Low), int(i.High)
		return got{"lower": low, "upper": high, "point": float64(in.X) / float64(in.N) * float64(in.Bed),
			"p_at_lower":         HypergeometricAtLeast(in.X, in.Bed, low, in.N),
			"p_at_lower_minus_1": HypergeometricAtLeast(in.X, in.Bed, low-1, in.N),
			"p_at_upper":         HypergeometricUpTo(in.X, in.Bed, high, in.N)}
	}
	runners["bivariate"] = func(t *testing.T, c check) got {
		in := inputs[struct{ H, K, Rho float64 }](t, c)
		return got{"p": BothAbove(in.H, in.K, in.Rho)}
	}
	runners["grade-normal"] = func(t *testing.T, c check) got {
		in := inputs[struct {
			X           []float64
			Limit, Conf float64
		}](t, c)
		a, s := ShareAbove(in.X, in.Limit, in.Conf), Summarize(in.X)
		return got{"k": (s.Mean.X - in.Limit) / s.SD.X, "p_plugin": a.Shown.Value, "p_predictive_t": a.Predictive,
			"p_lower95": a.Shown.Interval.Low, "p_upper95": a.Shown.Interval.High, "p_mvue": a.Unbiased}
	}
	runners["score-yes-no"] = func(t *testing.T, c check) got {
		in := inputs[struct{ P, Outcome []float64 }](t, c)
		came := make([]bool, len(in.Outcome))
		for i, o := range in.Outcome {
			came[i] = o == 1
		}
		return got{"brier": BrierScore(in.P, came), "log_score": LogScore(in.P, came)}
	}
	runners["score-interval"] = func(t *testing.T, c check) got {
		in := inputs[struct {
			Lower, Upper, Y []float64
			Alpha           float64
		}](t, c)
		var scores []Maybe
		covered := 0.0
		for i, y := range in.Y {
			forecast := Between(in.Lower[i], in.Upper[i])
			scores = append(scores, IntervalScore(forecast, y, 1-in.Alpha))
			covered += boolTo(forecast.Contains(y))
		}
		return got{"score": scores, "coverage": covered / float64(len(in.Y))}
	}
}

func quantiles(p Predictive) got {
	g := got{"mean": p.Mean(), "sd": p.SD()}
	for name, q := range map[string]float64{"q025": 0.025, "q05": 0.05, "median": 0.5, "q95": 0.95, "q975": 0.975} {
		g[name] = p.Quantile(q)
	}
	return g
}
