package supply

// Rooted is how many cuttings of a lot root, given those that were looked at: a number of all that were stuck, those that were looked at
// among them (beta-binomial, Skellam 1948, with Jeffreys' prior). False where none was looked at, or more than were stuck.
func Rooted(rooted, looked, stuck int) (Counts, bool) {
	if looked == 0 || rooted > looked || looked > stuck {
		return Counts{}, false
	}
	return Part{In: []int{rooted}, Seen: looked, Stood: stuck, OnBed: stuck, Prior: Jeffreys(1)}.counts(0, 0), true
}
