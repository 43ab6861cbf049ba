package stats

import (
	"errors"
	"math"
	"strings"
	"testing"
)

// Two more shapes of NIST's nonlinear sets, to try the fitter on what no grower needs.
var (
	misra = Curve{Name: "monomolecular", Parameters: 2, F: func(x float64, b []float64) float64 { return b[0] * (1 - math.Exp(-b[1]*x)) }}
	cubic = Curve{Name: "cubic over cubic", Parameters: 7, F: func(x float64, b []float64) float64 {
		return (b[0] + b[1]*x + b[2]*x*x + b[3]*x*x*x) / (1 + b[4]*x + b[5]*x*x + b[6]*x*x*x)
	}}
	tree   = Curve{Name: "logistic by midpoint", Parameters: 3, F: func(x float64, b []float64) float64 { return b[0] / (1 + math.Exp((b[1]-x)/b[2])) }}
	rat42X = []float64{9, 14, 21, 28, 42, 57, 63, 70, 79}
	rat42Y = []float64{8.93, 10.8, 18.59, 22.33, 39.35, 56.11, 61.73, 64.62, 67.08}
)

func init() {
	runners["curve-nist"] = func(t *testing.T, c check) got {
		in := inputs[struct {
			Model          string
			X, Y           []float64
			Start1, Start2 map[string]float64
		}](t, c)
		curve := map[int]Curve{2: misra, 3: Logistic, 4: generalLogistic, 7: cubic}[len(in.Start1)]
		first, err := FitCurve(curve, in.X, in.Y, nil, byNumber(in.Start1))
		second, err2 := FitCurve(curve, in.X, in.Y, nil, byNumber(in.Start2))
		if err != nil || err2 != nil {
			t.Fatal(err, err2)
		}
		for i := range first.B {
			if math.Abs(first.B[i]/second.B[i]-1) > 1e-6 {
				t.Errorf("the two starts end at %v and %v", first.B, second.B)
			}
		}
		b, se := map[string]float64{}, map[string]float64{}
		for i := range first.B {
			b["b"+string(rune('1'+i))], se["b"+string(rune('1'+i))] = first.B[i], first.SE[i]
		}
		return got{"parameters": b, "std_errors": se, "rss": first.RSS, "residual_sd": first.ResidualSD, "df": first.DF}
	}
	runners["curve-gompertz"] = func(t *testing.T, c check) got {
		in := inputs[struct{ X, Y []float64 }](t, c)
		f := fitted(t, Gompertz, in.X, in.Y, nil)
		p := f.Predict(100, 0.95)
		return got{"a": f.B[0], "b": f.B[1], "k": f.B[2], "rss": f.RSS, "residual_sd": f.ResidualSD, "se": f.SE, "fit_at_100": p.Value,
			"pred_lower_100": p.Interval.Low, "pred_upper_100": p.Interval.High}
	}
	runners["curve-orange"] = func(t *testing.T, c check) got {
		in := inputs[struct {
			X, Y  []float64
			Start struct{ Asym, Xmid, Scal float64 }
		}](t, c)
		f := fitted(t, tree, in.X, in.Y, []float64{in.Start.Asym, in.Start.Xmid, in.Start.Scal})
		p := f.Predict(2000, 0.95)
		return got{"asym": f.B[0], "xmid": f.B[1], "scal": f.B[2], "rss": f.RSS, "residual_sd": f.ResidualSD, "se": f.SE, "fit_2000": p.Value,
			"pred_lower_2000": p.Interval.Low, "pred_upper_2000": p.Interval.High}
	}
	runners["curve-misra-predict"] = func(t *testing.T, c check) got {
		in := inputs[struct {
			X    []float64
			Conf float64
		}](t, c)
		x := []float64{77.6, 114.9, 141.1, 190.8, 239.9, 289, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760}
		y := []float64{10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.4, 75.47, 81.78}
		f := fitted(t, misra, x, y, []float64{250, 5e-4})
		g := map[string][]float64{}
		for _, at := range in.X {
			m, p := f.MeanAt(at, in.Conf), f.Predict(at, in.Conf)
			se := sqrt(math.Pow(width(p.Interval), 2)-math.Pow(width(m.Interval), 2)) / f.ResidualSD.X // twice t
			g["fit"] = append(g["fit"], m.Value.X)
			g["se_mean"] = append(g["se_mean"], width(m.Interval)/se)
			g["conf_lower"], g["conf_upper"] = append(g["conf_lower"], m.Interval.Low), append(g["conf_upper"], m.Interval.High)
			g["pred_lower"], g["pred_upper"] = append(g["pred_lower"], p.Interval.Low), append(g["pred_upper"], p.Interval.High)
		}
		out := got{}
		for k, v := range g {
			out[k] = v
		}
		return out
	}
	runners["curve-too-few"] = func(t *testing.T, c check) got {
		in := inputs[struct{ X, Y []float64 }](t, c)
		f, err := FitCurve(Logistic, in.X, in.Y, nil, nil)
		if err != nil && !errors.Is(err, ErrNoFit) {
			t.Fatal(err)
		}
		var interval any
		if err == nil && f.Predict(28, 0.9).Interval.Known {
			interval = f.Predict(28, 0.9).Interval
		}
		return got{"residual_sd": f.ResidualSD, "interval": interval}
	}
	runners["line"] = func(t *testing.T, c check) got {
		in := inputs[struct {
			X, Y []float64
			XNew []float64 `json:"x_new"`
		}](t, c)
		f := fitted(t, Straight, in.X, in.Y, []float64{1, 1})
		var fit, low, high []float64
		for _, x := range in.XNew {
			p := f.Predict(x, 0.95)
			fit, low, high = append(fit, p.Value.X), append(low, p.Interval.Low), append(high, p.Interval.High)
		}
		return got{"intercept": f.B[0], "slope": f.B[1], "fit": fit, "lower": low, "upper": high}
	}
	runners["degree-day"] = func(t *testing.T, c check) got {
		in := inputs[struct{ TMin, TMax, Lower, Upper float64 }](t, c)
		d, err := DegreesOf(in.TMin, in.TMax, in.Lower, in.Upper)
		if err != nil {
			t.Fatal(err)
		}
		return got{"single_sine": d.Sine, "simple_average": d.Average, "clamped_average": d.Clamped}
	}
	runners["degree-day-methods"] = func(t *testing.T, c check) got {
		in := inputs[struct{ TMin, TMax, Lower, Upper float64 }](t, c)
		d, err := DegreesOf(in.TMin, in.TMax, in.Lower, in.Upper)
		if err != nil {
			t.Fatal(err)
		}
		return got{"single_sine": d.Sine, "single_triangle": d.Triangle}
	}
	runners["degree-day-run"] = func(t *testing.T, c check) got {
		in := inputs[struct {
			TMin, TMax   []float64
			Lower, Upper float64
		}](t, c)
		var sine, triangle []float64
		for i := range in.TMin {
			d, err := DegreesOf(in.TMin[i], in.TMax[i], in.Lower, in.Upper)
			if err != nil {
				t.Fatal(err)
			}
			sine, triangle = append(sine, d.Sine), append(triangle, d.Triangle)
		}
		return got{"daily_sine": sine, "daily_triangle": triangle}
	}
	// No upper threshold: one far above every day.
	runners["degree-day-averages"] = func(t *testing.T, c check) got {
		in := inputs[struct {
			TMin, TMax []float64
			Base       float64
		}](t, c)
		var average, clamped []float64
		for i := range in.TMin {
			d, err := DegreesOf(in.TMin[i], in.TMax[i], in.Base, 1000)
			if err != nil {
				t.Fatal(err)
			}
			average, clamped = append(average, d.Average), append(clamped, d.Clamped)
		}
		return got{"mean_then_floor": average, "floor_then_mean": clamped}
	}
	runners["degree-day-week"] = func(t *testing.T, c check) got {
		in := inputs[struct {
			TMin, TMax   []float64
			Lower, Upper float64
		}](t, c)
		var daily []float64
		var sine, average float64
		for i := range in.TMin {
			d, err := DegreesOf(in.TMin[i], in.TMax[i], in.Lower, in.Upper)
			if err != nil {
				t.Fatal(err)
			}
			daily, sine, average = append(daily, d.Sine), sine+d.Sine, average+d.Average
		}
		return got{"daily_sine": daily, "sum_sine": sine, "sum_average": average}
	}
}

