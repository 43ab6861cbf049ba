package stats

import (
	"fmt"
	"math"
)

// Lines is a sequential plan of Wald's: with total t over n pots call "low" when t <= Slope n - Low, "high" when
// t >= Slope n + High, and go on between. For shares t is the count of flagged pots.
type Lines struct {
	Slope float64 `json:"slope"`
	Low   float64 `json:"low"`
	High  float64 `json:"high"`
}

// Call is what a sequential plan says after a pot.
type Call string

// The calls. Undecided is said only at the plan's largest n.
const (
	CallLow       Call = "low"
	CallHigh      Call = "high"
	CallGoOn      Call = "go on"
	CallUndecided Call = "undecided"
)

// lineSlack decides totals that land on a line: they go on. A line's place is known only to rounding error, so without it two
// devices could part there; one more pot settles the matter. (Two flagged pots of two do so for 5 % against 15 %, risks 10 %.)
const lineSlack = 1e-9

// SPRT is a sequential test of a share: is it the acceptable P0 or the unacceptable P1?
type SPRT struct {
	Lines
	P0    float64 `json:"p0"`
	P1    float64 `json:"p1"`
	Alpha float64 `json:"alpha"` // risk of calling P0 high
	Beta  float64 `json:"beta"`  // risk of calling P1 low
	Least int     `json:"least"` // no call before this n
	Most  int     `json:"most"`  // undecided at this n; 0: no end
}

// NewSPRT draws the binomial lines (Wald 1947, Sequential Analysis, ch. 5): with k = ln[p1(1-p0)/(p0(1-p1))], slope
// ln[(1-p0)/(1-p1)]/k, low ln[(1-alpha)/beta]/k, high ln[(1-beta)/alpha]/k. It needs 0 < p0 < p1 < 1, risks above 0 with a
// sum below 1, and 0 <= least <= most (most 0: no end).
func NewSPRT(p0, p1, alpha, beta float64, least, most int) (SPRT, error) {
	if !(p0 > 0 && p0 < p1 && p1 < 1) {
		return SPRT{}, fmt.Errorf("%w: the acceptable share must be above 0 and below the unacceptable one, that below 1 (got %g, %g)", ErrInput, p0, p1)
	}
	if least < 0 || most < 0 || (most > 0 && least > most) {
		return SPRT{}, fmt.Errorf("%w: fewest pots must not be more than most pots (got %d, %d)", ErrInput, least, most)
	}
	k := math.Log(p1 * (1 - p0) / (p0 * (1 - p1)))
	lines, err := wald(math.Log((1-p0)/(1-p1))/k, 1/k, alpha, beta)
	return SPRT{Lines: lines, P0: p0, P1: p1, Alpha: alpha, Beta: beta, Least: least, Most: most}, err
}

func wald(slope, unit, alpha, beta float64) (Lines, error) {
	if !(alpha > 0 && beta > 0 && alpha+beta < 1) {
		return Lines{}, fmt.Errorf("%w: risks must be above 0 and together below 1 (got %g, %g)", ErrInput, alpha, beta)
	}
	return Lines{Slope: slope, Low: math.Log((1-alpha)/beta) * unit, High: math.Log((1-beta)/alpha) * unit}, nil
}

// At gives the two lines at n pots: call low at or below, high at or above.
func (l Lines) At(n int) (low, high float64) {
	s := float64(l.Slope * float64(n))
	return s - l.Low, s + l.High
}

// AcceptAt is the largest count that calls the share low at n pots, -1 when none does.
func (s SPRT) AcceptAt(n int) int {
	low, _ := s.At(n)
	return max(-1, int(math.Floor(low-lineSlack)))
}

// RejectAt is the smallest count that calls the share high at n pots.
func (s SPRT) RejectAt(n int) int {
	_, high := s.At(n)
	return int(math.Ceil(high + lineSlack))
}

// Decide says what count flagged pots among n mean. Below Least it is always "go on"; at Most or beyond "undecided" unless a
// line is crossed.
func (s SPRT) Decide(n, count int) Call {
	switch {
	case n < 1 || n < s.Least:
		return CallGoOn
	case count <= s.AcceptAt(n):
		return CallLow
	case count >= s.RejectAt(n):
		return CallHigh
	case s.Most > 0 && n >= s.Most:
		return CallUndecided
	}
	return CallGoOn
}

// MorePots is about how many further pots a share of count/n would need to cross a line, at least 1; unknown when the share
// seen runs between the lines for ever or the call is made.
func (s SPRT) MorePots(n, count int) (int, bool) {
	if s.Decide(n, count) != CallGoOn {
		return 0, false
	}
	p := s.Slope
	if n > 0 {
		p = float64(count) / float64(n)
	}
	low, high := s.At(n)
	need := math.Inf(1)
	if p < s.Slope {
		need = (float64(count) - low) / (s.Slope - p)
	} else if p > s.Slope {
		need = (high - float64(count)) / (p - s.Slope)
	}
	need = math.Max(need, float64(s.Least-n))
	if s.Most > 0 {
		need = math.Min(need, float64(s.Most-n))
	}
	if math.IsInf(need, 1) {
		return 0, false
	}
	return max(1, int(math.Ceil(need-lineSlack))), true
}
