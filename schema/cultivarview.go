package schema

// CultivarsView is what the lots of each cultivar took for the stages that are over, where enough of them have ended one.
type CultivarsView struct {
	Cultivars []CultivarTook `json:"cultivars"`
	MadeAt    int64          `json:"made_at"`
}

// CultivarTook is one cultivar with its stages, in their order. Crop and Cultivar are the names as one of its lots has them.
type CultivarTook struct {
	Crop     string      `json:"crop"`
	Cultivar string      `json:"cultivar"`
	Stages   []StageTook `json:"stages"`
}

// StageTook is what the last lots took for a stage, the earliest end first.
type StageTook struct {
	Stage string    `json:"stage"`
	Lots  []LotTook `json:"lots"`
	// Before is the length that counts as WorthLots lots beside them: the crop's, which is the grower's own (From "crop") or what Bedwalk
	// starts with ("start"). Use is what comes of both: quickest, middle and slowest of ten lots, in days.
	Before    []int  `json:"before"`
	From      string `json:"from"`
	Standing  string `json:"standing"`
	WorthLots int    `json:"worth_lots"`
	Use       []int  `json:"use"`
}

// LotTook is how many days a lot took for a stage that ended on a day.
type LotTook struct {
	Lot   string `json:"lot"`
	Tag   string `json:"tag"`
	Days  int    `json:"days"`
	Ended string `json:"ended"`
}
