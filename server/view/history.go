package view

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"

	"bedwalk/schema"
	"bedwalk/server/access"
	"bedwalk/server/journal"
)

// historyPage is how many lines of a lot's history go at once.
const historyPage = 100

// History is a page of what was noted about a lot, the newest first. Before is the Older of the page before it, "" for the first. It names
// a note by its time and its place in the journal, neither of which ever changes: so notes that arrive meanwhile push none out of its
// page, and one that arrives with an earlier time than that is on the page that its time belongs to, when that is next asked for.
func (v *Views) History(ctx context.Context, id, before string) (page schema.HistoryPage, err error) {
	from, err := historyFrom(before)
	if err != nil {
		return page, err
	}
	devices, err := v.gate.Devices(ctx)
	if err != nil {
		return page, err
	}
	own, err := v.journal.OwnDevice(ctx)
	if err != nil {
		return page, err
	}
	err = v.at(ctx, func(m *moment) error {
		if _, ok := m.n.lots[id]; !ok {
			return ErrNoSuch
		}
		page, err = m.history(id, from, devices, own)
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

func (m *moment) history(id string, before journal.HistoryPlace, devices []access.Device, own string) (page schema.HistoryPage, err error) {
	entries, err := m.snap.History(id, before, historyPage+1)
	if err != nil {
		return page, err
	}
	if len(entries) > historyPage {
		entries = entries[:historyPage]
		last := entries[historyPage-1]
		page.Older = fmt.Sprintf("%d.%d", last.Stamp.At, last.Position)
	}
	names := map[string]string{own: "server"}
	for _, device := range devices {
		names[device.ID] = device.Name
	}
	page.Lines = make([]schema.HistoryLine, len(entries))
	for i, e := range entries {
		page.Lines[i] = schema.HistoryLine{
			Entry: e.Entry.ID, Kind: e.Entry.Kind, At: e.Stamp, PersonName: m.n.people[e.Entry.Person],
			DeviceName: names[e.Entry.Device], Body: json.RawMessage(e.Entry.Body),
		}
	}
	return page, nil
}
