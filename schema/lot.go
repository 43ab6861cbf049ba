package schema

// Lot is one cultivar, stuck on one date, in one pot size: what is judged together. Dates are calendar days
// ("2026-03-14"); a date that nobody knows is left out, never guessed.
type Lot struct {
	Writes
	// Tag is the code on the pot tags, as people read it.
	Tag      *string `json:"tag,omitempty" validate:"omitempty,min=1,max=24,tag"`
	Crop     *string `json:"crop,omitempty" validate:"omitempty,min=1,max=40"`
	Cultivar *string `json:"cultivar,omitempty" validate:"omitempty,min=1,max=60"`
	PotMM    *int    `json:"pot_mm,omitempty" validate:"omitempty,min=30,max=600"`
	StruckOn *string `json:"struck_on,omitempty" validate:"omitempty,datetime=2006-01-02"`
	PottedOn *string `json:"potted_on,omitempty" validate:"omitempty,datetime=2006-01-02"`
	Origin   *string `json:"origin,omitempty" validate:"omitempty,max=120"`
	Parent   *string `json:"parent,omitempty" validate:"omitempty,id"`
	// Mother is the lot whose plants its cuttings were taken from. Stock says that the lot is kept for cuttings and not for sale.
	Mother *string `json:"mother,omitempty" validate:"omitempty,id"`
	Stock  *bool   `json:"stock,omitempty"`
	// PlantsEach is how many plants grow in each of its pots; one while nobody has said.
	PlantsEach *int    `json:"plants_each,omitempty" validate:"omitempty,min=1,max=20"`
	ShipWeek   *string `json:"ship_week,omitempty" validate:"omitempty,isoweek"`
	Route      *string `json:"route,omitempty" validate:"omitempty,oneof=florist nursery"`
	ShippedOn  *string `json:"shipped_on,omitempty" validate:"omitempty,datetime=2006-01-02"`
	// The days on which people mean to take the lot's next steps.
	PinPinch     *Pin `json:"pin_pinch,omitempty"`
	PinRegulator *Pin `json:"pin_regulator,omitempty"`
	PinCool      *Pin `json:"pin_cool,omitempty"`
	PinForce     *Pin `json:"pin_force,omitempty"`
}

// Profile is how one crop is grown and judged here. Every value is the grower's own; those that Bedwalk starts with
// are common practice without a published source, and are meant to be changed.
type Profile struct {
	Writes
	Crop *string `json:"crop,omitempty" validate:"omitempty,min=1,max=40"`
	// HeadToleranceBP and BudToleranceBP: how far from its lot's mean a pot may be, in basis points (1000 = 10 %).
	HeadToleranceBP *int `json:"head_tolerance_bp,omitempty" validate:"omitempty,min=100,max=5000"`
	BudToleranceBP  *int `json:"bud_tolerance_bp,omitempty" validate:"omitempty,min=100,max=9000"`
	// ExpectedCVBP is the spread to plan a first walk with.
	ExpectedCVBP *int `json:"expected_cv_bp,omitempty" validate:"omitempty,min=100,max=9000"`
	// WidthBP is the wanted width of the uniformity interval; MinPots and MaxPots bound a walk.
	WidthBP *int `json:"width_bp,omitempty" validate:"omitempty,min=200,max=9000"`
	MinPots *int `json:"min_pots,omitempty" validate:"omitempty,min=3,max=200"`
	MaxPots *int `json:"max_pots,omitempty" validate:"omitempty,min=3,max=500"`
	// WalkEveryDays is how often a bed of this crop wants a walk.
	WalkEveryDays *int `json:"walk_every_days,omitempty" validate:"omitempty,min=1,max=60"`
	// Shares of pots with chlorosis or root trouble that are fine, and that are not, for the stop rule, with the
	// risks of judging wrongly at each.
	TroubleOkBP    *int `json:"trouble_ok_bp,omitempty" validate:"omitempty,min=1,max=9000"`
	TroubleBadBP   *int `json:"trouble_bad_bp,omitempty" validate:"omitempty,min=2,max=9500"`
	RiskMissBP     *int `json:"risk_miss_bp,omitempty" validate:"omitempty,min=1,max=4000"`
	RiskFalseBP    *int `json:"risk_false_bp,omitempty" validate:"omitempty,min=1,max=4000"`
	ExpectedLossBP *int `json:"expected_loss_bp,omitempty" validate:"omitempty,min=0,max=9000"`
	// PromiseMin is the fewest pots seen whole from which anything is promised.
	PromiseMin *int `json:"promise_min,omitempty" validate:"omitempty,min=3,max=200"`
	// GradedFromWeeks is how many weeks before its ship week a lot's pots can be judged by the grades: before, they still grow.
	GradedFromWeeks *int `json:"graded_from_weeks,omitempty" validate:"omitempty,min=0,max=104"`
	// SharingSDMilli is the standard deviation, on the logit scale in thousandths, by which the share in grade of all lots of one cultivar moves
	// together from season to season.
	SharingSDMilli *int `json:"sharing_sd_milli,omitempty" validate:"omitempty,min=0,max=2000"`
	// UniformityAimBP is the uniformity at which a bed is as even as the grower wants it: the plan of beds is darker
	// below it, and a bed that ships soon and is surely below it needs a supervisor. No grade or flag is judged by it.
	UniformityAimBP *int `json:"uniformity_aim_bp,omitempty" validate:"omitempty,min=3000,max=10000"`
	// Grades are tried in order; a pot gets the first whose every line it meets.
	Grades *[]Grade `json:"grades,omitempty" validate:"omitempty,max=40,dive"`
	// Costs are what a pot takes in each stage. They are not in the stages themselves, so that writing one down does not make the stage's
	// length somebody's own.
	Costs *[]StageCost `json:"costs,omitempty" validate:"omitempty,max=8,dive"`
	// Yields are how many come through each stage, apart from the stages for the same reason.
	Yields *[]StageYield `json:"yields,omitempty" validate:"omitempty,max=8,dive"`
	// Targets are the grower's own band of head sizes by days since the last pinch. Nothing is judged by it, and there is none to start with.
	Targets *[]HeadTarget `json:"targets,omitempty" validate:"omitempty,max=60,dive"`
	// Sizes are where lots in pots of one size differ from the rest of the crop, a line a stage and pot size.
	Sizes *[]SizedStage `json:"sizes,omitempty" validate:"omitempty,max=60,dive"`
	// Together the stages are the way from cutting to ready; one left out is not gone through, unless Bedwalk starts with it (CropStarts).
	Stages
}

