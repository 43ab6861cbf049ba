package view

import (
	"cmp"
	"maps"
	"slices"

	"bedwalk/schema"
	"bedwalk/sync/calendar"
	"bedwalk/sync/supply"
)

// isStock is true of a lot that is kept for cuttings: it is not for sale, so that it has no way to a ship week.
func (n *nursery) isStock(lot string) bool { return valueOr(n.lots[lot].Stock, false) }

// isForSale is true of a lot that has not left and is not kept for cuttings.
func (n *nursery) isForSale(lot string) bool {
	return valueOr(n.lots[lot].ShippedOn, "") == "" && !n.isStock(lot)
}

func (n *nursery) plantsEach(lot string) int { return valueOr(n.lots[lot].PlantsEach, 1) }

// cuttings is what was taken of a lot's plants, and of whose plants it was stuck itself.
func (m *moment) cuttings(id string) (*schema.LotCuttings, error) {
	n := m.n
	all := &schema.LotCuttings{Taken: []schema.CuttingsTaken{}, From: []schema.CuttingsTaken{}, Stuck: n.stuck(id)}
	for key, e := range n.events {
		if e.Cuttings == nil || e.Lot != id && e.To != id {
			continue
		}
		one := schema.CuttingsTaken{Entry: nameOf(key), On: e.On, Cuttings: *e.Cuttings, Lot: e.To, Stuck: n.stuck(e.To)}
		into := &all.Taken
		if e.To == id {
			one.Lot, into = e.Lot, &all.From
		}
		one.Tag = valueOr(n.lots[one.Lot].Tag, "")
		*into = append(*into, one)
	}
	newest := func(a, b schema.CuttingsTaken) int {
		return cmp.Or(cmp.Compare(b.On, a.On), cmp.Compare(a.Tag, b.Tag), cmp.Compare(a.Entry, b.Entry))
	}
	slices.SortFunc(all.Taken, newest)
	slices.SortFunc(all.From, newest)
	var err error
	if all.Mother, all.Daughters, err = m.relatives(id, func(l lot) *string { return l.Mother }); err != nil {
		return nil, err
	}
	all.Rate = n.cuttingsRate(id, all.Taken)
	all.Plants = supply.PlantsOf(n.stock[id], n.plantsEach(id))
	if n.stock[id] != nil {
		all.Plants.Astray = supply.Astray(id, n.stock, n.plantsEach)
	}
	return all, nil
}

// stuck is how many cuttings a lot's ledger counts in.
func (n *nursery) stuck(lot string) (cuttings int) {
	if n.stock[lot] == nil {
		return 0
	}
	for _, line := range n.stock[lot].Lines {
		if line.Reason == "struck" && line.Voided == nil {
			cuttings += line.Change
		}
	}
	return cuttings
}

// cuttingsRate is the cuttings a plant: what was taken on one day is one taking, whatever lots it went into, of the plants that the ledger had at
// that day's end.
func (n *nursery) cuttingsRate(lot string, taken []schema.CuttingsTaken) *schema.CuttingsRate {
	byDay := map[calendar.Day]int{}
	for _, t := range taken {
		if on := dayOf(&t.On); on != nil {
			byDay[*on] += t.Cuttings
		}
	}
	var takes []supply.Take
	for _, on := range slices.Sorted(maps.Keys(byDay)) {
		if plants := n.potsAt(lot, on) * n.plantsEach(lot); plants > 0 {
			takes = append(takes, supply.Take{Cuttings: byDay[on], Plants: plants})
		}
	}
	plants := n.potsOf(lot) * n.plantsEach(lot)
	ahead, known := supply.Cuttings(takes, plants, 0.9)
	if !known {
		return nil
	}
	return &schema.CuttingsRate{
		Takes: len(takes), PerPlant: ahead.PerPlant, Plants: plants, Expected: ahead.Expected, Low: ahead.Low, High: ahead.High,
	}
}

// potsAt are a lot's pots by its ledger at the end of a day; where the ledger begins later, at the end of the day on which it begins.
func (n *nursery) potsAt(lot string, on calendar.Day) (pots int) {
	if n.stock[lot] == nil {
		return 0
	}
	bySpan := map[string]int{}
	for _, line := range n.stock[lot].Lines {
		if line.Voided != nil {
			continue
		}
		at := n.dayAt(line.By.Stamp.At)
		if len(bySpan) == 0 {
			on = max(on, at)
		}
		if at > on {
			break
		}
		if line.Counted != nil {
			bySpan[line.Span] = *line.Counted
			continue
		}
		bySpan[line.Span] += line.Change
	}
	for _, there := range bySpan {
		pots += there
	}
	return max(0, pots)
}
