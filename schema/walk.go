package schema

// Walk opens one scout's pass over one bed. Seed fixes which pots the plan asks for, so that every device draws the
// same plan; Planned is how many.
type Walk struct {
	Walk    string `json:"walk" validate:"id"`
	Bed     string `json:"bed" validate:"id"`
	Seed    int64  `json:"seed" validate:"min=0,max=4294967295"`
	Planned int    `json:"planned" validate:"min=1,max=500"`
	// Round names the blind re-score round that this walk answers, and Places the pots to look at again.
	Round  string  `json:"round,omitempty" validate:"omitempty,id"`
	Places []Place `json:"places,omitempty" validate:"max=500,dive"`
}

// Place is where a pot stands: Row along the bed from the entry end, Across from the near aisle, both from 1.
type Place struct {
	Row    int `json:"row" validate:"min=1,max=2000"`
	Across int `json:"across" validate:"min=1,max=100"`
}

// WalkEnd closes a walk. A walk may be taken up again later; the last end counts.
type WalkEnd struct {
	Walk string `json:"walk" validate:"id"`
	Bed  string `json:"bed" validate:"id"`
	Why  string `json:"why" validate:"oneof=enough planned stopped"`
}

// Skip says that a planned pot was passed by, and why.
type Skip struct {
	Walk  string `json:"walk" validate:"id"`
	Bed   string `json:"bed" validate:"id"`
	Place Place  `json:"place"`
	Why   string `json:"why" validate:"oneof=missing blocked wet other"`
	Words string `json:"words,omitempty" validate:"max=400"`
}

// Void strikes out one entry. Records are the record keys that the entry had a part in. Void wins over a correction
// made apart.
type Void struct {
	Names   string   `json:"names" validate:"id"`
	Records []string `json:"records" validate:"min=1,max=16,dive,recordkey"`
	Why     string   `json:"why" validate:"oneof=mistake wrong_pot wrong_bed twice other"`
	Words   string   `json:"words,omitempty" validate:"max=400"`
}

// Unvoid takes back the void that it names.
type Unvoid struct {
	Names   string   `json:"names" validate:"id"`
	Records []string `json:"records" validate:"min=1,max=16,dive,recordkey"`
	Words   string   `json:"words,omitempty" validate:"max=400"`
}

// Round asks for a blind re-score: By walks the same pots of Walk again without seeing the first values.
type Round struct {
	Writes
	Bed  *string `json:"bed,omitempty" validate:"omitempty,id"`
	Walk *string `json:"walk,omitempty" validate:"omitempty,id"`
	By   *string `json:"by,omitempty" validate:"omitempty,id"`
	Done *bool   `json:"done,omitempty"`
}
