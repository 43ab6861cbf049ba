package stats

import "testing"

func init() {
	runners["sprt-binomial"] = func(t *testing.T, c check) got {
		in := inputs[struct{ P0, P1, Alpha, Beta float64 }](t, c)
		s, err := NewSPRT(in.P0, in.P1, in.Alpha, in.Beta, 0, 0)
		if err != nil {
			t.Fatal(err)
		}
		g := got{"slope": s.Slope, "h_low": s.Low, "h_high": s.High, "min_n_accept_zero": s.FirstAccept()}
		n := []int{10, 20, 30, 40, 50, 100}
		var accept, reject []int
		for _, k := range n {
			accept, reject = append(accept, s.AcceptAt(k)), append(reject, s.RejectAt(k))
		}
		g["n"], g["accept_at_or_below"], g["reject_at_or_above"] = n, accept, reject
		for name, p := range map[string]float64{"p0": in.P0, "slope": s.Slope, "p1": in.P1} {
			g["L_at_"+name], g["asn_"+name] = s.WaldCurve(p)
		}
		return g
	}
	runners["sprt-exact"] = func(t *testing.T, c check) got {
		in := inputs[struct {
			P0, P1, Alpha, Beta, P float64
			NMax                   int `json:"n_max"`
		}](t, c)
		s, err := NewSPRT(in.P0, in.P1, in.Alpha, in.Beta, 0, in.NMax)
		if err != nil {
			t.Fatal(err)
		}
		o, _ := s.OperateExactly(in.P)
		return got{"accept": o.Low, "reject": o.High, "undecided": o.Undecided, "asn": o.Pots}
	}
	runners["sprt-poisson"] = func(t *testing.T, c check) got {
		in := inputs[struct{ M0, M1, Alpha, Beta float64 }](t, c)
		l, err := PoissonLines(in.M0, in.M1, in.Alpha, in.Beta)
		if err != nil {
			t.Fatal(err)
		}
		return got{"slope": l.Slope, "h_low": l.Low, "h_high": l.High}
	}
	runners["sprt-normal"] = func(t *testing.T, c check) got {
		in := inputs[struct{ Mu0, Mu1, Sigma, Alpha, Beta float64 }](t, c)
		l, err := NormalLines(in.Mu0, in.Mu1, in.Sigma, in.Alpha, in.Beta)
		if err != nil {
			t.Fatal(err)
		}
		n := []int{5, 10, 20}
		var low, high []float64
		for _, k := range n {
			a, b := l.At(k)
			low, high = append(low, a), append(high, b)
		}
		return got{"slope": l.Slope, "h_low": l.Low, "h_high": l.High, "n": n, "low_line": low, "high_line": high}
	}
	runners["stop-mean"] = func(t *testing.T, c check) got {
		in := inputs[struct {
			X        []float64
			N        int
			Conf     float64
			RelError float64 `json:"rel_error"`
			NMin     int     `json:"n_min"`
		}](t, c)
		n := 1
		for !EnoughForMean(in.X[:n], in.RelError, in.NMin, in.N, in.Conf) {
			n++
		}
		e := MeanInterval(in.X[:n], in.N, in.Conf)
		return got{"stop_n": n, "mean_at_stop": e.Value, "rel_halfwidth_at_stop": e.Interval.Width().X / 2 / e.Value.X}
	}
	runners["stop-cv"] = func(t *testing.T, c check) got {
		in := inputs[struct {
			X           []float64
			Width, Conf float64
			NMin        int `json:"n_min"`
		}](t, c)
		n := 1
		for !EnoughForCV(in.X[:n], in.Width, in.NMin, in.Conf) {
			n++
		}
		s := SpreadOf(in.X[:n], in.Conf)
		return got{"stop_n": n, "cv_at_stop": s.CV, "lower": s.Interval.Low, "upper": s.Interval.High}
	}
	runners["taylor"] = func(t *testing.T, c check) got {
		in := inputs[struct{ Means, Variances []float64 }](t, c)
		p, ok := TaylorFit(in.Means, in.Variances)
		if !ok {
			t.Fatal("no fit")
		}
		return got{"a": p.A, "b": p.B, "r2": p.R2, "se_b": p.SEB}
	}
	runners["green"] = func(t *testing.T, c check) got {
		in := inputs[struct {
			A, B float64
			D    float64 `json:"D"`
			N    []int
			Mean []float64
		}](t, c)
		p := PowerLaw{A: in.A, B: in.B}
		if in.N == nil {
			return got{"stop_total": p.GreenStop(in.D, 10), "n_required": p.Need(in.D, 3)}
		}
		var stop, need []Maybe
		for i, n := range in.N {
			stop, need = append(stop, p.GreenStop(in.D, n)), append(need, p.Need(in.D, in.Mean[i]))
		}
		return got{"stop_total": stop, "n_required": need}
	}
	runners["iwao"] = func(t *testing.T, c check) got {
		in := inputs[struct {
			Alpha, Beta, Conf float64
			D                 float64 `json:"D"`
			Critical          float64 `json:"critical_mean"`
			N                 []int
		}](t, c)
		p := Patchiness{Alpha: in.Alpha, Beta: in.Beta}
		var low, high []float64
		var kuno []Maybe
		for _, n := range in.N {
			i := p.DecisionLines(in.Critical, n, in.Conf)
			low, high, kuno = append(low, i.Low), append(high, i.High), append(kuno, p.KunoStop(in.D, n))
		}
		return got{"lower": low, "upper": high, "kuno_total": kuno, "n_max_half_width_20pct": p.DecisionMost(in.Critical, 0.2, in.Conf)}
	}
}

func init() {
	runners["sprt-negative-binomial"] = func(t *testing.T, c check) got {
		in := inputs[struct{ M0, M1, K, Alpha, Beta float64 }](t, c)
		l, err := NegativeBinomialLines(in.M0, in.M1, in.K, in.Alpha, in.Beta)
		if err != nil {
			t.Fatal(err)
		}
		return got{"slope": l.Slope, "h_low": l.Low, "h_high": l.High}
	}
}
