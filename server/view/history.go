package view

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"

	"bedwalk/schema"
	"bedwalk/server/journal"
)

// historyPage is how many lines of a lot's history go at once.
const historyPage = 100

// History is a page of what was noted about a lot, the newest first: the pots of a walk as one line, or with walk those pots, each in a line.
// Before is the Older of the page before it, "" for the first. It names a line by its time and its place in the journal, which never change
// for a note: so notes that arrive meanwhile push none out of its page, and one that arrives with an earlier time than that is on the page
// that its time belongs to, when that is next asked for. A walk goes on to a newer page with each pot that arrives of it.
func (v *Views) History(ctx context.Context, id, walk, before string) (page schema.HistoryPage, err error) {
	from, err := historyFrom(before)
	if err != nil {
		return page, err
	}
	names, err := v.deviceNames(ctx)
	if err != nil {
		return page, err
	}
	err = v.at(ctx, func(m *moment) error {
		if _, ok := m.n.lots[id]; !ok {
			return ErrNoSuch
		}
		if walk == "" {
			page, err = m.history(id, from, names)
			return err
		}
		entries, err := m.snap.HistoryOfWalk(id, walk, from, historyPage+1)
		entries, page.Older = firstPage(entries, func(e schema.Stamped) schema.Stamped { return e })
		page.Lines = make([]schema.HistoryLine, len(entries))
		for i, e := range entries {
			page.Lines[i] = m.n.historyLine(e, names)
		}
		return err
	})
	return page, err
}

func historyFrom(before string) (from journal.HistoryPlace, err error) {
	if before == "" {
		return journal.Newest, nil
	}
	var rest string
	if n, _ := fmt.Sscanf(before, "%d.%d%s", &from.At, &from.Position, &rest); n != 2 || from.Position < 1 {
		return from, schema.NewProblem(http.StatusBadRequest, "before", "That is not a place in a lot's history.",
			"Ask without it for the newest notes, then with the \"older\" of each page for the next one.")
	}
	return from, nil
}

// deviceNames are what devices are called, by their ids.
func (v *Views) deviceNames(ctx context.Context) (map[string]string, error) {
	devices, err := v.gate.Devices(ctx)
	if err != nil {
		return nil, err
	}
	own, err := v.journal.OwnDevice(ctx)
	if err != nil {
		return nil, err
	}
	names := map[string]string{own: "server"}
	for _, device := range devices {
		names[device.ID] = device.Name
	}
	return names, nil
}

func (m *moment) history(id string, before journal.HistoryPlace, names map[string]string) (page schema.HistoryPage, err error) {
	lines, err := m.snap.History(id, before, historyPage+1)
	lines, page.Older = firstPage(lines, func(l journal.HistoryLine) schema.Stamped { return l.Stamped })
	page.Lines = make([]schema.HistoryLine, len(lines))
	for i, l := range lines {
		line := m.n.historyLine(l.Stamped, names)
		if l.Walk != "" {
			line.Walk = &schema.WalkLine{Walk: l.Walk, Bed: l.Entry.Bed, Pots: l.Pots, Since: l.Since, People: []string{}}
			for _, person := range l.People {
				line.Walk.People = append(line.Walk.People, m.n.people[person])
			}
		}
		page.Lines[i] = line
	}
	return page, err
}

// firstPage parts the lines of a page from the one that only says that there are more; older is the place of the last line then.
func firstPage[Line any](lines []Line, of func(Line) schema.Stamped) (page []Line, older string) {
	if len(lines) <= historyPage {
		return lines, ""
	}
	last := of(lines[historyPage-1])
	return lines[:historyPage], fmt.Sprintf("%d.%d", last.Stamp.At, last.Position)
}

func (n *nursery) historyLine(e schema.Stamped, names map[string]string) schema.HistoryLine {
	return schema.HistoryLine{
		Entry: e.Entry.ID, Kind: e.Entry.Kind, At: e.Stamp, PersonName: n.people[e.Entry.Person],
		DeviceName: names[e.Entry.Device], Body: json.RawMessage(e.Entry.Body),
	}
}
