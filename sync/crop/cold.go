package crop

import "bedwalk/sync/calendar"

// Cooled is a lot's time in the cooler.
type Cooled struct {
	// In is the first day noted on which it went in; Out the first one after that on which it came out or was forced, nil while it is in.
	In  calendar.Day
	Out *calendar.Day
	// House is the cooler, "" where nobody wrote which.
	House string
	// Ready is the first day on which its buds were seen ready, since its growth regulator where that is known; nil where nobody looked.
	Ready *calendar.Day
}

// CooledOf finds when a lot was in the cooler in the season that it is in; false where nobody noted that it went in.
func CooledOf(family []Part) (c Cooled, was bool) {
	season := SeasonOf(family)
	each := func(visit func(Event)) {
		for _, part := range family {
			for _, e := range part.Events {
				if part.has(e.On) && !season.isBefore(e.On) {
					visit(e)
				}
			}
		}
	}
	each(func(e Event) {
		if e.What != "into_cooler" {
			return
		}
		switch {
		case !was || e.On < c.In:
			c.In, c.House, was = e.On, e.House, true
		case e.On == c.In && e.House > c.House:
			// Of two notes of one day, one that names the cooler counts, in any order.
			c.House = e.House
		}
	})
	if !was {
		return c, false
	}
	each(func(e Event) {
		if (e.What == "out_of_cooler" || e.What == "into_forcing") && e.On >= c.In && (c.Out == nil || e.On < *c.Out) {
			c.Out = &e.On
		}
	})
	var began calendar.Day
	for _, part := range family {
		for _, r := range part.Regulators {
			if r.On <= c.In && part.has(r.On) {
				began = max(began, r.On)
			}
		}
	}
	each(func(e Event) {
		if e.What == LineBudsReady && e.On >= began && (c.Out == nil || e.On <= *c.Out) && (c.Ready == nil || e.On < *c.Ready) {
			c.Ready = &e.On
		}
	})
	return c, true
}

// Days counts the days in the cooler up to a day, which is not counted itself: all of them, those after the buds were seen ready, and
// those before. Cold does nothing for buds that are not ready. Where nobody looked, only all are known.
func (c Cooled) Days(until calendar.Day) (all int, counted, flagged *int) {
	if c.Out != nil {
		until = *c.Out
	}
	all = max(0, int(until-c.In))
	if c.Ready == nil {
		return all, nil, nil
	}
	after := max(0, int(until-max(c.In, *c.Ready)))
	return all, new(min(all, after)), new(all - min(all, after))
}
