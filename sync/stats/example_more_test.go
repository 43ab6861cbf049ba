package stats_test

import (
	"fmt"

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

func ExampleMannWhitney() {
	edge, middle := []float64{24, 25, 26, 27, 25.5}, []float64{29, 30, 28, 31, 26.5}
	test := stats.MannWhitney(edge, middle)
	fmt.Printf("an edge pot is above one inside %.0f times in 100, p %.3f\n", 100*test.Share.X, test.P.X)
	// Output: an edge pot is above one inside 4 times in 100, p 0.016
}

func ExampleDispersionOf() {
	var mites []int // on 150 leaves; Bliss and Fisher 1953
	for count, leaves := range []int{70, 38, 17, 10, 9, 3, 2, 1} {
		for range leaves {
			mites = append(mites, count)
		}
	}
	fmt.Printf("index %.2f\n", stats.DispersionOf(mites).Index.X)
	// Output: index 1.98
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
