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
