package crop

import (
	"math"
	"slices"
	"testing"

	"bedwalk/schema"
)

// liners is an azalea in the liner since 3 August 2026, seen on 16 November: so many of 30 pots with enough roots.
func liners(met int) Lot {
	covers := slices.Concat(slices.Repeat([]int{4}, met), slices.Repeat([]int{1}, 30-met))
	return Lot{
		Family: []Part{{PotMM: 60, PottedOn: at("2026-08-03")}}, Stages: StagesOf("florist's azalea", "florist", Own{}), By: at("2028-02-14"),
		AsOf: day("2026-11-18"), Work: workweek,
		Seen: &Seen{On: day("2026-11-16"), PotsOnBeds: 900, Values: map[string][]int{"root_cover": covers}},
	}
}

// On 18 November the middle 84 days of the liner are over and it counts as not done, so it may be any day now; a walk of the 16th that saw the gate closed says: not
// before 23 November (half of the 14 days that a walk decides; an assumption, by hand).
func TestAClosedGateMovesTheForecastAndAnOpenOneDoesNot(t *testing.T) {
	closed, open := liners(10).Forecast(), liners(29).Forecast()
	if closed.Gates[0].State != GateNotYet || open.Gates[0].State != GateOpen {
		t.Fatalf("%+v, %+v", closed.Gates, open.Gates)
	}
	if closed.ClosedUntil.String() != "2026-11-23" || open.ClosedUntil != nil {
		t.Errorf("closed until %v and %v", closed.ClosedUntil, open.ClosedUntil)
	}
	before, after := step(t, open, StepSmallPot).Coming, step(t, closed, StepSmallPot).Coming
	if *before.Day10 >= day("2026-11-23") || after.Day10.String() != "2026-11-23" || *after.Day90 != *before.Day90 {
		t.Errorf("into the small pot %s to %s, with the gate closed %s to %s", before.Day10, before.Day90, after.Day10, after.Day90)
	}
	if *closed.Chance > *open.Chance {
		t.Error("a closed gate made the lot likelier to be in time")
	}
}

func TestAWalkBeforeTheStageBeganDecidesNoGate(t *testing.T) {
	l := liners(10)
	l.Seen.On = day("2026-08-02")
	if g := l.Forecast().Gates[0]; g.State != GateNotLookedAt || g.Looked != 0 {
		t.Errorf("%+v", g)
	}
}

func TestABedThatNobodyWalkedKeepsAGateFromOpening(t *testing.T) {
	l := liners(30)
	l.Seen.Unwalked = true
	if g := l.Forecast().Gates[0]; g.State != GateUnsure {
		t.Errorf("%+v", g)
	}
}

// Fewer pots on record than were looked at: the limits are those of a bed without end, not none (Wilson 1927: 28 of 30 at 90 %).
func TestAGateIsJudgedWhereTheLedgerHasFewerPotsThanWereSeen(t *testing.T) {
	l := liners(28)
	l.Seen.PotsOnBeds = 3
	g := l.Forecast().Gates[0]
	if !g.Limits.Known || g.State != GateOpen || math.Abs(g.Limits.Low-0.8168) > 0.0005 {
		t.Errorf("%+v", g)
	}
}

func TestBudsAreReadyWhenSomebodySaidSoSinceTheRegulator(t *testing.T) {
	l := bedLot()
	if g := l.Forecast().Gates[0]; g.Line != LineBudsReady || g.State != GateNotLookedAt {
		t.Errorf("%+v", g)
	}
	sold := bedLot()
	sold.Stages = StagesOf("florist's azalea", "nursery", Own{})
	if g := sold.Forecast().Gates; len(g) != 0 {
		t.Errorf("a lot that is sold budded waits for the cooler: %+v", g)
	}
	l.Family[0].Events = append(l.Family[0].Events, Event{What: LineBudsReady, On: day("2026-09-20")})
	if g := l.Forecast().Gates[0]; g.State != GateNotLookedAt {
		t.Errorf("buds seen before the regulator opened the gate: %+v", g)
	}
	l.Family[0].Events = append(l.Family[0].Events, Event{What: LineBudsReady, On: day("2026-12-01")})
	if g := l.Forecast().Gates[0]; g.State != GateOpen || !g.ByHand || g.On.String() != "2026-12-01" {
		t.Errorf("%+v", g)
	}
}

// Pulling bypass shoots after the regulator is not a pinch: the regulator's day stays, and the lot with it.
func TestPulledBypassShootsAreNoPinch(t *testing.T) {
	l := bedLot()
	before := l.Forecast()
	l.Family[0].Events = append(l.Family[0].Events, Event{What: "bypass_pulled", On: day("2026-10-26")})
	if after := l.Forecast(); describe(after) != describe(before) || step(t, after, StepRegulator).Done == nil {
		t.Errorf("%s\n%s", describe(before), describe(after))
	}
	l.Family[0].Events[1].What = "clipped"
	if step(t, l.Forecast(), StepRegulator).Done != nil {
		t.Error("a clip after the regulator no longer begins the growing again")
	}
}

// Of a stage of one's own, the gates that Bedwalk starts with hold until one's own are written; an empty list is none.
func TestGatesOfOnesOwnStage(t *testing.T) {
	own := func(gates []schema.Gate) []schema.Gate {
		stages := StagesOf("azalea", "", Own{Crop: map[string]schema.Stage{schema.StageLiner: {ShortestDays: 50, LikelyDays: 60, LongestDays: 70, Gates: gates}}})
		return stages[1].Gates
	}
	if got := own(nil); len(got) != 1 || got[0].Line != "root_cover" {
		t.Errorf("%+v", got)
	}
	if got := own([]schema.Gate{}); len(got) != 0 {
		t.Errorf("%+v", got)
	}
}

// Of two notes of one day's clip, one calls it the last: it is the last, whichever of them arrived first.
func TestTwoNotesOfOneClipAgreeInAnyOrder(t *testing.T) {
	for _, isLast := range [][]bool{{false, true}, {true, false}} {
		l := Lot{Family: []Part{{PotMM: 165, PottedOn: at("2026-03-02")}}, Stages: StagesOf("azalea", "", Own{}), AsOf: day("2026-12-10"), Work: workweek}
		for _, last := range isLast {
			l.Family[0].Events = append(l.Family[0].Events, Event{What: "clipped", On: day("2026-08-03"), Last: last})
		}
		if d := step(t, l.Forecast(), StepLastPinch).Done; d == nil || d.On.String() != "2026-08-03" {
			t.Errorf("%v: %+v", isLast, d)
		}
	}
}
