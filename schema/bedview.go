package schema

// BedView is one bed in full, from one of its walks (the last unless asked otherwise).
type BedView struct {
	Bed       BedBrief     `json:"bed"`
	HouseName string       `json:"house_name"`
	Walk      string       `json:"walk"`
	Walks     []TrendPoint `json:"walks"`
	Pots      []PotView    `json:"pots"`
	Facts     []Record     `json:"facts"`
	// Since and Until are the first and the last of the walks that saw a lot that the shown walk saw (ms): its season on the bed.
	Since int64 `json:"since"`
	Until int64 `json:"until"`
	// Along is how head size changes along the bed, for each lot with enough pots seen.
	Along []AlongBed `json:"along"`
	// Leans are how many pots of a lot on this bed bookings that name no lot need (see LotView.Leans). Promises take them off as booked.
	Leans  map[string]int    `json:"leans,omitempty"`
	People map[string]string `json:"people"`
	MadeAt int64             `json:"made_at"`
}

// AlongBed is a line of a lot's head sizes on the distance from the entry end: Per5M is its slope in mm every 5 m, Line the line
// itself from the first pot seen to the last.
type AlongBed struct {
	Lot   string      `json:"lot"`
	Per5M Estimate    `json:"per_5m"`
	Line  []LinePoint `json:"line"`
}

// LinePoint is the height of a line (mm) at a distance from the entry end (m), with the 90 % band of its mean.
type LinePoint struct {
	M    float64 `json:"m"`
	MM   float64 `json:"mm"`
	Low  float64 `json:"low"`
	High float64 `json:"high"`
}

// PotView is one pot seen, with the walk's measures of it.
type PotView struct {
	ID     string      `json:"id"`
	Now    Observation `json:"now"`
	By     Authorship  `json:"by"`
	Others int         `json:"others"`
	Voided *Voided     `json:"voided,omitempty"`
}
