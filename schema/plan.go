package schema

// Stage is how long one stage of a crop takes, as a grower says it of ten lots: the quickest, the middle one, the slowest (the 10,
// 50 and 90 % points), in days.
type Stage struct {
	ShortestDays int `json:"shortest_days" validate:"min=1,max=730"`
	LikelyDays   int `json:"likely_days" validate:"min=1,max=730"`
	LongestDays  int `json:"longest_days" validate:"min=1,max=730"`
	// Hands says that people end the stage, so that its end moves to a working day.
	Hands bool `json:"hands,omitempty"`
	// PotMM is the smallest pot that the stage is grown in; of a lot's potting the stage is known by it.
	PotMM *int `json:"pot_mm,omitempty" validate:"omitempty,min=20,max=600"`
	// Route is the one route that goes through the stage; every route when left out.
	Route *string `json:"route,omitempty" validate:"omitempty,oneof=florist nursery"`
	// Gates are what must be seen on the pots before the stage ends. Left out, those hold that Bedwalk starts with; an empty list is none.
	Gates []Gate `json:"gates,omitempty" validate:"max=4,dive"`
}

// Gate asks that at least a share of a lot's pots (basis points) show AtLeast so much of a line: root cover and life in steps, head size in
// mm (the mean of its two diameters), budded tips. Buds that are ready are seen by a person, who notes it: that line has no numbers.
type Gate struct {
	Line    string `json:"line" validate:"oneof=root_cover root_life head_mm buds buds_ready"`
	AtLeast int    `json:"at_least,omitempty" validate:"min=0,max=2000"`
	ShareBP int    `json:"share_bp,omitempty" validate:"min=0,max=10000"`
}

// Pin is a day on which people mean to take a step: it is not taken before.
type Pin struct {
	On  string `json:"on" validate:"datetime=2006-01-02"`
	Why string `json:"why,omitempty" validate:"max=200"`
}

// Names of the stages of a crop, in their order: each is the field of Stages that holds it.
const (
	StageRoot        = "root"
	StageLiner       = "liner"
	StageSmallPot    = "small_pot"
	StageFinishedPot = "finished_pot"
	StageGrowOut     = "grow_out"
	StageBudSet      = "bud_set"
	StageCold        = "cold"
	StageForcing     = "forcing"
)

// StageNames lists the stages in their order.
var StageNames = []string{
	StageRoot, StageLiner, StageSmallPot, StageFinishedPot, StageGrowOut, StageBudSet, StageCold, StageForcing,
}

// ByName are the stages that are set, by name.
func (st *Stages) ByName() map[string]Stage {
	all := map[string]Stage{}
	for i, s := range []*Stage{st.Root, st.Liner, st.SmallPot, st.FinishedPot, st.GrowOut, st.BudSet, st.Cold, st.Forcing} {
		if s != nil {
			all[StageNames[i]] = *s
		}
	}
	return all
}

// Where a length of a stage comes from.
const (
	StandingOwn       = "own"       // the grower's own
	StandingPublished = "published" // published, its source named in StartStage.Source
	StandingPractice  = "practice"  // common practice, no source
	StandingMemory    = "memory"    // from memory, not verified
	StandingWalks     = "walks"     // computed from what walks measured
)

// Whose values those of a stage are.
const (
	FromCultivar = "cultivar"
	FromSize     = "size" // the crop's, for the lot's pot size
	FromCrop     = "crop"
	FromStart    = "start" // what Bedwalk starts with
	FromWalks    = "walks" // the lot's own growth, by its walks
)

// StartStage is a stage that Bedwalk starts with for a crop, and where its days come from.
type StartStage struct {
	Name     string `json:"name"`
	Stage    Stage  `json:"stage"`
	Standing string `json:"standing"`
	Source   string `json:"source"`
}

// CropStart is the stages that Bedwalk starts with for one crop. Words are parts of the crop's names by which it is known.
type CropStart struct {
	Words  []string     `json:"words"`
	Stages []StartStage `json:"stages"`
}

// CropStarts are the crops for which Bedwalk knows stages to start with. Each value is meant to be replaced by the grower's own.
func CropStarts() []CropStart {
	return []CropStart{
		{Words: []string{"azalea"}, Stages: []StartStage{
			{StageRoot, Stage{42, 49, 84, true, nil, nil, nil}, StandingMemory, ""},
			{StageLiner, Stage{56, 84, 112, true, new(30), nil, rooted()}, StandingPractice, ""},
			{StageSmallPot, Stage{84, 133, 182, true, new(80), nil, nil}, StandingPractice, ""},
			{StageFinishedPot, Stage{84, 168, 238, true, new(120), nil, nil}, StandingPractice, ""},
			{StageGrowOut, Stage{35, 42, 56, true, nil, nil, nil}, StandingPractice, ""},
			{StageBudSet, Stage{63, 75, 88, true, nil, nil, []Gate{{Line: "buds_ready"}}}, StandingPublished, budSetSource},
			{StageCold, Stage{42, 42, 42, true, nil, florist(), nil}, StandingPublished, coldSource},
			{StageForcing, Stage{21, 35, 49, false, nil, florist(), nil}, StandingPublished, forcingSource},
		}},
		{Words: []string{"hydrangea", "hortensia"}, Stages: []StartStage{
			{StageRoot, Stage{21, 28, 35, true, nil, nil, nil}, StandingMemory, ""},
			{StageFinishedPot, Stage{42, 60, 80, true, new(80), nil, nil}, StandingMemory, ""},
			{StageGrowOut, Stage{42, 56, 70, true, nil, nil, nil}, StandingMemory, ""},
			{StageCold, Stage{42, 42, 56, true, nil, florist(), nil}, StandingMemory, ""},
			{StageForcing, Stage{63, 84, 98, false, nil, florist(), nil}, StandingMemory, ""},
		}},
	}
}

// Sources of what the stages start with, each read as an abstract or a bulletin: regulator to mature bud 63 to 88 days by cultivar; six
// weeks at 3.5 to 7.2 degrees C as the trade's standard; four to six weeks of forcing, whose spread is common practice.
const (
	budSetSource  = "Flower differentiation of azalea depends on genotype and not on the use of plant growth regulators"
	coldSource    = "American Society for Horticultural Science: seasonal variation in dormancy breaking of azalea"
	forcingSource = "Illinois State Florists' Association: bulletin on azaleas budded by growth retardants"
)

// rooted is what a liner must show before it is stepped up: common practice, no source.
func rooted() []Gate { return []Gate{{"root_cover", 3, 7500}} }

func florist() *string { return new("florist") }
