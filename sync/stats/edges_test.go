package stats

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"
)

var nan = math.NaN()

func TestNoPotsOnePotAndEqualPotsAreDistinguished(t *testing.T) {
	none, one, equal := SpreadOf(nil, 0.9), SpreadOf([]float64{30}, 0.9), SpreadOf([]float64{30.1, 30.1, 30.1}, 0.9)
	if none.Mean.Known || none.SD.Known || none.CV.Known || none.Interval.Known {
		t.Errorf("of nothing nothing is known: %+v", none)
	}
	if !one.Mean.Known || one.SD.Known || one.CV.Known {
		t.Errorf("of one pot only the mean is known: %+v", one)
	}
	if equal.SD != Sure(0) || equal.CV != Sure(0) || equal.Interval.Known || equal.Interval.Open {
		t.Errorf("equal pots have a spread of 0 and no interval: %+v", equal)
	}
	u := UniformityOf([]float64{30.1, 30.1, 30.1}, 0.1, 0, 0.9)
	if u.Expected.Value != Sure(1) || u.Expected.Interval.Known || u.Counted.Count != 3 || u.Differ {
		t.Errorf("equal pots are uniform, with a counted interval only: %+v", u)
	}
}

func TestAValueNotTakenIsCountedAndNeverScored(t *testing.T) {
	a := UniformityOf([]float64{30, nan, 31, 29, math.Inf(1)}, 0.1, 0, 0.9)
	b := UniformityOf([]float64{30, 31, 29}, 0.1, 0, 0.9)
	if a.Spread.Missing != 2 || a.Spread.N != 3 || a.Expected.Value != b.Expected.Value || a.Counted != b.Counted {
		t.Errorf("%+v against %+v", a, b)
	}
}

func TestAZeroOrNegativeMeanHasNoCoefficientOfVariation(t *testing.T) {
	for _, x := range [][]float64{{0, 0, 0}, {-1, 1}, {-3, -5}, {-1, 4, 5}} {
		if s := SpreadOf(x, 0.9); s.CV.Known || s.Interval.Known {
			t.Errorf("%v: %+v", x, s)
		}
	}
}

func TestAnUpperLimitThatDoesNotExistIsOpenAndLeavesUniformityZeroBelow(t *testing.T) {
	i := VangelInterval(1.5, 5, 0.95)
	if i.Known || !i.Open || math.Abs(i.Low-0.5906107) > 1e-6 || i.Contains(0.5) || !i.Contains(40) {
		t.Errorf("%+v", i)
	}
	if u := uniformityInterval(i, 0.1); !u.Known || u.Low != 0 || u.High <= 0 {
		t.Errorf("%+v", u)
	}
}

func TestLevelsAndSizesThatMakeNoSenseGiveUnknownOrAnErrorThatSaysSo(t *testing.T) {
	for _, level := range []float64{0, 1, -1, nan} {
		if VangelInterval(0.1, 10, level).Known || Wilson(1, 10, 0, level).Known || MeanInterval([]float64{1, 2}, 0, level).Interval.Known {
			t.Errorf("level %v gave an interval", level)
		}
	}
	if Wilson(3, 2, 0, 0.9).Known || Wilson(-1, 2, 0, 0.9).Known || Wilson(1, 20, 10, 0.9).Known {
		t.Error("an impossible count gave an interval")
	}
	_, e1 := NewSPRT(0.2, 0.1, 0.1, 0.1, 0, 0)
	_, e2 := NewSPRT(0.1, 0.2, 0.6, 0.5, 0, 0)
	_, e3 := NewSPRT(0.1, 0.2, 0.1, 0.1, 20, 10)
	_, e4 := Predict(3, 2, 10, 0.5, 0.5)
	for i, err := range []error{e1, e2, e3, e4} {
		if !errors.Is(err, ErrInput) {
			t.Errorf("error %d: %v", i+1, err)
		}
	}
}

func TestLookingAtEveryPotLeavesNoDoubt(t *testing.T) {
	if i := Wilson(3, 12, 12, 0.9); i != Between(0.25, 0.25) {
		t.Errorf("Wilson %v", i)
	}
	if n, ok := LeastInBed(3, 12, 12, 0.05); !ok || n != 3 {
		t.Errorf("exact %d", n)
	}
	if w := UniformityWidth(0.2, 0.1, 12, 12, 0.9); w != Sure(0) {
		t.Errorf("width %v", w)
	}
	if p, err := PredictJeffreys(0, 0, 40); err != nil || p.Quantile(1) != 40 || math.Abs(p.Mean()-20) > 1e-9 {
		t.Errorf("with no pot seen the prior speaks: %v", err)
	}
}

func TestLotsThatAreNoLotsLeaveComponentsUnknown(t *testing.T) {
	if c := VarianceComponents(nil, 0.9); c.Lots != 0 || c.MSWithin.Known {
		t.Errorf("%+v", c)
	}
	if c := VarianceComponents([][]float64{{1, 2, 3}, {}}, 0.9); c.Lots != 1 || c.VarBetween.Known || !c.VarWithin.Known {
		t.Errorf("one lot has no between: %+v", c)
	}
	if c := VarianceComponents([][]float64{{1}, {2}}, 0.9); c.MSWithin.Known || c.F.Known {
		t.Errorf("lots of one pot have no within: %+v", c)
	}
	if c := VarianceComponents([][]float64{{5, 5}, {5, 5}}, 0.9); c.F.Known || c.ShareBetween.Known {
		t.Errorf("nothing varies: %+v", c)
	}
	if c := VarianceComponents([][]float64{{5, 5}, {9, 9}}, 0.9); c.ShareBetween != Sure(1) {
		t.Errorf("two perfectly even lots differ by all there is: %+v", c)
	}
}

