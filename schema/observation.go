package schema

// Observation is what one pot showed. Everything but the lot, bed and walk is optional: a field left out was not
// looked at, which is never the same as "none".
type Observation struct {
	Walk  string `json:"walk" validate:"id"`
	Bed   string `json:"bed" validate:"id"`
	Lot   string `json:"lot" validate:"id"`
	Place *Place `json:"place,omitempty"`
	// Planned is false when the scout took another pot than the plan asked for.
	Planned bool `json:"planned,omitempty"`

	// Head: two diameters at right angles, and the height above the rim.
	HeadAMM  *int `json:"head_a_mm,omitempty" validate:"omitempty,min=5,max=2000"`
	HeadBMM  *int `json:"head_b_mm,omitempty" validate:"omitempty,min=5,max=2000"`
	HeightMM *int `json:"height_mm,omitempty" validate:"omitempty,min=5,max=3000"`
	// Buds counts budded tips; the four states, where counted, are parts of it. TipsBare counts tips without a bud.
	Buds       *int `json:"buds,omitempty" validate:"omitempty,min=0,max=2000"`
	BudsTight  *int `json:"buds_tight,omitempty" validate:"omitempty,min=0,max=2000"`
	BudsColour *int `json:"buds_colour,omitempty" validate:"omitempty,min=0,max=2000"`
	BudsCandle *int `json:"buds_candle,omitempty" validate:"omitempty,min=0,max=2000"`
	BudsOpen   *int `json:"buds_open,omitempty" validate:"omitempty,min=0,max=2000"`
	TipsBare   *int `json:"tips_bare,omitempty" validate:"omitempty,min=0,max=2000"`
	// RootCover: 0 none of the ball's surface held by roots, then a fifth more each step, 5 all. RootLife: 1 dead to
	// 5 all live. Two questions, never one score.
	RootCover *int    `json:"root_cover,omitempty" validate:"omitempty,min=0,max=5"`
	RootLife  *int    `json:"root_life,omitempty" validate:"omitempty,min=1,max=5"`
	Scratch   *string `json:"scratch,omitempty" validate:"omitempty,oneof=firm_white soft not_scratched"`
	// Chlorosis: which leaves, then how much (0 to 4). SoftFlush is a separate answer: young growth is naturally light.
	Chlorosis  *string `json:"chlorosis,omitempty" validate:"omitempty,oneof=none young old whole"`
	Severity   *int    `json:"severity,omitempty" validate:"omitempty,min=0,max=4"`
	SoftFlush  *bool   `json:"soft_flush,omitempty"`
	LowerBrown *bool   `json:"lower_brown,omitempty"`
	Bypass     *int    `json:"bypass,omitempty" validate:"omitempty,min=0,max=500"`
	Disease    *bool   `json:"disease,omitempty"`
	Words      string  `json:"words,omitempty" validate:"max=2000"`
}

// Correction replaces one observation, or an earlier correction of it, by what should have been written. Pot is the
// entry id of the first observation of that pot. Settles names the corrections made apart that its writer saw beside
// the replaced one: they are replaced too, or two corrections made apart would stand beside each other for ever.
type Correction struct {
	Pot      string      `json:"pot" validate:"id"`
	Replaces string      `json:"replaces" validate:"id"`
	Settles  []string    `json:"settles,omitempty" validate:"omitempty,max=50,dive,id"`
	Now      Observation `json:"now"`
}
