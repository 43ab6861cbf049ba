package schema

// Interval is a two-sided 90 % interval unless its holder says otherwise. Known is false where none can be given.
type Interval struct {
	Low   float64 `json:"low"`
	High  float64 `json:"high"`
	Known bool    `json:"known"`
}

// Estimate is a number with its interval and the count it rests on. Known is false when it cannot be given.
type Estimate struct {
	Value    float64  `json:"value"`
	Interval Interval `json:"interval"`
	N        int      `json:"n"`
	Known    bool     `json:"known"`
}

// Share is X of N, with the Wilson interval (finite-population corrected) of the share in the bed.
type Share struct {
	X        int      `json:"x"`
	N        int      `json:"n"`
	Value    float64  `json:"value"`
	Interval Interval `json:"interval"`
	Known    bool     `json:"known"`
}

// TraitScore is one measured trait of one lot on one bed. Mean and SD are in the trait's unit (mm, or buds).
type TraitScore struct {
	Trait string   `json:"trait"`
	N     int      `json:"n"`
	Mean  Estimate `json:"mean"`
	SD    float64  `json:"sd"`
	// CV is corrected for small samples (Haldane 1955), its interval Vangel's (1996).
	CV Estimate `json:"cv"`
	// Tolerance is relative: 0.10 for 10 %.
	Tolerance float64 `json:"tolerance"`
	// Uniformity is the expected share of pots within the tolerance of their lot's mean; Counted the share seen there.
	Uniformity Estimate `json:"uniformity"`
	Counted    Share    `json:"counted"`
	// Disagree is true when the counted share of some lot is far from the expected one: two groups, or one edge.
	Disagree bool `json:"disagree"`
	// Thin are the lots of a mixed bed with one to four pots measured.
	Thin []string `json:"thin,omitempty"`
}

// LotScore is all measures of one lot on one bed from one walk.
type LotScore struct {
	Lot       string `json:"lot"`
	Seen      int    `json:"seen"`
	PotsOnBed int    `json:"pots_on_bed"`
	// Traits are always head, then buds; one that nobody looked at has N 0.
	Traits []TraitScore `json:"traits"`
	// RootCover counts pots at cover 0 to 5 (six numbers), RootLife at life 1 to 5 (five).
	RootCover []int `json:"root_cover"`
	RootLife  []int `json:"root_life"`
	Rot       Share `json:"rot"`
	ThinRoots Share `json:"thin_roots"`
	Chlorosis Share `json:"chlorosis"`
	// Severity is McKinney's index, 0 to 100, over the SeverityN pots whose class is known.
	Severity   float64   `json:"severity"`
	SeverityN  int       `json:"severity_n"`
	SoftFlush  int       `json:"soft_flush"`
	LowerBrown Share     `json:"lower_brown"`
	Disease    Share     `json:"disease"`
	GradeOut   *GradeOut `json:"grade_out,omitempty"`
	Slips      []Slip    `json:"slips,omitempty"`
}

