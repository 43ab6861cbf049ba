package climate

import (
	"math"
	"slices"
)

// Chill is what models that were made for peach and apple make of a stretch of time. None was fitted to azalea, and they disagree on
// where cold begins: they stand beside the hours in the grower's band, never in their place.
type Chill struct {
	// Hours are the whole hours that were read, Missing those that were not, which no model counts.
	Hours, Missing int
	// UpTo72 counts hours at or under 7.2 degrees C (Weinberger 1950, Proc. Am. Soc. Hort. Sci. 56:122-128, from memory), From0To72 leaves
	// frost out.
	UpTo72, From0To72 int
	// Utah are the units of Richardson, Seeley and Walker (1974, HortScience 9:331-332), UtahPositive those without what warmth takes off.
	Utah, UtahPositive float64
	// NorthCarolina are the units of Shaltout and Unrath (1983, J. Am. Soc. Hort. Sci. 108:957-961), nodes joined by straight lines.
	NorthCarolina float64
	// Portions are those of the dynamic model, which began again after each of the Restarts gaps.
	Portions float64
	Restarts int
}

// longestBridge is how many missing hours in a row the dynamic model goes over at the last temperature read: an assumption of this project.
const longestBridge = 3

// Chilled runs the models over the hours of a record, counted from its beginning. An hour counts where it was read whole, at its mean.
func (r Record) Chilled() (c Chill) {
	var run []float64
	var missing int
	end := func() {
		c.Portions += portions(run)
		run = nil
	}
	for _, hour := range r.hourly() {
		if hour == nil {
			c.Missing++
			missing++
			continue
		}
		if missing > 0 && len(run) > 0 {
			if missing > longestBridge {
				end()
				c.Restarts++
			} else {
				run = append(run, slices.Repeat(run[len(run)-1:], missing)...)
			}
		}
		missing = 0
		run = append(run, *hour)
		c.add(*hour)
	}
	end()
	return c
}

func (c *Chill) add(t float64) {
	c.Hours++
	if t <= 7.2 {
		c.UpTo72++
		if t >= 0 {
			c.From0To72++
		}
	}
	units := utah(t)
	c.Utah += units
	c.UtahPositive += max(0, units)
	c.NorthCarolina += northCarolina(t)
}

// hourly is the mean temperature (degrees C) of each whole hour of a record, nil where a part of it was not read.
func (r Record) hourly() (hours []*float64) {
	long := make([]int64, (r.Over.To-r.Over.From)/hourMS)
	sum := make([]float64, len(long))
	for _, piece := range r.Pieces {
		for h := (piece.From - r.Over.From) / hourMS; h < int64(len(long)); h++ {
			begins := r.Over.From + h*hourMS
			if begins >= piece.To {
				break
			}
			part := min(piece.To, begins+hourMS) - max(piece.From, begins)
			long[h] += part
			sum[h] += float64(part) * float64(piece.DC)
		}
	}
	for h := range long {
		if long[h] < hourMS {
			hours = append(hours, nil)
		} else {
			hours = append(hours, new(sum[h]/hourMS/10))
		}
	}
	return hours
}

// utah is the weight of an hour, in the bands in degrees C that public code has; their upper limits belong to them. The table in degrees F
// rounds differently (36 F is 2.2, 48 F is 8.9 degrees C).
func utah(t float64) float64 {
	switch {
	case t <= 1.4:
		return 0
	case t <= 2.4:
		return 0.5
	case t <= 9.1:
		return 1
	case t <= 12.4:
		return 0.5
	case t <= 15.9:
		return 0
	case t <= 18:
		return -0.5
	}
	return -1
}

// northNodes are degrees C and weights; implementations differ between them (steps, lines, splines), the nodes are common to all.
var northNodes = [][2]float64{
	{-1.1, 0}, {1.6, 0.5}, {7.2, 1}, {13, 0.5}, {16.5, 0}, {19, -0.5}, {20.7, -1}, {22.1, -1.5}, {23.3, -2},
}

func northCarolina(t float64) float64 {
	last := len(northNodes) - 1
	if t <= northNodes[0][0] {
		return northNodes[0][1]
	}
	for i := range last {
		a, b := northNodes[i], northNodes[i+1]
		if t <= b[0] {
			return a[1] + (b[1]-a[1])*(t-a[0])/(b[0]-a[0])
		}
	}
	return northNodes[last][1]
}

// portions is the dynamic model (Fishman, Erez and Couvillon 1987, J. Theor. Biol. 124:473-483) over hourly temperatures in degrees C,
// beginning with nothing in its first hour. Constants as in public code, which takes 273 for 273.15.
func portions(hours []float64) (total float64) {
	const (
		e0, e1 = 4153.5, 12888.8
		a0, a1 = 139_500.0, 2.567e18
		slope  = 1.6
		tf     = 277.0
	)
	between, fixed := 0.0, 0.0 // the intermediate, and what of it the last hour fixed
	for h, t := range hours {
		if h == 0 {
			continue
		}
		k := t + 273
		left := between - fixed
		xs := a0 / a1 * math.Exp((e1-e0)/k)
		between = xs - (xs-left)*math.Exp(-a1*math.Exp(-e1/k))
		fixed = 0
		if between >= 1 {
			ready := math.Exp(slope * tf * (k - tf) / k)
			fixed = between * ready / (1 + ready)
			total += fixed
		}
	}
	return total
}