// Stages are the stages of a crop, a field each, so that two people who change two of them apart do not clash.
type Stages struct {
	Root        *Stage `json:"root,omitempty"`
	Liner       *Stage `json:"liner,omitempty"`
	SmallPot    *Stage `json:"small_pot,omitempty"`
	FinishedPot *Stage `json:"finished_pot,omitempty"`
	GrowOut     *Stage `json:"grow_out,omitempty"`
	BudSet      *Stage `json:"bud_set,omitempty"`
	Cold        *Stage `json:"cold,omitempty"`
	Forcing     *Stage `json:"forcing,omitempty"`
}

// StageCost is what one pot takes in a stage: seconds of work and hundredths of the nursery's currency in materials, both once, and how many
// pots stand on a square metre (hundredths). What is left out nobody has written: it is not nothing.
type StageCost struct {
	Stage     string `json:"stage" validate:"oneof=root liner small_pot finished_pot grow_out bud_set cold forcing"`
	LabourS   *int   `json:"labour_s,omitempty" validate:"omitempty,min=0,max=36000"`
	MaterialC *int   `json:"material_c,omitempty" validate:"omitempty,min=0,max=1000000"`
	PotsM2C   *int   `json:"pots_m2_c,omitempty" validate:"omitempty,min=1,max=1000000"`
}

// StageYield is how many come through a stage: the share of what begins it, in basis points, and the plants in each pot from its beginning on. What
// is left out nobody has written.
type StageYield struct {
	Stage      string `json:"stage" validate:"oneof=root liner small_pot finished_pot grow_out bud_set cold forcing"`
	ShareBP    *int   `json:"share_bp,omitempty" validate:"omitempty,min=1,max=10000"`
	PlantsEach *int   `json:"plants_each,omitempty" validate:"omitempty,min=1,max=20"`
}

// SizedStage is where a stage differs for lots in pots of one size, value by value: what is left out is the crop's. The days are all there or none, and
// a cultivar's own days count before them.
type SizedStage struct {
	Stage        string `json:"stage" validate:"oneof=root liner small_pot finished_pot grow_out bud_set cold forcing"`
	PotMM        int    `json:"pot_mm" validate:"min=30,max=600"`
	ShortestDays *int   `json:"shortest_days,omitempty" validate:"omitempty,min=1,max=730"`
	LikelyDays   *int   `json:"likely_days,omitempty" validate:"omitempty,min=1,max=730"`
	LongestDays  *int   `json:"longest_days,omitempty" validate:"omitempty,min=1,max=730"`
	ShareBP      *int   `json:"share_bp,omitempty" validate:"omitempty,min=1,max=10000"`
	PlantsEach   *int   `json:"plants_each,omitempty" validate:"omitempty,min=1,max=20"`
	LabourS      *int   `json:"labour_s,omitempty" validate:"omitempty,min=0,max=36000"`
	MaterialC    *int   `json:"material_c,omitempty" validate:"omitempty,min=0,max=1000000"`
	PotsM2C      *int   `json:"pots_m2_c,omitempty" validate:"omitempty,min=1,max=1000000"`
	// Gates are the crop's where they are left out; an empty list is none.
	Gates []Gate `json:"gates,omitempty" validate:"max=4,dive"`
}