// BedScore is a bed judged within its lots.
type BedScore struct {
	Seen      int `json:"seen"`
	PotsOnBed int `json:"pots_on_bed"`
	// Uniformity is the weaker trait's: the lots' shares weighted by their pots on the bed; LimitingTrait names that trait.
	Uniformity    Estimate     `json:"uniformity"`
	LimitingTrait string       `json:"limiting_trait,omitempty"`
	Traits        []TraitScore `json:"traits"`
	// WithoutSlips is what Uniformity would be without the values that look like slips; known only when there are some.
	WithoutSlips Estimate `json:"without_slips"`
	// BetweenLots is the share of the spread in head size that lies between the lots of a mixed bed.
	BetweenLots Estimate `json:"between_lots"`
	Rot         Share    `json:"rot"`
	ThinRoots   Share    `json:"thin_roots"`
	Chlorosis   Share    `json:"chlorosis"`
	// Severity is McKinney's index, 0 to 100, over the SeverityN pots whose class is known.
	Severity   float64    `json:"severity"`
	SeverityN  int        `json:"severity_n"`
	LowerBrown Share      `json:"lower_brown"`
	Disease    Share      `json:"disease"`
	Lots       []LotScore `json:"lots"`
	// Together are promises of the lots of a mixed bed that have the same grades, added up: made jointly.
	Together []Promise `json:"together,omitempty"`
	Findings []Finding `json:"findings"`
	Stop     Stop      `json:"stop"`
	// Edge is the share of pots seen that stand at an aisle, EdgeBed the share of all pots that do.
	Edge    Share   `json:"edge"`
	EdgeBed float64 `json:"edge_bed"`
	// Unwalked is a stretch where no pot was looked at, longer than chance would leave; none when the walk saw all of the bed.
	Unwalked *Unwalked `json:"unwalked,omitempty"`
	// PatchM is the length in metres from which on a patch across the whole bed would most likely have been found, by how many pots
	// with a place were looked at; 0 when it cannot be said, and when one row would have been enough. A phone does not compute
	// it.
	PatchM float64 `json:"patch_m,omitempty"`
	// TooFewPots is true when too few pots were seen to show a number.
	TooFewPots bool `json:"too_few_pots"`
}

// Unwalked is the longest stretch of rows with pots on them of which none was looked at; on a bed with two aisles, when pots of all
// rows were seen, the longest of which none was looked at from one Side ("near" or "far"). Share is its share of all such rows, of
// one side its share of the bed; P bounds the chance that as many pots pulled at random would leave so long a stretch.
type Unwalked struct {
	FromRow int     `json:"from_row"`
	ToRow   int     `json:"to_row"`
	Side    string  `json:"side,omitempty"`
	Share   float64 `json:"share"`
	P       float64 `json:"p"`
}

// Finding is something worth saying about a bed: a code that the word lists turn into a sentence, with its numbers.
type Finding struct {
	Code    string             `json:"code"`
	Trait   string             `json:"trait,omitempty"`
	Lot     string             `json:"lot,omitempty"`
	End     string             `json:"end,omitempty"`
	Numbers map[string]float64 `json:"numbers"`
	// Attention is true when it needs a step.
	Attention bool `json:"attention"`
	// SeenAt is when the walk was that found it (ms), 0 for the walk that it is shown with: no walk since has looked again.
	SeenAt int64 `json:"seen_at,omitempty"`
}

// Slip is a value far from the others of its lot: Z is its robust z (0 while too few pots tell what is usual). Likely is the
// usual value of which a misplaced decimal mark, two digits that changed places or a wrong unit would have made it, 0 when none
// would: then it may well be a true runt.
type Slip struct {
	Pot    string  `json:"pot"`
	Trait  string  `json:"trait"`
	Value  float64 `json:"value"`
	Z      float64 `json:"z"`
	Likely float64 `json:"likely"`
}

// Stop says whether a walk has seen enough.
type Stop struct {
	// Verdict is "more", "enough", "minimum" (below the least number) or "maximum".
	Verdict string `json:"verdict"`
	// More is about how many pots are still wanted.
	More int `json:"more"`
	// Chlorosis and Roots are the sequential tests' words: "fine", "trouble" or "open".
	Chlorosis string `json:"chlorosis"`
	Roots     string `json:"roots"`
}

// GradeOut is what the pots of a lot that are on the bed will grade to.
type GradeOut struct {
	// N is the pots seen whole: every line of the rules was looked at. Undecided are those that lack one: the forecast leaves
	// them out, a promise takes them for pots in no grade. Lacks says what would decide them.
	N         int         `json:"n"`
	Undecided int         `json:"undecided"`
	Lacks     []GradeLack `json:"lacks"`
	PotsOnBed int         `json:"pots_on_bed"`
	// Grades are in the grower's order; the last, without a name, is the pots that meet no rule.
	Grades []GradeShare `json:"grades"`
	// Costs counts, line by line of the first grade's rule, the seen pots that fail it.
	Costs []GradeCost `json:"costs"`
	// Promise is of this lot on this bed, standing alone.
	Promise Promise `json:"promise"`
}

