package crop

import "bedwalk/schema"

// Target is a grower's own band of mean heads, a row a day since the last pinch, the days rising.
type Target []schema.HeadTarget

// TargetFor is the band for a pot size: the rows written for it, or where there are none those for every size. The size is that of the rows, 0 for
// every one. A lot of unknown pot size (0) has the band for every size.
func TargetFor(rows []schema.HeadTarget, potMM int) (band Target, size int) {
	var every Target
	for _, row := range rows {
		switch {
		case row.PotMM == nil:
			every = append(every, row)
		case *row.PotMM == potMM:
			band = append(band, row)
		}
	}
	if len(band) > 0 {
		return band, potMM
	}
	return every, 0
}

// On is the band so many days after the pinch, mm, straight between its rows; not known before the first and after the last.
func (t Target) On(day int) (low, high float64, known bool) {
	for i, to := range t {
		if day > to.Day {
			continue
		}
		if day == to.Day {
			return float64(to.LowMM), float64(to.HighMM), true
		}
		if i == 0 {
			break
		}
		from := t[i-1]
		share := float64(day-from.Day) / float64(to.Day-from.Day)
		between := func(a, b int) float64 { return float64(a) + share*float64(b-a) }
		return between(from.LowMM, to.LowMM), between(from.HighMM, to.HighMM), true
	}
	return 0, 0, false
}

// Where a mean head lies.
const (
	InsideBand = "inside"
	BelowBand  = "below"
	AboveBand  = "above"
	UnsureBand = "unsure"  // its interval reaches over an edge
	NoBand     = "no_band" // the band does not have its day
)

// LiesIn is where a mean with its limits lies in a band, and how far outside it the mean is, mm. An edge belongs to the band. It is outside only
// where its whole interval is, and inside only where that is.
func LiesIn(low, high, mm, least, most float64) (where string, by float64) {
	switch {
	case most < low:
		return BelowBand, low - mm
	case least > high:
		return AboveBand, mm - high
	case least >= low && most <= high:
		return InsideBand, 0
	}
	return UnsureBand, 0
}
