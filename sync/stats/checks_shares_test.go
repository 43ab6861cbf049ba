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
			"clopper_pearson": limits(ClopperPearson(in.X, in.N, in.Conf))}
	}
}
