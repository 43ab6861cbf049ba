package schema

// CoolerView is what the supervisor sees of the coolers: what is in them, for how long, and how cold it was. Today is the day that it was
// computed for, by the nursery's calendar.
type CoolerView struct {
	Today   string   `json:"today"`
	Coolers []Cooler `json:"coolers"`
	// Astray are lots in a cooler of which nobody has said which one.
	Astray []CooledLot `json:"astray"`
	// Files are the logger files that were read in, of any house, the newest readings first.
	Files  []LoggerFile `json:"files"`
	MadeAt int64        `json:"made_at"`
}

// Cooler is one cooler with the lots in it, and those that came out and have not shipped.
type Cooler struct {
	House string `json:"house"`
	Name  string `json:"name"`
	// BandLowDC to BandHighDC is the band in which cold counts, both included (tenths of a degree C); OwnBand where it is the grower's own.
	BandLowDC  int         `json:"band_low_dc"`
	BandHighDC int         `json:"band_high_dc"`
	OwnBand    bool        `json:"own_band"`
	Lots       []CooledLot `json:"lots"`
	// Spots are where its temperature was read over the time of these lots: each logger by its place, and the readings by hand.
	Spots []CoolerSpot `json:"spots"`
}

// CooledLot is a lot's time in a cooler.
type CooledLot struct {
	Lot      string `json:"lot"`
	Tag      string `json:"tag"`
	Crop     string `json:"crop"`
	Cultivar string `json:"cultivar"`
	Pots     int    `json:"pots"`
	// In is the day it went in, Out the day it came out, "" while it is in.
	In  string `json:"in"`
	Out string `json:"out"`
	// Ready is the day on which its buds were seen ready, "" where nobody looked.
	Ready string `json:"ready"`
	// Days from In to Out or today. Counted of them came after the buds were seen ready, Flagged before; both absent where nobody looked.
	Days    int  `json:"days"`
	Counted *int `json:"counted,omitempty"`
	Flagged *int `json:"flagged,omitempty"`
	// Over is what the hours are of: the counted days, or all of them where nobody looked at the buds.
	FromMS int64 `json:"from_ms"`
	ToMS   int64 `json:"to_ms"`
	// Spots are its hours by where they were read, in the order of Cooler.Spots.
	Spots []ColdHours `json:"spots"`
	// Stage is how many days of cold the plan counts with for it (quickest, middle, slowest of ten), Standing and Source where they come
	// from; none without such a stage.
	Stage    []int  `json:"stage,omitempty"`
	Standing string `json:"standing"`
	Source   string `json:"source"`
	// Latest50 and Latest90 are the last days on which it may come out to make ShipWeek with an even chance and with 90 %, "" where it has
	// none or is out.
	ShipWeek string `json:"ship_week"`
	Latest50 string `json:"latest50"`
	Latest90 string `json:"latest90"`
	// MostOn is the day after which it should not stay: MostColdDays after In.
	MostOn string `json:"most_on"`
}

// MostColdDays is how long plants may stay in a cooler before buds and leaves suffer: common practice, no source.
const MostColdDays = 56

// ColdHours are the hours of a lot's cold at one spot. Hours in band lie between InBand and InBand + Gap.
type ColdHours struct {
	InBand  float64 `json:"in_band"`
	Covered float64 `json:"covered"`
	Gap     float64 `json:"gap"`
	Below   float64 `json:"below"`
	Above   float64 `json:"above"`
	// Readings is how many samples these rest on; Mean (degrees C, weighted by time) is absent without any.
	Readings int      `json:"readings"`
	Mean     *float64 `json:"mean,omitempty"`
	LowDC    int      `json:"low_dc"`
	HighDC   int      `json:"high_dc"`
	// LongestGap is in hours, from GapFromMS on.
	LongestGap float64 `json:"longest_gap"`
	GapFromMS  int64   `json:"gap_from_ms"`
	// Chill is what models for other crops make of it.
	Chill Chill `json:"chill"`
}

// Chill is what models that were made for peach and apple make of hours of cold.
type Chill struct {
	Hours         int     `json:"hours"`
	Missing       int     `json:"missing"`
	UpTo72        int     `json:"up_to_72"`
	From0To72     int     `json:"from0_to_72"`
	Utah          float64 `json:"utah"`
	UtahPositive  float64 `json:"utah_positive"`
	NorthCarolina float64 `json:"north_carolina"`
	Portions      float64 `json:"portions"`
	Restarts      int     `json:"restarts"`
}

// CoolerSpot is one place in a cooler where its temperature was read. Spot is what people call it, "" for the cooler as a whole.
type CoolerSpot struct {
	Spot   string `json:"spot"`
	ByHand bool   `json:"by_hand"`
	// Clashes are moments with two unequal temperatures, of which neither is used.
	Clashes int `json:"clashes"`
	// FromMS to ToMS is drawn, by the hour: Hours has the lowest and highest temperature read in each (tenths of a degree C), null
	// where nothing was read.
	FromMS int64        `json:"from_ms"`
	ToMS   int64        `json:"to_ms"`
	Hours  []*HourRange `json:"hours"`
	Gaps   []TimeSpan   `json:"gaps"`
}

// HourRange is the lowest and highest temperature of an hour.
type HourRange struct {
	LowDC  int `json:"low_dc"`
	HighDC int `json:"high_dc"`
}

// TimeSpan is a stretch of time (ms since 1970).
type TimeSpan struct {
	FromMS int64 `json:"from_ms"`
	ToMS   int64 `json:"to_ms"`
}

// LoggerFile is a file of a logger that was read in.
type LoggerFile struct {
	House  string `json:"house"`
	Spot   string `json:"spot"`
	Source string `json:"source"`
	FromMS int64  `json:"from_ms"`
	ToMS   int64  `json:"to_ms"`
	Values int    `json:"values"`
	// Entries are the notes that it was written as, by which it is struck out.
	Entries []string `json:"entries"`
}
