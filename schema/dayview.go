package schema

// DayView is what people noted on one day by the nursery's own calendar, a page of it. A note is of the day on which it was made, also where a phone
// that was out of range sent it later.
type DayView struct {
	// Day is the one that is shown, Today the present one, Before the last day before Day on which anything was noted ("" where there is none).
	Day    string `json:"day"`
	Today  string `json:"today"`
	Before string `json:"before"`
	// By is what Groups are: "person" or "bed". People are all who noted anything on the day; Person is the one whose notes alone are given, "" for
	// those of all of them.
	By     string      `json:"by"`
	Person string      `json:"person"`
	People []DayPerson `json:"people"`
	Groups []DayGroup  `json:"groups"`
	// After is what to ask after for the next page, "" on the last.
	After string `json:"after"`
	// Zone is the nursery's time zone, "" where it goes by that of the server's machine.
	Zone string `json:"zone,omitempty"`
	// Walks, Pots and Notes are of the whole day, Notes without those that the line of a walk stands for which was walked on the day: corrections of
	// an earlier walk's pots are notes. A walk counts once for each who noted of it. Late lines came in on a later day.
	Walks int `json:"walks"`
	Pots  int `json:"pots"`
	Notes int `json:"notes"`
	Late  int `json:"late"`
	// Came are notes of earlier days that came in on this one, the latest day first. It is left out for days of more than a month ago.
	Came   []DayCame `json:"came,omitempty"`
	MadeAt int64     `json:"made_at"`
}

// DayPerson is somebody who noted something.
type DayPerson struct {
	ID   string `json:"id"`
	Name string `json:"name"`
}

// DayGroup is what one person noted, or what was noted of one bed (Bed is "" for what is of no bed or of several). Its numbers are of the whole
// day, its lines those of the page, in order of time; Rest is true where others of its lines were on the page before.
type DayGroup struct {
	Person     string    `json:"person,omitempty"`
	PersonName string    `json:"person_name,omitempty"`
	Bed        string    `json:"bed,omitempty"`
	Walks      int       `json:"walks"`
	Pots       int       `json:"pots"`
	Notes      int       `json:"notes"`
	Rest       bool      `json:"rest,omitempty"`
	Lines      []DayLine `json:"lines"`
}

// DayLine is one note, or with Walk all that one person noted of a walk on the day; Entry, Kind and Body are then empty. Arrived is the day on which
// the last of it came in, "" for the day itself. From and To are there where only that much is known of when it was made.
type DayLine struct {
	Entry      string `json:"entry,omitempty"`
	Kind       string `json:"kind,omitempty"`
	At         int64  `json:"at"`
	From       int64  `json:"from,omitempty"`
	To         int64  `json:"to,omitempty"`
	Person     string `json:"person"`
	PersonName string `json:"person_name"`
	Bed        string `json:"bed,omitempty"`
	Lot        string `json:"lot,omitempty"`
	Tag        string `json:"tag,omitempty"`
	Arrived    string `json:"arrived,omitempty"`
	Body       any    `json:"body,omitempty"`
	// Task is what the task is that a note of kind "task" is about, as it stands now: a later note of it says only what it changed.
	Task *DayTask `json:"task,omitempty"`
	// Sheet is how many notes of a sheet that was brought in stand behind the one that says so.
	Sheet int `json:"sheet,omitempty"`
	// Named is the note that this one struck out or restored.
	Named *DayNamed `json:"named,omitempty"`
	Walk  *DayWalk  `json:"walk,omitempty"`
}

// DayTask is a step of the plan, or other work in Words.
type DayTask struct {
	Step  string `json:"step,omitempty"`
	Words string `json:"words,omitempty"`
}

// DayNamed is a note that another one is about.
type DayNamed struct {
	Kind       string `json:"kind"`
	At         int64  `json:"at"`
	PersonName string `json:"person_name"`
	Body       any    `json:"body"`
}

// DayWalk is what one person noted of a walk on one day, until Until (ms since 1970): Pots seen, Skipped and Corrected. Pots that were struck out
// later count too. Started is true where the walk began on that day, End why it ended ("enough", "planned", "stopped"), "" where it did not.
type DayWalk struct {
	Walk      string `json:"walk"`
	Pots      int    `json:"pots"`
	Skipped   int    `json:"skipped"`
	Corrected int    `json:"corrected"`
	Until     int64  `json:"until"`
	Started   bool   `json:"started"`
	End       string `json:"end,omitempty"`
}

// DayCame is how many notes of an earlier day came in on a later one, and who had made them.
type DayCame struct {
	Day    string   `json:"day"`
	Notes  int      `json:"notes"`
	People []string `json:"people"`
}
