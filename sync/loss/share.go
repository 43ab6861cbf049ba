// Package loss says what share of a lot's pots comes through to a later day, and how sure that is: a Share, whose mean is expected and which lies about
// it as a beta distribution does. It knows no beds and no weeks: sync/bed takes it off what a walk saw, sync/supply off what a ship week will have,
// so that both count the same losses.
package loss

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

// Share is what is known of the share of a lot's pots that comes through: Mean is to be expected, and Differ says how far from it such shares
// lie, as 1/(a+b+1) of their beta distribution; at 0 the share counts as sure.
type Share struct{ Mean, Differ float64 }

// Whose word a share rests on, as schema.KeptShare.Basis names it.
const (
	OfLot    = "own"    // the lot's own losses so far
	OfStages = "stages" // what is written of each of its stages to come
	OfCrop   = "crop"   // what is expected of the crop as a whole
)

// Varies is how far what becomes of one lot lies from what is expected of lots like it, as a standard deviation on the logit scale: of a small loss,
// nine lots in ten lose between a bit over half of it and a bit under twice. An assumption of this project, no source.
const Varies = 0.35

// Written is a share that somebody wrote for all lots of a kind; one of none or of all is taken at its word.
func Written(mean float64) Share { return Share{mean, mean * (1 - mean) * Varies * Varies} }

// OfRate is what is left after so many weeks at the lot's own rate of loss (see Survive): the rate is known from its past as far as a Gamma
// distribution says (Jeffreys' prior), and what is to come differs from it as lots do.
func OfRate(lost int, potWeeks, weeks float64) (s Share, known bool) {
	mean, known := Survive(lost, potWeeks, weeks)
	if !known || mean == 1 {
		return Share{Mean: mean}, known
	}
	// The moments of exp(-rate x weeks) when the rate is Gamma(lost + 1/2, potWeeks).
	moment := func(times float64) float64 { return math.Pow(potWeeks/(potWeeks+times*weeks), float64(lost)+0.5) }
	byPast := (moment(2) - moment(1)*moment(1)) / (mean * (1 - mean))
	return Share{mean, min(0.99, byPast+Written(mean).Differ)}, true
}

// Times is the share that comes through both, where what happens in one says nothing of the other: its mean and variance are those of the
// product, its form again that of a beta distribution.
func (s Share) Times(other Share) Share {
	mean := s.Mean * other.Mean
	if mean <= 0 || mean >= 1 {
		return Share{Mean: mean}
	}
	square := func(s Share) float64 { return s.Mean*s.Mean + s.Differ*s.Mean*(1-s.Mean) }
	return Share{mean, max(0, square(s)*square(other)-mean*mean) / (mean * (1 - mean))}
}

// nothing is a share of which no nursery has a pot left; of lesser ones no points can be computed.
const nothing = 1e-12

// IsSure says that it counts as known to the pot.
func (s Share) IsSure() bool { return s.Differ <= 0 || s.Mean <= nothing || s.Mean >= 1 }

// At is the share that is not exceeded with a chance.
func (s Share) At(chance float64) float64 {
	if s.IsSure() {
		return s.Mean
	}
	both := 1/s.Differ - 1
	return mathext.InvRegIncBeta(s.Mean*both, (1-s.Mean)*both, chance)
}

// InAnySeason is the share of a lot alone, when seasons have this standard deviation on the logit scale.
func (s Share) InAnySeason(season float64) Share {
	if !s.IsSure() {
		s.Differ = min(0.99, s.Differ+s.Mean*(1-s.Mean)*season*season)
	}
	return s
}

// Limits hold the share with a level.
func (s Share) Limits(level float64) (low, high float64) {
	return s.At((1 - level) / 2), s.At((1 + level) / 2)
}

// Moved is the share in a season that moves it by so much on the logit scale, a + b kept. One that counts as sure is so in every season.
func (s Share) Moved(shift float64) Share {
	if !s.IsSure() {
		s.Mean = 1 / (1 + (1-s.Mean)/s.Mean*math.Exp(-shift))
	}
	return s
}

// Equally is how many shares stand for a distribution, each as likely as the others: so many that the 5 % and 95 % points are among them.
const Equally = 30

// Spread are shares that stand for that of so many pots on average, each pot's luck among them: the variance is that of a beta-binomial number.
func (s Share) Spread(pots float64) []float64 {
	if s.IsSure() || pots < 1 {
		return []float64{s.Mean}
	}
	// Of a single pot the whole variance is luck, which no beta distribution has.
	s.Differ = min(0.99, s.Differ+(1-s.Differ)/pots)
	shares := make([]float64, Equally)
	for i := range shares {
		shares[i] = s.At((float64(i) + 0.5) / Equally)
	}
	return shares
}

// leastPotWeeks is how much of a lot's own past it takes for its own rate of loss. An assumption, no source.
const leastPotWeeks = 2000

// Survive is the share of pots that is left after so many weeks at the lot's own rate of loss, (lost + 1/2) a pot and week (Jeffreys'
// prior of a Poisson rate); false while its past is too short to say.
func Survive(lost int, potWeeks, weeks float64) (float64, bool) {
	if potWeeks < leastPotWeeks {
		return 0, false
	}
	return math.Exp(-(float64(lost) + 0.5) / potWeeks * max(0, weeks)), true
}
