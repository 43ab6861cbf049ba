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
	runners["hypergeometric-bounds"] = func(t *testing.T, c check) got {
		in := inputs[struct {
			Bed  int `json:"N"`
			N    int `json:"n"`
			X    int
			Conf float64
		}](t, c)
		risk := (1 - in.Conf) / 2
		low, ok := LeastInBed(in.X, in.N, in.Bed, risk)
		unmarked, ok2 := LeastInBed(in.N-in.X, in.N, in.Bed, risk)
		if !ok || !ok2 {
			t.Fatal("the counts do not fit the bed")
		}
		high := in.Bed - unmarked
		return got{"lower": low, "upper": high, "point": float64(in.X) / float64(in.N) * float64(in.Bed),
			"p_at_lower":         HypergeometricAtLeast(in.X, in.Bed, low, in.N),
			"p_at_lower_minus_1": HypergeometricAtLeast(in.X, in.Bed, low-1, in.N),
			"p_at_upper":         HypergeometricUpTo(in.X, in.Bed, high, in.N)}
	}
}

func quantiles(p Predictive) got {
	mean, variance := p.Mean(), 0.0
	for k := 0; k <= p.Quantile(1); k++ {
		variance += p.Chance(k) * (float64(k) - mean) * (float64(k) - mean)
	}
	g := got{"mean": mean, "sd": sqrt(variance)}
	for name, q := range map[string]float64{"q025": 0.025, "q05": 0.05, "median": 0.5, "q95": 0.95, "q975": 0.975} {
		g[name] = p.Quantile(q)
	}
	return g
}
