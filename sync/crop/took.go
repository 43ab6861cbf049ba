package crop

import (
	"bedwalk/sync/calendar"
	"bedwalk/sync/schedule"
)

// Took is how long a lot took for a stage that is over; Length is what the stage takes by its profile.
type Took struct {
	Stage  string
	Length schedule.Length
	Days   int
	Ended  calendar.Day
}

// Took are the lengths of the stages that ended with a note of the lot itself. Those that ended before it was split off or stepped
// up are the mother's, so that no stage is counted twice. A stage has a length where both its ends have a day, in order, and neither is known
// from the lot's bed alone: a spray of a whole bed falls on lots of any age.
func (l Lot) Took() (all []Took) {
	done := timeline(l, SeasonOf(l.Family))
	before := l
	before.Family = l.Family[min(1, len(l.Family)):]
	mothers := timeline(before, SeasonOf(before.Family))
	for i, s := range l.Stages[:max(0, len(l.Stages)-1)] {
		from, to := done[stepOf[s.Name]], done[stepOf[l.Stages[i+1].Name]]
		if from.On == nil || to.On == nil || from.OutOfOrder || to.OutOfOrder || from.ByBed || to.ByBed || *to.On <= *from.On {
			continue
		}
		if m, ok := mothers[stepOf[l.Stages[i+1].Name]]; ok && m.On != nil {
			continue
		}
		all = append(all, Took{s.Name, LengthOf(s.Stage), int(*to.On - *from.On), *to.On})
	}
	return all
}
