package schema

// Views are what the supervisor's screens are drawn from, and a little of the scout's: computed at the server from its records,
// never written down.

// BedsView is the whole nursery from above. Where the asker has named a Version that the server remembers, it is what changed
// Since: Beds are those that changed, Houses is empty and as it was.
type BedsView struct {
	Version string      `json:"version"`
	Since   string      `json:"since,omitempty"`
	Site    string      `json:"site"`
	MadeAt  int64       `json:"made_at"`
	Head    int64       `json:"head"`
	Houses  []HouseView `json:"houses"`
	Beds    []BedBrief  `json:"beds,omitempty"`
	Phones  PhonesBrief `json:"phones"`
}

// PhonesBrief sums up the paired phones for the page's head.
type PhonesBrief struct {
	Paired      int   `json:"paired"`
	Equal       int   `json:"equal"`
	Pending     int   `json:"pending"`
	LastAt      int64 `json:"last_at"`
	Quarantined int   `json:"quarantined"`
}

// HouseView is one house with its beds.
type HouseView struct {
	ID       string     `json:"id"`
	Name     string     `json:"name"`
	Note     string     `json:"note"`
	LengthMM int        `json:"length_mm"`
	WidthMM  int        `json:"width_mm"`
	Beds     []BedBrief `json:"beds"`
}

// BedBrief is a bed in short.
type BedBrief struct {
	ID       string     `json:"id"`
	House    string     `json:"house"`
	Name     string     `json:"name"`
	LengthMM int        `json:"length_mm"`
	WidthMM  int        `json:"width_mm"`
	Rows     int        `json:"rows"`
	Across   int        `json:"across"`
	EntryEnd string     `json:"entry_end"`
	FarEnd   string     `json:"far_end"`
	Aisles   string     `json:"aisles"`
	XMM      int        `json:"x_mm"`
	YMM      int        `json:"y_mm"`
	Spans    []SpanView `json:"spans"`
	// Score is of the last whole walk, with what earlier ones found and nothing has answered since; Trend of the last six whole
	// walks, oldest first. While no walk was whole, Score is of the last one and Few.
	Score *BedScore    `json:"score,omitempty"`
	Trend []TrendPoint `json:"trend"`
	// UnderWay is a newer walk that was not ended yet.
	UnderWay *UnderWay `json:"under_way,omitempty"`
	// Unfinished is set where the walk of Score was left before it had seen what it asked for, as it is while that walk is under way.
	Unfinished *Unfinished `json:"unfinished,omitempty"`
	// LastWalk is the walk of Score, LastWalkAt when it was: 0 when nobody has walked the bed. Due says why a walk is wanted: "", "never", "days", "chlorosis",
	// "roots".
	LastWalk   string `json:"last_walk"`
	LastWalkAt int64  `json:"last_walk_at"`
	Due        string `json:"due"`
	DueDays    int    `json:"due_days"`
	// ClosedUntil is when an entry interval ends (ms), 0 when none runs.
	ClosedUntil int64 `json:"closed_until"`
}

// SpanView is a lot's stretch of a bed.
type SpanView struct {
	Span     string `json:"span"`
	Lot      string `json:"lot"`
	Tag      string `json:"tag"`
	Crop     string `json:"crop"`
	Cultivar string `json:"cultivar"`
	PotMM    int    `json:"pot_mm"`
	FromRow  int    `json:"from_row"`
	ToRow    int    `json:"to_row"`
	Pots     int    `json:"pots"`
}

// UnderWay is a walk that goes on: Seen pots of about Planned (0: not known).
type UnderWay struct {
	Walk       string `json:"walk"`
	At         int64  `json:"at"`
	Person     string `json:"person"`
	PersonName string `json:"person_name"`
	Seen       int    `json:"seen"`
	Planned    int    `json:"planned"`
}

// Unfinished is how far a walk came that was left before it had seen what it asked for: Seen pots of about About in all, 0 where no number
// stands for it.
type Unfinished struct {
	Seen  int `json:"seen"`
	About int `json:"about"`
}

