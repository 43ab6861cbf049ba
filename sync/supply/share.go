package supply

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

// Share is what is known of the share of a lot's pots that comes through: Mean is to be expected, and Differ says how far from it such shares
// lie, as 1/(a+b+1) of their beta distribution; at 0 the share counts as sure.
type Share struct{ Mean, Differ float64 }

// Varies is how far what becomes of one lot lies from what is expected of lots like it, as a standard deviation on the logit scale: of a small loss,
// nine lots in ten lose between a bit over half of it and a bit under twice. An assumption of this project, no source.
const Varies = 0.35

// WrittenShare is a share that somebody wrote for all lots of a kind; one of none or of all is taken at its word.
func WrittenShare(mean float64) Share { return Share{mean, mean * (1 - mean) * Varies * Varies} }

// LostShare is what is left after so many weeks at the lot's own rate of loss (see Survive): the rate is known from its past as far as a Gamma
// distribution says (Jeffreys' prior), and what is to come differs from it as lots do.
func LostShare(lost int, potWeeks, weeks float64) (s Share, known bool) {
	mean, known := Survive(lost, potWeeks, weeks)
	if !known || mean == 1 {
		return Share{Mean: mean}, known
	}
	// The moments of exp(-rate x weeks) when the rate is Gamma(lost + 1/2, potWeeks).
	moment := func(times float64) float64 { return math.Pow(potWeeks/(potWeeks+times*weeks), float64(lost)+0.5) }
	byPast := (moment(2) - moment(1)*moment(1)) / (mean * (1 - mean))
	return Share{mean, min(0.99, byPast+WrittenShare(mean).Differ)}, true
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

// isSure says that it counts as known to the pot.
func (s Share) isSure() bool { return s.Differ <= 0 || s.Mean <= 0 || s.Mean >= 1 }

// at is the share that is not exceeded with a chance.
func (s Share) at(chance float64) float64 {
	if s.isSure() {
		return s.Mean
	}
	both := 1/s.Differ - 1
	return mathext.InvRegIncBeta(s.Mean*both, (1-s.Mean)*both, chance)
}

// InAnySeason is the share of a lot alone, when seasons have this standard deviation on the logit scale.
func (s Share) InAnySeason(season float64) Share {
	if !s.isSure() {
		s.Differ = min(0.99, s.Differ+s.Mean*(1-s.Mean)*season*season)
	}
	return s
}

// Limits hold the share with a level.
func (s Share) Limits(level float64) (low, high float64) {
	return s.at((1 - level) / 2), s.at((1 + level) / 2)
}

// moved is the share in a season that moves it by so much on the logit scale, a + b kept. One that counts as sure is so in every season.
func (s Share) moved(shift float64) Share {
	if !s.isSure() {
		s.Mean = 1 / (1 + (1-s.Mean)/s.Mean*math.Exp(-shift))
	}
	return s
}

// equally is how many shares stand for a distribution, each as likely as the others: so many that the 5 % and 95 % points are among them.
const equally = 30

// spread are shares that stand for that of so many pots on average, each pot's luck among them: the variance is that of a beta-binomial number.
func (s Share) spread(pots float64) []float64 {
	if s.isSure() || pots < 1 {
		return []float64{s.Mean}
	}
	s.Differ += (1 - s.Differ) / pots
	shares := make([]float64, equally)
	for i := range shares {
		shares[i] = s.at((float64(i) + 0.5) / equally)
	}
	return shares
}

// kept is what is left of a number of pots when each of these shares is as likely.
func (c Counts) kept(shares []float64) Counts {
	// Of a share that is sure whole pots count, with a rounding error's room: 96.99999999 pots are 97. Shares that stand for many numbers are each
	// rounded to the nearest, or all of them would be half a pot too low.
	room := 1e-9
	if len(shares) > 1 {
		room = 0.5
	}
	left := func(n int, share float64) int { return int(math.Floor(float64(n)*share + room)) }
	low, high := left(c.Low, shares[0]), left(c.Low+len(c.P)-1, shares[len(shares)-1])
	m := Counts{low, make([]float64, high-low+1)}
	each := 1 / float64(len(shares))
	for _, share := range shares {
		for i, p := range c.P {
			m.P[left(c.Low+i, share)-low] += p * each
		}
	}
	return m.trimmed()
}
