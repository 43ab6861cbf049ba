// Package crop says of a lot which steps it has taken, when it will be ready, and by when each step to come must be taken for the
// lot to make its ship week.
//
// A lot's timeline is the set of what was noted about it and about the lots that it comes from: the order in which notes arrive
// plays no part. Nothing that is computed here is written down. Days are the nursery's own calendar days.
package crop

import (
	"cmp"
	"strings"

	"bedwalk/schema"
	"bedwalk/sync/calendar"
	"bedwalk/sync/schedule"
)

// Stage is one stage as it holds for a lot: its length, and where that comes from.
type Stage struct {
	Name string
	schema.Stage
	// From says whose days they are: schema.FromCultivar, FromSize, FromCrop or FromStart.
	From     string
	Standing string
	Source   string
}

// Own are the stages that the grower set: for a lot's cultivar, for its crop in pots of its size, and for its crop.
type Own struct {
	Cultivar map[string]schema.Stage
	Size     map[string]schema.SizedStage
	Crop     map[string]schema.Stage
}

// StagesOf are the stages that lots of a crop go through on a route ("" while nobody has said which), in order. Value by value, the
// cultivar's own count before those for the pot size, these before the crop's own, and those before what Bedwalk starts with for the crop of
// that name (its key, see bed.CropKey).
func StagesOf(cropKey, route string, own Own) (stages []Stage) {
	start := startOf(cropKey).Stages
	for _, name := range schema.StageNames {
		stage, isKnown := stageOf(start, name, own)
		if only := stage.Route; isKnown && (only == nil || route == "" || *only == route) {
			stages = append(stages, stage)
		}
	}
	return stages
}

// stageOf is one stage of a crop that starts with these; false where it has none. A length out of order is refused when it is written; a damaged record
// must not stop the plan.
func stageOf(start []schema.StartStage, name string, own Own) (stage Stage, isKnown bool) {
	stage.Name = name
	for _, s := range start {
		if s.Name == name {
			stage.Stage, stage.From, stage.Standing, stage.Source, isKnown = s.Stage, schema.FromStart, s.Standing, s.Source, true
		}
	}
	if s, set := own.Crop[name]; set && LengthOf(s).Check() == nil {
		if s.Gates == nil {
			s.Gates = stage.Gates
		}
		stage = Stage{Name: name, Stage: s, From: schema.FromCrop, Standing: schema.StandingOwn}
		isKnown = true
	}
	if isKnown {
		stage.sizedBy(own.Size[name])
	}
	if s, set := own.Cultivar[name]; set && LengthOf(s).Check() == nil {
		if s.Gates == nil {
			s.Gates = stage.Gates
		}
		if isKnown {
			s.Hands = stage.Hands
			s.PotMM, s.Route = cmp.Or(s.PotMM, stage.PotMM), cmp.Or(s.Route, stage.Route)
		}
		stage = Stage{Name: name, Stage: s, From: schema.FromCultivar, Standing: schema.StandingOwn}
		isKnown = true
	}
	return stage, isKnown
}

// startOf is what Bedwalk starts with for a crop; nothing for one that it does not know.
func startOf(cropKey string) schema.CropStart {
	for _, c := range schema.CropStarts() {
		for _, word := range c.Words {
			if strings.Contains(cropKey, word) {
				return c
			}
		}
	}
	return schema.CropStart{}
}

// LengthOf is how long a stage takes.
func LengthOf(s schema.Stage) schedule.Length {
	return schedule.Length{Shortest: s.ShortestDays, Likely: s.LikelyDays, Longest: s.LongestDays}
}

// Steps of a lot: each begins the stage beside it, and StepReady ends the last one.
const (
	StepStuck       = "stuck"
	StepLiner       = "into_liner"
	StepSmallPot    = "into_small_pot"
	StepFinishedPot = "into_finished_pot"
	StepLastPinch   = "last_pinch"
	StepRegulator   = "regulator"
	StepCooler      = "into_cooler"
	StepForcing     = "into_forcing"
	StepReady       = "ready"
)

// TaskSteps are the steps that can be handed out as a task (see schema.Task).
var TaskSteps = []string{StepLiner, StepSmallPot, StepFinishedPot, StepLastPinch, StepRegulator, StepCooler, StepForcing}

var stepOf = map[string]string{
	schema.StageRoot: StepStuck, schema.StageLiner: StepLiner, schema.StageSmallPot: StepSmallPot, schema.StageFinishedPot: StepFinishedPot,
	schema.StageGrowOut: StepLastPinch, schema.StageBudSet: StepRegulator, schema.StageCold: StepCooler, schema.StageForcing: StepForcing,
}

// Event is one step noted about a lot, on a day; Last says of a pinch or clip that it was the last.
type Event struct {
	What string
	On   calendar.Day
	Last bool
	// House is the cooler that it went into, "" where nobody wrote which.
	House string
}

// Regulator is a growth regulator put on: ByBed when it is known only from the bed that the lot stands on.
type Regulator struct {
	On    calendar.Day
	ByBed bool
}

// Part is one lot of a family, as far as it is part of the lot asked about: Until is the day on which the lot went on as the next
// one (a step-up or a split), and what was noted later is about other pots.
type Part struct {
	PotMM      int
	StuckOn    *calendar.Day
	PottedOn   *calendar.Day
	Until      *calendar.Day
	Events     []Event
	Regulators []Regulator
}

// Lot is what a forecast is made of. Family begins with the lot itself; its mother and her mothers follow.
type Lot struct {
	Family []Part
	Stages []Stage
	// Pins are the days on which people mean to take steps, by step.
	Pins map[string]calendar.Day
	// By is the day by which it must be ready; nil while it has no ship week. Shipped lots are not forecast.
	By      *calendar.Day
	Shipped bool
	// Seen is what the last walks saw; nil where none was whole. Heads are its mean heads on all walks.
	Seen  *Seen
	Heads []WalkMean
	AsOf  calendar.Day
	// Pace is by how much one spring stretches the days to come of all lots (see schedule.Chances.AtPaces).
	Pace float64
	Work calendar.Workdays
}
