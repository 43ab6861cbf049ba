package calendar

import (
	"fmt"
	"time"
)

// Week is a week of ISO 8601: Monday to Sunday, and week 1 is the one with 4 January in it.
type Week struct{ Year, Week int }

// ParseWeek reads a week written 2026-W53. A week that its year does not have is refused.
func ParseWeek(written string) (Week, error) {
	var w Week
	n, err := fmt.Sscanf(written, "%d-W%d", &w.Year, &w.Week)
	if err != nil || n != 2 || w.String() != written || w.Week < 1 || w.Week > w.weeks() {
		return Week{}, fmt.Errorf("%q is not a week: write it like 2026-W50; most years have 52 weeks, some have 53", written)
	}
	return w, nil
}

// weeks is 53 in the long years and 52 in the others: 28 December is always in the last week.
func (w Week) weeks() int { return on(w.Year, time.December, 28).Week().Week }

// Monday is the week's first day.
func (w Week) Monday() Day {
	fourth := on(w.Year, time.January, 4)
	return fourth - Day(fourth.Weekday()-1) + Day(7*(w.Week-1))
}

// Day is a day of the week: 1 Monday to 7 Sunday.
func (w Week) Day(weekday int) Day { return w.Monday() + Day(weekday-1) }

// Add is so many weeks later, or earlier when negative.
func (w Week) Add(weeks int) Week { return (w.Monday() + Day(7*weeks)).Week() }

// String writes the week as 2026-W53.
func (w Week) String() string { return fmt.Sprintf("%04d-W%02d", w.Year, w.Week) }
