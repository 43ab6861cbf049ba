package crop

import (
	"slices"

	"bedwalk/schema"
	"bedwalk/sync/calendar"
	"bedwalk/sync/stats"
)

// States of a gate: what must be seen on a lot's pots before a stage of it ends.
const (
	GateOpen        = "open"          // enough pots have it, as far as the walk can say
	GateNotYet      = "not_yet"       // too few have it, whatever the pots that nobody saw are like
	GateUnsure      = "unsure"        // the walk saw too few pots to say, or not all of the lot's beds
	GateStale       = "stale"         // the walk is too old to say
	GateNotLookedAt = "not_looked_at" // nobody looked since the stage began
)

// LineBudsReady is the gate that people open by hand, with an event of this name: Bedwalk computes no ripeness of buds.
const LineBudsReady = "buds_ready"

// FreshDays is how many days a walk decides a gate. An assumption of this project, no source.
const FreshDays = 14

// Seen is what the last whole walk of each of a lot's beds saw: of each line of schema.Gate that was looked at, a value a pot.
type Seen struct {
	// On is the day of the walk, the oldest one where the beds were walked on several days.
	On calendar.Day
	// PotsOnBeds is how many of its pots were on the beds walked. Unwalked says that some stand on a bed that no walk saw.
	PotsOnBeds int
	Unwalked   bool
	Values     map[string][]int
}

// Gate is a gate with its state. Met of the Looked pots have it; Low and High are the 90 % Wilson limits of that share for a bed of
// so many pots, known only where pots were looked at. On is the day of the walk, or of the word of a person where ByHand.
type Gate struct {
	schema.Gate
	State       string
	Met, Looked int
	Limits      stats.Interval
	On          *calendar.Day
	ByHand      bool
}

// GateOf judges one gate of a stage that began on a day. A limit that touches the share asked counts as over it.
func GateOf(g schema.Gate, seen *Seen, began, asOf calendar.Day) Gate {
	gate := Gate{Gate: g, State: GateNotLookedAt}
	if seen == nil || seen.On < began || len(seen.Values[g.Line]) == 0 {
		return gate
	}
	for _, value := range seen.Values[g.Line] {
		if gate.Looked++; value >= g.AtLeast {
			gate.Met++
		}
	}
	gate.On = &seen.On
	// Fewer pots on record than were looked at say nothing of the lot's size: then it has no end.
	bed := seen.PotsOnBeds
	if bed < gate.Looked {
		bed = 0
	}
	gate.Limits = stats.Wilson(gate.Met, gate.Looked, bed, stats.DefaultLevel)
	share := float64(g.ShareBP) / 10_000
	switch {
	case asOf-seen.On > FreshDays:
		gate.State = GateStale
	case gate.Limits.High < share:
		gate.State = GateNotYet
	case gate.Limits.Low >= share && !seen.Unwalked:
		gate.State = GateOpen
	default:
		gate.State = GateUnsure
	}
	return gate
}

// gates are those of the stage at a place of the lot's stages, which it is in since a day. Buds need not be ready for a cooler that the lot
// does not go into.
func (l Lot) gates(at int, began calendar.Day) (all []Gate) {
	isCooled := at+1 < len(l.Stages) && l.Stages[at+1].Name == schema.StageCold
	for _, g := range l.Stages[at].Gates {
		if g.Line == LineBudsReady && !isCooled {
			continue
		}
		if g.Line != LineBudsReady {
			all = append(all, GateOf(g, l.Seen, began, l.AsOf))
			continue
		}
		gate := Gate{Gate: g, State: GateNotLookedAt}
		for _, part := range l.Family {
			for _, e := range part.Events {
				isLast := gate.On == nil || e.On > *gate.On
				if e.What == LineBudsReady && e.On >= began && part.has(e.On) && isLast {
					gate.State, gate.ByHand, gate.On = GateOpen, true, &e.On
				}
			}
		}
		all = append(all, gate)
	}
	return all
}

// closedUntil is the first day on which a stage may end whose gate was seen closed: half the days that a walk decides after
// that walk, an assumption; false where no gate was.
func closedUntil(gates []Gate) (until calendar.Day, isClosed bool) {
	for _, g := range gates {
		if g.State == GateNotYet {
			until, isClosed = max(until, *g.On+(FreshDays+1)/2), true
		}
	}
	return until, isClosed
}

// valuesOf lays out what pots showed by the lines of gates, for Seen.
func valuesOf(pots []schema.Observation) map[string][]int {
	values := map[string][]int{}
	add := func(line string, value *int) {
		if value != nil {
			values[line] = append(values[line], *value)
		}
	}
	for _, o := range pots {
		add("root_cover", o.RootCover)
		add("root_life", o.RootLife)
		add("buds", o.Buds)
		if o.HeadAMM != nil && o.HeadBMM != nil {
			add("head_mm", new((*o.HeadAMM+*o.HeadBMM)/2))
		}
	}
	for _, line := range values {
		slices.Sort(line)
	}
	return values
}

// SeenOf is what walks saw of a lot's pots, for Lot.Seen.
func SeenOf(on calendar.Day, potsOnBeds int, unwalked bool, pots []schema.Observation) *Seen {
	return &Seen{On: on, PotsOnBeds: potsOnBeds, Unwalked: unwalked, Values: valuesOf(pots)}
}
