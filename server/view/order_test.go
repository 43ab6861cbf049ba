package view

import (
	"slices"
	"testing"

	"bedwalk/schema"
)

func TestTheSoonestShipWeekThatLacksPotsStandsFirst(t *testing.T) {
	week := func(id, code, week string, stake float64) trouble {
		return trouble{stake: stake, AttentionItem: schema.AttentionItem{ID: id, Code: code, Week: week}}
	}
	all := []trouble{
		week("far and many", schema.AttentionOverbooked, "2027-W03", 800), week("late soon", schema.AttentionLate, "2026-W51", 20),
		week("soon", schema.AttentionOverbooked, "2026-W51", 30), {stake: 5000, AttentionItem: schema.AttentionItem{ID: "uneven", Code: "gradient"}},
		{stake: 1, AttentionItem: schema.AttentionItem{ID: "pale", Code: "chlorosis"}},
	}
	rank(all)
	var order []string
	for _, one := range all {
		order = append(order, one.ID)
	}
	if want := []string{"pale", "soon", "late soon", "far and many", "uneven"}; !slices.Equal(order, want) {
		t.Errorf("%q, want %q", order, want)
	}
}

// What costs crop this month comes first, and the backup stands within what a desk shows however much that is.
func TestAMissingBackupStandsAfterWhatShipsSoonAndNeverLeavesTheListOfEight(t *testing.T) {
	const rots, backupID = "rot", "backup"
	of := func(code, id string, soon bool, stake float64) trouble {
		return trouble{soon: soon, serious: true, stake: stake, AttentionItem: schema.AttentionItem{ID: id, Code: code, Week: "2026-W51"}}
	}
	for _, c := range []struct {
		name                    string
		rot, soon, plants, late int
		isNew                   bool
		want                    int
	}{
		{"alone", 0, 0, 0, 0, false, 0},
		{"rot that spreads is before it", 2, 0, 0, 0, false, 2},
		{"so are lots that miss the next weeks", 1, 3, 0, 0, false, 4},
		{"pale beds and later weeks are after it", 1, 3, 9, 9, false, 4},
		{"seven more urgent rows leave it the eighth", 4, 3, 5, 5, false, 7},
		{"eight would push it off the list", 4, 4, 5, 5, false, 7},
		{"so would thirty", 15, 15, 0, 2, false, 7},
		{"of a nursery that began today it is the last", 1, 1, 1, 1, true, 4},
	} {
		all := []trouble{{serious: !c.isNew, AttentionItem: schema.AttentionItem{ID: backupID, Code: schema.AttentionBackup}}}
		for i := range c.rot {
			all = append(all, of(rots, "rot", false, float64(i)))
		}
		for i := range c.soon {
			all = append(all, of(schema.AttentionLate, "soon", true, float64(i)))
		}
		for range c.plants {
			all = append(all, of("chlorosis", "pale", false, 5))
		}
		for range c.late {
			all = append(all, of(schema.AttentionLate, "late", false, 900))
		}
		before := len(all)
		rank(all)
		at := slices.IndexFunc(all, func(t trouble) bool { return t.ID == backupID })
		if at != c.want || len(all) != before {
			t.Errorf("%s: row %d of %d, want %d of %d", c.name, at, len(all), c.want, before)
		}
		rest := slices.Delete(slices.Clone(all), at, at+1)
		if !slices.IsSortedFunc(rest, func(a, b trouble) int { return rankOf(a) - rankOf(b) }) {
			t.Errorf("%s: the others are out of order: %+v", c.name, rest)
		}
	}
}

func TestABedWithRotIsWalkedFirstAlsoWhenItIsDueForItsDays(t *testing.T) {
	walks := []schema.TomorrowWalk{
		{Bed: "old", Why: "days", Days: 20}, {Bed: "rot and old", Why: "days", Days: 9, Trouble: "roots"}, {Bed: "never", Why: "never"},
		{Bed: "rot", Why: "roots", Days: 3, Trouble: "roots"}, {Bed: "pale and old", Why: "days", Days: 8, Trouble: "chlorosis"},
		{Bed: "week", Why: "narrows", Trouble: "roots", Narrows: &schema.TomorrowNarrows{Now: 90, After: 10}},
	}
	slices.SortFunc(walks, byWorth)
	var order []string
	for _, w := range walks {
		order = append(order, w.Bed)
	}
	if want := []string{"rot and old", "rot", "never", "pale and old", "old", "week"}; !slices.Equal(order, want) {
		t.Errorf("%q, want %q", order, want)
	}
}
