package stats_test

import (
	"bedwalk/sync/stats"
	"fmt"
)

func ExampleUniformityOf() {
	heads := []float64{30, 31, 29, 32, 30, 28, 33, 30, 27, 30} // cm
	u := stats.UniformityOf(heads, 0.10, 1200, stats.DefaultLevel)
	fmt.Printf("CV %.1f %%, corrected %.1f %%\n", 100*u.Spread.CV.X, 100*u.Spread.Corrected.X)
	fmt.Printf("uniformity %.0f (%.0f to %.0f)\n", 100*u.Expected.Value.X, 100*u.Expected.Interval.Low, 100*u.Expected.Interval.High)
	fmt.Printf("counted %d of %d\n", u.Counted.Count, u.Counted.N)
	// Output:
	// CV 5.9 %, corrected 6.0 %
	// uniformity 90 (70 to 98)
	// counted 10 of 10
}

func ExampleJoinedUniformity() {
	large, small := []float64{28, 29, 30, 31, 32}, []float64{20, 21, 22, 23, 24}
	mixed := stats.UniformityOf(append(append([]float64{}, large...), small...), 0.10, 0, stats.DefaultLevel)
	within := stats.JoinedUniformity([]stats.LotValues{{large, 0.10, 900}, {small, 0.10, 300}}, stats.DefaultLevel)
	fmt.Printf("as one lot %.0f, within lots %.0f\n", 100*mixed.Expected.Value.X, 100*within.Value.X)
	// By hand: CVs corrected 5.53 and 7.55 %, shares 92.9 and 81.5 %, three quarters and one quarter of the pots.

	// Output: as one lot 43, within lots 90
}

func ExampleVarianceComponents() {
	c := stats.VarianceComponents([][]float64{{28, 29, 30, 31, 32}, {20, 21, 22, 23, 24}}, stats.DefaultLevel)
	fmt.Printf("%.0f %% of the size spread is between the two cultivars\n", 100*c.ShareBetween.X)
	// Output: 93 % of the size spread is between the two cultivars
}

func ExampleWilson() {
	i := stats.Wilson(0, 20, 400, stats.DefaultLevel)
	fmt.Printf("none in 20 pots (could be up to %.0f %%)\n", 100*i.High)
	// Output: none in 20 pots (could be up to 11 %)
}

func ExampleSPRT() {
	plan, _ := stats.NewSPRT(0.05, 0.15, 0.10, 0.10, 15, 60)
	fmt.Println(plan.Decide(19, 0), plan.Decide(20, 0), plan.Decide(20, 4))
	more, _ := plan.MorePots(19, 0)
	fmt.Println("about", more, "more")
	// Output:
	// go on low high
	// about 1 more
}

func ExamplePredictJeffreys() {
	p, _ := stats.PredictJeffreys(51, 60, 2500)
	i := p.Interval(stats.DefaultLevel)
	fmt.Printf("expected %.0f, between %.0f and %.0f\n", p.Mean(), i.Low, i.High)
	// Output: expected 2111, between 1909 and 2281
}

func ExampleLeastInBed() {
	least, _ := stats.LeastInBed(51, 60, 2500, 0.05)
	fmt.Println("at least", least)
	// Output: at least 1885
}

func ExampleLeastInStrata() {
	// Two lots of one bed, of which one was looked at twice as often as the other.
	least, _ := stats.LeastInStrata([]stats.Stratum{{X: 9, N: 10, Bed: 600}, {X: 20, N: 20, Bed: 600}}, 0.05)
	fmt.Println("at least", least, "together")
	// Output: at least 965 together
}

func ExampleSeverityOf() {
	s := stats.SeverityOf([]int{10, 6, 3, 1, 0})
	fmt.Printf("%.0f %% affected, severity %.2f\n", 100*s.Incidence.X, s.Index.X)
	// Output: 50 % affected, severity 18.75
}

func ExampleICCsOf() {
	c := stats.ICCsOf([][]float64{{9, 2, 5, 8}, {6, 1, 3, 2}, {8, 4, 6, 8}, {7, 1, 2, 6}, {10, 5, 6, 9}, {6, 2, 4, 7}}, 0.95)
	fmt.Printf("%.2f\n", c.Two.Value.X)
	// Output: 0.29
}

func ExampleFitClustered() {
	// How much larger than the first scout the second reads, from six comparisons in three fortnights.
	rows := [][]float64{{1}, {1}, {-1}, {1}, {-1}, {1}}
	f, _ := stats.FitClustered(rows, []float64{0.05, 0.04, -0.03, 0.04, -0.05, 0.03}, []int{1, 1, 2, 2, 3, 3})
	e := f.Contrast([]float64{1}, stats.DefaultLevel)
	fmt.Printf("%.3f (%.3f to %.3f) over %d fortnights\n", e.Value.X, e.Interval.Low, e.Interval.High, e.N)
	// Output: 0.040 (0.032 to 0.048) over 3 fortnights
}

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
