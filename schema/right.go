package schema

// RightView is how right the plan was: what it said of each lot that has left, 4, 8 and 12 weeks before, beside what happened. Of
// the lots that left on Since or later; the newest come first.
type RightView struct {
	Today string     `json:"today"`
	Since string     `json:"since"`
	Lots  []RightLot `json:"lots"`
	// Waiting is how many answers of earlier days are still to be computed: ask again.
	Waiting int `json:"waiting"`
	// Scores are by weeks before, of all lots ("" for crop and cultivar), of each crop, and of each cultivar; Tenths by weeks before. Both are
	// left out while fewer than Least lots have left.
	Scores []RightScore `json:"scores"`
	Tenths []RightTenth `json:"tenths"`
	Least  int          `json:"least"`
	// Seasons and Pace are what the lots say of the two assumptions by which lots move together; Seasons crop by crop. Absent where too little is
	// known.
	Seasons []RightSpread `json:"seasons,omitempty"`
	Pace    *RightSpread  `json:"pace,omitempty"`
	MadeAt  int64         `json:"made_at"`
}

// RightSpread is a standard deviation as it came out, with its 90 % interval, beside the one that the plan assumes. Of seasons it is in
// thousandths on the logit scale, from N lots of a crop; of the pace in ten-thousandths of ln days, from N lots of a crop that ended a stage. Groups is how many seasons it is from.
type RightSpread struct {
	Crop   string `json:"crop"`
	Stage  string `json:"stage"`
	SD     int    `json:"sd"`
	Low    int    `json:"low"`
	High   int    `json:"high"`
	N      int    `json:"n"`
	Groups int    `json:"groups"`
	// Now is what the plan assumes; IsOwn says that somebody wrote it, Start what Bedwalk starts with. Most is the largest that may be written.
	Now   int  `json:"now"`
	IsOwn bool `json:"is_own"`
	Start int  `json:"start"`
	Most  int  `json:"most"`
}

// RightLot is a lot that has left.
type RightLot struct {
	Lot      string `json:"lot"`
	Tag      string `json:"tag"`
	Crop     string `json:"crop"`
	Cultivar string `json:"cultivar"`
	PotMM    int    `json:"pot_mm"`
	LeftOn   string `json:"left_on"`
	// Shipped is how many of its pots were shipped or sold.
	Shipped int `json:"shipped"`
	// Walk says what the last walks before it left saw; nil where no whole walk saw it.
	Walk *RightWalk  `json:"walk,omitempty"`
	Said []RightSaid `json:"said"`
}

// RightWalk is what the last whole walks of a lot's beds saw of it: In of Seen pots in each grade or a better one, best first. On is the
// day of the earliest of these walks.
type RightWalk struct {
	On     string   `json:"on"`
	Grades []string `json:"grades"`
	In     []int    `json:"in"`
	Seen   int      `json:"seen"`
}

// RightSaid is what the plan said On a day that is over, Weeks before the lot left, by the notes that had arrived by the end of that day.
type RightSaid struct {
	Weeks int    `json:"weeks"`
	On    string `json:"on"`
	// Problem says why it said nothing of the ready day: "not_written" (nobody had written the lot down), "shipped" (it was noted as shipped
	// by then), or what CropPlan.Problem may be; "" where it said something.
	Problem string `json:"problem"`
	// Ready05, Ready50 and Ready95 are the first days by which it would be ready with a chance of 5, 50 and 95 %, "" where that day was
	// later than all that are computed.
	Ready05 string `json:"ready05"`
	Ready50 string `json:"ready50"`
	Ready95 string `json:"ready95"`
	// ShipWeek is the week that it had then, Chance that it would be ready for it; absent without a week.
	ShipWeek string   `json:"ship_week"`
	Chance   *float64 `json:"chance,omitempty"`
	// Inside says that it left within the 90 % span (or waited in it for its week), LateDays how long after the likely day, without days
	// of waiting for its week; both absent where there was no such day. InTime says that it left in that week or before.
	Inside   *bool `json:"inside,omitempty"`
	LateDays *int  `json:"late_days,omitempty"`
	InTime   *bool `json:"in_time,omitempty"`
	// Basis is what the grades rested on, as SupplyLot.Basis; Shares are the share of its pots in each grade or a better one.
	Basis  string       `json:"basis"`
	Shares []RightShare `json:"shares"`
	// Sure is how many pots in any grade the plan was sure of for that week; Shipped how many had left by the end of it, and Held that
	// these were no fewer. Absent where it was sure of none, and Held also where pots went on as another lot since (Moved).
	Sure    *int  `json:"sure,omitempty"`
	Shipped int   `json:"shipped"`
	Held    *bool `json:"held,omitempty"`
	Moved   bool  `json:"moved,omitempty"`
}

// RightShare is the share that was expected in a grade or a better one, with its 90 % span.
type RightShare struct {
	Grade string  `json:"grade"`
	Share float64 `json:"share"`
	Low   float64 `json:"low"`
	High  float64 `json:"high"`
}

// RightCount is how often something came true: Count of N, the share with its 90 % Wilson limits. N is 0 where nothing could be compared.
type RightCount struct {
	Count int     `json:"count"`
	N     int     `json:"n"`
	Low   float64 `json:"low"`
	High  float64 `json:"high"`
}

// RightScore is how right the plan was of some lots, Weeks before they left.
type RightScore struct {
	Weeks    int        `json:"weeks"`
	Crop     string     `json:"crop"`
	Cultivar string     `json:"cultivar"`
	Inside   RightCount `json:"inside"`
	// LateDays is the median over the lots of Inside; absent where there are none.
	LateDays *float64   `json:"late_days,omitempty"`
	Held     RightCount `json:"held"`
}

// RightTenth are the lots of which the chance to be ready for their week was said to be from From up to 0.1 more. Chance is its mean.
type RightTenth struct {
	Weeks  int        `json:"weeks"`
	From   float64    `json:"from"`
	Chance float64    `json:"chance"`
	InTime RightCount `json:"in_time"`
}
