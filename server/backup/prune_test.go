package backup

import (
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"
)

// at reads a time as a backup's name has it, without its seconds.
func at(t *testing.T, text string) time.Time {
	t.Helper()
	time, err := time.Parse("2006-01-02 15:04", text)
	if err != nil {
		t.Fatal(err)
	}
	return time
}

// Weeks are those of ISO 8601: 29 November 2026 is the Sunday of week 48, 4 January 2026 that of week 1, 28 December 2025 that of week 52
// (date.isocalendar of Python says the same).
func TestABackupStaysWhereTheRuleAsksForItAndNoOther(t *testing.T) {
	for _, c := range []struct {
		name       string
		rule       Rule
		made, stay []string
	}{
		{"none", Rule{Newest: 3}, nil, nil},
		{"the newest alone", Rule{Newest: 2}, []string{"2026-11-29 08:00", "2026-11-29 09:00", "2026-11-29 10:00"}, []string{"2026-11-29 09:00", "2026-11-29 10:00"}},
		{"one always", Rule{}, []string{"2026-11-28 08:00", "2026-11-29 08:00"}, []string{"2026-11-29 08:00"}},
		{
			"the last of each day", Rule{Newest: 1, Days: 3},
			[]string{"2026-11-25 23:59", "2026-11-26 00:00", "2026-11-26 17:00", "2026-11-27 09:00", "2026-11-29 09:00", "2026-11-29 10:00"},
			[]string{"2026-11-26 17:00", "2026-11-27 09:00", "2026-11-29 10:00"},
		},
		{
			"the last of each week, which begins on Monday", Rule{Newest: 1, Weeks: 2},
			[]string{"2026-11-15 09:00", "2026-11-16 09:00", "2026-11-22 09:00", "2026-11-23 09:00", "2026-11-29 09:00"},
			[]string{"2026-11-22 09:00", "2026-11-29 09:00"},
		},
		{
			"a week over the turn of a year is one", Rule{Newest: 1, Weeks: 2},
			[]string{"2025-12-28 09:00", "2025-12-29 09:00", "2026-01-01 09:00", "2026-01-04 09:00"},
			[]string{"2025-12-28 09:00", "2026-01-04 09:00"},
		},
		{
			"the last of each month, however old", Rule{Newest: 1, Months: 3},
			[]string{"2024-01-31 09:00", "2025-02-01 09:00", "2025-02-28 09:00", "2026-11-01 09:00", "2026-11-29 09:00"},
			[]string{"2024-01-31 09:00", "2025-02-28 09:00", "2026-11-29 09:00"},
		},
		{
			"all parts together", Rule{Newest: 2, Days: 2, Weeks: 2, Months: 2},
			[]string{"2026-09-30 09:00", "2026-10-31 09:00", "2026-11-20 09:00", "2026-11-22 09:00", "2026-11-28 08:00", "2026-11-28 09:00", "2026-11-29 08:00", "2026-11-29 09:00"},
			[]string{"2026-10-31 09:00", "2026-11-22 09:00", "2026-11-28 09:00", "2026-11-29 08:00", "2026-11-29 09:00"},
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			folder := t.TempDir()
			others := []string{"bedwalk-of-somebody.db", "notes.txt"}
			for _, name := range others {
				write(t, filepath.Join(folder, name))
			}
			for _, one := range c.made {
				write(t, filepath.Join(folder, "bedwalk-"+at(t, one).Format(stamped)+".db"))
			}
			gone, err := Prune(t.Context(), Folder(folder), c.rule)
			if err != nil || len(gone) != len(c.made)-len(c.stay) {
				t.Fatalf("deleted %v, %v", gone, err)
			}
			want := slices.Clone(others)
			for _, one := range c.stay {
				want = append(want, "bedwalk-"+at(t, one).Format(stamped)+".db")
			}
			slices.Sort(want)
			var have []string
			entries, err := os.ReadDir(folder)
			for _, entry := range entries {
				have = append(have, entry.Name())
			}
			if err != nil || !slices.Equal(have, want) {
				t.Errorf("have %v, want %v, %v", have, want, err)
			}
		})
	}
}

func TestBackupsOfTwoYearsByTheHourNeverFillTheDiskAndReachBackTwelveMonths(t *testing.T) {
	rule := Rule{Newest: 6, Days: 7, Weeks: 5, Months: 12}
	var all []time.Time
	first := at(t, "2025-01-01 00:00")
	now := first
	for ; now.Before(at(t, "2027-01-01 00:00")); now = now.Add(time.Hour) {
		all = append(all, now)
		gone := rule.surplus(all)
		all = slices.DeleteFunc(all, func(at time.Time) bool { return slices.Contains(gone, at) })
		if len(all) > 6+7+5+12 {
			t.Fatalf("%d backups stay on %s", len(all), now)
		}
		// Nothing within the last twelve whole months is further than a month from a backup.
		if oldest := now.AddDate(0, -11, -now.Day()+1); oldest.After(first) && all[0].After(oldest.AddDate(0, 1, 0)) {
			t.Fatalf("on %s the oldest is of %s", now, all[0])
		}
	}
}

func write(t *testing.T, path string) {
	t.Helper()
	if err := os.WriteFile(path, nil, 0o600); err != nil {
		t.Fatal(err)
	}
}
