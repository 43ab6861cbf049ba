package view

import (
	"cmp"
	"context"
	"fmt"
	"maps"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"bedwalk/schema"
	"bedwalk/sync/calendar"
)

// dayPage is how many lines of a day go at once; cameShown is for how many days what came in late is counted, since that reads all that has come
// since.
const (
	dayPage   = 150
	cameShown = 31
)

// DayAsk is what of a day is asked for: Day is "" for yesterday, By "person" (also "") or "bed", Person whose notes alone are wanted ("" for all), After
// the "after" of the page before.
type DayAsk struct{ Day, By, Person, After string }

// byBed groups a day by bed, byPerson by who noted it.
const (
	byBed    = "bed"
	byPerson = "person"
)

// Day is what people noted on one day. A page holds the place of each note of the day and the bytes of its own lines alone.
func (v *Views) Day(ctx context.Context, ask DayAsk) (view schema.DayView, err error) {
	after, err := ask.place()
	if err != nil {
		return view, err
	}
	err = v.at(ctx, func(m *moment) error {
		today := m.dayIn(m.n)
		day := today - 1
		if ask.Day != "" {
			if day, err = calendar.Parse(ask.Day); err != nil {
				return schema.NewProblem(http.StatusBadRequest, "day", "That is not a day.", "Write it as 2026-11-29, or leave it out for yesterday.")
			}
		}
		view = schema.DayView{
			Day: day.String(), Today: today.String(), By: cmp.Or(ask.By, byPerson), Person: ask.Person, People: []schema.DayPerson{}, Groups: []schema.DayGroup{}, Zone: m.n.zone,
			MadeAt: v.journal.NowMS(),
		}
		noted, err := m.notedOn(day)
		if err != nil {
			return err
		}
		view.People = m.n.dayPeople(noted)
		// What is kept is sorted and thinned out as a copy.
		noted = slices.Clone(noted)
		if ask.Person != "" {
			noted = slices.DeleteFunc(noted, func(one *dayNote) bool { return one.person != ask.Person })
		}
		if at, found, err := m.snap.LastMade(m.n.midnight(day)); err != nil {
			return err
		} else if found {
			view.Before = m.n.dayAt(at).String()
		}
		if day <= today && today-day <= cameShown {
			if view.Came, err = m.cameOn(day); err != nil {
				return err
			}
		}
		return m.dayGroups(&view, noted, day, after)
	})
	return view, err
}

// dayPlace is where a page of a day ends: behind the line of a group that has this time and position.
type dayPlace struct {
	group        string
	at, position int64
}

func (ask DayAsk) place() (after *dayPlace, err error) {
	if ask.By != "" && ask.By != byBed && ask.By != byPerson {
		return nil, schema.NewProblem(http.StatusBadRequest, "by", "A day is put together by \"person\" or by \"bed\".", "Ask with by=person or by=bed, or leave it out.")
	}
	if ask.After == "" {
		return nil, nil
	}
	parts := strings.Split(ask.After, ".")
	if len(parts) == 3 {
		at, wrong := strconv.ParseInt(parts[1], 10, 64)
		position, wrong2 := strconv.ParseInt(parts[2], 10, 64)
		if wrong == nil && wrong2 == nil {
			return &dayPlace{parts[0], at, position}, nil
		}
	}
	return nil, schema.NewProblem(http.StatusBadRequest, "after", "That is not a place in a day.",
		"Ask without it for the first page, then with the \"after\" of each page for the next one.")
}

// dayPeople are those who noted something, in the order of their names.
func (n *nursery) dayPeople(noted []*dayNote) []schema.DayPerson {
	names := map[string]string{}
	for _, one := range noted {
		names[one.person] = n.people[one.person]
	}
	all := make([]schema.DayPerson, 0, len(names))
	for _, id := range inOrderOfNames(names) {
		all = append(all, schema.DayPerson{ID: id, Name: names[id]})
	}
	return all
}

// inOrderOfNames are ids by their names, those without one last.
func inOrderOfNames(names map[string]string) []string {
	return slices.SortedFunc(maps.Keys(names), func(a, b string) int {
		nameless := func(id string) int {
			if names[id] == "" {
				return 1
			}
			return 0
		}
		return cmp.Or(cmp.Compare(nameless(a), nameless(b)), cmp.Compare(names[a], names[b]), cmp.Compare(a, b))
	})
}

// dayGroups puts the lines into their groups, counts them, and gives those of one page.
func (m *moment) dayGroups(view *schema.DayView, noted []*dayNote, day calendar.Day, after *dayPlace) error {
	groupOf := func(one *dayNote) string { return one.person }
	if view.By == byBed {
		groupOf = func(one *dayNote) string { return one.bed }
	}
	rank := map[string]int{}
	for i, id := range m.groupsInOrder(view.By) {
		rank[id] = i
	}
	place := func(group string) int {
		if at, known := rank[group]; known {
			return at
		}
		return len(rank)
	}
	slices.SortFunc(noted, func(a, b *dayNote) int {
		x, y := groupOf(a), groupOf(b)
		return cmp.Or(cmp.Compare(place(x), place(y)), cmp.Compare(x, y), cmp.Compare(a.at, b.at), cmp.Compare(a.position, b.position))
	})
	isAfter := func(one *dayNote) bool {
		if after == nil {
			return true
		}
		group := groupOf(one)
		return cmp.Or(cmp.Compare(place(group), place(after.group)), cmp.Compare(group, after.group), cmp.Compare(one.at, after.at), cmp.Compare(one.position, after.position)) > 0
	}
	next := m.n.midnight(day + 1)
	sums := map[string]*schema.DayGroup{}
	var page []*dayNote
	for _, one := range noted {
		group := groupOf(one)
		sum := sums[group]
		if sum == nil {
			sum = &schema.DayGroup{Lines: []schema.DayLine{}}
			if sums[group] = sum; view.By == byBed {
				sum.Bed = group
			} else {
				sum.Person, sum.PersonName = group, m.n.people[group]
			}
		}
		notes, walks, pots := one.counted()
		sum.Notes, view.Notes = sum.Notes+notes, view.Notes+notes
		sum.Walks, view.Walks = sum.Walks+walks, view.Walks+walks
		sum.Pots, view.Pots = sum.Pots+pots, view.Pots+pots
		if one.arrivedAt >= next {
			view.Late++
		}
		switch {
		case !isAfter(one):
			sum.Rest = true
		case len(page) < dayPage:
			page = append(page, one)
		case view.After == "":
			last := page[len(page)-1]
			view.After = fmt.Sprintf("%s.%d.%d", groupOf(last), last.at, last.position)
		}
	}
	lines, err := m.dayLines(page, next)
	if err != nil {
		return err
	}
	for i, one := range page {
		group := groupOf(one)
		if i == 0 || group != groupOf(page[i-1]) {
			view.Groups = append(view.Groups, *sums[group])
		}
		at := len(view.Groups) - 1
		view.Groups[at].Lines = append(view.Groups[at].Lines, lines[i])
	}
	return nil
}

// groupsInOrder are the people by their names, or the beds as the nursery shows them.
func (m *moment) groupsInOrder(by string) (ids []string) {
	if by != byBed {
		return inOrderOfNames(m.n.people)
	}
	for _, h := range m.n.houses {
		ids = append(ids, m.n.bedsOfHouse(h.id)...)
	}
	return append(ids, m.n.bedsWithoutHouse()...)
}
