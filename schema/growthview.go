package schema

// LotGrowth is how the mean head of a lot grows since its last pinch or clip. Sizes are mm; intervals are of 90 %.
type LotGrowth struct {
	// Since is the day of that pinch, "" where nobody noted one: then there is nothing else.
	Since string       `json:"since"`
	Walks []GrowthWalk `json:"walks"`
	// Fit is "curves" (a logistic and a Gompertz curve, both believed), "line" (a straight one through the last LineOf walks) or "". Why says
	// why no curve is believed: "points", "fit", "asymptote", "below", "half".
	Fit    string `json:"fit"`
	LineOf int    `json:"line_of"`
	Why    string `json:"why"`
	// Track is the fit from the first walk to two weeks after today.
	Track []GrowthPoint `json:"track"`
	// Grade is the first grade for its pot size that asks a head, which is the band to grow into; Low and High are its limits.
	Grade string       `json:"grade"`
	Low   *GrowthCross `json:"low,omitempty"`
	High  *GrowthCross `json:"high,omitempty"`
	// Target is the grower's own band of head sizes by day, left out where none is written for its pot size.
	Target *GrowthTarget `json:"target,omitempty"`
	// Regulator is the day of the growth regulator since that pinch, "" where none is noted. Ship is the mean head on the day by which the lot must
	// be ready, where that is ahead and curves are believed.
	Regulator string       `json:"regulator"`
	Ship      *GrowthPoint `json:"ship,omitempty"`
}

// GrowthWalk is the mean head on one walk of a bed, over N pots.
type GrowthWalk struct {
	Walk       string  `json:"walk"`
	Bed        string  `json:"bed"`
	At         int64   `json:"at"`
	PersonName string  `json:"person_name"`
	N          int     `json:"n"`
	MM         float64 `json:"mm"`
	Low        float64 `json:"low"`
	High       float64 `json:"high"`
}

// GrowthTarget is the grower's own band of head sizes by days since that pinch, straight between its rows. PotMM is the pot size it was written
// for, 0 for all of them.
type GrowthTarget struct {
	PotMM int         `json:"pot_mm"`
	Rows  []TargetRow `json:"rows"`
	Last  *TargetLast `json:"last,omitempty"`
}

// TargetRow is one row of a target band: so many days after the pinch, which is at At.
type TargetRow struct {
	Day  int   `json:"day"`
	At   int64 `json:"at"`
	Low  int   `json:"low"`
	High int   `json:"high"`
}

// TargetLast is where the mean head of the last walk lies, on its day, so many days after the pinch. Where is "inside", "below" or "above" when its whole
// interval is, "unsure" when that reaches over an edge, and "no_band" where the day is before the first row or after the last. Low and High
// are the band on that day; By is how far the mean is from the nearer edge of a band that it is outside of, else 0.
type TargetLast struct {
	On    string  `json:"on"`
	Day   int     `json:"day"`
	Where string  `json:"where"`
	Low   float64 `json:"low"`
	High  float64 `json:"high"`
	By    float64 `json:"by"`
}

// GrowthPoint is the mean head on a day by the fit, with its interval.
type GrowthPoint struct {
	On   string  `json:"on"`
	At   int64   `json:"at"`
	MM   float64 `json:"mm"`
	Low  float64 `json:"low"`
	High float64 `json:"high"`
}

// GrowthCross is when the mean head reaches a size by the fit: the first days on which the upper limit, the fit and the lower limit of it do, ""
// where that is not within two years.
type GrowthCross struct {
	MM     int    `json:"mm"`
	Early  string `json:"early"`
	Likely string `json:"likely"`
	Late   string `json:"late"`
}

// LotPoint is a lot's score on one walk.
type LotPoint struct {
	Walk       string   `json:"walk"`
	Bed        string   `json:"bed"`
	At         int64    `json:"at"`
	PersonName string   `json:"person_name"`
	Score      LotScore `json:"score"`
}
