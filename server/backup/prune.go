package backup

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"
)

// stamped is how a backup's name says when it was made, in UTC.
const stamped = "20060102-150405"

// Rule says which backups stay: the newest few, and of each of the last days, weeks and months that have any the newest. What no
// part of it asks for is deleted, so their number is bounded and old states of the nursery can still be reached.
type Rule struct{ Newest, Days, Weeks, Months int }

// Prune deletes the backups of a place that the rule does not ask for, at least one always staying, and names them. Pictures stay:
// the newest backup has the same ones. A file whose name does not say when it was made stays too.
func Prune(ctx context.Context, at Place, rule Rule) (gone []string, err error) {
	made, err := backups(ctx, at)
	if err != nil {
		return nil, err
	}
	for _, when := range rule.surplus(slices.Collect(maps.Keys(made))) {
		if err := at.Delete(ctx, made[when]); err != nil {
			return gone, fmt.Errorf("delete an old backup: %w", err)
		}
		gone = append(gone, at.At(made[when]))
	}
	return gone, nil
}

// Newest is the name of the newest backup of a place, and when it was made, by its name; "" where there is none.
func Newest(ctx context.Context, at Place) (name string, when time.Time, err error) {
	made, err := backups(ctx, at)
	if err != nil || len(made) == 0 {
		return "", time.Time{}, err
	}
	when = slices.MaxFunc(slices.Collect(maps.Keys(made)), time.Time.Compare)
	return made[when], when, nil
}

// backups are the names of a place's backups by when they were made.
func backups(ctx context.Context, at Place) (map[time.Time]string, error) {
	all, err := at.Names(ctx, "bedwalk-")
	if err != nil {
		return nil, err
	}
	made := map[time.Time]string{}
	for _, name := range all {
		if when, ok := whenMade(name); ok {
			made[when] = name
		}
	}
	return made, nil
}

// whenMade reads from a backup's name when it was made; false for other names.
func whenMade(name string) (time.Time, bool) {
	stamp, isDB := strings.CutSuffix(strings.TrimSuffix(strings.TrimPrefix(name, "bedwalk-"), sealedEnd), ".db")
	when, err := time.Parse(stamped, stamp)
	return when, isDB && err == nil
}

// surplus are the times that the rule does not ask for, oldest first.
func (r Rule) surplus(made []time.Time) (all []time.Time) {
	times := slices.SortedFunc(slices.Values(made), func(a, b time.Time) int { return b.Compare(a) })
	stay := map[time.Time]bool{}
	for _, at := range times[:min(max(r.Newest, 1), len(times))] {
		stay[at] = true
	}
	for _, each := range []struct {
		of    func(time.Time) string
		count int
	}{
		{func(at time.Time) string { return at.Format(time.DateOnly) }, r.Days},
		{func(at time.Time) string { year, week := at.ISOWeek(); return fmt.Sprint(year, " ", week) }, r.Weeks},
		{func(at time.Time) string { return at.Format("2006-01") }, r.Months},
	} {
		seen := map[string]bool{}
		for _, at := range times {
			if span := each.of(at); !seen[span] && len(seen) < each.count {
				seen[span], stay[at] = true, true
			}
		}
	}
	for _, at := range slices.Backward(times) {
		if !stay[at] {
			all = append(all, at)
		}
	}
	return all
}