// TrendPoint is one walk of a bed.
type TrendPoint struct {
	Walk       string   `json:"walk"`
	At         int64    `json:"at"`
	Person     string   `json:"person"`
	PersonName string   `json:"person_name"`
	Uniformity Estimate `json:"uniformity"`
	Chlorosis  Share    `json:"chlorosis"`
	Rot        Share    `json:"rot"`
	// Head and Buds are each trait's own uniformity, unknown where too few pots were measured.
	Head Estimate `json:"head"`
	Buds Estimate `json:"buds"`
	// Whole is false for a walk that was not ended: it saw a part of the bed.
	Whole bool `json:"whole"`
	// Unfinished is nil for a walk that saw what it asked for.
	Unfinished *Unfinished `json:"unfinished,omitempty"`
	// ScoutChanged names the traits that jump where another scout walked than before.
	ScoutChanged []string `json:"scout_changed,omitempty"`
}

// LotBrief is a lot in a list.
type LotBrief struct {
	ID       string   `json:"id"`
	Tag      string   `json:"tag"`
	Crop     string   `json:"crop"`
	Cultivar string   `json:"cultivar"`
	PotMM    int      `json:"pot_mm"`
	StruckOn string   `json:"struck_on"`
	PottedOn string   `json:"potted_on"`
	ShipWeek string   `json:"ship_week"`
	Pots     int      `json:"pots"`
	Beds     []string `json:"beds"`
	Disagree int      `json:"disagree"`
	// Gone is true of one that was counted, has no pot left and stands on no bed.
	Gone bool `json:"gone"`
	// Stock is set where it is kept for cuttings; PlantsEach are the plants in each of its pots.
	Stock      bool `json:"stock"`
	PlantsEach int  `json:"plants_each"`
	// Uniformity is of the lot's weaker trait on its last walk.
	Uniformity    Estimate `json:"uniformity"`
	LimitingTrait string   `json:"limiting_trait"`
}

// LotsPage is a page of the list of lots. All counts every lot, Count those that the search and the filter leave; Crops are those of all
// lots, each once. Next is what to ask after for the next page, "" on the last one.
type LotsPage struct {
	Lots  []LotBrief `json:"lots"`
	All   int        `json:"all"`
	Count int        `json:"count"`
	Crops []string   `json:"crops"`
	Next  string     `json:"next"`
}

// HistoryPage is a page of what was noted about a lot, the newest first. Older is what to ask before for the next page, "" on the last.
type HistoryPage struct {
	Lines []HistoryLine `json:"lines"`
	Older string        `json:"older"`
}

// NamesView is what beds are called, for pages that only name them.
type NamesView struct {
	Beds []BedName `json:"beds"`
}

// BedName is a bed with its own name and its house's.
type BedName struct {
	ID    string `json:"id"`
	Name  string `json:"name"`
	House string `json:"house"`
}

// LotView is one lot's merged record.
type LotView struct {
	Lot    LotBrief          `json:"lot"`
	Record Record            `json:"record"`
	Stock  Record            `json:"stock"`
	Spans  []SpanView        `json:"spans"`
	BedOf  map[string]string `json:"bed_of"`
	// Scores are of the lot, walk by walk, oldest first.
	Scores []LotPoint `json:"scores"`
	Facts  []Record   `json:"facts"`
	// History is the first page of what was noted about the lot.
	History  HistoryPage `json:"history"`
	Parent   *LotBrief   `json:"parent,omitempty"`
	Children []LotBrief  `json:"children"`
	// Cuttings is what was taken of its plants, and where its own cuttings came from; absent only in what builds before it computed.
	Cuttings *LotCuttings `json:"cuttings,omitempty"`
	// Promise is of the lot over all its beds, from the last whole walk of each; absent where no grades are set for its pot size, and of one that is
	// kept for cuttings.
	Promise  *Promise      `json:"promise,omitempty"`
	Bookings []BookingView `json:"bookings"`
	// Leans are pots that bookings of its week that name no lot need of it, since the week's other lots may not have them. Promise takes them off as booked.
	Leans []BookedPots `json:"leans,omitempty"`
	// Plan is its way ahead, as of Today by the nursery's calendar.
	Plan  CropPlan `json:"plan"`
	Today string   `json:"today"`
	// Rooting is what was counted of its cuttings; absent where nobody looked.
	Rooting *LotRooting `json:"rooting,omitempty"`
	// Growth is how its heads grow; absent only in what builds before it computed.
	Growth *LotGrowth `json:"growth,omitempty"`
	// Cold is its time in a cooler, and Cooler that cooler with no other lot and nothing drawn; absent where it was in none, or nobody said
	// in which.
	Cold   *CooledLot `json:"cold,omitempty"`
	Cooler *Cooler    `json:"cooler,omitempty"`
	// ShippedFree is how many shipped pots served no booking.
	ShippedFree int               `json:"shipped_free"`
	People      map[string]string `json:"people"`
	MadeAt      int64             `json:"made_at"`
}

