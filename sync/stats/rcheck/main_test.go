package main

import (
	"math"
	"math/rand/v2"
	"testing"
)

func TestADifferenceIsReportedAndAgreementIsNot(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		name    string
		have, r []float64
		differs bool
	}{
		{"equal", []float64{1, 2}, []float64{1, 2}, false},
		{"equal within the tolerance", []float64{1}, []float64{1 + 1e-10}, false},
		{"one part in a thousand off", []float64{1}, []float64{1.001}, true},
		{"both unknown", []float64{nan}, []float64{nan}, false},
		{"known here and not in R", []float64{1}, []float64{nan}, true},
		{"known in R and not here", []float64{nan}, []float64{1}, true},
		{"a number too few", []float64{1}, []float64{1, 2}, true},
	} {
		if got := compare(question{have: c.have, rel: 1e-9}, c.r) != ""; got != c.differs {
			t.Errorf("%s: differs is %v", c.name, got)
		}
	}
}

func TestEveryRandomQuestionCanBeAsked(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 200 {
		for _, q := range ask(rng) {
			if q.about == "" || q.code == "" || len(q.have) == 0 || !(q.rel > 0) {
				t.Fatalf("incomplete question: %+v", q)
			}
		}
	}
}
