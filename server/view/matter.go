package view

import (
	"slices"

	"bedwalk/schema"
	"bedwalk/sync/calendar"
)

// matter is what was written about a trouble, with who wrote it last.
type matter struct {
	schema.Matter
	person string
	at     int64
	live   []string
}

func (n *nursery) takeMatter(r schema.Record) {
	m := matter{Matter: shown[schema.Matter](r)}
	for name, field := range r.Register.Fields {
		m.live = append(m.live, field.Live...)
		if (name == "settled" || name == "snoozed_to") && field.By.Stamp.At >= m.at {
			m.person, m.at = field.By.Person, field.By.Stamp.At
		}
	}
	slices.Sort(m.live)
	m.live = slices.Compact(m.live)
	n.matters[r.Register.Of] = m
}

// Why a trouble is in the list although somebody settled it or put it off.
const (
	backDay   = "day"
	backWorse = "worse"
	backFound = "found"
)

// worseBy is how much more than when it was put away a trouble must be at the least, in the unit of its code, to be worse. The low end of a walk's
// interval is beyond the share of then by itself; the chance of a ship week moves a little each day, so it is worse from 10 of 100 on. An assumption,
// no source.
func worseBy(code string) int {
	if code == schema.AttentionLate {
		return 1_000
	}
	return 1
}

// answer adds what was written about a trouble, and says whether it is away for it: settled until a later walk finds it again, or put off until its
// day, and in both cases only while it is not worse.
func (n *nursery) answer(t *trouble, today calendar.Day) (away bool) {
	m, ok := n.matters[t.ID]
	settled := valueOr(m.Settled, false)
	to, err := calendar.Parse(valueOr(m.SnoozedTo, ""))
	if !ok || !settled && err != nil {
		return false
	}
	t.Answer = &schema.MatterAnswer{
		Settled: settled, SnoozedTo: valueOr(m.SnoozedTo, ""), Name: n.people[m.person], At: m.at, Extent: valueOr(m.Extent, 0), Live: m.live,
	}
	switch {
	case t.Least >= valueOr(m.Extent, 0)+worseBy(t.Code):
		t.Back = backWorse
	case settled && t.FoundAt > valueOr(m.FoundAt, 0):
		t.Back = backFound
	case !settled && to <= today:
		t.Back = backDay
	}
	return t.Back == ""
}
