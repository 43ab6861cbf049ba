package stats

import (
	"math"
	"testing"
)

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
			"clopper_pearson": limits(ClopperPearson(in.X, in.N, in.Conf)), "jeffreys": limits(Jeffreys(in.X, in.N, in.Conf))}
	}
	runners["need-mean"] = func(t *testing.T, c check) got {
		in := inputs[struct {
			N                     int
			CV, Conf, T, Mean, S2 float64
			RelError              float64 `json:"rel_error"`
		}](t, c)
		if in.T > 0 {
			need := needForMean(in.T, sqrt(in.S2)/in.Mean, in.RelError, in.N)
			return got{"n0": need.N0, "n0_rounded": math.Ceil(need.N0), "n": need.N, "n_unrounded": need.Real}
		}
		need, err := NeedForMean(in.CV, in.RelError, in.N, in.Conf)
		byT, errT := NeedForMeanT(in.CV, in.RelError, in.N, in.Conf)
		if err != nil || errT != nil {
			t.Fatal(err, errT)
		}
		return got{"n0": need.N0, "n_real": need.Real, "n": need.N, "n_t": byT}
	}
	runners["need-share"] = func(t *testing.T, c check) got {
		in := inputs[struct {
			N             int
			P, D, Conf, T float64
		}](t, c)
		need := needForShare(in.T, in.P, in.D, in.N)
		if in.T == 0 {
			var err error
			if need, err = NeedForShare(in.P, in.D, in.N, in.Conf); err != nil {
				t.Fatal(err)
			}
		}
		return got{"n0": need.N0, "n_exact": need.Real, "n_real": need.Real, "n": need.N}
	}
	runners["need-cv"] = func(t *testing.T, c check) got {
		in := inputs[struct {
			N        int
			CV, Conf float64
			RelError float64 `json:"rel_error"`
		}](t, c)
		need, err := NeedForCV(in.CV, in.RelError, in.N, in.Conf)
		byVangel, errV := NeedForCVByVangel(in.CV, in.RelError, in.Conf)
		if err != nil || errV != nil {
			t.Fatal(err, errV)
		}
		return got{"n0": need.N0, "n_real": need.Real, "n": need.N, "n_vangel_halfwidth": byVangel}
	}
	runners["need-detect"] = func(t *testing.T, c check) got {
		in := inputs[struct {
			N, D int
			Conf float64
		}](t, c)
		n, err := NeedToDetect(in.N, in.D, in.Conf)
		if err != nil {
			t.Fatal(err)
		}
		return got{"n_exact": n, "p_miss_at_n": ChanceOfMissing(in.N, in.D, n), "p_miss_at_n_minus_1": ChanceOfMissing(in.N, in.D, n-1),
			"n_cannon_roe": NeedToDetectRoughly(in.N, in.D, in.Conf)}
	}
}

func init() {
	runners["need-detect-share"] = func(t *testing.T, c check) got {
		in := inputs[struct{ P, Conf float64 }](t, c)
		n, err := NeedToDetectShare(in.P, in.Conf)
		if err != nil {
			t.Fatal(err)
		}
		return got{"n": n}
	}
	runners["upper-of-none"] = func(t *testing.T, c check) got {
		in := inputs[struct {
			N    int
			Conf float64
		}](t, c)
		return got{"p": UpperOfNone(in.N, in.Conf)}
	}
	runners["neyman"] = func(t *testing.T, c check) got {
		in := inputs[struct {
			N     int
			Sizes []int
			SDs   []float64
		}](t, c)
		n, err := Neyman(in.N, in.Sizes, in.SDs)
		if err != nil {
			t.Fatal(err)
		}
		return got{"n": n}
	}
}
