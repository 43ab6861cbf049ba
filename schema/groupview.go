package schema

// GroupView is what whoever has a link of several nurseries sees of them side by side. Each number is of one nursery, as its own pages have it; none are
// added up over nurseries.
type GroupView struct {
	// For is whom the link was made for.
	For       string         `json:"for"`
	MadeAt    int64          `json:"made_at"`
	Nurseries []GroupNursery `json:"nurseries"`
}

// GroupNursery is one of them. Site is what it is called in the database.
type GroupNursery struct {
	Site string `json:"site"`
	// Away is why there is no Brief: "not_served" (it could not be opened), "slow" (no answer in time) or "failed"; "" where there is one.
	Away  string        `json:"away,omitempty"`
	Brief *NurseryBrief `json:"brief,omitempty"`
}

// NurseryBrief is a nursery in short.
type NurseryBrief struct {
	// Name is what it calls itself, "" before anybody wrote that.
	Name  string `json:"name"`
	Today string `json:"today"`
	// WalkedAt is when the newest walk was (ms), 0 for never. Beds are those on which something stands, of which Recent were walked in the last RecentDays days,
	// Unfinished of these by a walk that was left early (see Unfinished, the type).
	WalkedAt   int64 `json:"walked_at"`
	Beds       int   `json:"beds"`
	Recent     int   `json:"recent"`
	Unfinished int   `json:"unfinished"`
	RecentDays int   `json:"recent_days"`
	// Crops are in the order of their names, beds with several crops on them last.
	Crops []CropBrief `json:"crops"`
	// Weeks are in order, the ones of a week by crop: of WeeksBefore weeks, the present one and WeeksAfter more.
	Weeks       []WeekBrief `json:"weeks"`
	WeeksBefore int         `json:"weeks_before"`
	WeeksAfter  int         `json:"weeks_after"`
	// Unplaced is how many booked pots are open in no ship week.
	Unplaced int `json:"unplaced"`
}

// CropBrief is a crop in a nursery.
type CropBrief struct {
	// Crop is "" for beds with several crops on them.
	Crop string `json:"crop"`
	// Beds have it on them; Scored is of how many the last walk gives a uniformity. Median is the middle one, Lowest and Highest are the ends, shares from
	// 0 to 1; all are 0 where none is scored.
	Beds    int     `json:"beds"`
	Scored  int     `json:"scored"`
	Median  float64 `json:"median"`
	Lowest  float64 `json:"lowest"`
	Highest float64 `json:"highest"`
	// Least is the bed of Lowest, with the interval of its walk.
	Least *LeastEven `json:"least,omitempty"`
	// Whole pots were seen whole on the last walks of lots that are far enough to be graded: Best of them are in the best grade, Graded in any. Early is how many lots that were
	// walked are not far enough.
	Whole  int `json:"whole"`
	Best   int `json:"best"`
	Graded int `json:"graded"`
	Early  int `json:"early"`
}

// LeastEven is the bed with the lowest uniformity.
type LeastEven struct {
	Bed        string   `json:"bed"`
	Uniformity Estimate `json:"uniformity"`
}

// WeekBrief is what is booked of a crop for a ship week, cancelled bookings left out.
type WeekBrief struct {
	Week string `json:"week"`
	Crop string `json:"crop"`
	// Over is true of a week that has ended.
	Over bool `json:"over"`
	// Booked pots, of which Shipped have left, whenever that was.
	Booked  int `json:"booked"`
	Shipped int `json:"shipped"`
	// Short is how many have not left of a week that is over; of another, how many are not sure to be there (SupplyWeek.Missing), with Undecided more of
	// lots of which nothing is known yet.
	Short     int `json:"short"`
	Undecided int `json:"undecided"`
}