// HeadTarget is one row of a band of mean heads, mm: what is wanted so many days after the last pinch. Of rows for one pot size the days rise.
type HeadTarget struct {
	Day    int `json:"day" validate:"min=0,max=730"`
	LowMM  int `json:"low_mm" validate:"min=1,max=2000"`
	HighMM int `json:"high_mm" validate:"min=1,max=2000"`
	// PotMM is the pot size that the row is for; one left out is for every size that has no rows of its own.
	PotMM *int `json:"pot_mm,omitempty" validate:"omitempty,min=30,max=600"`
}

// Cultivar is where one cultivar of a crop differs from the crop. A stage left out is the crop's. Of one that is set, the days are the
// cultivar's; its gates, pot and route are the crop's where they are left out, and who ends it is always the crop's.
type Cultivar struct {
	Writes
	OfCrop *string `json:"of_crop,omitempty" validate:"omitempty,min=1,max=40"`
	Name   *string `json:"name,omitempty" validate:"omitempty,min=1,max=60"`
	Note   *string `json:"note,omitempty" validate:"omitempty,max=400"`
	// RootShareBP is the share of its cuttings that roots, in basis points; the crop's where it is left out.
	RootShareBP *int `json:"root_share_bp,omitempty" validate:"omitempty,min=1,max=10000"`
	Stages
}

// Grade is one of the grower's own grades for one pot size. A line left out is not asked.
type Grade struct {
	Name         string `json:"name" validate:"required,max=40"`
	PotMM        int    `json:"pot_mm" validate:"min=30,max=600"`
	HeadMinMM    *int   `json:"head_min_mm,omitempty" validate:"omitempty,min=1,max=2000"`
	HeadMaxMM    *int   `json:"head_max_mm,omitempty" validate:"omitempty,min=1,max=2000"`
	RoundMinBP   *int   `json:"round_min_bp,omitempty" validate:"omitempty,min=1,max=10000"`
	BudsMin      *int   `json:"buds_min,omitempty" validate:"omitempty,min=0,max=2000"`
	BuddedMinBP  *int   `json:"budded_min_bp,omitempty" validate:"omitempty,min=0,max=10000"`
	CoverMin     *int   `json:"root_cover_min,omitempty" validate:"omitempty,min=0,max=5"`
	LifeMin      *int   `json:"root_life_min,omitempty" validate:"omitempty,min=1,max=5"`
	ChlorosisMax *int   `json:"chlorosis_max,omitempty" validate:"omitempty,min=0,max=4"`
	// PriceC is what a pot of the grade sells for, in hundredths of the nursery's currency.
	PriceC *int `json:"price_c,omitempty" validate:"omitempty,min=0,max=1000000"`
}

// Booking is pots promised to somebody for a ship week: of a lot, or, where Lot is left out, of any lot of Crop in the pot size PotMM, of one
// cultivar where Cultivar names it. Pots of the named grade or a better one serve it.
type Booking struct {
	Writes
	Lot      *string `json:"lot,omitempty" validate:"omitempty,id"`
	Crop     *string `json:"crop,omitempty" validate:"omitempty,min=1,max=40"`
	Cultivar *string `json:"cultivar,omitempty" validate:"omitempty,min=1,max=60"`
	PotMM    *int    `json:"pot_mm,omitempty" validate:"omitempty,min=30,max=600"`
	Grade    *string `json:"grade,omitempty" validate:"omitempty,max=40"`
	Pots     *int    `json:"pots,omitempty" validate:"omitempty,min=0,max=1000000"`
	Buyer    *string `json:"buyer,omitempty" validate:"omitempty,max=120"`
	ShipWeek *string `json:"ship_week,omitempty" validate:"omitempty,isoweek"`
	// PriceC is what is agreed for a pot, in hundredths of the nursery's currency; Reference is the buyer's own number for the order.
	PriceC    *int    `json:"price_c,omitempty" validate:"omitempty,min=0,max=1000000"`
	Reference *string `json:"reference,omitempty" validate:"omitempty,max=60"`
	Cancelled *bool   `json:"cancelled,omitempty"`
}
