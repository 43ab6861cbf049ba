package schema

// PlanView is the way ahead of every lot that has not shipped, soonest ship week first; those without a week come last. Today is the day
// that it was computed for, by the nursery's calendar.
type PlanView struct {
	Today string    `json:"today"`
	Lots  []LotPlan `json:"lots"`
	// OwnStages is false while no crop, pot size or cultivar of the nursery has a stage length of the grower's own.
	OwnStages bool  `json:"own_stages"`
	MadeAt    int64 `json:"made_at"`
}

// LotPlan is one lot with its way ahead.
type LotPlan struct {
	Lot      string   `json:"lot"`
	Tag      string   `json:"tag"`
	Crop     string   `json:"crop"`
	Cultivar string   `json:"cultivar"`
	PotMM    int      `json:"pot_mm"`
	Route    string   `json:"route"`
	Pots     int      `json:"pots"`
	ShipWeek string   `json:"ship_week"`
	Plan     CropPlan `json:"plan"`
}

// CropPlan is a lot's way from its first step to ready. Days are calendar days ("2026-12-31"), "" where there is none.
type CropPlan struct {
	// Problem says why there is no forecast: "no_stages", "start_unknown", "shipped", "stock" (kept for cuttings); "" where there is one.
	Problem string `json:"problem"`
	// By is the day by which the lot must be ready for its ship week, and Chance that it is, from 0 to 1; absent without a week.
	By     string     `json:"by"`
	Chance *float64   `json:"chance,omitempty"`
	Steps  []PlanStep `json:"steps"`
	// Next is the place in Steps of the next step to take, -1 when none is.
	Next int `json:"next"`
	// SlackDays is how long after its likely day the next step may still be taken for an even chance, negative when that day is
	// past by then; LateDays how long ago that latest day was.
	SlackDays *int `json:"slack_days,omitempty"`
	LateDays  int  `json:"late_days"`
	// NotOwn of the ToCome stage lengths still to come are not the grower's own.
	NotOwn int `json:"not_own"`
	ToCome int `json:"to_come"`
	// Ready95 is the first day by which it is ready with a chance of 95 %, "" where none is.
	Ready95 string `json:"ready95"`
	// Gates are those of the stage that the lot is in. A stage whose gate a walk saw closed does not end before ClosedUntil.
	Gates       []PlanGate `json:"gates,omitempty"`
	ClosedUntil string     `json:"closed_until"`
}

// PlanGate is a gate with what was seen: Met of Looked pots meet it, so of PotsOnBeds a share from Low to High does (90 % Wilson limits).
type PlanGate struct {
	Gate
	// State is "open", "not_yet", "unsure" (too few pots seen to say, or Unwalked: a bed that no whole walk saw), "stale" (On is too long
	// ago) or "not_looked_at". ByHand says that a person noted it On that day.
	State      string   `json:"state"`
	Met        int      `json:"met"`
	Looked     int      `json:"looked"`
	PotsOnBeds int      `json:"pots_on_beds"`
	Unwalked   bool     `json:"unwalked,omitempty"`
	Low        float64  `json:"low"`
	High       float64  `json:"high"`
	On         string   `json:"on"`
	Scouts     []string `json:"scouts,omitempty"`
	ByHand     bool     `json:"by_hand,omitempty"`
}

// PlanStep is a step of a lot, taken or to come, with the stage that ends with it.
type PlanStep struct {
	Step string `json:"step"`
	// Stage is "" for the first step; Days are its quickest, middle and slowest of ten lots, From whose they are ("cultivar", "crop",
	// "start": what Bedwalk starts with, or "walks": how its heads grow), Standing and Source where they come from.
	Stage    string `json:"stage"`
	Days     []int  `json:"days,omitempty"`
	From     string `json:"from"`
	Standing string `json:"standing"`
	Source   string `json:"source"`
	// Done steps were taken On a day, "" when nobody noted which; Others are further days noted for the same step.
	Done       bool     `json:"done"`
	On         string   `json:"on"`
	Others     []string `json:"others,omitempty"`
	ByBed      bool     `json:"by_bed,omitempty"`
	OutOfOrder bool     `json:"out_of_order,omitempty"`
	// Day10, Day50 and Day90 are the first days by which a step to come is taken with a chance of 10, 50 and 90 %.
	Day10 string `json:"day10"`
	Day50 string `json:"day50"`
	Day90 string `json:"day90"`
	// Latest50 and Latest90 are the last working days on which it may be taken to be in time with an even chance, and with 90 %.
	Latest50 string `json:"latest50"`
	Latest90 string `json:"latest90"`
	// Latest50 would be MovedFrom if people worked on that day; MovedWhy is why they do not: a holiday's name, or "weekend".
	MovedFrom string `json:"moved_from,omitempty"`
	MovedWhy  string `json:"moved_why,omitempty"`
	// Day50 would be LikelyFrom if people worked on that day, LikelyWhy as MovedWhy.
	LikelyFrom string `json:"likely_from,omitempty"`
	LikelyWhy  string `json:"likely_why,omitempty"`
	// Pinned is the day on which people mean to take it, Free why nobody works on that day.
	Pinned string `json:"pinned"`
	Free   string `json:"free"`
}
