package schema

// AttentionView is everything that needs a supervisor, the most urgent first, as of Today by the nursery's calendar. Away are the troubles that
// are still there and that somebody settled or put off.
type AttentionView struct {
	Today  string          `json:"today"`
	Items  []AttentionItem `json:"items"`
	Away   []AttentionItem `json:"away"`
	Backup LastBackup      `json:"backup"`
	MadeAt int64           `json:"made_at"`
}

// LastBackup is when the last backup was made, ms since 1970 and 0 for none, and how many notes it lacks. CanMake is true where the server itself can
// make one, since it has a place to keep it.
type LastBackup struct {
	At      int64 `json:"at"`
	Lacks   int64 `json:"lacks"`
	CanMake bool  `json:"can_make"`
}

// What an AttentionItem is about. The codes of findings (package bed) name the others: disease, rot, chlorosis, unwalked, edge_bias, gradient,
// across, edge, two_groups, and the patterns that flags have where no share of theirs needs a step.
const (
	AttentionDropped     = "dropped"
	AttentionUneven      = "uneven"
	AttentionLate        = "late"
	AttentionOverbooked  = "overbooked"
	AttentionDisagree    = "disagree_field"
	AttentionQuarantined = "quarantined"
	AttentionBackup      = "backup"
	AttentionSilent      = "silent"
	AttentionMistyped    = "mistyped"
	AttentionWebhook     = "webhook"
)

// AttentionItem is one trouble: a code, and the values that the word lists make a sentence of. Which of them are set follows from Code.
type AttentionItem struct {
	// ID is of the Matter that is written when it is settled or put off.
	ID   string `json:"id"`
	Code string `json:"code"`
	// Beds are those that it is on. One of a lot or of several beds names them all.
	Beds []AttentionBed `json:"beds"`
	// Finding is what the bed's last whole walk found, Where what it says of the place in the bed; Walk is that walk.
	Finding *Finding `json:"finding,omitempty"`
	Where   *Finding `json:"where,omitempty"`
	Walk    string   `json:"walk,omitempty"`
	// FoundAt is when the walk was that found it (ms), 0 where no walk does. BeforeX of BeforeN pots showed it on the whole walk before, of which BeforeN is
	// 0 where nobody looked.
	FoundAt int64 `json:"found_at"`
	BeforeX int   `json:"before_x,omitempty"`
	BeforeN int   `json:"before_n,omitempty"`
	// Now and Before are the uniformities of Trait on the last two whole walks, where it dropped. Of a bed that ships soon and is less even than aimed
	// for, Now is of the last one, AimBP what is aimed for in basis points, and OwnAim true where each of the bed's crops has its own.
	Now    *Estimate `json:"now,omitempty"`
	Before *Estimate `json:"before,omitempty"`
	Trait  string    `json:"trait,omitempty"`
	AimBP  int       `json:"aim_bp,omitempty"`
	OwnAim bool      `json:"own_aim,omitempty"`
	// OtherScout is true where another person walked than before: part of the change may be theirs.
	OtherScout bool `json:"other_scout,omitempty"`

	Lot      string `json:"lot,omitempty"`
	Tag      string `json:"tag,omitempty"`
	Cultivar string `json:"cultivar,omitempty"`
	// Week is a ship week, Ready the likely day on which the lot is ready ("" where nobody knows); Step the next step of the lot's plan, "" when none is to come, Days how late it is, Chance that the lot is ready for Week, NotOwn how many of the ToCome
	// stage lengths that this rests on are not the grower's own.
	Week   string   `json:"week,omitempty"`
	Ready  string   `json:"ready,omitempty"`
	Step   string   `json:"step,omitempty"`
	Days   int      `json:"days,omitempty"`
	Chance *float64 `json:"chance,omitempty"`
	NotOwn int      `json:"not_own,omitempty"`
	ToCome int      `json:"to_come,omitempty"`
	// Crop and PotMM are of an overbooked week, Count its booked pots that are not sure and Chance the greatest that one of its bookings is not served in
	// full; otherwise Count is of notes or of values.
	Crop  string `json:"crop,omitempty"`
	PotMM int    `json:"pot_mm,omitempty"`
	Count int    `json:"count,omitempty"`
	// Field is the field of the lot in which two people wrote different values; Answers are these, Saw every write that a choice settles.
	Field   string            `json:"field,omitempty"`
	Answers []AttentionAnswer `json:"answers,omitempty"`
	Saw     []string          `json:"saw,omitempty"`
	// Devices are the phones that it is about, by name, or the webhook; Pending is how many notes they last said they had to send.
	Devices []string `json:"devices,omitempty"`
	Pending int      `json:"pending,omitempty"`
	// Since is when it began or was found (ms), 0 where nobody knows.
	Since int64 `json:"since"`
	// Extent is how bad it is, in a unit of its code's own; Least is what it is at least, by the low end of its interval.
	Extent int `json:"extent"`
	Least  int `json:"least"`
	// CanBackUp is true of a missing backup that the server itself can make, since it was told where to keep them.
	CanBackUp bool `json:"can_back_up,omitempty"`
	// CanSettle is false for what is over only when it is mended: a backup, a phone, a quarantined note, two values.
	CanSettle bool `json:"can_settle"`
	// Hit and Clear are the pots of Walk that show it and that do not, each as its place along the bed in thousandths of its length from the entry end.
	Hit   []int `json:"hit,omitempty"`
	Clear []int `json:"clear,omitempty"`
	// Answer is what was written about it. Back says why it is in the list all the same: "day" (its day has come), "worse", "found" (settled, and
	// found again by a later walk); "" for one that is away.
	Answer *MatterAnswer `json:"answer,omitempty"`
	Back   string        `json:"back,omitempty"`
}

// AttentionBed is a bed by name.
type AttentionBed struct {
	Bed   string `json:"bed"`
	Name  string `json:"name"`
	House string `json:"house"`
}

// AttentionAnswer is one of the values that people wrote apart.
type AttentionAnswer struct {
	Value any    `json:"value"`
	Name  string `json:"name"`
	At    int64  `json:"at"`
}

// MatterAnswer says what was done about a trouble, by whom and when. Live are the writes that it was folded from.
type MatterAnswer struct {
	Settled   bool     `json:"settled"`
	SnoozedTo string   `json:"snoozed_to"`
	Name      string   `json:"name"`
	At        int64    `json:"at"`
	Extent    int      `json:"extent"`
	Live      []string `json:"live"`
}

// BackupMade is a backup that was made: the name of its file where the server keeps them, the position up to which it has the journal, and
// its size without the pictures.
type BackupMade struct {
	Name     string `json:"name"`
	Position int64  `json:"position"`
	Bytes    int64  `json:"bytes"`
}
