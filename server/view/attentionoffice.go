package view

import (
	"cmp"
	"context"
	"encoding/json"
	"maps"
	"math"
	"slices"
	"strconv"

	"bedwalk/schema"
	"bedwalk/server/access"
	"bedwalk/server/journal"
)

const (
	dayMS = 24 * hourMS
	// backupOldMS is from when on the last backup is old. The server makes one each hour where it was asked to. An assumption, no source.
	backupOldMS = dayMS
	// A phone is silent after silentMS, and after silentPendingMS when it last said that it had notes to send. Assumptions, no source: long enough for a
	// weekend and a day off.
	silentMS        = 7 * dayMS
	silentPendingMS = 3 * dayMS
)

// officeTroubles are those of backup, phones and quarantine. They wait for no view.
func (v *Views) officeTroubles(ctx context.Context) (all []trouble, err error) {
	devices, reports, names, err := v.heard(ctx)
	if err != nil {
		return nil, err
	}
	now := v.journal.NowMS()
	silent := trouble{AttentionItem: schema.AttentionItem{ID: schema.MatterID(schema.AttentionSilent, ""), Code: schema.AttentionSilent}}
	for _, d := range devices {
		at, is := silentSince(d, reports[d.ID], now)
		if !is {
			continue
		}
		silent.Devices, silent.Pending = append(silent.Devices, d.Name), silent.Pending+reports[d.ID].Pending
		if silent.Since == 0 || at < silent.Since {
			silent.Since = at
		}
	}
	if silent.Count = len(silent.Devices); silent.Count > 0 {
		silent.Extent, silent.Least = silent.Count, silent.Count
		all = append(all, silent)
	}
	waiting, err := v.quarantineTroubles(ctx, names)
	if err != nil {
		return nil, err
	}
	backup, err := v.backupTrouble(ctx, now)
	if err != nil {
		return nil, err
	}
	failed, err := v.hookTroubles(ctx)
	return slices.Concat(all, waiting, backup, failed), err
}

// silentSince is when a device was last in range (ms), and whether that is too long ago for what it last said it had to send.
func silentSince(d access.Device, r journal.Report, now int64) (at int64, silent bool) {
	at = max(d.SeenAt, r.At, d.PairedAt)
	return at, d.RevokedAt == 0 && now-at >= silentPendingMS && (r.Pending > 0 || now-at >= silentMS)
}

// OpenIncident is something that is wrong with phones, server or backups: a code of schema.Incident, AttentionBackup, AttentionQuarantined or
// AttentionSilent, and the device that it is about with its name, both empty where it is the server's own.
type OpenIncident struct{ Code, Device, Name string }

// OpenIncidents are those that are neither over nor put away.
func (v *Views) OpenIncidents(ctx context.Context) (all []OpenIncident, err error) {
	devices, reports, names, err := v.heard(ctx)
	if err != nil {
		return nil, err
	}
	now := v.journal.NowMS()
	for _, d := range devices {
		if _, is := silentSince(d, reports[d.ID], now); is {
			all = append(all, OpenIncident{schema.AttentionSilent, d.ID, d.Name})
		}
	}
	backup, err := v.backupTrouble(ctx, now)
	if err != nil {
		return nil, err
	}
	for range backup {
		all = append(all, OpenIncident{Code: schema.AttentionBackup})
	}
	if err := v.journal.Read(ctx, func(snap *journal.Snapshot) error {
		waiting, err := snap.QuarantineByDevice(quarantineShown)
		for _, one := range waiting {
			by, _ := journal.Bringer(one.Device)
			// What one device brought in its own name and for others is one.
			if held := (OpenIncident{schema.AttentionQuarantined, by, names[by]}); !slices.Contains(all, held) {
				all = append(all, held)
			}
		}
		return err
	}); err != nil {
		return nil, err
	}
	noticed, _, err := v.journal.Incidents(ctx, math.MaxInt32)
	for _, one := range noticed {
		if one.OverAt == 0 {
			all = append(all, OpenIncident{one.Code, one.Device, names[one.Device]})
		}
	}
	return all, err
}

