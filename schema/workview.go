package schema

// WorkView is what there is to do: the next step of every lot, and what else was handed out. Today is the day that it was computed for, by the
// nursery's calendar.
type WorkView struct {
	Today  string     `json:"today"`
	Items  []WorkItem `json:"items"`
	MadeAt int64      `json:"made_at"`
}

// WorkItem is one piece of work, by the id of its task, whether or not somebody has written that down.
type WorkItem struct {
	Task     string    `json:"task"`
	Lot      string    `json:"lot"`
	Tag      string    `json:"tag"`
	Cultivar string    `json:"cultivar"`
	Pots     int       `json:"pots"`
	Beds     []WorkBed `json:"beds"`
	// Step is a step of the plan, "" for other work, which Words say.
	Step  string `json:"step"`
	Words string `json:"words"`
	// Form is what is noted when it is done (see Task), "" where a tick says all.
	Form string `json:"form"`
	// Due is the last day, and DueIs where it comes from: "handed" (whoever handed it out said so), "latest" (the last day with an even
	// chance of making the ship week) or "likely" (the lot has no ship week).
	Due   string `json:"due"`
	DueIs string `json:"due_is"`
	// Latest is the last day with an even chance of making the ship week, "" where none is known; LateDays is how long ago it was, 0 when it
	// is not past.
	Latest   string `json:"latest"`
	LateDays int    `json:"late_days"`
	// Gates are what must be seen on the pots before the step, with what was seen.
	Gates []PlanGate `json:"gates,omitempty"`
	// Person is whom it was handed to, "" for nobody.
	Person     string     `json:"person"`
	PersonName string     `json:"person_name"`
	Ticks      []WorkTick `json:"ticks"`
	// ClosedUntil is when the last entry interval on its beds ends (ms since 1970), 0 where none is open.
	ClosedUntil int64 `json:"closed_until"`
}

// WorkBed is a bed that a piece of work is on.
type WorkBed struct {
	Bed  string `json:"bed"`
	Name string `json:"name"`
}

// WorkTick says who ticked it, and for which day. Of several, made apart, the earliest day counts.
type WorkTick struct {
	On   string `json:"on"`
	By   string `json:"by"`
	Name string `json:"name"`
	// Events are the ids of the lot's events that were noted with ticks of this day.
	Events []string `json:"events,omitempty"`
}

// ApplicationLog is what was put on, the newest first; struck-out notes are not in it.
type ApplicationLog struct {
	Lines []ApplicationLine `json:"lines"`
	// Older is how many are left out because there are more than go at once.
	Older  int   `json:"older"`
	MadeAt int64 `json:"made_at"`
}

// LotTag is a lot by its tag.
type LotTag struct {
	Lot string `json:"lot"`
	Tag string `json:"tag"`
}

// ApplicationLine is one application. Until is when its label's interval ends (ms since 1970); PutOn are the lots that it names, none where it
// names only beds.
type ApplicationLine struct {
	Application
	ID         string   `json:"id"`
	PutOn      []LotTag `json:"put_on,omitempty"`
	PersonName string   `json:"person_name"`
	Until      int64    `json:"until"`
}
