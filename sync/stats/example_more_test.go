package stats_test

import (
	"fmt"
	"math/rand/v2"

	"bedwalk/sync/stats"
)

func ExampleMeanInterval() {
	e := stats.MeanInterval([]float64{30, 31, 29, 32, 30, 28, 33, 30, 27, 30}, 0, 0.95) // cm
	fmt.Printf("%.1f (%.2f to %.2f) of %d\n", e.Value.X, e.Interval.Low, e.Interval.High, e.N)
	// Output: 30.0 (28.74 to 31.26) of 10
}

func ExampleVangelInterval() {
	i := stats.VangelInterval(0.15, 20, 0.95)
	fmt.Printf("a CV of 15 %% from 20 pots may be %.1f to %.1f %%\n", 100*i.Low, 100*i.High)
	// Output: a CV of 15 % from 20 pots may be 11.4 to 22.2 %
}

func ExampleClopperPearson() {
	i := stats.ClopperPearson(1, 29, 0.95)
	fmt.Printf("%.4f to %.4f\n", i.Low, i.High)
	// Output: 0.0009 to 0.1776
}

func ExampleNumberInBed() {
	i := stats.NumberInBed(51, 60, 2500, 0.95)
	fmt.Printf("51 of 60 seen: %.0f to %.0f of the bed's 2500\n", i.Low, i.High)
	// Output: 51 of 60 seen: 1840 to 2320 of the bed's 2500
}

func ExampleToleranceFactor() {
	fmt.Printf("%.4f SDs below the mean lie under 95 %% of pots, with 95 %% confidence from 10\n", stats.ToleranceFactor(10, 0.95, 0.95).X)
	// Output: 2.9110 SDs below the mean lie under 95 % of pots, with 95 % confidence from 10
}

func ExampleMannWhitney() {
	edge, middle := []float64{24, 25, 26, 27, 25.5}, []float64{29, 30, 28, 31, 26.5}
	test := stats.MannWhitney(edge, middle)
	fmt.Printf("an edge pot is above one inside %.0f times in 100, p %.3f\n", 100*test.Share.X, test.P.X)
	// Output: an edge pot is above one inside 4 times in 100, p 0.016
}

func ExampleMeansByOrder() {
	rng := rand.New(rand.NewPCG(1, 2))
	test := stats.MeansByOrder([]float64{24, 25, 26, 27, 25.5}, []float64{29, 30, 28, 31, 26.5}, 999, rng)
	fmt.Printf("%.1f cm, p %.2f\n", test.Observed.X, test.P.X)
	// Output: -3.4 cm, p 0.02
}

func ExampleMoranOf() {
	gradient := []float64{1, 2, 3, 4, 2, 3, 4, 5, 3, 4, 5, 6, 4, 5, 6, 7}
	m := stats.MoranOf(stats.Grid{Rows: 4, Cols: 4, Values: gradient}, stats.Rook, false)
	fmt.Printf("I %.2f, expected by chance %.2f\n", m.I.X, m.Expected.X)
	// Output: I 0.67, expected by chance -0.07
}

func ExampleJoinsOf() {
	sick := []float64{1, 1, 0, 0, 1, 1, 0, 0, 0, 0, 0, 0}
	j := stats.JoinsOf(stats.Grid{Rows: 3, Cols: 4, Values: sick}, stats.Rook)
	fmt.Printf("%d sick neighbours of sick pots, %.1f expected\n", j.Both, j.ExpectedBoth.X)
	// Output: 4 sick neighbours of sick pots, 1.5 expected
}

func ExampleNegativeBinomialK() {
	var mites []int // on 150 leaves; Bliss and Fisher 1953
	for count, leaves := range []int{70, 38, 17, 10, 9, 3, 2, 1} {
		for range leaves {
			mites = append(mites, count)
		}
	}
	fmt.Printf("index %.2f, k %.4f\n", stats.DispersionOf(mites).Index.X, stats.NegativeBinomialK(mites).X)
	// Output: index 1.98, k 1.0246
}

func ExampleAgreementOf() {
	table, n, _ := stats.TableOf([]int{0, 1, 2, 2, 3, 1, 0, 2}, []int{0, 1, 2, 3, 3, 1, 1, 2}, 4)
	a := stats.AgreementOf(table, n, stats.Quadratic.Weights(4), stats.DefaultLevel)
	fmt.Printf("weighted kappa %.2f on %.0f pots\n", a.Kappa.X, n)
	// Output: weighted kappa 0.88 on 8 pots
}

func ExamplePairsOf() {
	p, _ := stats.PairsOf([]float64{31, 33, 30, 36}, []float64{30, 32, 29, 34}, 0.95)
	fmt.Printf("reads %.2f cm larger, single pots %.2f to %.2f\n", p.Bias.Value.X, p.Limits.Low, p.Limits.High)
	// Output: reads 1.25 cm larger, single pots 0.27 to 2.23
}

func ExampleBothAbove() {
	// The chance that head and buds are both above their limits, which lie at their means; they go together by 0.5.
	fmt.Printf("%.4f\n", stats.BothAbove(0, 0, 0.5).X)
	// Output: 0.3333
}

func ExampleSPRT_OperateExactly() {
	plan, _ := stats.NewSPRT(0.05, 0.15, 0.10, 0.10, 0, 120)
	o, _ := plan.OperateExactly(0.05)
	fmt.Printf("good beds pass %.1f times in 100 after %.1f pots\n", 100*o.Low, o.Pots)
	// Output: good beds pass 92.4 times in 100 after 37.7 pots
}
