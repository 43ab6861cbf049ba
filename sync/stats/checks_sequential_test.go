package stats

import "testing"

func init() {
	runners["sprt-binomial"] = func(t *testing.T, c check) got {
		in := inputs[struct{ P0, P1, Alpha, Beta float64 }](t, c)
		s, err := NewSPRT(in.P0, in.P1, in.Alpha, in.Beta, 0, 0)
		if err != nil {
			t.Fatal(err)
		}
		g := got{"slope": s.Slope, "h_low": s.Low, "h_high": s.High, "min_n_accept_zero": firstAccept(s)}
		n := []int{10, 20, 30, 40, 50, 100}
		var accept, reject []int
		for _, k := range n {
			accept, reject = append(accept, s.AcceptAt(k)), append(reject, s.RejectAt(k))
		}
		g["n"], g["accept_at_or_below"], g["reject_at_or_above"] = n, accept, reject
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
		o := operate(s, in.P)
		return got{"accept": o.Low, "reject": o.High, "undecided": o.Undecided, "asn": o.Pots}
	}
}

// firstAccept is the fewest clean pots that call the share low.
func firstAccept(s SPRT) int {
	n := max(1, s.Least)
	for s.AcceptAt(n) < 0 {
		n++
	}
	return n
}

// operation is how a truncated plan behaves at one true share: the chances of its three ends and the mean number of pots.
type operation struct{ Low, High, Undecided, Pots float64 }

// operate walks the plan, which needs a Most, over (n, count) for pots drawn independently with share p: exact but for rounding.
func operate(s SPRT, p float64) (o operation) {
	open := make([]float64, s.Most+2)
	open[0] = 1
	for n := 1; n <= s.Most; n++ {
		for c := n; c >= 0; c-- {
			was := open[c]
			o.Pots += was
			open[c] = was * (1 - p)
			if c > 0 {
				open[c] += open[c-1] * p
			}
		}
		for c := 0; c <= n; c++ {
			switch s.Decide(n, c) {
			case CallLow:
				o.Low += open[c]
				open[c] = 0
			case CallHigh:
				o.High += open[c]
				open[c] = 0
			}
		}
	}
	for _, w := range open {
		o.Undecided += w
	}
	return o
}
