package schema

// RoutesView is what each lot that has not shipped would bring on the florist's route and on the nursery's, side by side. All money is in
// hundredths of Currency, "" where nobody wrote which.
type RoutesView struct {
	Today        string     `json:"today"`
	Currency     string     `json:"currency"`
	WageCHour    *int       `json:"wage_c_hour,omitempty"`
	SpaceCM2Week *int       `json:"space_c_m2_week,omitempty"`
	Lots         []RouteLot `json:"lots"`
	MadeAt       int64      `json:"made_at"`
}

// RouteLot is one lot's choice, from today on: what was spent until now is spent on either route.
type RouteLot struct {
	Lot      string `json:"lot"`
	Tag      string `json:"tag"`
	Crop     string `json:"crop"`
	Cultivar string `json:"cultivar"`
	PotMM    int    `json:"pot_mm"`
	Pots     int    `json:"pots"`
	ShipWeek string `json:"ship_week"`
	// Route is the one that was chosen, "" for none.
	Route string `json:"route"`
	// Problem says why nothing can be computed, "" where it can: "no_grades" (for the pot size), "one_grade" (there is no lesser one),
	// "no_stages", "start_unknown" (no step has a day), "too_far" (too far off to say when), "unknown" (too few of its pots graded, and too
	// few earlier lots), "uncounted", "ledger" (as in SupplyLot.Basis).
	Problem string `json:"problem"`
	// Basis is "walk" (Seen pots, Whole of them graded, on On) or "earlier" (Earlier lots that have shipped).
	Basis   string       `json:"basis"`
	Seen    int          `json:"seen"`
	Whole   int          `json:"whole"`
	On      string       `json:"on"`
	Earlier int          `json:"earlier"`
	Grades  []RouteGrade `json:"grades"`
	Florist RouteSums    `json:"florist"`
	Nursery RouteSums    `json:"nursery"`
	// BreakEvenPriceC is the price of the best grade at which both routes bring the same; below 0 no price is too low.
	BreakEvenPriceC *float64 `json:"break_even_price_c,omitempty"`
	// BreakEvenShare is the share of the best grade at which they do, outside 0 to 1 where one route is better whatever the share. Chance is
	// that of the florist's route bringing more a pot, by what is known of that share alone.
	BreakEvenShare *float64 `json:"break_even_share,omitempty"`
	Chance         *float64 `json:"chance,omitempty"`
	// WaitC is what the florist's route brings more a square metre and week of the bench that it takes up longer; nil where it takes up none or
	// that is not known.
	WaitC *float64 `json:"wait_c,omitempty"`
}

// RouteGrade is one grade, best first.
type RouteGrade struct {
	Grade string `json:"grade"`
	// Share is that of the pots in this very grade; Seen counts them where pots were seen.
	Share float64 `json:"share"`
	Seen  *Share  `json:"seen,omitempty"`
	// PriceC is nil where nobody wrote it. NeededC is then what it would have to be for both routes to bring the same, where it is the only
	// one that is missing.
	PriceC  *int     `json:"price_c,omitempty"`
	NeededC *float64 `json:"needed_c,omitempty"`
}

// RouteSums are the sums of one route, a pot that stands there today.
type RouteSums struct {
	// Ready is the likely day on which it is ready, Weeks from today until then.
	Ready string  `json:"ready"`
	Weeks float64 `json:"weeks"`
	// Loss is the share of the pots lost until then, by the lot's own losses so far where OwnLoss is true.
	// LossBasis and LossLimits are as LossBasis and SurviveLimits of SupplyLot.
	Loss       float64   `json:"loss"`
	OwnLoss    bool      `json:"own_loss"`
	LossBasis  string    `json:"loss_basis,omitempty"`
	LossLimits *Interval `json:"loss_limits,omitempty"`
	// SalesC is after losses; nil where a price is missing, as MarginC is then.
	SalesC    *float64 `json:"sales_c,omitempty"`
	LabourC   float64  `json:"labour_c"`
	MaterialC float64  `json:"material_c"`
	SpaceC    float64  `json:"space_c"`
	MarginC   *float64 `json:"margin_c,omitempty"`
	// MarginLimits hold it, by what is known of the share of the best grade and of the losses; left out where it is not known.
	MarginLimits *Interval `json:"margin_limits,omitempty"`
	// BenchC is the margin a square metre of bench and week; nil where it is not known how close the pots stand, or no bench is taken up any more.
	BenchC *float64 `json:"bench_c,omitempty"`
	// Missing are the costs that nobody has written, which are not in the sums.
	Missing []MissingCost `json:"missing"`
}

// MissingCost is a cost that nobody has written: of a stage "labour", "material" or "pots_m2", of the nursery "wage" or "space" (Stage "").
type MissingCost struct {
	Stage string `json:"stage"`
	What  string `json:"what"`
}
