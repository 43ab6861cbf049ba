package schema

// LotRooting is what was counted of a lot's cuttings, and of those of other lots of its cultivar.
type LotRooting struct {
	// Trays are the counts, newest first.
	Trays []RootedTray `json:"trays"`
	// On is the newest day on which cuttings were counted, Share that day's counts together.
	On    string `json:"on"`
	Share Share  `json:"share"`
	// Stuck is how many cuttings the lot has on record while it is not potted. Of them Expected root on average, Low to High in 90 % of the
	// cases, if those that were looked at were picked by chance. All are 0 where it is potted or fewer are on record than were looked at.
	Stuck    int     `json:"stuck"`
	Expected float64 `json:"expected"`
	Low      int     `json:"low"`
	High     int     `json:"high"`
	// Season are the lots of its cultivar that were stuck in the same year, this one among them, Cultivar those of all years. Each counts with
	// its newest day.
	Year     int         `json:"year"`
	Season   RootedOfAll `json:"season"`
	Cultivar RootedOfAll `json:"cultivar"`
}

// RootedTray is one count.
type RootedTray struct {
	On    string `json:"on"`
	Share Share  `json:"share"`
	Words string `json:"words"`
}

// RootedOfAll is the cuttings of some lots together. Lots differ by more than the interval says, which takes all cuttings for one lot's.
type RootedOfAll struct {
	Lots  int   `json:"lots"`
	Share Share `json:"share"`
}
