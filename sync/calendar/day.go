// Package calendar counts whole days: dates, ISO 8601 weeks, and the days on which a nursery's people work.
//
// A day is a number, so a plan of thousands of days is arithmetic; clock changes and time zones play no part in it. Which day
// a moment belongs to is for the caller to say, in the nursery's own zone.
package calendar

import (
	"fmt"
	"time"
)

// Day is a calendar day: days since 1 January 1970, in the Gregorian calendar.
type Day int

const secondsADay = 24 * 60 * 60

// Parse reads a date written 2026-12-31.
func Parse(date string) (Day, error) {
	t, err := time.Parse(time.DateOnly, date)
	if err != nil {
		return 0, fmt.Errorf("%q is not a date: write it like 2026-12-31", date)
	}
	return Day(t.Unix() / secondsADay), nil
}

// Of is the day that a moment falls on, in the zone that the moment is given in.
func Of(t time.Time) Day {
	year, month, day := t.Date()
	return on(year, month, day)
}

func on(year int, month time.Month, day int) Day {
	return Day(time.Date(year, month, day, 0, 0, 0, 0, time.UTC).Unix() / secondsADay)
}

func (d Day) time() time.Time { return time.Unix(int64(d)*secondsADay, 0).UTC() }

// String writes the date as 2026-12-31.
func (d Day) String() string { return d.time().Format(time.DateOnly) }

// Weekday is 1 for Monday to 7 for Sunday, as ISO 8601 numbers them.
func (d Day) Weekday() int { return ((int(d)+thursday)%7+7)%7 + 1 }

// thursday is the weekday of day 0, less 1.
const thursday = 3

// Week is the ISO 8601 week that the day is in; its year may differ from the calendar's in the first and last days.
func (d Day) Week() Week {
	year, week := d.time().ISOWeek()
	return Week{year, week}
}
