package stats

import "testing"

func init() {
	runners["acceptance-plan"] = func(t *testing.T, c check) got {
		in := inputs[struct {
			Lot int
			AQL float64
		}](t, c)
		p, err := AcceptancePlan(in.Lot, in.AQL, LevelII)
		if err != nil {
			t.Fatal(err)
		}
		shares := []float64{in.AQL / 100, 0.02, 0.05, 0.1, 0.15}
		var binomial, lot, poisson []Maybe
		for _, s := range shares {
			binomial, lot, poisson = append(binomial, p.PassBinomial(s)), append(lot, p.PassLot(s, in.Lot)), append(poisson, p.PassPoisson(s))
		}
		return got{"letter": p.Letter, "n": p.N, "ac": p.Accept, "re": p.Reject, "p": shares, "pa_binomial": binomial, "pa_hyper": lot, "pa_poisson": poisson}
	}
	runners["oc-points"] = func(t *testing.T, c check) got {
		in := inputs[struct {
			N, C int
			Pa   []float64
		}](t, c)
		var p []Maybe
		for _, pa := range in.Pa {
			p = append(p, Plan{N: in.N, Accept: in.C}.ShareAtPass(pa))
		}
		return got{"p": p}
	}
	runners["oc-find-plan"] = func(t *testing.T, c check) got {
		in := inputs[struct{ PRP, CRP [2]float64 }](t, c)
		p, err := FindPlan(in.PRP[0], in.PRP[1], in.CRP[0], in.CRP[1])
		if err != nil {
			t.Fatal(err)
		}
		return got{"n": p.N, "c": p.Accept, "pa_prp": p.PassBinomial(in.PRP[0]), "pa_crp": p.PassBinomial(in.CRP[0])}
	}
	runners["oc-variables"] = func(t *testing.T, c check) got {
		in := inputs[struct {
			N int
			K float64
			P []float64
		}](t, c)
		var pa []Maybe
		for _, p := range in.P {
			pa = append(pa, PassByMeasure(in.N, in.K, p))
		}
		return got{"pa": pa}
	}
	runners["variables-share"] = func(t *testing.T, c check) got {
		in := inputs[struct {
			Q float64
			N int
		}](t, c)
		return got{"p": FractionBeyond(in.Q, in.N), "naive_normal": stdNormal.Survival(in.Q)}
	}
	runners["oc-curve"] = func(t *testing.T, c check) got {
		in := inputs[struct {
			N, C int
			P    []float64
		}](t, c)
		var pa, aoq []Maybe
		for _, share := range in.P {
			p := Plan{N: in.N, Accept: in.C}
			pa, aoq = append(pa, p.PassBinomial(share)), append(aoq, p.OutgoingQuality(share, 10000))
		}
		return got{"pa": pa, "aoq_N10000": aoq}
	}
}

// The whole table as it was read, so that the diagonals it is stored by are proved and not believed.
func TestEveryPlanOfTheTableIsFoundByItsDiagonal(t *testing.T) {
	want := map[byte][6][2]int{
		'A': {{13, 0}, {8, 0}, {5, 0}, {3, 0}, {2, 0}, {5, 1}}, 'B': {{13, 0}, {8, 0}, {5, 0}, {3, 0}, {2, 0}, {5, 1}},
		'C': {{13, 0}, {8, 0}, {5, 0}, {3, 0}, {8, 1}, {5, 1}}, 'D': {{13, 0}, {8, 0}, {5, 0}, {13, 1}, {8, 1}, {8, 2}},
		'E': {{13, 0}, {8, 0}, {20, 1}, {13, 1}, {13, 2}, {13, 3}}, 'F': {{13, 0}, {32, 1}, {20, 1}, {20, 2}, {20, 3}, {20, 5}},
		'G': {{50, 1}, {32, 1}, {32, 2}, {32, 3}, {32, 5}, {32, 7}}, 'H': {{50, 1}, {50, 2}, {50, 3}, {50, 5}, {50, 7}, {50, 10}},
		'J': {{80, 2}, {80, 3}, {80, 5}, {80, 7}, {80, 10}, {80, 14}}, 'K': {{125, 3}, {125, 5}, {125, 7}, {125, 10}, {125, 14}, {125, 21}},
		'L': {{200, 5}, {200, 7}, {200, 10}, {200, 14}, {200, 21}, {125, 21}}, 'M': {{315, 7}, {315, 10}, {315, 14}, {315, 21}, {200, 21}, {125, 21}},
		'N': {{500, 10}, {500, 14}, {500, 21}, {315, 21}, {200, 21}, {125, 21}}, 'P': {{800, 14}, {800, 21}, {500, 21}, {315, 21}, {200, 21}, {125, 21}},
		'Q': {{1250, 21}, {800, 21}, {500, 21}, {315, 21}, {200, 21}, {125, 21}}, 'R': {{1250, 21}, {800, 21}, {500, 21}, {315, 21}, {200, 21}, {125, 21}},
	}
	for i, letter := range []byte(planLetters) {
		for column, plan := range want[letter] {
			if p := tablePlan(i, column); p.N != plan[0] || p.Accept != plan[1] {
				t.Errorf("letter %c, AQL %g: have %d/%d, want %d/%d", letter, acceptanceLevels[column], p.N, p.Accept, plan[0], plan[1])
			}
		}
	}
}

func TestALotOnARowsEdgeBelongsToThatRow(t *testing.T) {
	for lot, letter := range map[int]string{2: "A", 8: "A", 9: "B", 1200: "J", 1201: "K", 3200: "K", 3201: "L", 500000: "P", 500001: "Q"} {
		if p, err := AcceptancePlan(lot, 2.5, LevelII); err != nil || p.Letter != letter {
			t.Errorf("lot %d: have %q (%v), want %q", lot, p.Letter, err, letter)
		}
	}
	if p, _ := AcceptancePlan(4, 1, LevelII); !p.All {
		t.Error("a plan of 13 for a lot of 4 means every pot")
	}
	if _, err := AcceptancePlan(100, 3, LevelII); err == nil {
		t.Error("an AQL that the table does not hold must be refused")
	}
}
