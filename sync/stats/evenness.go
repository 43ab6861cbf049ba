package stats

// Median is the middle value of x, or the mean of the two middle ones; unknown without a value.
func Median(x []float64) Maybe {
	kept, _ := taken(x)
	if len(kept) == 0 {
		return Maybe{}
	}
	sortFloats(kept)
	return Sure(medianOfSorted(kept))
}
