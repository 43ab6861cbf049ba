package supply

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mathext"

	"bedwalk/sync/loss"
)

// Route is one way to sell a lot. All money is in hundredths of a currency, a pot that stands there now.
type Route struct {
	// Shares are the shares of the pots sold in each grade, best first, and Prices what one brings: nil where nobody wrote it, which is not 0.
	Shares []float64
	Prices []*float64
	// Loss is the share that is lost before it sells, Cost what a pot costs until then.
	Loss, Cost float64
	// BenchWeeks is the bench that a pot takes until it sells, in square metres times weeks; nil where nobody wrote how close pots stand.
	BenchWeeks *float64
}

// Margin is what a pot brings less what it costs; false where the price of a grade that sells is missing.
func (r Route) Margin() (float64, bool) {
	sales := 0.0
	for k, share := range r.Shares {
		if share == 0 {
			continue
		}
		if k >= len(r.Prices) || r.Prices[k] == nil {
			return 0, false
		}
		sales += share * *r.Prices[k]
	}
	return (1-r.Loss)*sales - r.Cost, true
}

// MarginOfBench is the margin a square metre of bench and week; false where the margin or the bench is not known, or no bench is taken up.
func (r Route) MarginOfBench() (float64, bool) {
	margin, ok := r.Margin()
	if !ok || r.BenchWeeks == nil || *r.BenchWeeks <= 0 {
		return 0, false
	}
	return margin / *r.BenchWeeks, true
}

// Waiting is what the longer route brings more a square metre and week of the bench that it takes up longer; false where it takes up no more
// or something is not known.
func Waiting(longer, shorter Route) (float64, bool) {
	more, ok := difference(longer, shorter)
	if !ok || longer.BenchWeeks == nil || shorter.BenchWeeks == nil || *longer.BenchWeeks <= *shorter.BenchWeeks {
		return 0, false
	}
	return more / (*longer.BenchWeeks - *shorter.BenchWeeks), true
}

// priced is the route with another price of one grade.
func (r Route) priced(grade int, price float64) Route {
	prices := make([]*float64, max(len(r.Prices), grade+1))
	copy(prices, r.Prices)
	prices[grade] = &price
	r.Prices = prices
	return r
}

// BreakEvenPrice is the price of a grade at which both routes bring the same, its own price left aside; false where another price is missing
// or the price decides nothing. A price below 0 says that no price is too low.
func BreakEvenPrice(a, b Route, grade int) (float64, bool) {
	return root(func(price float64) (float64, bool) { return difference(a.priced(grade, price), b.priced(grade, price)) })
}

// Choice is a lot that can go either way. Shares are those of its pots by grade, best first; pots in none of them do not sell. On the
// florist's way each sells as its grade, on the nursery's way those of the best grade sell as the next one.
type Choice struct {
	Shares           []float64
	Prices           []*float64
	Florist, Nursery Terms
}

// Terms are what a way costs, as in Route; Differ is how far the share that is not lost may lie from what is expected (see Share).
type Terms struct {
	Loss, Cost float64
	BenchWeeks *float64
	Differ     float64
}

// Routes are both ways. There must be two grades at least.
func (c Choice) Routes() (florist, nursery Route) {
	lesser := append([]float64{0, c.Shares[0] + c.Shares[1]}, c.Shares[2:]...)
	return Route{c.Shares, c.Prices, c.Florist.Loss, c.Florist.Cost, c.Florist.BenchWeeks},
		Route{lesser, c.Prices, c.Nursery.Loss, c.Nursery.Cost, c.Nursery.BenchWeeks}
}

// withBest is the choice with another share of the best grade. The other pots divide as they do; where there are none, they are in the next
// grade.
func (c Choice) withBest(share float64) Choice {
	shares := make([]float64, len(c.Shares))
	shares[0] = share
	if rest := 1 - c.Shares[0]; rest > 0 {
		for k := 1; k < len(shares); k++ {
			shares[k] = c.Shares[k] * (1 - share) / rest
		}
	} else {
		shares[1] = 1 - share
	}
	c.Shares = shares
	return c
}

