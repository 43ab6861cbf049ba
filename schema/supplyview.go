package schema

// SupplyView is what each ship week will have against what is booked of it, soonest first. Today is the day that it was computed for.
type SupplyView struct {
	Today string       `json:"today"`
	Weeks []SupplyWeek `json:"weeks"`
	// Unplaced are open bookings in no week: of a lot that is not here or is kept for cuttings, without a week as their lot is, or without a lot and a
	// week, crop or pot size.
	Unplaced []SupplyBooking `json:"unplaced"`
	// Closed are bookings that name no lot and are open no more, the latest weeks first; none of which the week is over for more than a year.
	Closed []ClosedBooking `json:"closed,omitempty"`
	MadeAt int64           `json:"made_at"`
}

// ClosedBooking is a booking that names no lot of which nothing is open: it was cancelled, or Shipped are all of its Pots.
type ClosedBooking struct {
	ID        string `json:"id"`
	Buyer     string `json:"buyer"`
	Crop      string `json:"crop"`
	Cultivar  string `json:"cultivar"`
	PotMM     int    `json:"pot_mm"`
	Grade     string `json:"grade"`
	Week      string `json:"week"`
	Pots      int    `json:"pots"`
	Shipped   int    `json:"shipped"`
	Cancelled bool   `json:"cancelled"`
}

// SupplyWeek is one crop in one pot size in one ship week.
type SupplyWeek struct {
	Week  string `json:"week"`
	By    string `json:"by"`
	Crop  string `json:"crop"`
	PotMM int    `json:"pot_mm"`
	// Season is the standard deviation, on the logit scale, by which lots of one cultivar are taken to move together.
	Season float64 `json:"season"`
	// Grades are best first; none where the crop has no grades for the pot size, so that nothing can be said.
	Grades []SupplyGrade `json:"grades"`
	Lots   []SupplyLot   `json:"lots"`
	// Cultivars are what the lots of each have together, where there are several.
	Cultivars []SupplyCultivar `json:"cultivars,omitempty"`
	Bookings  []SupplyBooking  `json:"bookings"`
	// Missing is how many booked pots are not sure to be there, in the order in which bookings were entered; Undecided how many more are of lots of which
	// nothing is known yet.
	Missing   int `json:"missing"`
	Undecided int `json:"undecided"`
	// Short is the greatest chance that one of the bookings that Missing counts is not served in full, 1 where no lot of the week can serve one; left
	// out where Missing is 0.
	Short *float64 `json:"short,omitempty"`
}

// SupplyGrade is the pots in one grade or a better one.
type SupplyGrade struct {
	Grade string `json:"grade"`
	// Expected is the average, Median the middle case, Low and High the limits of 90 % of the cases. A lot that may be late is there or not at
	// all, so that the average can lie outside them.
	Expected float64 `json:"expected"`
	Median   int     `json:"median"`
	Low      int     `json:"low"`
	High     int     `json:"high"`
	// Sure is the pooled 5 % point of all lots, LotsAlone the sum of each lot's own.
	Sure      int `json:"sure"`
	LotsAlone int `json:"lots_alone"`
	// Booked is open bookings of this very grade; Safe can be promised on top, when nothing more is promised of other grades.
	Booked int `json:"booked"`
	Safe   int `json:"safe"`
	// Short is the chance that there are fewer pots than are booked of this grade and better ones. Lots of which nothing is known count as
	// none, so where there are such it is the most that the chance can be.
	Short float64 `json:"short"`
}

// SupplyCultivar is what all lots of a cultivar bring. Sure is their pooled 5 % point, Safe what may be promised of the cultivar on top of all that
// is booked, a grade or better each.
type SupplyCultivar struct {
	Cultivar string `json:"cultivar"`
	Sure     []int  `json:"sure"`
	Safe     []int  `json:"safe"`
}

// SupplyLot is what one lot brings.
type SupplyLot struct {
	Lot      string `json:"lot"`
	Tag      string `json:"tag"`
	Cultivar string `json:"cultivar"`
	Pots     int    `json:"pots"`
	// Basis is "walk" (Seen pots, Whole of them seen whole, on On), "earlier" (Earlier lots that have shipped; no pot of this lot seen), or why
	// nothing is known: "unknown" (neither), "uncounted", "ledger" (fewer pots on record than were seen), "no_dates" (nobody knows when it is
	// ready).
	Basis   string   `json:"basis"`
	Seen    int      `json:"seen"`
	Whole   int      `json:"whole"`
	On      string   `json:"on"`
	Scouts  []string `json:"scouts,omitempty"`
	Earlier int      `json:"earlier"`
	// Ready is the chance that it is ready for the week; SafeWeek the first week for which that is at least 95 %, "" where none is.
	Ready    float64 `json:"ready"`
	SafeWeek string  `json:"safe_week"`
	// Survive is the share of its pots that is left at shipping, by the lot's own losses so far where OwnLoss is true. LossBasis says what it rests on:
	// "own", "stages" (what is written of its stages to come) or "crop" (what is expected of the crop). SurviveLimits hold it, left out where it
	// counts as sure.
	Survive       float64   `json:"survive"`
	OwnLoss       bool      `json:"own_loss"`
	LossBasis     string    `json:"loss_basis,omitempty"`
	SurviveLimits *Interval `json:"survive_limits,omitempty"`
	// Sure is the lot's own 5 % point, a grade or better each. Leans is how many pots of each very grade bookings for its cultivar or crop need of it if
	// it is ready, since the other lots may not have them; Safe is what one more booking of it would be sure of, after all others.
	Sure  []int `json:"sure"`
	Leans []int `json:"leans,omitempty"`
	Safe  []int `json:"safe,omitempty"`
}

// SupplyBooking is an open booking. Missing of its Open pots cannot be served.
type SupplyBooking struct {
	ID    string `json:"id"`
	Lot   string `json:"lot"`
	Tag   string `json:"tag"`
	Buyer string `json:"buyer"`
	// Crop, Cultivar and PotMM are of a booking that names no lot: any lot of them serves it, of any cultivar where Cultivar is "".
	Crop      string `json:"crop,omitempty"`
	Cultivar  string `json:"cultivar,omitempty"`
	PotMM     int    `json:"pot_mm,omitempty"`
	Reference string `json:"reference,omitempty"`
	Grade     string `json:"grade"`
	Open      int    `json:"open"`
	Missing   int    `json:"missing"`
	// Why says why: "week" (its lot ships in OtherWeek), "stock" (its lot is kept for cuttings), "none" (no lot of the week is of its crop, cultivar
	// and pot size), "unknown" (nothing is known of the lot, or of lots with as many pots as are missing), "not_ready" (lots may not be ready in
	// time), "earlier" (wider bookings that were entered before it may need them), "few" (too few pots are sure); "" where none is missing.
	Why string `json:"why"`
	// Short is the chance that it is not served in full once bookings entered before it have what they are sure of, for one of which pots are
	// missing; 0 where it can take from no lot of this week or nothing is known of those.
	Short float64 `json:"short"`
	// Elsewhere is how many of the missing pots it could have if it were served from any lot of the week, after all other bookings.
	Elsewhere int `json:"elsewhere"`
	// OtherWeek is the ship week of its lot where that is not this week, "-" where the lot has none.
	OtherWeek string `json:"other_week"`
}