// hookTroubles are the webhooks that were switched off because their messages were not taken.
func (v *Views) hookTroubles(ctx context.Context) (all []trouble, err error) {
	if v.FailedHooks == nil {
		return nil, nil
	}
	failed, err := v.FailedHooks(ctx)
	for _, hook := range failed {
		all = append(all, trouble{AttentionItem: schema.AttentionItem{
			ID: schema.MatterID(schema.AttentionWebhook, hook.ID), Code: schema.AttentionWebhook, Devices: []string{hook.Name}, Count: 1,
			Since: hook.ChangedAt, Extent: 1, Least: 1,
		}})
	}
	return all, err
}

// quarantineTroubles are the notes that wait for a decision, one trouble for each device that brought some.
func (v *Views) quarantineTroubles(ctx context.Context, names map[string]string) (all []trouble, err error) {
	err = v.journal.Read(ctx, func(snap *journal.Snapshot) error {
		counts, err := snap.QuarantineByDevice(quarantineShown)
		for _, one := range counts {
			by, _ := journal.Bringer(one.Device)
			all = append(all, trouble{AttentionItem: schema.AttentionItem{
				ID: schema.MatterID(schema.AttentionQuarantined, one.Device), Code: schema.AttentionQuarantined, Devices: []string{names[by]}, Count: one.Count,
				Since: one.Since, Extent: one.Count, Least: one.Count,
			}})
		}
		return err
	})
	return all, err
}

// backupTrouble is a journal without a backup of the last day, while notes have waited that long for one; or without any.
func (v *Views) backupTrouble(ctx context.Context, now int64) ([]trouble, error) {
	at, err := v.journal.BackedUpAt(ctx)
	if err != nil || v.journal.Head() <= v.journal.BackedUpTo() || at > 0 && now-at < backupOldMS {
		return nil, err
	}
	// After quiet days the last backup is old and lacked nothing until now. A nursery of less than a day has little to lose yet: its row is the last.
	isNew := false
	if err := v.journal.Read(ctx, func(snap *journal.Snapshot) error {
		first := v.journal.BackedUpTo()
		placed, _, err := snap.PlacedAfter(first, first+1)
		isNew = len(placed) > 0 && now-placed[0].ReceivedAt < backupOldMS
		return err
	}); err != nil || isNew && at > 0 {
		return nil, err
	}
	return []trouble{{serious: !isNew, AttentionItem: schema.AttentionItem{
		ID: schema.MatterID(schema.AttentionBackup, ""), Code: schema.AttentionBackup, Since: at, Count: int(v.journal.Head() - v.journal.BackedUpTo()),
	}}}, nil
}

// disagreeing are the fields of lots in which people wrote different values apart.
func (m *moment) disagreeing() (all []trouble, err error) {
	for _, id := range slices.SortedFunc(maps.Keys(m.n.lots), m.n.byTag()) {
		l := m.n.lots[id]
		if l.disagree == 0 {
			continue
		}
		r, found, err := m.snap.Record("lot:" + id)
		if err != nil {
			return nil, err
		}
		if !found || r.Register == nil {
			continue
		}
		for _, name := range slices.Sorted(maps.Keys(r.Register.Fields)) {
			if field := r.Register.Fields[name]; len(field.Others) > 0 {
				all = append(all, m.n.disagreement(id, name, field))
			}
		}
	}
	return all, nil
}

