package view

import (
	"encoding/json"
	"maps"
	"slices"
	"sync"

	"bedwalk/schema"
	"bedwalk/server/journal"
	"bedwalk/sync/calendar"
)

// dayNote is one line of a day: a note, or what one person noted of a walk, which stands where the first of it does. It keeps no bytes.
type dayNote struct {
	at, position, arrivedAt int64
	person, bed, lot        string
	walk                    *schema.DayWalk
	endedAt                 int64
	// id is "" where the line stands for several notes; sheet is set on the note of a sheet that was brought in, and folded how many of the sheet's own
	// notes its line stands for.
	id     string
	sheet  *schema.Import
	folded int
}

// dayBody is what of a note's body a day has to know.
type dayBody struct {
	Walk, Why, Span string
	Beds            []string
	Now             struct{ Walk string }
	Import          *schema.Import
}

// keptDay are the lines of the day that was asked for last, as of a head: who turns its pages has them read once.
type keptDay struct {
	guard    sync.Mutex
	epoch    string
	head     int64
	from, to int64
	noted    []*dayNote
}

// notedOn are the lines of a day, in any order. They are shared: nobody changes them.
func (m *moment) notedOn(day calendar.Day) ([]*dayNote, error) {
	from, to, epoch := m.n.midnight(day), m.n.midnight(day+1), m.journal.Epoch()
	kept := &m.dayKept
	kept.guard.Lock()
	defer kept.guard.Unlock()
	if kept.noted != nil && kept.epoch == epoch && kept.head == m.n.head && kept.from == from && kept.to == to {
		return kept.noted, nil
	}
	noted, err := m.readDay(from, to)
	if err != nil {
		return nil, err
	}
	kept.epoch, kept.head, kept.from, kept.to, kept.noted = epoch, m.n.head, from, to, noted
	return noted, nil
}

// readDay reads the lines of a time (ms since 1970, its end not included).
func (m *moment) readDay(from, to int64) ([]*dayNote, error) {
	noted := []*dayNote{}
	type walkOf struct{ walk, person string }
	walks := map[walkOf]*dayNote{}
	lineOf := func(walk string, one *dayNote) *dayNote {
		key := walkOf{walk, one.person}
		if walks[key] == nil {
			walks[key] = &dayNote{at: one.at, position: one.position, arrivedAt: one.arrivedAt, person: one.person, bed: one.bed, walk: &schema.DayWalk{Walk: walk}}
			noted = append(noted, walks[key])
		}
		return walks[key]
	}
	pots, err := m.snap.PotsIn(from, to)
	if err != nil {
		return nil, err
	}
	for _, p := range pots {
		one := &dayNote{at: p.At, position: p.Position, arrivedAt: p.ReceivedAt, person: p.Person, bed: p.Bed}
		line := lineOf(p.Walk, one)
		line.walk.Pots += p.Pots
		line.seen(one, p.Until)
	}
	err = m.snap.MadeIn(from, to, func(e schema.Stamped, arrivedAt int64) {
		var body dayBody
		// A body of a later version is a line all the same, only of no walk.
		_ = json.Unmarshal(e.Entry.Body, &body)
		one := &dayNote{at: e.Stamp.At, position: e.Position, arrivedAt: arrivedAt, person: e.Entry.Person, lot: e.Entry.Lot, bed: m.n.bedOfNote(e.Entry, body)}
		walk := body.Walk
		if e.Entry.Kind == "correction" {
			walk = body.Now.Walk
		}
		if !isOfWalk[e.Entry.Kind] || walk == "" {
			one.id, one.sheet = e.Entry.ID, body.Import
			noted = append(noted, one)
			return
		}
		lineOf(walk, one).add(e.Entry.Kind, body.Why, one)
	})
	return foldSheets(noted), err
}

// mostSheeted is how many notes of sheets are looked for on one day; those of further sheets keep their own lines.
const mostSheeted = 200_000

// foldSheets puts the notes of a sheet that was brought in, as far as they are among the lines, into the line of the note that names it.
func foldSheets(noted []*dayNote) []*dayNote {
	of := map[string]*dayNote{}
	for _, one := range noted {
		if one.sheet == nil || len(of)+one.sheet.Notes > mostSheeted {
			continue
		}
		for n := range one.sheet.Notes {
			of[one.sheet.NoteID(n)] = one
		}
	}
	if len(of) == 0 {
		return noted
	}
	return slices.DeleteFunc(noted, func(one *dayNote) bool {
		sheet := of[one.id]
		if sheet == nil || sheet == one || sheet.person != one.person {
			return false
		}
		sheet.folded++
		sheet.arrivedAt = max(sheet.arrivedAt, one.arrivedAt)
		return true
	})
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
		if w.End == "" || one.at >= l.endedAt {
			w.End, l.endedAt = why, one.at
		}
	}
	l.seen(one, one.at)
}

// seen stretches the line to what was noted from one on until some time. Which of its notes comes in which order makes no difference.
func (l *dayNote) seen(one *dayNote, until int64) {
	l.at, l.position = min(l.at, one.at), min(l.position, one.position)
	l.walk.Until, l.arrivedAt = max(l.walk.Until, until), max(l.arrivedAt, one.arrivedAt)
	if l.bed == "" {
		l.bed = one.bed
	}
}

// counted is what the line adds to the numbers of its day. Whoever corrects pots of an earlier walk walks nowhere: these are notes.
func (l *dayNote) counted() (notes, walks, pots int) {
	switch w := l.walk; {
	case w == nil:
		return 1 + l.folded, 0, 0
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
		line := schema.DayLine{At: one.at, Person: one.person, PersonName: m.n.people[one.person], Bed: one.bed, Lot: one.lot, Tag: valueOr(m.n.lots[one.lot].Tag, ""), Sheet: one.folded, Walk: one.walk}
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
	err := m.snap.CameLate(m.n.midnight(day), m.n.midnight(day+1), func(late journal.Late) {
		made := m.n.dayAt(late.At)
		if byDay[made] == nil {
			byDay[made] = &came{people: map[string]string{}}
		}
		byDay[made].notes += late.Notes
		byDay[made].people[late.Person] = m.n.people[late.Person]
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
