// Package climate says how cold it was: how long a temperature lay within a band, from samples with gaps, and what models of chilling
// make of it.
//
// Moments are milliseconds since 1970, temperatures tenths of a degree Celsius. A stretch without readings is a gap. It is counted as
// neither cold nor warm: what is said of a time with gaps is a span, from what was read to what is possible.
package climate

import (
	"cmp"
	"slices"
)

// Sample is one temperature that was read. It holds until the next one where that comes within LongestMS, else for EveryMS.
type Sample struct {
	At                 int64
	DC                 int
	EveryMS, LongestMS int64
}

// A logger's sample stands for two of its steps at most. Of readings by hand: each stands until the next one within 36 hours, the last
// for eight. These are assumptions of this project.
const (
	hourMS        = 3_600_000
	HandEveryMS   = 8 * hourMS
	HandLongestMS = 36 * hourMS
	loggerSteps   = 2
)

// Logged is a sample of a logger that writes down one each step.
func Logged(at int64, dc int, stepMS int64) Sample {
	return Sample{at, dc, stepMS, loggerSteps * stepMS}
}

// ByHand is a reading that somebody took.
func ByHand(at int64, dc int) Sample { return Sample{at, dc, HandEveryMS, HandLongestMS} }

// Time is a stretch of time, its end not included.
type Time struct{ From, To int64 }

// Piece is a stretch of one temperature.
type Piece struct {
	Time
	DC int
}

// Series is what was read at one place, sorted, each moment once.
type Series struct {
	samples []Sample
	// clashes are moments with two unequal temperatures, of which neither is used.
	clashes []int64
}

// SeriesOf takes samples in any order. The same sample twice is one.
func SeriesOf(samples []Sample) (s Series) {
	samples = slices.Clone(samples)
	slices.SortFunc(samples, func(a, b Sample) int {
		return cmp.Or(cmp.Compare(a.At, b.At), cmp.Compare(a.DC, b.DC), cmp.Compare(a.EveryMS, b.EveryMS))
	})
	for i := 0; i < len(samples); {
		end := i + 1
		for end < len(samples) && samples[end].At == samples[i].At {
			end++
		}
		if samples[i].DC == samples[end-1].DC {
			s.samples = append(s.samples, samples[i])
		} else {
			s.clashes = append(s.clashes, samples[i].At)
		}
		i = end
	}
	return s
}

// Record is what was read of a stretch of time: pieces and gaps in turn fill it whole.
type Record struct {
	Over   Time
	Pieces []Piece
	Gaps   []Time
	// Read is how many samples the pieces rest on, Clashes how many moments had two unequal temperatures.
	Read, Clashes int
}

// Over lays out a series over a stretch of time.
func (s Series) Over(over Time) Record {
	r := Record{Over: over}
	for _, at := range s.clashes {
		if over.From <= at && at < over.To {
			r.Clashes++
		}
	}
	at := over.From
	gapTo := func(end int64) {
		if at < end {
			r.Gaps = append(r.Gaps, Time{at, end})
		}
	}
	// The sample before the stretch may hold into it.
	first, _ := slices.BinarySearchFunc(s.samples, over.From, func(one Sample, from int64) int { return cmp.Compare(one.At, from) })
	for i := max(0, first-1); i < len(s.samples) && s.samples[i].At < over.To; i++ {
		one := s.samples[i]
		until := one.At + one.EveryMS
		if i+1 < len(s.samples) {
			if next := s.samples[i+1].At; next-one.At <= one.LongestMS || next < until {
				until = next
			}
		}
		from, to := max(one.At, over.From), min(until, over.To)
		if from >= to {
			continue
		}
		gapTo(from)
		r.Pieces = append(r.Pieces, Piece{Time{from, to}, one.DC})
		r.Read++
		at = to
	}
	gapTo(over.To)
	return r
}

// Cold is how long it was within a band. All that is known of the hours in band: they lie between InBandMS and InBandMS + GapMS.
type Cold struct {
	InBandMS, CoveredMS, GapMS int64
	// MeanDC is weighted by time, LowestDC and HighestDC are the extremes; of no use while CoveredMS is 0.
	MeanDC              float64
	LowestDC, HighestDC int
	// BelowMS and AboveMS are the times read outside the band.
	BelowMS, AboveMS int64
	LongestGap       Time
}

// Within counts the time within a band, both limits included.
func (r Record) Within(lowDC, highDC int) (c Cold) {
	weighted := 0.0
	for i, p := range r.Pieces {
		long := p.To - p.From
		c.CoveredMS += long
		weighted += float64(p.DC) * float64(long)
		switch {
		case p.DC < lowDC:
			c.BelowMS += long
		case p.DC > highDC:
			c.AboveMS += long
		default:
			c.InBandMS += long
		}
		if i == 0 {
			c.LowestDC, c.HighestDC = p.DC, p.DC
		}
		c.LowestDC, c.HighestDC = min(c.LowestDC, p.DC), max(c.HighestDC, p.DC)
	}
	if c.CoveredMS > 0 {
		c.MeanDC = weighted / float64(c.CoveredMS)
	}
	for _, g := range r.Gaps {
		c.GapMS += g.To - g.From
		if g.To-g.From > c.LongestGap.To-c.LongestGap.From {
			c.LongestGap = g
		}
	}
	return c
}