func (n *nursery) disagreement(id, name string, field schema.Field) trouble {
	l := n.lots[id]
	item := schema.AttentionItem{
		ID: schema.MatterID(schema.AttentionDisagree, id+" "+name), Code: schema.AttentionDisagree, Lot: id, Tag: valueOr(l.Tag, ""),
		Cultivar: valueOr(l.Cultivar, ""), Field: name, Saw: field.Live, Beds: n.bedsOf(id),
	}
	for _, one := range append([]schema.Other{{Value: field.Value, By: field.By}}, field.Others...) {
		item.Answers = append(item.Answers, schema.AttentionAnswer{Value: json.RawMessage(one.Value), Name: n.people[one.By.Person], At: one.By.Stamp.At})
		item.Since = max(item.Since, one.By.Stamp.At)
	}
	item.Extent, item.Least = len(item.Answers), len(item.Answers)
	return trouble{AttentionItem: item, stake: float64(n.potsOf(id))}
}

// bedsOf are the beds that a lot stands on.
func (n *nursery) bedsOf(lot string) (all []schema.AttentionBed) {
	for _, id := range n.standsOn[lot] {
		all = append(all, n.attentionBed(id))
	}
	return all
}

// lateChance is the chance of being ready below which a lot is in the list though no step of it is late yet: it is less likely than not to make its
// week.
const lateChance = 0.5

// weekTroubles are the lots that are more likely than not to miss their ship week and the weeks with more booked than is sure.
func (v *Views) weekTroubles(ctx context.Context, of gathered) (all []trouble, err error) {
	n := of.n
	now := v.journal.NowMS()
	for _, id := range slices.SortedFunc(maps.Keys(n.lots), n.byTag()) {
		l := n.lots[id]
		plan := v.planOf(of.notes, id, of.seen[id])
		pots := n.potsOf(id)
		if plan.Problem != "" || plan.By == "" || plan.Chance == nil || pots == 0 || plan.LateDays == 0 && *plan.Chance >= lateChance {
			continue
		}
		// A lot of which every step was taken only waits to be ready: it may miss its week too.
		step := ""
		if plan.Next >= 0 {
			step = plan.Steps[plan.Next].Step
		}
		missing := 1 - *plan.Chance
		all = append(all, trouble{stake: missing * float64(pots), AttentionItem: schema.AttentionItem{
			ID: schema.MatterID(schema.AttentionLate, id), Code: schema.AttentionLate, Beds: n.bedsOf(id), Lot: id, Tag: valueOr(l.Tag, ""),
			Cultivar: valueOr(l.Cultivar, ""), Week: valueOr(l.ShipWeek, ""), Ready: plan.Steps[len(plan.Steps)-1].Day50, Step: step, Days: plan.LateDays, Chance: plan.Chance,
			NotOwn: plan.NotOwn, ToCome: plan.ToCome, Since: sinceDays(now, plan.LateDays), Extent: basisPoints(missing), Least: basisPoints(missing),
			CanSettle: true,
		}})
	}
	weeks, err := v.weeksOf(ctx, of, n.wide(), nil)
	if err != nil {
		return nil, err
	}
	for _, w := range weeks {
		if w.Missing == 0 {
			continue
		}
		beds := []schema.AttentionBed{}
		for _, lot := range w.Lots {
			beds = append(beds, n.bedsOf(lot.Lot)...)
		}
		slices.SortFunc(beds, func(a, b schema.AttentionBed) int { return cmp.Compare(a.Bed, b.Bed) })
		all = append(all, trouble{stake: float64(w.Missing), AttentionItem: schema.AttentionItem{
			ID: schema.MatterID(schema.AttentionOverbooked, w.Week+" "+w.Crop+" "+strconv.Itoa(w.PotMM)), Code: schema.AttentionOverbooked,
			Beds: slices.Compact(beds), Week: w.Week, Crop: w.Crop, PotMM: w.PotMM, Count: w.Missing, Chance: w.Short, Extent: w.Missing, Least: w.Missing, CanSettle: true,
		}})
	}
	return all, nil
}

func sinceDays(now int64, days int) int64 {
	if days == 0 {
		return 0
	}
	return now - int64(days)*dayMS
}