// BookingView is a booking with how much of it was shipped. Live are the entries that it was folded from, by which a device
// knows whether the server has counted what it wrote itself.
type BookingView struct {
	ID        string   `json:"id"`
	Grade     string   `json:"grade"`
	Pots      int      `json:"pots"`
	Buyer     string   `json:"buyer"`
	ShipWeek  string   `json:"ship_week"`
	Cancelled bool     `json:"cancelled"`
	Shipped   int      `json:"shipped"`
	Open      int      `json:"open"`
	Live      []string `json:"live"`
}

// HistoryLine is one entry for people to read. With Walk it stands for all pots of the lot that were noted on that walk, and is the newest of
// them.
type HistoryLine struct {
	Entry      string `json:"entry"`
	Kind       string `json:"kind"`
	At         Stamp  `json:"at"`
	PersonName string `json:"person_name"`
	DeviceName string `json:"device_name"`
	Body       any    `json:"body"`
	// Walk is absent for a note that stands alone.
	Walk *WalkLine `json:"walk,omitempty"`
}

// WalkLine is how many pots of a lot were noted on a walk of a bed, from Since (ms since 1970) on, by People (their names). Pots that were struck
// out later count too.
type WalkLine struct {
	Walk   string   `json:"walk"`
	Bed    string   `json:"bed"`
	Pots   int      `json:"pots"`
	Since  int64    `json:"since"`
	People []string `json:"people"`
}

// ScoutsView is agreement and drift.
type ScoutsView struct {
	People     map[string]string `json:"people"`
	Drifts     []Drift           `json:"drifts"`
	Agreements []Agreement       `json:"agreements"`
	Rounds     []RoundView       `json:"rounds"`
	MadeAt     int64             `json:"made_at"`
}

// RoundView is one blind re-score round, once for every scout who answered it: two may do so while both are out of range.
type RoundView struct {
	Round   string `json:"round"`
	Bed     string `json:"bed"`
	BedName string `json:"bed_name"`
	First   string `json:"first"`
	// By read again; before anybody has, who was asked to, or "" for anybody but the first.
	By       string     `json:"by"`
	Pots     int        `json:"pots"`
	Rescored int        `json:"rescored"`
	Done     bool       `json:"done,omitempty"`
	Result   *Agreement `json:"result,omitempty"`
}

// FieldBriefing is what only the server computes and a phone in the field needs: what the last walk of each bed says, and
// how the person who asks reads. Beds nobody has walked are not in it.
type FieldBriefing struct {
	Beds []BedBriefing `json:"beds"`
	// Drift is the asking person's own; absent while nothing can be compared.
	Drift  *Drift `json:"drift,omitempty"`
	MadeAt int64  `json:"made_at"`
}

// BedBriefing is what one bed's last whole walk says; At is when that walk was (ms).
type BedBriefing struct {
	Bed      string    `json:"bed"`
	Walk     string    `json:"walk"`
	At       int64     `json:"at"`
	Findings []Finding `json:"findings"`
	UnderWay *UnderWay `json:"under_way,omitempty"`
}