// GradeLack is a line of the rules that was not looked at on Pots undecided pots. "severity" is of pots whose pale leaves were
// noted without saying how much.
type GradeLack struct {
	Line string `json:"line"`
	Pots int    `json:"pots"`
}

// GradeShare is one grade: pots seen in it, and expected of those on the bed with a 90 % predictive interval.
type GradeShare struct {
	Name     string  `json:"name"`
	Seen     int     `json:"seen"`
	Expected float64 `json:"expected"`
	Low      int     `json:"low"`
	High     int     `json:"high"`
}

// GradeCost is one line of a rule and how many of N seen pots fail it.
type GradeCost struct {
	Line string `json:"line"`
	Fail int    `json:"fail"`
	N    int    `json:"n"`
}

// Plan is which pots to pull, in walking order.
type Plan struct {
	N      int     `json:"n"`
	Places []Place `json:"places"`
}

// Agreement is how two scouts' scores of the same pots compare.
type Agreement struct {
	A string `json:"a"`
	B string `json:"b"`
	N int    `json:"n"`
	// Head compares head sizes: Bias is B over A less one; Limits are Bland and Altman's 95 % limits of agreement of
	// that ratio; ICC is ICC(2,1).
	Bias   Estimate `json:"bias"`
	Limits Interval `json:"limits"`
	ICC    Estimate `json:"icc"`
	// Cover, Life and Chlorosis are quadratically weighted kappas.
	Cover     Estimate `json:"cover"`
	Life      Estimate `json:"life"`
	Chlorosis Estimate `json:"chlorosis"`
}

// Drift is how one scout reads heads against everybody else on the same lots in the same weeks. Attention is true when
// the bias is more than chance and large enough to matter.
type Drift struct {
	Person    string   `json:"person"`
	Bias      Estimate `json:"bias"`
	Walks     int      `json:"walks"`
	Attention bool     `json:"attention"`
}

// BedInput is everything that a bed is scored, and a walk planned, from: pure data, no look-ups.
type BedInput struct {
	Bed    string `json:"bed"`
	Rows   int    `json:"rows"`
	Across int    `json:"across"`
	// LengthMM is the bed's length; a row is LengthMM/Rows deep.
	LengthMM int    `json:"length_mm"`
	EntryEnd string `json:"entry_end"`
	FarEnd   string `json:"far_end"`
	// Aisles is "near", "far" or "both".
	Aisles string     `json:"aisles"`
	Lots   []LotOnBed `json:"lots"`
	Pots   []PotSeen  `json:"pots"`
}

// LotOnBed is a lot's stretch with what it is judged by.
type LotOnBed struct {
	Lot       string `json:"lot"`
	FromRow   int    `json:"from_row"`
	ToRow     int    `json:"to_row"`
	PotsOnBed int    `json:"pots_on_bed"`
	// Uncounted is true where no count of this stretch is on record: PotsOnBed is then what a full stretch holds, good
	// enough to weigh lots and to plan a walk by, and never to promise from.
	Uncounted bool `json:"uncounted,omitempty"`
	PotMM     int  `json:"pot_mm"`
	// Bookings are the open ones that fall on this stretch. ShipWeek is the lot's ("" when nobody has set it).
	Bookings []BookedPots `json:"bookings,omitempty"`
	ShipWeek string       `json:"ship_week,omitempty"`
	Shipped  bool         `json:"shipped,omitempty"`
	// Left pots have gone from this stretch since the walk began, Added have come.
	Left   int    `json:"left,omitempty"`
	Added  int    `json:"added,omitempty"`
	Judged Judged `json:"judged"`
	// Kept is the share of its pots that is left at shipping; without it, what Judged expects.
	Kept *KeptShare `json:"kept,omitempty"`
}

// BedRecords is what the records say about one bed, from which its BedInput is put together. Lots holds the lots of its
// spans and of the pots seen on it.
type BedRecords struct {
	ID    string             `json:"id"`
	Bed   Bed                `json:"bed"`
	Spans []SpanRecord       `json:"spans"`
	Lots  map[string]LotFact `json:"lots"`
}

