// Package supply says how many pots a ship week will have in each grade: how likely each number is, how many may be promised on
// top of what is booked, and which bookings cannot be met.
//
// A lot is ready for its week or not, as a whole; the pots that nobody looked at are like those that were (beta-binomial); lots of
// one cultivar share a good or a bad season, and all lots one pace: a cold spring delays them together. All of it is summed exactly, over whole
// pots, and nothing is drawn at random.
package supply

// Risk is the chance at most that there are fewer pots than are called sure.
const Risk = 0.05

// Part is a lot on one bed, as its newest walk saw it: In[k] of the Seen pots are in grade k or a better one, of Stood that stood
// there. Left have gone since, each taken for one in grade, and OnBed is how many stand there now.
type Part struct {
	In                []int
	Seen, Stood, Left int
	OnBed             int
	// Prior is what is known of pots that nobody saw, a grade level each: Jeffreys' where some were seen (see Jeffreys), that of earlier
	// lots where none was.
	Prior []Beta
}

// Lot is what one lot brings to its ship week.
type Lot struct {
	Cultivar string
	Parts    []Part
	// Survive is the share of the pots that is left at shipping, and Differ how far it may lie from that (see Share). Ready is the chance that the lot
	// is ready by then; Paces are that chance at each pace (see schedule.Chances.AtPaces), nil where no pace plays a part.
	Survive, Differ, Ready float64
	Paces                  []float64
}

// Pots is how many pots the lot has on its beds.
func (l Lot) Pots() (pots int) {
	for _, part := range l.Parts {
		pots += part.OnBed
	}
	return pots
}

// Beta is a distribution of a share.
type Beta struct{ A, B float64 }

// Mean is the share to expect.
func (b Beta) Mean() float64 { return b.A / (b.A + b.B) }

// Jeffreys is the prior of half a pot a grade and half a pot in none, for the first grade, the first two, and so on: those grades
// together are beta-binomial (Mosimann 1962, Biometrika 49:65).
func Jeffreys(grades int) []Beta {
	prior := make([]Beta, grades)
	for k := range prior {
		prior[k] = Beta{float64(k+1) / 2, float64(grades-k) / 2}
	}
	return prior
}
