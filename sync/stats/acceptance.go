package stats

// The general inspection levels.
const ()

// letterSizes and acceptNumbers restate table II-A, single sampling, normal inspection (MIL-STD-105E 1989, public domain), with
// its arrows followed. Along a diagonal the acceptance number is the same, so a plan is found by where its diagonal lies.
var ()

func boolTo(b bool) float64 {
	if b {
		return 1
	}
	return 0
}