// SpanRecord is one stretch of a bed, from the entry end on, ended ones too. Counted is the pots that the ledger has on
// it, nil where nobody has counted it; Bookings its share of the lot's open bookings.
type SpanRecord struct {
	Span     Span         `json:"span"`
	Counted  *int         `json:"counted,omitempty"`
	Bookings []BookedPots `json:"bookings,omitempty"`
}

// LotFact is what a lot is judged by. ShipWeek is "" when nobody has set it.
type LotFact struct {
	PotMM    int    `json:"pot_mm"`
	ShipWeek string `json:"ship_week,omitempty"`
	Shipped  bool   `json:"shipped,omitempty"`
	Judged   Judged `json:"judged"`
}

// PotRecord is a pot's record under its id.
type PotRecord struct {
	ID string `json:"id"`
	Pot
}

// PastWalk is one walk of a bed, for the question whether the bed is due. DaysAgo counts midnights in the nursery's time
// zone. Roots and Chlorosis are the sequential tests' verdicts on a whole walk ("fine", "trouble" or "open").
type PastWalk struct {
	DaysAgo   int    `json:"days_ago"`
	Whole     bool   `json:"whole"`
	Roots     string `json:"roots"`
	Chlorosis string `json:"chlorosis"`
}

// Due says whether a bed wants a walk. Why is "" (no), "never" (nobody has walked it), "days" (the last whole walk is as
// old as the crop's interval), "roots" or "chlorosis" (that walk found trouble). Days is the age of the walk that it goes
// by, 0 where there was none.
type Due struct {
	Why  string `json:"why"`
	Days int    `json:"days"`
}

// Judged is a crop profile with every value filled in (see DefaultJudged and Profile for units).
type Judged struct {
	HeadToleranceBP int     `json:"head_tolerance_bp"`
	BudToleranceBP  int     `json:"bud_tolerance_bp"`
	ExpectedCVBP    int     `json:"expected_cv_bp"`
	WidthBP         int     `json:"width_bp"`
	MinPots         int     `json:"min_pots"`
	MaxPots         int     `json:"max_pots"`
	WalkEveryDays   int     `json:"walk_every_days"`
	TroubleOkBP     int     `json:"trouble_ok_bp"`
	TroubleBadBP    int     `json:"trouble_bad_bp"`
	RiskMissBP      int     `json:"risk_miss_bp"`
	RiskFalseBP     int     `json:"risk_false_bp"`
	ExpectedLossBP  int     `json:"expected_loss_bp"`
	PromiseMin      int     `json:"promise_min"`
	GradedFromWeeks int     `json:"graded_from_weeks"`
	SharingSDMilli  int     `json:"sharing_sd_milli"`
	Grades          []Grade `json:"grades"`
}

// GradesFor are the grades for a pot size, best first.
func (j Judged) GradesFor(potMM int) (grades []Grade) {
	for _, g := range j.Grades {
		if g.PotMM == potMM {
			grades = append(grades, g)
		}
	}
	return grades
}

// DefaultJudged is what a crop without a profile is judged by: common practice, no source; every value editable.
func DefaultJudged() Judged {
	return Judged{
		HeadToleranceBP: 1000, BudToleranceBP: 2000, ExpectedCVBP: 1000, WidthBP: 2000, MinPots: 8, MaxPots: 60,
		WalkEveryDays: 7, TroubleOkBP: 500, TroubleBadBP: 2000, RiskMissBP: 1000, RiskFalseBP: 1000, ExpectedLossBP: 300,
		PromiseMin: 8, GradedFromWeeks: 8, SharingSDMilli: 350,
		Grades: []Grade{},
	}
}

// PotSeen is one observation that counts: not struck out, as corrected. Checked is true when somebody looked at the pot
// again, that is when a correction of it was written, be it only to say that the values are right: it is then no longer
// offered as a slip.
type PotSeen struct {
	ID      string      `json:"id"`
	Person  string      `json:"person"`
	At      int64       `json:"at"`
	Now     Observation `json:"now"`
	Checked bool        `json:"checked,omitempty"`
}
