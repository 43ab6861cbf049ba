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
		k := NegativeBinomialK(x)
		g := got{"n": d.N, "total": d.Total, "mean": d.Mean, "variance": d.Variance, "vmr": d.Index, "chisq": d.ChiSquare, "df": d.DF,
			"p_upper": d.PUpper, "p_lower": d.PLower, "k_moment": d.KMoment, "morisita": d.Morisita, "lloyd_mean_crowding": d.Crowding,
			"lloyd_patchiness": d.Patchiness, "green_index": d.Green, "k_ml": k, "k_zero_class": NegativeBinomialKByZeros(x)}
		if k.Known {
			n, m := float64(d.N), d.Mean.X
			expected, rest, loglik, gof := []float64{}, n, 0.0, 0.0
			seen, more := make([]float64, 5), 0.0
			for _, v := range x {
				loglik += ln(NegativeBinomial(v, m, k.X))
				if v < 5 {
					seen[v]++
				} else {
					more++
				}
			}
			for v := range 5 {
				e := n * NegativeBinomial(v, m, k.X)
				expected, rest = append(expected, e), rest-e
				gof += (seen[v] - e) * (seen[v] - e) / e
			}
			gof += (more - rest) * (more - rest) / rest
			g["expected_0_to_4_and_5plus"], g["loglik_ml"], g["gof_chisq"] = append(expected, rest), loglik, gof
		}
		return g
	}
	runners["moran"] = func(t *testing.T, c check) got {
		g := grid(t, c)
		of := func(byRow bool) map[string]any {
			m := MoranOf(g, Rook, byRow)
			return map[string]any{"I": m.I, "E": m.Expected, "var_rand": m.VarRandom, "z_rand": m.ZRandom, "p_rand": m.PRandom,
				"var_norm": m.VarNormal, "z_norm": m.ZNormal}
		}
		return got{"binary": of(false), "row_standardised": of(true)}
	}
	runners["moran-all-orders"] = func(t *testing.T, c check) got {
		f, _ := newField(grid(t, c), Rook, false)
		s0, _, _ := f.sums()
		seen := f.moran(f.values, s0).X
		var all []float64
		atLeast := 0
		everyOrder(append([]float64{}, f.values...), 0, func(x []float64) {
			v := f.moran(x, s0).X
			all = append(all, v)
			if v >= seen-1e-12 {
				atLeast++
			}
		})
		s, n := Summarize(all), float64(len(all))
		return got{"I": seen, "count_ge": atLeast, "p_greater": float64(atLeast) / n, "perm_mean": s.Mean, "perm_var_pop": s.SD.X * s.SD.X * (n - 1) / n}
	}
	runners["edge-middle"] = func(t *testing.T, c check) got {
		g := grid(t, c)
		var edge, middle []float64
		for i, v := range g.Values {
			if r, col := i/g.Cols, i%g.Cols; r == 0 || col == 0 || r == g.Rows-1 || col == g.Cols-1 {
				edge = append(edge, v)
			} else {
				middle = append(middle, v)
			}
		}
		w, m := WelchTest(edge, middle, 0.95), MannWhitney(edge, middle)
		return got{"n_edge": len(edge), "n_middle": len(middle), "mean_edge": Summarize(edge).Mean, "mean_middle": Summarize(middle).Mean,
			"t": w.T, "df": w.DF, "p": w.P, "ci_lower": w.Difference.Interval.Low, "ci_upper": w.Difference.Interval.High,
			"mw_U_edge": m.U, "mw_p_tie_corrected_cc": m.P}
	}
	runners["joins"] = func(t *testing.T, c check) got {
		j := JoinsOf(grid(t, c), Rook)
		return got{"n_flagged": j.Flagged, "both": j.Both, "mixed": j.Mixed, "neither": j.Neither, "expected_both": j.ExpectedBoth,
			"var_both": j.VarBoth, "expected_mixed": j.ExpectedMixed, "var_mixed": j.VarMixed, "z_both": j.ZBoth, "z_mixed": j.ZMixed}
	}
}

func grid(t *testing.T, c check) Grid {
	in := inputs[struct {
		X          []float64
		NRow, NCol int
	}](t, c)
	return Grid{Rows: in.NRow, Cols: in.NCol, Values: in.X}
}

func everyOrder(x []float64, from int, visit func([]float64)) {
	if from == len(x) {
		visit(x)
		return
	}
	for i := from; i < len(x); i++ {
		x[from], x[i] = x[i], x[from]
		everyOrder(x, from+1, visit)
		x[from], x[i] = x[i], x[from]
	}
}

func init() {
	runners["moran-gaps"] = func(t *testing.T, c check) got {
		in := inputs[struct {
			X          []*float64
			NRow, NCol int
		}](t, c)
		of := func(byRow bool) map[string]any {
			m := MoranOf(Grid{Rows: in.NRow, Cols: in.NCol, Values: measured(in.X)}, Queen, byRow)
			return map[string]any{"I": m.I, "E": m.Expected, "var_rand": m.VarRandom, "z_rand": m.ZRandom, "p_rand": m.PRandom}
		}
		return got{"binary": of(false), "row_standardised": of(true)}
	}
	runners["ranks"] = func(t *testing.T, c check) got {
		in := inputs[struct{ A, B []float64 }](t, c)
		m := MannWhitney(in.A, in.B)
		return got{"U": m.U, "p": m.P}
	}
	runners["iwao-fit"] = func(t *testing.T, c check) got {
		in := inputs[struct{ Means, Variances []float64 }](t, c)
		p, ok := IwaoFit(in.Means, in.Variances)
		if !ok {
			t.Fatal("no fit")
		}
		return got{"alpha": p.Alpha, "beta": p.Beta}
	}
	runners["negative-binomial"] = func(t *testing.T, c check) got {
		in := inputs[struct{ M, K float64 }](t, c)
		var p []float64
		for x := range 5 {
			p = append(p, NegativeBinomial(x, in.M, in.K))
		}
		return got{"p": p}
	}
}
