package stats

import "testing"

func init() {
	runners["dispersion"] = func(t *testing.T, c check) got {
		in := inputs[struct {
			X, Counts, Freq []int
		}](t, c)
		x := in.X
		for i, f := range in.Freq {
			for range f {
				x = append(x, in.Counts[i])
			}
		}
		d := DispersionOf(x)
		return got{"n": d.N, "total": d.Total, "mean": d.Mean, "variance": d.Variance, "vmr": d.Index, "chisq": d.ChiSquare, "df": d.DF,
			"p_upper": d.PUpper, "p_lower": d.PLower, "k_moment": d.KMoment, "morisita": d.Morisita, "lloyd_mean_crowding": d.Crowding,
			"lloyd_patchiness": d.Patchiness, "green_index": d.Green}
	}
	runners["edge-middle"] = func(t *testing.T, c check) got {
		g := inputs[struct {
			X          []float64
			NRow, NCol int
		}](t, c)
		var edge, middle []float64
		for i, v := range g.X {
			if r, col := i/g.NCol, i%g.NCol; r == 0 || col == 0 || r == g.NRow-1 || col == g.NCol-1 {
				edge = append(edge, v)
			} else {
				middle = append(middle, v)
			}
		}
		m := MannWhitney(edge, middle)
		return got{"n_edge": len(edge), "n_middle": len(middle), "mean_edge": Summarize(edge).Mean, "mean_middle": Summarize(middle).Mean,
			"mw_U_edge": m.U, "mw_p_tie_corrected_cc": m.P}
	}
}

func init() {
	runners["ranks"] = func(t *testing.T, c check) got {
		in := inputs[struct{ A, B []float64 }](t, c)
		m := MannWhitney(in.A, in.B)
		return got{"U": m.U, "p": m.P}
	}
}
