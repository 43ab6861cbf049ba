package view

import (
	"context"
	"strings"
	"unicode/utf8"

	"bedwalk/schema"
	"bedwalk/server/access"
	"bedwalk/server/journal"
)

// Bounds of the lists on the phones' page.
const (
	quarantineShown = 200
	quarantinePage  = 50
	incidentsShown  = 100
	textShown       = 4000
)

// heard are the devices that were ever paired, what each of them last reported, and their names by their ids.
func (v *Views) heard(ctx context.Context) (devices []access.Device, reports map[string]journal.Report, names map[string]string, err error) {
	if devices, err = v.gate.Devices(ctx); err != nil {
		return nil, nil, nil, err
	}
	reports, err = v.journal.Reports(ctx)
	names = map[string]string{}
	for _, d := range devices {
		names[d.ID] = d.Name
	}
	return devices, reports, names, err
}

// Phones is every paired device, and the notes that wait for a decision.
func (v *Views) Phones(ctx context.Context) (all schema.PhonesView, err error) {
	all = schema.PhonesView{Phones: []schema.PhoneView{}, Quarantined: []schema.QuarantinedView{}, Head: v.journal.Head(), BackedUpTo: v.journal.BackedUpTo(), MadeAt: v.journal.NowMS()}
	devices, reports, names, err := v.heard(ctx)
	if err != nil {
		return all, err
	}
	people, err := v.people(ctx)
	if err != nil {
		return all, err
	}
	for _, device := range devices {
		r := reports[device.ID]
		_, silent := silentSince(device, r, all.MadeAt)
		all.Phones = append(all.Phones, schema.PhoneView{
			Device: device.ID, Name: device.Name, Person: device.Person, PersonName: people[device.Person], Role: device.Role,
			PairedAt: device.PairedAt, SeenAt: max(device.SeenAt, r.At), Silent: silent, Pending: r.Pending, Photos: r.Photos,
			Equal: strings.Replace(r.Equal, journal.OlderApp, "equal", 1), OlderApp: r.Equal == journal.OlderApp, EqualTo: r.EqualTo, EqualAt: r.EqualAt, SkewMS: r.SkewMS, Revoked: device.RevokedAt, Entries: r.Entries,
		})
	}
	held, err := v.journal.Quarantine(ctx, quarantineShown)
	if err != nil {
		return all, err
	}
	all.Quarantined = quarantinedViews(held, names, people)
	if err := v.journal.Read(ctx, func(snap *journal.Snapshot) error {
		all.QuarantinedByDevice, err = snap.QuarantineByDevice(quarantineShown)
		return err
	}); err != nil {
		return all, err
	}
	for i, one := range all.QuarantinedByDevice {
		by, way := journal.Bringer(one.Device)
		all.QuarantinedByDevice[i].DeviceName, all.QuarantinedByDevice[i].Way = names[by], way
	}
	if all.Incidents, all.IncidentsAll, err = v.journal.Incidents(ctx, incidentsShown); err != nil {
		return all, err
	}
	if all.Clock, err = v.journal.Clock(ctx); err != nil {
		return all, err
	}
	all.BackedUpAt, err = v.journal.BackedUpAt(ctx)
	return all, err
}

// Quarantine is a page of what waits for a decision of one device, below a number; with before 0 it begins at the newest.
// A device of which nothing waits has an empty page.
func (v *Views) Quarantine(ctx context.Context, device string, before int64) (list schema.QuarantinePage, err error) {
	list.Device = device
	devices, err := v.gate.Devices(ctx)
	if err != nil {
		return list, err
	}
	people, err := v.people(ctx)
	if err != nil {
		return list, err
	}
	names := map[string]string{}
	for _, one := range devices {
		names[one.ID] = one.Name
	}
	by, _ := journal.Bringer(device)
	list.DeviceName = names[by]
	err = v.journal.Read(ctx, func(snap *journal.Snapshot) error {
		var page []journal.Quarantined
		page, list.Older, list.Count, err = snap.QuarantinedOf(device, before, quarantinePage)
		list.Quarantined = quarantinedViews(page, names, people)
		return err
	})
	return list, err
}

// quarantinedViews is how waiting entries are shown; names of devices and people by their ids.
func quarantinedViews(all []journal.Quarantined, names, people map[string]string) []schema.QuarantinedView {
	views := make([]schema.QuarantinedView, 0, len(all))
	for _, w := range all {
		views = append(views, schema.QuarantinedView{
			ID: w.ID(), State: w.State, Device: w.WriterOf(), DeviceName: names[w.WriterOf()],
			PersonName: people[w.Entry.Person], ReceivedAt: w.ReceivedAt, Kind: w.Entry.Kind, Text: readable(w.Raw), Faults: w.Faults,
		})
	}
	return views
}

// PhonesBrief is how it stands with the phones and the quarantine, in numbers.
func (v *Views) PhonesBrief(ctx context.Context) (b schema.PhonesBrief, err error) {
	devices, err := v.gate.Devices(ctx)
	if err != nil {
		return b, err
	}
	reports, err := v.journal.Reports(ctx)
	if err != nil {
		return b, err
	}
	head := v.journal.Head()
	for _, device := range devices {
		if device.RevokedAt > 0 {
			continue
		}
		r := reports[device.ID]
		b.Paired++
		b.Pending += r.Pending
		b.LastAt = max(b.LastAt, r.At, device.SeenAt)
		if r.Equal == "equal" && r.EqualTo == head {
			b.Equal++
		}
	}
	b.Quarantined, err = v.journal.QuarantineCount(ctx)
	return b, err
}

// readable is the start of some bytes as text, whatever they are.
func readable(raw []byte) string {
	text := make([]rune, 0, textShown)
	for len(raw) > 0 && len(text) < textShown {
		r, size := utf8.DecodeRune(raw)
		text, raw = append(text, r), raw[size:]
	}
	if len(raw) > 0 {
		text = append(text, '…')
	}
	return string(text)
}
