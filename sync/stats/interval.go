// Package stats turns what pots showed into estimates that can be believed: every number comes with its interval or its n,
// and what cannot be known from the data is said to be unknown.
//
// It is for the measures above it (uniformity of a bed, shares, grade-out, stop rules, pattern, agreement of scouts). It is
// not a general statistics library: what gonum has is used from gonum, and nothing here reads files, clocks or random
// sources that the caller did not hand in. The central type is Interval; beside it stands Maybe, a number that may be
// unknown. A NaN or infinity among the input values stands for "not taken" and is counted as missing, never scored.
package stats

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// DefaultLevel is the product's confidence level: two-sided 90 %, so that the lower limit is a one-sided 95 % bound.
const DefaultLevel = 0.90

// ErrInput is wrapped by every error of this package that a caller can avoid by asking with other numbers.
var ErrInput = errors.New("statistics input out of range")

// Maybe is a number that may be unknown. Its zero value is unknown, and in JSON unknown is null, so that "not known" can
// never be read as zero.
type Maybe struct {
	X     float64
	Known bool
}

// Sure makes a known number. NaN and infinities become unknown, which keeps them out of records and off screens.
func Sure(x float64) Maybe {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return Maybe{}
	}
	return Maybe{X: x, Known: true}
}

// Interval is a two-sided confidence or prediction interval in the unit of the value it belongs to. Known says that both
// limits exist. Open says that only the lower one does: the data put no upper limit on the value.
type Interval struct {
	Low, High   float64
	Known, Open bool
}

// Between makes a known interval.
func Between(low, high float64) Interval { return Interval{Low: low, High: high, Known: true} }

// Contains says whether x lies within the limits that exist; an unknown interval contains nothing.
func (i Interval) Contains(x float64) bool {
	return (i.Known && i.Low <= x && x <= i.High) || (i.Open && i.Low <= x)
}

// Estimate is one measured value with its interval and the number of pots behind it.
type Estimate struct {
	Value    Maybe    `json:"value"`
	Interval Interval `json:"interval"`
	N        int      `json:"n"`
	Missing  int      `json:"missing"`
}

func goodLevel(level float64) bool { return level > 0 && level < 1 }

// taken returns the values that were taken and the number that were not.
func taken(x []float64) (kept []float64, missing int) {
	kept = make([]float64, 0, len(x))
	for _, v := range x {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			missing++
			continue
		}
		kept = append(kept, v)
	}
	return kept, missing
}

var stdNormal = distuv.UnitNormal

func boolTo(b bool) float64 {
	if b {
		return 1
	}
	return 0
}
