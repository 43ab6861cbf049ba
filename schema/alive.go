package schema

// FirstPull comes with each page of a first pull that leaves out the notes of closed lots and of other houses. Resume is what the device sends as
// "alive" for the next page, and UpTo the position from which on nothing is left out. Passed is the position up to which the
// journal has passed the device with this page, left-out notes included: the next page comes after it. Proof is what the device
// may show for the entry there, which it may not have.
type FirstPull struct {
	Resume string `json:"resume"`
	UpTo   int64  `json:"up_to"`
	Passed int64  `json:"passed"`
	Proof  string `json:"proof"`
}

// Gone is a page of the lots of which a first pull left notes out, in the order of their ids. Resume names that pull. With More the
// next page comes after the last lot of this one. MadeAt (ms since 1970) dates the summaries. OldUpTo is a position up to which all had
// arrived thirty days before, so that each backup of these days has it.
type Gone struct {
	Resume  string    `json:"resume"`
	UpTo    int64     `json:"up_to"`
	Lots    []GoneLot `json:"lots"`
	More    bool      `json:"more"`
	MadeAt  int64     `json:"made_at"`
	OldUpTo int64     `json:"old_up_to"`
}

// GoneLot is what was left out of one lot: how many notes up to UpTo and the sum of their hashes, how many records these make and the sum
// of the records' hashes (32 hexadecimal digits each).
type GoneLot struct {
	Lot       string     `json:"lot"`
	Count     int64      `json:"count"`
	Sum       string     `json:"sum"`
	Records   int64      `json:"records"`
	RecordSum string     `json:"record_sum"`
	Summary   LotSummary `json:"summary"`
}

// LotSummary is a lot in short. Shipped counts the pots that its ledger says were shipped. Uniformity is of the last walk on
// which the lot was seen, at WalkedAt (ms since 1970); neither is there for a lot that nobody walked.
type LotSummary struct {
	Tag        string    `json:"tag"`
	Crop       string    `json:"crop"`
	Cultivar   string    `json:"cultivar"`
	ShippedOn  string    `json:"shipped_on"`
	Shipped    int       `json:"shipped"`
	Uniformity *Estimate `json:"uniformity,omitempty"`
	WalkedAt   int64     `json:"walked_at,omitempty"`
}

// Page is a page of entries of one lot or of some records, in the order of their positions. With More the next page comes after the last
// one's position. Receipts is as in Pull.
type Page struct {
	Epoch    string   `json:"epoch"`
	Items    []Pulled `json:"items"`
	More     bool     `json:"more"`
	Receipts string   `json:"receipts"`
}
