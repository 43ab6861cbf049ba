package backup

import (
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// stamped is how a backup's name says when it was made, in UTC.
const stamped = "20060102-150405"

// Rule says which backups stay: the newest few, and of each of the last days, weeks and months that have any the newest. What no
// part of it asks for is deleted, so their number is bounded and old states of the nursery can still be reached.
type Rule struct{ Newest, Days, Weeks, Months int }

// Prune deletes the backups of a folder that the rule does not ask for, at least one always staying, and names them. Pictures stay:
// the newest backup has the same ones. A file whose name does not say when it was made stays too.
func Prune(folder string, rule Rule) (gone []string, err error) {
	made, err := backups(folder)
	if err != nil {
		return nil, err
	}
	for _, at := range rule.surplus(slices.Collect(maps.Keys(made))) {
		if err := os.Remove(made[at]); err != nil {
			return gone, fmt.Errorf("delete an old backup: %w", err)
		}
		gone = append(gone, made[at])
	}
	return gone, nil
}

// Newest is the path of the newest backup of a folder, and when it was made, by its name; "" where there is none.
func Newest(folder string) (path string, at time.Time, err error) {
	made, err := backups(folder)
	if err != nil || len(made) == 0 {
		return "", time.Time{}, err
	}
	at = slices.MaxFunc(slices.Collect(maps.Keys(made)), time.Time.Compare)
	return made[at], at, nil
}

// backups are the paths of a folder's backups by when they were made.
func backups(folder string) (map[time.Time]string, error) {
	all, err := filepath.Glob(filepath.Join(folder, "bedwalk-*.db"))
	if err != nil {
		return nil, err
	}
	made := map[time.Time]string{}
	for _, path := range all {
		name := strings.TrimSuffix(strings.TrimPrefix(filepath.Base(path), "bedwalk-"), ".db")
		if at, err := time.Parse(stamped, name); err == nil {
			made[at] = path
		}
	}
	return made, nil
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