func fitted(t *testing.T, c Curve, x, y, start []float64) Fit {
	t.Helper()
	f, err := FitCurve(c, x, y, nil, start)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func byNumber(start map[string]float64) []float64 {
	b := make([]float64, len(start))
	for name, v := range start {
		b[int(strings.TrimPrefix(name, "b")[0]-'1')] = v
	}
	return b
}

func TestGrowthCurvesFindTheirOwnStart(t *testing.T) {
	for _, c := range []Curve{Logistic, Gompertz, generalLogistic} {
		f := fitted(t, c, rat42X, rat42Y, nil)
		if f.B[0] < 67.08 || f.B[0] > 90 || f.RSS > 22 {
			t.Errorf("%s: asymptote %v, residual sum %v", c.Name, f.B[0], f.RSS)
		}
	}
	p := fitted(t, Logistic, rat42X, rat42Y, nil).Predict(100, 0.95)
	if math.Abs(p.Value.X-71.3014788) > 1e-5 || math.Abs(p.Interval.Low-66.800357) > 1e-4 || math.Abs(p.Interval.High-75.802600) > 1e-4 {
		t.Errorf("at 100: %+v", p)
	}
	young := fitted(t, Logistic, rat42X[:6], rat42Y[:6], nil).Predict(79, 0.95)
	if math.Abs(young.Value.X-70.703271) > 1e-3 || math.Abs(young.Interval.Low-54.36320) > 1e-2 || !young.Interval.Contains(67.08) {
		t.Errorf("from six values: %+v", young)
	}
}

func TestWhatDoesNotGrowOrIsTooLittleIsNotFitted(t *testing.T) {
	for name, y := range map[string][]float64{"falling": {9, 8, 7, 6, 5}, "flat": {5, 5, 5, 5, 5}, "nothing": {0, 0, 0, 0, 0}, "two values": {3, 4}} {
		if _, err := FitCurve(Logistic, []float64{1, 2, 3, 4, 5}[:len(y)], y, nil, nil); !errors.Is(err, ErrNoFit) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestADayThatCannotBeIsRefusedAndNotCountedAsZero(t *testing.T) {
	for _, d := range [][4]float64{{20, 10, 10, 30}, {5, nan, 10, 30}, {5, 20, 30, 10}} {
		if _, err := DegreesOf(d[0], d[1], d[2], d[3]); !errors.Is(err, ErrInput) {
			t.Errorf("%v: %v", d, err)
		}
	}
}

func width(i Interval) float64 { return i.High - i.Low }

// generalLogistic is b0/(1+exp(b1-b2 x))^(1/b3), which may rise fast and level off slowly (Richards 1959).
var generalLogistic = Curve{Name: "generalised logistic", Parameters: 4,
	F: func(x float64, b []float64) float64 {
		return b[0] / math.Pow(1+math.Exp(b[1]-b[2]*x), 1/b[3])
	},
	Start: func(x, y []float64) ([]float64, bool) {
		b, ok := Logistic.Start(x, y)
		return append(b, 1), ok
	}}

// A value of weight 3 counts as three of weight 1 at the same place: least squares by hand.
func TestAWeightCountsAsSoManyEqualValues(t *testing.T) {
	w := []float64{1, 3, 2, 1, 1, 4, 1, 2, 1}
	var x, y []float64
	for i, times := range w {
		for range int(times) {
			x, y = append(x, rat42X[i]), append(y, rat42Y[i])
		}
	}
	weighted, err := FitCurve(Logistic, rat42X, rat42Y, w, nil)
	if err != nil {
		t.Fatal(err)
	}
	repeated := fitted(t, Logistic, x, y, nil)
	for i := range weighted.B {
		if math.Abs(weighted.B[i]/repeated.B[i]-1) > 1e-7 {
			t.Errorf("parameter %d: %v weighted, %v repeated", i, weighted.B[i], repeated.B[i])
		}
	}
	if math.Abs(weighted.RSS/repeated.RSS-1) > 1e-7 {
		t.Errorf("residual sum %v weighted, %v repeated", weighted.RSS, repeated.RSS)
	}
}

// Known errors far larger than the scatter: the standard error is theirs, by hand that of a mean of n values, sigma over the root of n.
func TestAKnownErrorIsNotMadeSmallerByValuesThatHappenToAgree(t *testing.T) {
	level := Curve{Name: "level", Parameters: 1, F: func(_ float64, b []float64) float64 { return b[0] }}
	fit, err := FitCurve(level, []float64{1, 2, 3, 4}, []float64{50, 50.1, 49.9, 50}, []float64{0.25, 0.25, 0.25, 0.25}, []float64{40})
	if err != nil || math.Abs(fit.SE[0]-1) > 1e-6 {
		t.Errorf("%v, %v", fit.SE, err)
	}
}
