package schema

// TomorrowView is which beds to walk on a day, in the order of what their walks would settle: beds that are due first, those with rot before all
// others, then those whose walk narrows what is known of a ship week most a minute.
type TomorrowView struct {
	On    string         `json:"on"`
	Walks []TomorrowWalk `json:"walks"`
	// PotS is how long one pot takes, in seconds: the median of PotN walks; 0 where there are none. WayS is the time from the end of one walk to the
	// next one of the same scout, the median of WayN of them.
	PotS   float64 `json:"pot_s"`
	PotN   int     `json:"pot_n"`
	WayS   float64 `json:"way_s"`
	WayN   int     `json:"way_n"`
	MadeAt int64   `json:"made_at"`
}

// TomorrowWalk is one bed. Walks of which nothing can be said to settle anything are left out.
type TomorrowWalk struct {
	Bed   string `json:"bed"`
	Name  string `json:"name"`
	House string `json:"house"`
	// Why is "never", "days", "roots" or "chlorosis" for a bed that is due (Days since its last whole walk), or "narrows".
	Why  string `json:"why"`
	Days int    `json:"days"`
	// Trouble is what its last whole walk found, "roots" or "chlorosis", "" for nothing; also of a bed that is due for its days.
	Trouble string `json:"trouble,omitempty"`
	// Unfinished is how far the walk came that Days counts from, where it was left before it had seen what it asked for.
	Unfinished *Unfinished `json:"unfinished,omitempty"`
	// Pots are as many as its last whole walk saw, or as its crop's shortest walk; they take Minutes with the way, 0 where no walk says
	// how long.
	Pots    int     `json:"pots"`
	Minutes float64 `json:"minutes"`
	// Narrows is the week that would be known better; nil where none would.
	Narrows *TomorrowNarrows `json:"narrows,omitempty"`
	// ClosedUntil is when its entry interval ends, ms since 1970; 0 where it is open.
	ClosedUntil int64 `json:"closed_until"`
	// Task is the walk as it was handed out for that day to Person, "" while it is not.
	Task       string `json:"task"`
	Person     string `json:"person"`
	PersonName string `json:"person_name"`
}

// TomorrowNarrows says how widely the pots of a ship week in a grade or a better one are known: the width of the 90 % span, about, now and
// after the walk if it sees what is expected.
type TomorrowNarrows struct {
	Week  string  `json:"week"`
	Crop  string  `json:"crop"`
	PotMM int     `json:"pot_mm"`
	Grade string  `json:"grade"`
	Now   float64 `json:"now"`
	After float64 `json:"after"`
}
