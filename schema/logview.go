package schema

// ApplicationLog is what was put on, the newest first; struck-out notes are not in it.
type ApplicationLog struct {
	Lines []ApplicationLine `json:"lines"`
	// Older is how many are left out because there are more than go at once.
	Older  int   `json:"older"`
	MadeAt int64 `json:"made_at"`
}

// ApplicationLine is one application. Until is when its label's interval ends (ms since 1970); Tag is of the lot that it names, "" where it
// names only beds.
type ApplicationLine struct {
	Application
	ID         string `json:"id"`
	Tag        string `json:"tag"`
	PersonName string `json:"person_name"`
	Until      int64  `json:"until"`
}
