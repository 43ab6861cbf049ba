package schema

// Promise is how many pots may be promised, and why none where none may.
type Promise struct {
	// Lines are one a grade, best first; empty while Hold says why: "early" (the pots were seen before GradedFrom), "few" (fewer
	// than Least seen whole), "ledger" (fewer on record than were seen), "uncounted" (nobody has counted a stretch), "shipped", "unwalked" (no whole walk saw them),
	// "list" (a list promises nothing; the bed's and the lot's own page do).
	Lines []PromiseLine `json:"lines"`
	Hold  string        `json:"hold,omitempty"`
	// GradedFrom is the day from which the rules judge, "" where no ship week is set.
	GradedFrom string `json:"graded_from,omitempty"`
	// Whole of the Seen pots were seen whole; Least is how many it takes. PotsOnBed is on record now, Left how many of those that
	// stood at the walk have gone since: each is taken for one in grade.
	Least     int `json:"least"`
	Whole     int `json:"whole"`
	Seen      int `json:"seen"`
	PotsOnBed int `json:"pots_on_bed"`
	Left      int `json:"left"`
	// Lacks says what was not looked at on the other Seen pots, by the line of the rules, most pots first.
	Lacks []GradeLack `json:"lacks"`
	// Lots are those promised together: one for a lot that stands alone.
	Lots []string `json:"lots"`
	// Shrink is the share of pots expected to be lost until shipping, KeptLimits hold the share that is left with 90 % (absent where it counts as
	// sure). Of several lots both are those of the one that may lose most. LossBasis is whose word that is, as in SupplyLot; "" of several lots.
	Shrink     float64   `json:"shrink"`
	KeptLimits *Interval `json:"kept_limits,omitempty"`
	LossBasis  string    `json:"loss_basis,omitempty"`
}

// PromiseLine is one grade's promise. A pot of a better grade serves a booking of a lesser one, never the other way round.
type PromiseLine struct {
	Grade string `json:"grade"`
	// InGrade seen pots are in this grade or a better one; Sure is the exact one-sided 95 % lower limit, in pots, of those on the bed
	// that are; of these at least Kept are left at shipping, over at most 5 % of walks and losses.
	InGrade int `json:"in_grade"`
	Sure    int `json:"sure"`
	Kept    int `json:"kept"`
	// Booked is open bookings of this very grade. Safe can be promised on top, when nothing more is promised of other grades.
	Booked int `json:"booked"`
	Safe   int `json:"safe"`
	// Over is how many booked pots of this grade and better ones are not sure to be there.
	Over int `json:"over"`
}

// BookedPots is open bookings of one grade.
type BookedPots struct {
	Grade string `json:"grade"`
	Pots  int    `json:"pots"`
}

// KeptShare is the share of a lot's pots that is left at shipping: Mean is expected, and it differs from lot to lot as a beta distribution with
// a + b = 1/Differ - 1 does. Basis is as in SupplyLot.LossBasis.
type KeptShare struct {
	Mean   float64 `json:"mean"`
	Differ float64 `json:"differ"`
	Basis  string  `json:"basis"`
}