func TestTheSameSeedGivesTheSamePermutationAnswer(t *testing.T) {
	at, heads := []float64{}, []float64{}
	for i := range 20 {
		at, heads = append(at, float64(i)), append(heads, 32-0.2*float64(i)+float64(i%3))
	}
	at[3] = nan
	of := func() Gradient { return GradientOf(at, heads, 999, rand.New(rand.NewPCG(1, 1))) }
	gr := of()
	if again := of(); gr != again {
		t.Errorf("%+v, then %+v", gr, again)
	}
	if gr.N != 19 || gr.Slope.X > -0.1 || gr.P.X > 0.01 {
		t.Errorf("%+v", gr)
	}
	if g := GradientOf([]float64{1, 1, 1}, []float64{1, 2, 3}, 99, rand.New(rand.NewPCG(1, 1))); g.Slope.Known {
		t.Errorf("one place has no gradient: %+v", g)
	}
}

func TestComparisonsOfTooLittleAreUnknown(t *testing.T) {
	if m := MannWhitney([]float64{2, 2}, []float64{2, 2}); m.P.Known || m.Share != Sure(0.5) {
		t.Errorf("%+v", m)
	}
	if m := MannWhitney(nil, []float64{1}); m.U.Known {
		t.Errorf("%+v", m)
	}
}

func TestAgreementOnNothingOrByOneClassIsSaidSo(t *testing.T) {
	if a := AgreementOf([][]float64{{0, 0}, {0, 0}}, 0, Unweighted.Weights(2), 0.9); a.Observed.Known {
		t.Errorf("%+v", a)
	}
	if a := AgreementOf([][]float64{{1, 2}}, 3, Unweighted.Weights(1), 0.9); a.Observed.Known {
		t.Errorf("a table that is not square: %+v", a)
	}
	if c := ICCsOf([][]float64{{1, 2}, {nan, 3}}, 0.9); c.One.Value.Known || c.LeftOut != 1 {
		t.Errorf("%+v", c)
	}
	table, n, ok := TableOf([]int{0, 1, -1, 2}, []int{0, 2, 1, 2}, 3)
	if !ok || n != 3 || table[1][2] != 1 {
		t.Errorf("%v %v %v", table, n, ok)
	}
}

func TestAFitOverClustersSaysNothingMoreThanItsClustersTell(t *testing.T) {
	rows, y := [][]float64{{1}, {1}, {1}, {1}}, []float64{1, 2, 3, 5}
	f, ok := FitClustered(rows, y, []int{1, 1, 2, 2})
	if e := f.Contrast([]float64{1}, 0.9); !ok || e.Value.X != 2.75 || !e.Interval.Known || e.N != 2 {
		t.Errorf("two clusters: %+v", e)
	}
	f, ok = FitClustered(rows, y, []int{7, 7, 7, 7})
	if e := f.Contrast([]float64{1}, 0.9); !ok || !e.Value.Known || e.Interval.Known {
		t.Errorf("one cluster: %+v", e)
	}
	f, _ = FitClustered(rows, []float64{2, 2, 2, 2}, []int{1, 1, 2, 2})
	if e := f.Contrast([]float64{1}, 0.9); e.Value.X != 2 || e.Interval.Known {
		t.Errorf("nothing left over: %+v", e)
	}
	if e := f.Contrast([]float64{1, 1}, 0.9); e.Value.Known {
		t.Errorf("a contrast of another length: %+v", e)
	}
	for name, x := range map[string][][]float64{
		"no row": {}, "no column": {{}, {}, {}, {}}, "ragged": {{1}, {1, 2}, {1}, {1}}, "dependent": {{1, 2}, {2, 4}, {3, 6}, {1, 2}},
	} {
		if _, ok := FitClustered(x, y, []int{1, 1, 2, 2}); ok {
			t.Errorf("%s was fitted", name)
		}
	}
}

func TestAgreementIsTheSameWhicheverScoutComesFirst(t *testing.T) {
	// The second scout reads every head 30 mm larger: no error is left but rounding.
	first := []float64{280, 300, 330, 290, 310, 350}
	var ab, ba [][]float64
	for _, mm := range first {
		ab, ba = append(ab, []float64{mm + 0.1, mm + 30.1}), append(ba, []float64{mm + 30.1, mm + 0.1})
	}
	a, b := ICCsOf(ab, 0.9).Two, ICCsOf(ba, 0.9).Two
	if !a.Interval.Known || !b.Interval.Known || math.Abs(a.Interval.Low-b.Interval.Low) > 1e-9 || a.Interval.Low > a.Value.X || a.Interval.High < a.Value.X {
		t.Errorf("one way %+v, the other %+v", a, b)
	}
	if same := ICCsOf([][]float64{{1, 1}, {2, 2}, {3, 3}}, 0.9).Two; same.Value.X != 1 || same.Interval.Known {
		t.Errorf("full agreement: %+v", same)
	}
}