func (c Choice) gain(best float64) (float64, bool) {
	a, b := c.withBest(best).Routes()
	return difference(a, b)
}

// BreakEvenShare is the share of the best grade at which both ways bring the same. It may lie outside 0 to 1: then one way is better
// whatever the share. False where a price is missing or the share decides nothing.
func (c Choice) BreakEvenShare() (float64, bool) { return root(c.gain) }

// ChanceOfFlorist is the chance that the florist's way brings more, by what is known of the share of the best grade and of the losses; false where a
// price is missing.
func (c Choice) ChanceOfFlorist(best Beta) (chance float64, known bool) {
	all := c.byLosses()
	for _, one := range all {
		at, ok := one.chanceOfFlorist(best)
		if !ok {
			return 0, false
		}
		chance += at / float64(len(all))
	}
	return chance, true
}

// byLosses is the choice at losses that stand for what is known of them, each as likely: loss.Equally lucky on both ways, since a lot goes most of the
// way before they part.
func (c Choice) byLosses() (all []Choice) {
	if c.Florist.Differ <= 0 && c.Nursery.Differ <= 0 {
		return []Choice{c}
	}
	for i := range loss.Equally {
		luck := (float64(i) + 0.5) / loss.Equally
		one := c
		one.Florist.Loss = 1 - loss.Share{Mean: 1 - c.Florist.Loss, Differ: c.Florist.Differ}.At(luck)
		one.Nursery.Loss = 1 - loss.Share{Mean: 1 - c.Nursery.Loss, Differ: c.Nursery.Differ}.At(luck)
		all = append(all, one)
	}
	return all
}

// Limits hold what each way brings with a level, by what is known of the share of the best grade and of the losses; false where a price is missing.
func (c Choice) Limits(best Beta, level float64) (florist, nursery [2]float64, known bool) {
	var margins [2][]float64
	for _, one := range c.byLosses() {
		for i := range loss.Equally {
			a, b := one.withBest(mathext.InvRegIncBeta(best.A, best.B, (float64(i)+0.5)/loss.Equally)).Routes()
			for way, r := range []Route{a, b} {
				margin, ok := r.Margin()
				if !ok {
					return florist, nursery, false
				}
				margins[way] = append(margins[way], margin)
			}
		}
	}
	within := func(all []float64) [2]float64 {
		slices.Sort(all)
		outside := int((1 - level) / 2 * float64(len(all)))
		return [2]float64{all[outside], all[len(all)-1-outside]}
	}
	return within(margins[0]), within(margins[1]), true
}

func (c Choice) chanceOfFlorist(best Beta) (float64, bool) {
	none, ok0 := c.gain(0)
	all, ok1 := c.gain(1)
	share, hinges := c.BreakEvenShare()
	switch {
	case !ok0 || !ok1:
		return 0, false
	case hinges && all > none:
		return best.Over(share), true
	case hinges:
		return 1 - best.Over(share), true
	case all > 0:
		return 1, true
	}
	return 0, true
}

// Over is the chance of a larger share: 1 - I(share; A, B), the regularized incomplete beta function.
func (b Beta) Over(share float64) float64 {
	return 1 - mathext.RegIncBeta(b.A, b.B, min(max(share, 0), 1))
}

// SeenShare is what is known of a share when so many of those looked at have it (Jeffreys' prior).
func SeenShare(have, seen int) Beta { return Beta{float64(have) + 0.5, float64(seen-have) + 0.5} }

func difference(a, b Route) (float64, bool) {
	one, ok := a.Margin()
	other, both := b.Margin()
	return one - other, ok && both
}

// root is where a straight line crosses 0; false where it is unknown or level.
func root(line func(float64) (float64, bool)) (float64, bool) {
	at0, ok0 := line(0)
	at1, ok1 := line(1)
	if !ok0 || !ok1 || math.Abs(at1-at0) <= 1e-12*(math.Abs(at0)+math.Abs(at1)) {
		return 0, false
	}
	return at0 / (at0 - at1), true
}
