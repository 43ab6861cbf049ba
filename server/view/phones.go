package view

import (
	"context"
	"unicode/utf8"

	"bedwalk/schema"
	"bedwalk/server/journal"
)

// Bounds of the lists on the phones' page.
const (
	quarantineShown = 200
	quarantinePage  = 50
	incidentsShown  = 100
	textShown       = 4000
)

// Phones is every paired device, and the notes that wait for a decision.
func (d *Views) Phones(ctx context.Context) (v schema.PhonesView, err error) {
	v = schema.PhonesView{Phones: []schema.PhoneView{}, Quarantined: []schema.QuarantinedView{}, Head: d.journal.Head(), BackedUpTo: d.journal.BackedUpTo(), MadeAt: d.journal.NowMS()}
	devices, err := d.gate.Devices(ctx)
	if err != nil {
		return v, err
	}
	reports, err := d.journal.Reports(ctx)
	if err != nil {
		return v, err
	}
	people, err := d.people(ctx)
	if err != nil {
		return v, err
	}
	names := map[string]string{}
	for _, device := range devices {
		names[device.ID] = device.Name
		r := reports[device.ID]
		v.Phones = append(v.Phones, schema.PhoneView{
			Device: device.ID, Name: device.Name, Person: device.Person, PersonName: people[device.Person], Role: device.Role,
			PairedAt: device.PairedAt, SeenAt: max(device.SeenAt, r.At), Pending: r.Pending, Photos: r.Photos,
			Equal: r.Equal, EqualTo: r.EqualTo, EqualAt: r.EqualAt, SkewMS: r.SkewMS, Revoked: device.RevokedAt, Entries: r.Entries,
		})
	}
	held, err := d.journal.Quarantine(ctx, quarantineShown)
	if err != nil {
		return v, err
	}
	v.Quarantined = quarantinedViews(held, names, people)
	if err := d.journal.Read(ctx, func(snap *journal.Snapshot) error {
		v.QuarantinedByDevice, err = snap.QuarantineByDevice(quarantineShown)
		return err
	}); err != nil {
		return v, err
	}
	for i, one := range v.QuarantinedByDevice {
		by, way := journal.Bringer(one.Device)
		v.QuarantinedByDevice[i].DeviceName, v.QuarantinedByDevice[i].Way = names[by], way
	}
	if v.Incidents, v.IncidentsAll, err = d.journal.Incidents(ctx, incidentsShown); err != nil {
		return v, err
	}
	if v.Clock, err = d.journal.Clock(ctx); err != nil {
		return v, err
	}
	v.BackedUpAt, err = d.journal.BackedUpAt(ctx)
	return v, err
}

// Quarantine is a page of what waits for a decision of one device, below a number; with before 0 it begins at the newest.
// A device of which nothing waits has an empty page.
func (d *Views) Quarantine(ctx context.Context, device string, before int64) (v schema.QuarantinePage, err error) {
	v.Device = device
	devices, err := d.gate.Devices(ctx)
	if err != nil {
		return v, err
	}
	people, err := d.people(ctx)
	if err != nil {
		return v, err
	}
	names := map[string]string{}
	for _, one := range devices {
		names[one.ID] = one.Name
	}
	by, _ := journal.Bringer(device)
	v.DeviceName = names[by]
	err = d.journal.Read(ctx, func(snap *journal.Snapshot) error {
		var page []journal.Quarantined
		page, v.Older, v.Count, err = snap.QuarantinedOf(device, before, quarantinePage)
		v.Quarantined = quarantinedViews(page, names, people)
		return err
	})
	return v, err
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

func (d *Views) phonesBrief(ctx context.Context) (b schema.PhonesBrief, err error) {
	devices, err := d.gate.Devices(ctx)
	if err != nil {
		return b, err
	}
	reports, err := d.journal.Reports(ctx)
	if err != nil {
		return b, err
	}
	head := d.journal.Head()
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
	b.Quarantined, err = d.journal.QuarantineCount(ctx)
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