// PhonesView is every paired device and the notes that wait for a decision.
type PhonesView struct {
	Phones      []PhoneView       `json:"phones"`
	Quarantined []QuarantinedView `json:"quarantined"`
	// QuarantinedByDevice counts what waits for a decision, phone by phone; Quarantined are the newest of each in turn.
	QuarantinedByDevice []QuarantineCount `json:"quarantined_by_device"`
	// Incidents are mismatches found and mended, and clock or backup trouble; there are IncidentsAll, of which these are at most
	// the first hundred.
	Incidents    []Incident `json:"incidents"`
	IncidentsAll int        `json:"incidents_all"`
	Head         int64      `json:"head"`
	BackedUpTo   int64      `json:"backed_up_to"`
	BackedUpAt   int64      `json:"backed_up_at"`
	MadeAt       int64      `json:"made_at"`
	Clock        ClockView  `json:"clock"`
}

// Why the server gives no stamps: its clock jumped while it ran, is behind the last stamp, is not yet borne out by a
// phone after a start, or the phones of three or more people show another time.
const (
	ClockJumped   = "jumped"
	ClockBehind   = "behind"
	ClockUnproven = "unproven"
	ClockPhones   = "phones"
)

// ClockView is how it stands with the server's clock. Times are milliseconds since 1970. Doubt is "" while notes get their
// times from it; Now is what it shows, Last the last time that it gave, and Phones the median of what the phones of
// People people show.
type ClockView struct {
	Doubt  string `json:"doubt"`
	Now    int64  `json:"now"`
	Last   int64  `json:"last"`
	Phones int64  `json:"phones"`
	People int    `json:"people"`
}

// PhoneView is one device.
type PhoneView struct {
	Device     string `json:"device"`
	Name       string `json:"name"`
	Person     string `json:"person"`
	PersonName string `json:"person_name"`
	Role       string `json:"role"`
	PairedAt   int64  `json:"paired_at"`
	SeenAt     int64  `json:"seen_at"`
	// Silent is true of one that has not been in range for so long that the list of what needs a supervisor has it.
	Silent bool `json:"silent"`
	// Pending is what the phone last said was waiting on it. Equal, EqualTo and EqualAt are of its last digest.
	Pending int    `json:"pending"`
	Photos  int    `json:"photos"`
	Equal   string `json:"equal"`
	EqualTo int64  `json:"equal_to"`
	EqualAt int64  `json:"equal_at"`
	// OlderApp is true where the notes are the same and the phone's app is too old for its records to be compared.
	OlderApp bool `json:"older_app"`
	// SkewMS is the device's clock less the server's.
	SkewMS  int64 `json:"skew_ms"`
	Revoked int64 `json:"revoked"`
	Entries int64 `json:"entries"`
}

// QuarantineCount is how much of one device waits for a decision, up to which number (for DecideAll), and since when. Way is
// how its notes came: "" from itself, "returned" by the phone that DeviceName names, for other phones, or in a "file".
type QuarantineCount struct {
	Device     string `json:"device"`
	DeviceName string `json:"device_name"`
	Way        string `json:"way,omitempty"`
	Count      int    `json:"count"`
	UpTo       int64  `json:"up_to"`
	Since      int64  `json:"since"`
}

// QuarantinePage is a page of what waits for a decision of one device, the newest first. Count is all that waits of the
// device; Older is the number to ask before for the next page, 0 on the last one.
type QuarantinePage struct {
	Device      string            `json:"device"`
	DeviceName  string            `json:"device_name"`
	Count       int               `json:"count"`
	Older       int64             `json:"older"`
	Quarantined []QuarantinedView `json:"quarantined"`
}

// QuarantinedView is an entry that waits for the supervisor.
type QuarantinedView struct {
	ID         string  `json:"id"`
	State      string  `json:"state"`
	Device     string  `json:"device"`
	DeviceName string  `json:"device_name"`
	PersonName string  `json:"person_name"`
	ReceivedAt int64   `json:"received_at"`
	Kind       string  `json:"kind"`
	Text       string  `json:"text"`
	Faults     []Fault `json:"faults"`
}

// Incident is something that went wrong and was noticed: one for each device and code that nobody has put away, with how
// often it came, the first and the last time (At), and the newest detail. OverAt is when it was over, 0 while it is not.
type Incident struct {
	FirstAt int64  `json:"first_at"`
	At      int64  `json:"at"`
	Count   int64  `json:"count"`
	Device  string `json:"device"`
	Code    string `json:"code"`
	Detail  string `json:"detail"`
	OverAt  int64  `json:"over_at"`
}
