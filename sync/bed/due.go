package bed

import "bedwalk/schema"

// lookAgainAfter is the number of days after which a bed with trouble is walked again. Common practice, no source.
const lookAgainAfter = 2

// Due says whether a bed is due for a walk. Walks are those of the bed, second looks and struck-out ones left out, newest
// first; every are the walk intervals in days of the crops that stand on it, of which the shortest counts. An empty bed is
// never due.
//
// Only a whole walk counts for a bed (see Whole). Age comes before trouble: a bed that is late anyway is reported as
// late. Trouble is what the sequential test on the bed's last whole walk decided, never one pale pot.
func Due(walks []schema.PastWalk, every []int) schema.Due {
	if len(every) == 0 {
		return schema.Due{}
	}
	interval := every[0]
	for _, days := range every {
		interval = min(interval, days)
	}
	for _, w := range walks {
		if !w.Whole {
			continue
		}
		due := schema.Due{Days: w.DaysAgo}
		switch {
		case w.DaysAgo >= interval:
			due.Why = "days"
		case w.DaysAgo >= lookAgainAfter && w.Roots == callTrouble:
			due.Why = "roots"
		case w.DaysAgo >= lookAgainAfter && w.Chlorosis == callTrouble:
			due.Why = "chlorosis"
		}
		return due
	}
	// A walk that was broken off clears nothing, but it was a walk: from the next day on the bed is not "never walked".
	if len(walks) > 0 && walks[0].DaysAgo > 0 {
		return schema.Due{Why: "days", Days: walks[0].DaysAgo}
	}
	return schema.Due{Why: "never"}
}

// Whole is true for a walk that shows enough of its bed: it saw as many pots as its plan wanted, or it was ended with Fewest
// pots at least. One that was ended after fewer shows no number, so it takes none away either, and its bed stays due. A walk
// whose opening has not arrived counts as whole.
func Whole(walk schema.WalkPart, potsSeen int) bool {
	return walk.Open == nil || potsSeen >= walk.Open.Planned || walk.End != nil && potsSeen >= Fewest
}

// Unfinished is how far a walk came that was left before it had seen what it asked for, by its end's own word, or while it has none by stop, the
// rule that it ends by; nil for one that was finished. A walk may be whole all the same (see Whole).
func Unfinished(walk schema.WalkPart, potsSeen int, stop schema.Stop) *schema.Unfinished {
	asksForMore := stop.Verdict == "more"
	if Whole(walk, potsSeen) {
		if walk.End != nil && walk.End.Why != "stopped" || walk.End == nil && !asksForMore {
			return nil
		}
	}
	left := &schema.Unfinished{Seen: potsSeen}
	switch {
	case asksForMore:
		left.About = potsSeen + stop.More
	case stop.Verdict == "minimum":
		left.About = potsSeen + stop.More
		if walk.Open != nil {
			left.About = max(left.About, walk.Open.Planned)
		}
	}
	return left
}
