package view

import (
	"encoding/json"
	"maps"
	"slices"

	"bedwalk/schema"
	"bedwalk/sync/calendar"
)

// dayNote is one line of a day: a note, or what one person noted of a walk, which stands where the first of it does. It keeps no bytes.
type dayNote struct {
	at, position, arrivedAt int64
	person, bed, lot        string
	walk                    *schema.DayWalk
}

// dayBody is what of a note's body a day has to know.
type dayBody struct {
	Walk, Why, Span string
	Beds            []string
	Now             struct{ Walk string }
}

// notedOn are the lines of a day, in any order.
func (m *moment) notedOn(day calendar.Day) (noted []*dayNote, err error) {
	type walkOf struct{ walk, person string }
	walks := map[walkOf]*dayNote{}
	err = m.snap.MadeIn(m.n.midnight(day), m.n.midnight(day+1), func(e schema.Stamped, arrivedAt int64) {
		var body dayBody
		// A body of a later version is a line all the same, only of no walk.
		_ = json.Unmarshal(e.Entry.Body, &body)
		one := &dayNote{at: e.Stamp.At, position: e.Position, arrivedAt: arrivedAt, person: e.Entry.Person, lot: e.Entry.Lot, bed: m.n.bedOfNote(e.Entry, body)}
		walk := body.Walk
		if e.Entry.Kind == "correction" {
			walk = body.Now.Walk
		}
		if !isOfWalk[e.Entry.Kind] || walk == "" {
			noted = append(noted, one)
			return
		}
		key := walkOf{walk, one.person}
		line := walks[key]
		if line == nil {
			one.walk, one.lot = &schema.DayWalk{Walk: walk}, ""
			line, walks[key] = one, one
			noted = append(noted, line)
		}
		line.add(e.Entry.Kind, body.Why, one)
	})
	return noted, err
}

// isOfWalk are the kinds of notes that one line of a walk stands for.
var isOfWalk = map[string]bool{"walk": true, "walk_end": true, "observation": true, "skip": true, "correction": true}

// add counts a note of the walk.
func (l *dayNote) add(kind, why string, one *dayNote) {
	switch w := l.walk; kind {
	case "observation":
		w.Pots++
	case "skip":
		w.Skipped++
	case "correction":
		w.Corrected++
	case "walk":
		w.Started = true
	case "walk_end":
		// A walk may be taken up again: the last end counts.
		if w.End == "" || one.at >= w.Until {
			w.End = why
		}
	}
	if one.at < l.at || one.at == l.at && one.position < l.position {
		l.at, l.position = one.at, one.position
	}
	l.walk.Until, l.arrivedAt = max(l.walk.Until, one.at), max(l.arrivedAt, one.arrivedAt)
}

// counted is what the line adds to the numbers of its day. Whoever corrects pots of an earlier walk walks nowhere: these are notes.
func (l *dayNote) counted() (notes, walks, pots int) {
	switch w := l.walk; {
	case w == nil:
		return 1, 0, 0
	case !w.Started && w.End == "" && w.Pots == 0 && w.Skipped == 0:
		return w.Corrected, 0, 0
	default:
		return 0, 1, w.Pots
	}
}

// bedOfNote is the bed that a note is about, "" for none and for several.
func (n *nursery) bedOfNote(e schema.Entry, body dayBody) string {
	switch beds := n.standsOn[e.Lot]; {
	case e.Bed != "":
		return e.Bed
	case len(body.Beds) == 1:
		return body.Beds[0]
	case len(body.Beds) > 1:
		return ""
	case e.Lot != "" && len(beds) == 1:
		return beds[0]
	case body.Span != "":
		for _, bed := range beds {
			if slices.ContainsFunc(n.spans[bed], func(s span) bool { return s.id == body.Span }) {
				return bed
			}
		}
	}
	return ""
}

// dayLines are lines as they are shown; next is when the next day began.
func (m *moment) dayLines(page []*dayNote, next int64) ([]schema.DayLine, error) {
	var positions []int64
	for _, one := range page {
		if one.walk == nil {
			positions = append(positions, one.position)
		}
	}
	entries, err := m.snap.EntriesAt(positions)
	if err != nil {
		return nil, err
	}
	at := map[int64]schema.Stamped{}
	for _, e := range entries {
		at[e.Position] = e
	}
	lines := make([]schema.DayLine, len(page))
	for i, one := range page {
		line := schema.DayLine{At: one.at, PersonName: m.n.people[one.person], Bed: one.bed, Lot: one.lot, Tag: valueOr(m.n.lots[one.lot].Tag, ""), Walk: one.walk}
		if one.arrivedAt >= next {
			line.Arrived = m.n.dayAt(one.arrivedAt).String()
		}
		if e, found := at[one.position]; found && one.walk == nil {
			line.Entry, line.Kind, line.Body = e.Entry.ID, e.Entry.Kind, json.RawMessage(e.Entry.Body)
			if e.Stamp.Quality == schema.Bracketed {
				line.From, line.To = e.Stamp.From, e.Stamp.To
			}
			line.Task = m.n.taskOf(e.Entry)
			if line.Named, err = m.namedBy(e.Entry); err != nil {
				return nil, err
			}
		}
		lines[i] = line
	}
	return lines, nil
}

// namedBy is the note that a note struck out or restored, nil where it did neither.
func (m *moment) namedBy(e schema.Entry) (*schema.DayNamed, error) {
	var body struct{ Names string }
	if e.Kind != "void" && e.Kind != "unvoid" || json.Unmarshal(e.Body, &body) != nil {
		return nil, nil
	}
	named, found, err := m.snap.Entry(body.Names)
	if found && named.Entry.Kind == "void" {
		// Restored is what a void had struck out.
		if err := json.Unmarshal(named.Entry.Body, &body); err != nil {
			return nil, nil
		}
		named, found, err = m.snap.Entry(body.Names)
	}
	if err != nil || !found {
		return nil, err
	}
	return &schema.DayNamed{
		Kind: named.Entry.Kind, At: named.Stamp.At, PersonName: m.n.people[named.Entry.Person], Body: json.RawMessage(named.Entry.Body),
	}, nil
}

// taskOf is the task that a note is about, nil where it is about none.
func (n *nursery) taskOf(e schema.Entry) *schema.DayTask {
	var body schema.Writes
	if e.Kind != "task" || json.Unmarshal(e.Body, &body) != nil {
		return nil
	}
	task, known := n.tasks[body.Of]
	if !known {
		return nil
	}
	return &schema.DayTask{Step: valueOr(task.Step, ""), Words: valueOr(task.Words, "")}
}

// cameOn are the notes of earlier days that came in on a day.
func (m *moment) cameOn(day calendar.Day) ([]schema.DayCame, error) {
	type came struct {
		notes  int
		people map[string]string
	}
	byDay := map[calendar.Day]*came{}
	err := m.snap.CameLate(m.n.midnight(day), m.n.midnight(day+1), func(e schema.Stamped) {
		made := m.n.dayAt(e.Stamp.At)
		if byDay[made] == nil {
			byDay[made] = &came{people: map[string]string{}}
		}
		byDay[made].notes++
		byDay[made].people[e.Entry.Person] = m.n.people[e.Entry.Person]
	})
	all := []schema.DayCame{}
	for _, made := range slices.Backward(slices.Sorted(maps.Keys(byDay))) {
		one := schema.DayCame{Day: made.String(), Notes: byDay[made].notes, People: []string{}}
		for _, id := range inOrderOfNames(byDay[made].people) {
			one.People = append(one.People, byDay[made].people[id])
		}
		all = append(all, one)
	}
	return all, err
}
