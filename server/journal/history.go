package journal

import (
	"math"

	"bedwalk/schema"
)

// HistoryPlace is where a page of a history ends: before the line of this time (ms since 1970) and this position.
type HistoryPlace struct{ At, Position int64 }

// Newest is the place behind every line.
var Newest = HistoryPlace{math.MaxInt64, math.MaxInt64}

// HistoryRow is a line of a lot's history: a note, or the newest of the pots that one walk noted of the lot, which then stands for all of
// them. Corrections and what was struck out are lines of their own: somebody else may have written them, on another day.
type HistoryRow struct {
	Line
	Noted
}

// Noted is what a walk noted of a lot.
type Noted struct {
	// Walk is "" for a note that stands alone.
	Walk string
	// Pots is how many pots were noted on the walk, the first of them at Since (ms since 1970), by these people.
	Pots   int
	Since  int64
	People []string
}

// HistoryLine is a HistoryRow that was read.
type HistoryLine struct {
	schema.Stamped
	Noted
}

// History gives the newest lines about a lot, newest first by merge order, at most limit. A walk stands where its newest pot does.
func (s *Snapshot) History(lot string, before HistoryPlace, limit int) ([]HistoryLine, error) {
	rows, err := s.snap.History(lot, before, limit)
	if err != nil {
		return nil, err
	}
	all := make([]HistoryLine, 0, len(rows))
	for _, row := range rows {
		for _, entry := range stampedOf([]Line{row.Line}) {
			all = append(all, HistoryLine{entry, row.Noted})
		}
	}
	return all, nil
}

// HistoryOfWalk gives the newest pots that a walk noted of a lot, newest first by merge order, at most limit.
func (s *Snapshot) HistoryOfWalk(lot, walk string, before HistoryPlace, limit int) ([]schema.Stamped, error) {
	lines, err := s.snap.HistoryOfWalk(lot, walk, before, limit)
	return stampedOf(lines), err
}
